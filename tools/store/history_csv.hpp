// history.csv: one row per history row, names with units in brackets, doubles that read back to the same
// bits.
#pragma once

#include <string>

#include "solver/results.hpp"

namespace joulepress::tools {

/// A field, quoted when it holds a comma or a quote (RFC 4180).
std::string csv_field(const std::string& text);

std::string history_csv(const solver::HistoryFrame& frame, const std::vector<solver::HistoryRow>& rows);

}  // namespace joulepress::tools
