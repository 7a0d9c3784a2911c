// Whether the tools hold, on the screen: the answer, the load cases, the die wall beside the formula of a
// tube, the grip of the compact, the largest force, what is not known, cautions.
#pragma once

#include <string>

#include "solver/problem.hpp"
#include "solver/results.hpp"
#include "solver/solid/strength.hpp"

namespace joulepress::tools {

/// "The tools hold: ..." or why not, in one sentence; empty where nothing was judged.
std::string strength_answer(const solid::Strength& strength, const solver::HistoryFrame& frame);

/// Section "Do the tools hold?".
std::string strength_section(const solid::Strength& strength, const solver::Problem& problem,
                             const solver::HistoryFrame& frame);

/// Rounded down, so that what misses a margin never reads as if it met it: "0.87", "2.4", "31",
/// ">100".
std::string margin_text(double margin);

}  // namespace joulepress::tools
