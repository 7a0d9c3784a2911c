// What `check` shows of a log: what was understood, to be compared with what the panel showed.
#pragma once

#include <string>

#include "cases/reader/press_log.hpp"

namespace joulepress::tools {

/// Columns with their ranges, times, what was left out, what was ignored, melt events, the first rows; in
/// degC, A, V, kW, kN, bar, mm.
std::string log_table(const cases::PressLog& log);

}  // namespace joulepress::tools
