// Lines of current: between two neighbours, and inside of the first, flows the same share of it.
//
//   I(r, z) = integral from 0 to r of j_z 2 pi r' dr'          [A]
//
// is summed over the cells at a height and solved for the radius within which a share of I(infinity, z)
// flows. j_z is the same across the width of a cell and linear in height between the middles of rows, beyond
// the outermost of a block as there.  Heights are the middles of all cells; steps at a contact are joined by
// a straight line.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/section_page.hpp"

namespace joulepress::tools::figures {

/// Radii at heights from the bottom up [m].
struct CurrentLine {
  double share = 0;  ///< of the current that flows inside
  std::vector<double> r, z;
};

/// Lines at share, 2 share, ... below 1; `axial` is j_z of every cell [A/m2].  Empty without a current; a
/// line leaves out heights where none flows.  Throws std::invalid_argument unless share is in (0, 1) and
/// there is one value a cell.
std::vector<CurrentLine> lines_of_current(const Cells& cells, const std::vector<double>& axial, double share);

struct CurrentFigure {
  Head head;
  Stack stack;                ///< `more` of a powder: its share of the current at its mid-height, in words
  std::vector<double> axial;  ///< axial current density by cell [A/m2]
  double share = 0.1;
};

/// The SVG; empty without a current.
std::string current_lines(const CurrentFigure& figure);

}  // namespace joulepress::tools::figures
