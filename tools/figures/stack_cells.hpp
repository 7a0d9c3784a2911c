// The cells of the stack at one moment, and the blocks of rows and columns that they form.
#pragma once

#include <vector>

namespace joulepress::tools::figures {

/// One value a cell in every list, in the order of the results file: block by block, rows from the bottom,
/// each from the axis outward.
struct Cells {
  std::vector<double> r_low, r_high, z_low, z_high;  ///< m
  std::vector<int> part;                             ///< number of the part
};

/// Cells first, first + 1, ... in rows of n_r; a part has one block or several.
struct CellBlock {
  int part = 0;
  std::size_t first = 0, n_r = 0, n_z = 0;
  double r_low = 0, r_high = 0, z_low = 0, z_high = 0;  ///< m
  std::size_t cell(std::size_t i, std::size_t j) const { return first + j * n_r + i; }
};

/// Blocks recovered from edges that cells share to the last bit.  Throws std::invalid_argument when the lists
/// differ in length or are empty.
std::vector<CellBlock> blocks_of(const Cells& cells);

struct Extent {
  double radius = 0, z_low = 0, z_high = 0;  ///< m
};

Extent extent_of(const std::vector<CellBlock>& blocks);

}  // namespace joulepress::tools::figures
