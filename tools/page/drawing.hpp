// The stack to scale on one A4 sheet: section through the axis with parts, contacts, ends, sensors and
// dimensions, enlarged details, legend, title block.
//
// Scales are those ISO 5455 recommends; dimensions follow ISO 129-1 in spirit (millimetres without unit,
// extension lines, arrows, diameter sign).  Everything is drawn from the mesh layout and the problem, so that
// what is seen is what is computed.
#pragma once

#include <string>

#include "cases/case.hpp"
#include "solver/problem.hpp"

namespace joulepress::tools {

struct DrawOptions {
  bool mesh = false;      ///< grid lines on top
  std::string file_name;  ///< of the case, for the title block, without folder
};

/// The drawing as SVG.  `problem` is build_problem(c).
std::string draw_stack(const cases::Case& c, const solver::Problem& problem, const DrawOptions& options);

}  // namespace joulepress::tools
