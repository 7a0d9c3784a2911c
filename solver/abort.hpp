// Rules that end a run: a current, a voltage, a power or a reading passes a value.  A reading is what the
// instrument shows, its lag included: the press knows no other.
#pragma once

#include <string>

#include "solver/state.hpp"

namespace joulepress::solver {

/// The rule that is passed by most, relative to its value; negative: none is broken.
struct Excess {
  double value = -1.0;
  int rule = -1;  ///< index into Drive::aborts; -1: none is in force
};

/// Of a state with its readings; `conductance` of the stack in it [S].
Excess largest_excess(const Problem& problem, const State& state, double conductance);

/// What happened at `time` [s], in words.
std::string abort_text(const Problem& problem, int rule, double time);

}  // namespace joulepress::solver
