// Sensors of a case as the solver reads them: where the junction is, what the spot sees, what the instrument
// does with it.
#pragma once

#include "cases/reader/input_error.hpp"
#include "cases/stack.hpp"

namespace joulepress::cases {

/// Fills Problem::sensors, a furnace's own reading behind those of the case; what cannot be there is reported
/// at the case.
void set_sensors(const Case& c, const Stack& stack, solver::Problem& p, ErrorList& errors);

}  // namespace joulepress::cases
