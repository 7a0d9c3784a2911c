// How the press followed the programme: its controller, and where a limit or slow cooling stood in the way.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solver/need.hpp"
#include "solver/problem.hpp"
#include "solver/tuning.hpp"

namespace joulepress::tools {

/// What a run with its controller adds to the report; empty without one.  `gains`: where they came from a
/// step of the model.
std::string control_section(const solver::Problem& problem, const solver::RunResult& result,
                            const std::optional<solver::Gains>& gains);

/// Intervals in which the programme was not followed, in the words of the trade.
std::string limited_section(const solver::RunResult& result, const std::vector<solver::Need>& needs);

/// "300 K/min needs 2.90 kA at 900 degC; this press gives 2.50 kA"
std::string need_in_words(const solver::Need& need);

}  // namespace joulepress::tools
