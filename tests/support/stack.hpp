// A small but complete die stack for tests of the coupled march: spacers, punches, powder, foils, die,
// radiation, cooled ends, contacts, one die thermocouple.  Materials are rounded from the shipped data
// (graphite-like, with temperature-dependent k, rho_e and cp): for tests of the solver, not for answers.
#pragma once

#include "solver/problem.hpp"

namespace joulepress::test {

struct StackOptions {
  bool conducting_powder = false;
  mesh::GridRule rule{};
  double lateral_heat = 3000;  ///< each lateral touch [W/(m2 K)]
};

/// The drive is left empty: set kind and segments.
solver::Problem small_stack(const StackOptions& options);

/// Adds a tracking drive on the die thermocouple with the given segments.
void track(solver::Problem& problem, std::vector<solver::Segment> segments);

}  // namespace joulepress::test
