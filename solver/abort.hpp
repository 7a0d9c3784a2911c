// Rules that end a run: a current, a voltage, a power or a reading passes a value.
#pragma once

#include <string>

#include "solver/state.hpp"

namespace joulepress::solver {

/// The largest excess over the values of the rules in force, relative to them; negative: none is broken.
/// `conductance` of the stack in that state [S].
double abort_value(const Problem& problem, const State& state, double conductance);

/// What happened, in words; the state is the one that broke a rule.
std::string abort_text(const Problem& problem, const State& state);

}  // namespace joulepress::solver
