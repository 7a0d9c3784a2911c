// Case -> Problem: mesh, parts, contact laws, surfaces, sensors, drive.
#pragma once

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {

/// One contact as the report shows it, term by term.
struct ContactSeries {
  std::string name;  ///< "foil in bore of die | die"
  bool lateral = false;
  double electric_touch = 0;                  ///< ohm m2
  double heat_touch = 0;                      ///< W/(m2 K); infinity: perfect
  double area = 0;                            ///< m2
  double foil_electric = 0, foil_heat = 0;    ///< bulk of the foil involved, through its thickness; 0: none
  double total_electric = 0, total_heat = 0;  ///< foil and touches as published for this kind
};

/// The grid of a case: the house grading, every cell divided by `numerics: {refinement: ...}`.
mesh::GridRule default_grid(const Case& c);

/// Builds the problem.  Throws InputErrors when the parts overlap, float, leave a gap beside the powder, or
/// leave the current no path, with both names and the millimetres.
solver::Problem build_problem(const Case& c);

/// One sentence for each narrow gap left beside a punch or another tool of the column, by wear or by drawing.
std::vector<std::string> gap_warnings(const Case& c, const solver::Problem& problem);

std::vector<ContactSeries> contact_series(const Case& c, const solver::Problem& problem);

}  // namespace joulepress::cases
