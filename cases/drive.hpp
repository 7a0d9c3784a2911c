// The programme, the press and its controller as the solver drives the current by them.
#pragma once

#include "cases/case.hpp"
#include "solver/problem.hpp"
#include "solver/tuning.hpp"

namespace joulepress::cases {

solver::Drive drive_of(const Case& c);

/// Gives the controller its gains where the press leaves them to a step of the model, and says which.
/// Throws InputErrors where the model gives none.
std::optional<solver::Gains> settle_gains(const Case& c, solver::Problem& problem);

}  // namespace joulepress::cases
