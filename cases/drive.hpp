// The programme, the press and its controller as the solver drives the current by them.
#pragma once

#include "cases/case.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {

solver::Drive drive_of(const Case& c);

/// Whether gains of the controller are left to a step of the model.
bool gains_are_open(const Case& c);

}  // namespace joulepress::cases
