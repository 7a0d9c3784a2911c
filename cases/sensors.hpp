// Sensors of a case as the solver reads them: where the junction is, what the spot sees, what the instrument
// does with it.
#pragma once

#include "cases/reader/input_error.hpp"
#include "cases/stack.hpp"

namespace joulepress::cases {

/// Fills Problem::sensors, a furnace's own reading behind those of the case; what cannot be there is reported
/// at the case.
void set_sensors(const Case& c, const Stack& stack, solver::Problem& p, ErrorList& errors);

/// The bottom of a blind bore sees the chamber through the mouth only: two coaxial discs of the narrowest
/// radius on the way, (X - sqrt(X^2 - 4)) / 2 with X = 2 + (depth / radius)^2 (textbook).  The walls of the
/// bore count as being as hot as its bottom.
void close_blind_bores(const Case& c, const Stack& stack, solver::Problem& p);

}  // namespace joulepress::cases
