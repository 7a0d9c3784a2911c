// Case -> Problem: mesh, parts, contact laws, surfaces, sensors, drive.
#pragma once

#include <filesystem>
#include <optional>

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {

/// One contact as the report shows it, term by term.
struct ContactSeries {
  std::string name;  ///< "foil in bore of die | die"
  bool lateral = false;
  bool loose = false;                         ///< of a soft part
  double electric_touch = 0;                  ///< ohm m2
  double heat_touch = 0;                      ///< W/(m2 K); infinity: perfect
  double area = 0;                            ///< m2
  double foil_electric = 0, foil_heat = 0;    ///< bulk of the foil involved, through its thickness; 0: none
  double total_electric = 0, total_heat = 0;  ///< foil and touches as published for this kind
};

/// The grid of a case, by rule from its accuracy and the diameter of its powder; every cell divided by
/// `numerics: {refinement: ...}`.
mesh::GridRule default_grid(const Case& c);

/// Builds the problem; what cannot be pressed or heated goes to the list, with both names and the
/// millimetres: parts that overlap or float, a gap beside the powder, no path for the current.  A case that
/// was read with mistakes is checked as far as its stack is known.  Nothing when the list holds anything at
/// the end.
std::optional<solver::Problem> build_problem(const Case& c, ErrorList& errors);

/// The same for a case that was read without mistakes; throws InputErrors.
solver::Problem build_problem(const Case& c);

/// The stack of a case without faults as pressed: its powders at their expected end density, nothing moves.
solver::Problem build_pressed_problem(const Case& c);

/// The problem of a case without faults on a coarse grid, with the two-point fluxes that suit it, as pressed.
solver::Problem build_coarse_problem(const Case& c, const mesh::GridRule& rule);

/// One sentence for each narrow gap left beside a punch or another tool of the column, by wear or by drawing.
std::vector<std::string> gap_warnings(const Case& c, const solver::Problem& problem);

struct LoadedCase {
  Case c;
  solver::Problem problem;
};

/// Reads and builds; throws InputErrors with everything that is wrong, from the first tab to the last gap.
/// `press`, `calibration`: one to use instead of the case's own, by its name; empty: the case's own.
LoadedCase load_case(const std::filesystem::path& path, const std::string& press = {},
                     const std::string& calibration = {});

std::vector<ContactSeries> contact_series(const Case& c, const solver::Problem& problem);

}  // namespace joulepress::cases
