// What is said of a run that cannot go on: when, why, where it is hottest, what to try.
#pragma once

#include <string>

#include "solver/problem.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// `remedy` empty: the usual ones.
std::string failure_text(const Problem& present, const State& state, const std::string& why,
                         const std::string& remedy);

}  // namespace joulepress::solver
