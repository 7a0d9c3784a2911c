// One tool of a case on one A4 sheet for the workshop: full section to scale with its dimensions and the
// bores of sensors, view from above where a bore is radial, notes, title block.
//
// Dimensions follow ISO 129-1 in spirit (auxiliary ones in brackets), scales are those of ISO 5455, views lie
// as in first angle projection (ISO 5456-2: what is seen from above stands below).  Standards from memory.
// Sizes are those of the new part; a bore has the diameter of its sensor's sheath, since a case knows no
// other.
#pragma once

#include <string>
#include <vector>

#include "cases/case.hpp"
#include "solver/problem.hpp"

namespace joulepress::tools {

struct PartSheet {
  std::string part;                  ///< name of a tool of the column or of a sleeve
  std::string file_name;             ///< of the case, for the title block, without folder
  std::vector<std::string> remarks;  ///< further notes, a sentence or two each; what does not fit is counted
};

/// A4 upright, one part of revolution, ready for the lathe; SVG, same bytes for the same input.  `problem` is
/// build_pressed_problem(c).  Throws std::invalid_argument for a part that is no tool of the case.
std::string draw_part(const cases::Case& c, const solver::Problem& problem, const PartSheet& options);

}  // namespace joulepress::tools
