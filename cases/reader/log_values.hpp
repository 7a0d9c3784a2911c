// The columns of a log: what each shows, and its numbers in SI.
#pragma once

#include <vector>

#include "cases/reader/log_headings.hpp"
#include "cases/reader/log_map.hpp"
#include "cases/reader/log_text.hpp"
#include "cases/reader/log_times.hpp"
#include "cases/reader/press_log.hpp"

namespace joulepress::cases {

/// A column that will be read.
struct ColumnPlan {
  std::size_t column = 0;  ///< from 0
  LoggedColumn logged;     ///< without values
  LogUnit unit;
  const MappedColumn* mapped = nullptr;  ///< null: by its heading alone
};

struct ColumnPlans {
  std::vector<ColumnPlan> read;  ///< in the order of the file
  std::vector<std::string> ignored, remarks;
};

/// What every column shows, by map and heading.  Every column of which that cannot be told for sure is an
/// error.  The map must outlive the plans.
ColumnPlans plan_columns(const std::vector<Heading>& headings, const TimeColumns& times, const LogMap& map,
                         const LogTable& table, std::size_t heading_row, ErrorList& errors);

/// The numbers; columns of one sensor merged.
std::vector<LoggedColumn> read_columns(const ColumnPlans& plans, const LogTable& table, const LogTimes& times,
                                       NumberStyle style, ErrorList& errors);

}  // namespace joulepress::cases
