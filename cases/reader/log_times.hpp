// The times of a log: which column tells them, how, and which rows count.
//
// A time that stands still or runs backwards would make a curve with two values at one moment: of rows with
// the same time the first counts, rows that go back are left out, and both are told.  A clock that goes back
// by more than half a day has passed midnight (own choice: no log pauses so long).
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "cases/reader/log_headings.hpp"
#include "cases/reader/log_map.hpp"
#include "cases/reader/log_text.hpp"

namespace joulepress::cases {

/// Columns of the time, by number from 0.
struct TimeColumns {
  int time = -1;  ///< -1: none was found
  int date = -1;  ///< a column of the date apart from it; -1: none
};

struct LogTimes {
  std::vector<double> time;       ///< s since the first row, strictly rising
  std::vector<std::size_t> rows;  ///< of the table, one for each
  std::string began;              ///< ISO 8601; empty: no date
  std::string told;               ///< "h:m:s", "s", "date and time, day.month.year"
  std::vector<std::string> remarks;
};

/// Columns of the time among headings; none where it cannot be told, with an error when `errors` is given.
TimeColumns time_columns(const std::vector<Heading>& headings, const LogMap& map, ErrorList* errors);

/// Whether a cell may be a time of some form: a clock, a date, or both.
bool looks_like_time(std::string_view cell);

/// Rows behind `first_row` - 1; `heading_row` and the row of units may come again after a pause.
struct TimeRows {
  std::size_t heading_row = 0, first_row = 0;
};
LogTimes read_times(const LogTable& table, const TimeRows& where, const std::vector<Heading>& headings,
                    const TimeColumns& columns, const LogMap& map, NumberStyle style, ErrorList& errors);

}  // namespace joulepress::cases
