// Which powders of a case densify, and what moves with them.
#pragma once

#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/stack.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {

/// Why a powder keeps one density through the run: no kinetics, no start density, no pressure, or switched
/// off.  Empty: it densifies.
std::string held_density_reason(const Case& c, const ColumnPart& powder);

/// The same for powders of these names.
std::vector<std::string> held_density_reasons(const Case& c, const std::vector<std::string>& powders);

/// Relative density with which a run begins: under the preload, or held as expected at the end.
double start_density(const Case& c, const ColumnPart& powder);

/// Beds, rides and force of a problem whose mesh and parts are set.
void set_beds(const Case& c, const Stack& stack, solver::Problem& p);

}  // namespace joulepress::cases
