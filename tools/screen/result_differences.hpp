// Where two results differ most: histories at equal times, fields at common output times.  Pure numbers.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tools/store/results_read.hpp"

namespace joulepress::tools {

/// The largest difference b - a by its absolute value.
struct LargestDifference {
  double time_s = 0, a = 0, b = 0;
};

/// Values at ascending times, linear between them; two rows of the same time are a jump.
struct Course {
  const std::vector<double>& times;
  const std::vector<double>& values;  ///< NaN: nothing to say there
};

/// Over the union of the times within the span that both cover, before and after jumps; the first of equal
/// ones.  Nothing when they have no time in common at which both have a value.
std::optional<LargestDifference> largest_difference(const Course& a, const Course& b);

struct FieldDifference {
  LargestDifference at;  ///< K
  std::string part;
  double r_m = 0, z_m = 0;  ///< middle of the cell
  int outputs = 0;          ///< common output times
};

/// Whether both have the same cells (to a nanometre) in the same order.
bool same_cells(const StoredCells& a, const StoredCells& b);

/// Of the temperature of cells that are the same.  Nothing without a common output time.
std::optional<FieldDifference> largest_field_difference(const StoredResults& a, const StoredResults& b);

}  // namespace joulepress::tools
