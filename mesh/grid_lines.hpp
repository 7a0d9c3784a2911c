// Graded lines in one direction of a block.
#pragma once

#include <optional>
#include <vector>

#include "mesh/layout.hpp"

namespace joulepress::mesh {

/// Where lines must lie in [first, last].
struct Feature {
  double at = 0;
  bool fine = true;  ///< cells shrink toward it (false: the axis, or a line that is only forced)
};

/// Lines from the first feature to the last, through every feature between.  Each stretch between two
/// features gets n = max(cells_across_min, ceil(integral dx / h)) cells, times the refinement, at equal
/// increments of that integral: a refined grid therefore contains the lines of the coarse one. Precondition:
/// at least two features, ascending by more than touch_tolerance.  A stretch whose middle is `centre` gets an
/// even number of cells, so that a line lies there.
std::vector<double> graded_lines(const std::vector<Feature>& features, const GridRule& rule,
                                 std::optional<double> centre = std::nullopt);

}  // namespace joulepress::mesh
