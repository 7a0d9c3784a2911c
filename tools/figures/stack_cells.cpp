#include "tools/figures/stack_cells.hpp"

#include <algorithm>
#include <stdexcept>

namespace joulepress::tools::figures {
namespace {

void check(const Cells& cells) {
  const std::size_t n = cells.part.size();
  for (const std::vector<double>* list : {&cells.r_low, &cells.r_high, &cells.z_low, &cells.z_high})
    if (list->size() != n) throw std::invalid_argument("cells: the lists differ in length");
  if (n == 0) throw std::invalid_argument("cells: there are none");
}

std::size_t row_length(const Cells& c, std::size_t first) {
  std::size_t k = first + 1;
  while (k < c.part.size() && c.part[k] == c.part[first] && c.z_low[k] == c.z_low[first] &&
         c.z_high[k] == c.z_high[first] && c.r_low[k] == c.r_high[k - 1])
    ++k;
  return k - first;
}

/// Whether the row that begins at `next` lies on the one before it, column on column.
bool continues(const Cells& c, std::size_t next, std::size_t n_r) {
  if (next + n_r > c.part.size() || row_length(c, next) != n_r) return false;
  for (std::size_t k = next; k < next + n_r; ++k)
    if (c.part[k] != c.part[k - n_r] || c.r_low[k] != c.r_low[k - n_r] || c.r_high[k] != c.r_high[k - n_r] ||
        c.z_low[k] != c.z_high[k - n_r])
      return false;
  return true;
}

}  // namespace

std::vector<CellBlock> blocks_of(const Cells& cells) {
  check(cells);
  std::vector<CellBlock> blocks;
  for (std::size_t first = 0; first < cells.part.size();) {
    CellBlock block{cells.part[first], first, row_length(cells, first), 1, 0, 0, 0, 0};
    std::size_t next = first + block.n_r;
    for (; continues(cells, next, block.n_r); next += block.n_r) ++block.n_z;
    block.r_low = cells.r_low[first];
    block.r_high = cells.r_high[next - 1];
    block.z_low = cells.z_low[first];
    block.z_high = cells.z_high[next - 1];
    blocks.push_back(block);
    first = next;
  }
  return blocks;
}

Extent extent_of(const std::vector<CellBlock>& blocks) {
  Extent extent{0.0, blocks.front().z_low, blocks.front().z_high};
  for (const CellBlock& block : blocks) {
    extent.radius = std::max(extent.radius, block.r_high);
    extent.z_low = std::min(extent.z_low, block.z_low);
    extent.z_high = std::max(extent.z_high, block.z_high);
  }
  return extent;
}

}  // namespace joulepress::tools::figures
