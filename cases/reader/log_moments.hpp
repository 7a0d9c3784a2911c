// One cell of a log as a moment: a number, a clock, a date, or both.
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

#include "cases/reader/log_text.hpp"

namespace joulepress::cases {

/// Numbers between colons, seconds with their decimals: 14:03:12.5, also with AM or PM behind.
struct Clock {
  int parts = 0;  ///< 2 or 3
  std::array<double, 3> value{};
  int half_day = 0;  ///< 1: AM, 2: PM
};
std::optional<Clock> clock_in(std::string_view text);

/// Three numbers between points, slashes or dashes, in the order in which they stand.
struct DateParts {
  std::array<int, 3> value{};
  std::array<int, 3> digits{};
  char sign = '.';
};
std::optional<DateParts> date_in(std::string_view text);

enum class DateOrder { year_month_day, day_month_year, month_day_year };
std::string order_name(DateOrder order);
std::optional<DateOrder> order_called(std::string_view name);

/// Days since 1970-01-01 in the calendar of the Gregorian reform; nothing where there is no such day.  Years
/// of two digits are those of this century.
std::optional<std::int64_t> days_of(const DateParts& date, DateOrder order);

/// Date and clock of one cell; the clock may be missing where `date` stands apart.
struct DateAndClock {
  std::optional<DateParts> date;
  std::optional<Clock> clock;
};
/// "2024-03-05T14:03:12.5", "05.03.2024 14:03:12", "14:03:12"; neither: it is no time.
DateAndClock moment_in(std::string_view text);

/// Seconds since midnight, or since the start of a count; nothing where minutes or seconds go beyond 59.
/// `minutes_first`: two parts are minutes and seconds, else hours and minutes.
std::optional<double> seconds_of(const Clock& clock, bool minutes_first);

/// "2024-03-05T14:03:12" or with the decimals there are.
std::string iso_moment(std::int64_t days, double seconds);

}  // namespace joulepress::cases
