// Lines of equal value through the cells of a block, by marching squares: values stand at the middles of
// cells and are linear between them; from the outermost middles to the edges of the block they stay the same.
// Nothing is drawn from one block to the next: a contact between them is a step.
#pragma once

#include <vector>

#include "tools/figures/stack_cells.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::figures {

/// Corners (r, z) [m]; of a closed line the last is the first.
using Contour = std::vector<svg::Point>;

/// `values` of all cells; those that are not a number end a line.
std::vector<Contour> contours_of(const Cells& cells, const CellBlock& block,
                                 const std::vector<double>& values, double level);

}  // namespace joulepress::tools::figures
