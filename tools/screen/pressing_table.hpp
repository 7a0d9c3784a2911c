// How the stack moves and what it carries while it is pressed, what to expect at the holds, and what is
// doubtful.
#pragma once

#include <string>
#include <vector>

#include "cases/forecast.hpp"
#include "solver/problem.hpp"

namespace joulepress::tools {

/// Heights of the powder, free and guided punch, force and pressures; empty without powder.
std::string pressing_lines(const cases::Case& c);

/// Current, voltage, power and offset at the holds against the limits.
std::string forecast_lines(const cases::Case& c, const std::vector<cases::HoldForecast>& holds);

/// Every doubt as one sentence, the same that `run` lists among its warnings.
std::vector<std::string> doubts(const cases::Case& c, const solver::Problem& p,
                                const std::vector<cases::HoldForecast>& holds);
std::string doubt_lines(const cases::Case& c, const solver::Problem& p,
                        const std::vector<cases::HoldForecast>& holds);

}  // namespace joulepress::tools
