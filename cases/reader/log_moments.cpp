#include "cases/reader/log_moments.hpp"

#include <fmt/format.h>

#include <charconv>
#include <cmath>

#include "cases/reader/units.hpp"

namespace joulepress::cases {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// Digits at the start, taken off; nothing: there are none.
std::optional<int> take_digits(std::string_view& text, int* count = nullptr) {
  int value = 0;
  const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (status != std::errc{} || text.empty() || !is_digit(text.front())) return std::nullopt;
  const auto length = static_cast<std::size_t>(end - text.data());
  if (count) *count = static_cast<int>(length);
  text.remove_prefix(length);
  return value;
}

/// AM or PM at the end, taken off.
int take_half_day(std::string_view& text) {
  for (const auto& [word, half] : {std::pair{"AM", 1}, {"PM", 2}, {"am", 1}, {"pm", 2}})
    if (text.ends_with(word)) {
      text = trimmed(text.substr(0, text.size() - 2));
      return half;
    }
  return 0;
}

/// What stands behind the clock of ISO 8601 and shifts a whole log alike: Z, +01:00.
void drop_zone(std::string_view& text) {
  if (text.ends_with('Z')) {
    text.remove_suffix(1);
    return;
  }
  const std::size_t sign = text.find_last_of("+-");
  if (sign != std::string_view::npos && sign >= 5 && text.size() - sign >= 5) text = text.substr(0, sign);
}

/// Days from 1970-01-01: shifted to years that begin in March, 146097 days in 400 of them.
std::int64_t days_from_civil(std::int64_t year, int month, int day) {
  year -= month <= 2 ? 1 : 0;
  const std::int64_t era = year / 400, of_era = year % 400;
  const std::int64_t of_year = (153 * (month + (month > 2 ? -3 : 9)) + 2) / 5 + day - 1;
  return era * 146097 + of_era * 365 + of_era / 4 - of_era / 100 + of_year - 719468;
}

bool is_leap(int year) {
  return (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
}

int days_in(int year, int month) {
  constexpr std::array days{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  return month == 2 && is_leap(year) ? 29 : days[static_cast<std::size_t>(month - 1)];
}

}  // namespace

std::optional<Clock> clock_in(std::string_view text) {
  text = trimmed(text);
  Clock clock;
  clock.half_day = take_half_day(text);
  while (clock.parts < 3) {
    const auto value = take_digits(text);
    if (!value) return std::nullopt;
    clock.value[static_cast<std::size_t>(clock.parts++)] = *value;
    if (text.empty() || text.front() != ':') break;
    text.remove_prefix(1);
  }
  if (clock.parts < 2) return std::nullopt;
  if (!text.empty()) {  // decimals of the seconds
    if (text.front() != '.' && text.front() != ',') return std::nullopt;
    text.remove_prefix(1);
    double place = 0.1;
    if (text.empty()) return std::nullopt;
    for (const char c : text) {
      if (!is_digit(c)) return std::nullopt;
      clock.value[static_cast<std::size_t>(clock.parts - 1)] += place * (c - '0');
      place *= 0.1;
    }
  }
  if (clock.half_day != 0 && !(clock.value[0] >= 1.0 && clock.value[0] <= 12.0)) return std::nullopt;
  return clock;
}

std::optional<DateParts> date_in(std::string_view text) {
  text = trimmed(text);
  DateParts date;
  for (std::size_t k = 0; k < 3; ++k) {
    const auto value = take_digits(text, &date.digits[k]);
    if (!value || date.digits[k] > 4 || date.digits[k] == 3) return std::nullopt;
    date.value[k] = *value;
    if (k == 2) break;
    if (text.empty() || std::string_view("./-").find(text.front()) == std::string_view::npos)
      return std::nullopt;
    if (k == 1 && text.front() != date.sign) return std::nullopt;
    date.sign = text.front();
    text.remove_prefix(1);
  }
  if (text == ".") text = {};  // 5.3.2024.
  if (!text.empty() || date.digits[1] > 2) return std::nullopt;
  return date;
}

std::string order_name(DateOrder order) {
  switch (order) {
    case DateOrder::year_month_day:
      return "year-month-day";
    case DateOrder::day_month_year:
      return "day.month.year";
    case DateOrder::month_day_year:
      break;
  }
  return "month/day/year";
}

std::optional<DateOrder> order_called(std::string_view name) {
  for (const DateOrder order :
       {DateOrder::year_month_day, DateOrder::day_month_year, DateOrder::month_day_year})
    if (order_name(order) == name) return order;
  return std::nullopt;
}

std::optional<std::int64_t> days_of(const DateParts& date, DateOrder order) {
  const std::size_t y = order == DateOrder::year_month_day ? 0 : 2;
  const std::size_t m = order == DateOrder::month_day_year ? 0 : 1;
  const std::size_t d = order == DateOrder::year_month_day ? 2 : order == DateOrder::day_month_year ? 0 : 1;
  if (date.digits[m] > 2 || date.digits[d] > 2 || (date.digits[y] != 4 && date.digits[y] != 2))
    return std::nullopt;
  const int year = date.digits[y] == 4 ? date.value[y] : 2000 + date.value[y];
  constexpr int first_year = 1970;
  const int month = date.value[m], day = date.value[d];
  if (year < first_year || month < 1 || month > 12 || day < 1 || day > days_in(year, month))
    return std::nullopt;
  return days_from_civil(year, month, day);
}

DateAndClock moment_in(std::string_view text) {
  text = trimmed(text);
  DateAndClock moment;
  if (moment.clock = clock_in(text); moment.clock) return moment;
  if (moment.date = date_in(text); moment.date) return moment;
  const std::size_t gap = text.find_first_of(" T");
  if (gap == std::string_view::npos) return moment;
  std::string_view clock = trimmed(text.substr(gap + 1));
  drop_zone(clock);
  moment.date = date_in(text.substr(0, gap));
  moment.clock = clock_in(clock);
  if (!moment.date || !moment.clock) return {};
  return moment;
}

std::optional<double> seconds_of(const Clock& clock, bool minutes_first) {
  constexpr double minute = 60.0, hour = 3600.0, noon = 12.0;
  const auto& v = clock.value;
  if (clock.parts == 2 && minutes_first)
    return v[1] < minute ? std::optional(v[0] * minute + v[1]) : std::nullopt;
  if (!(v[1] < minute) || !(v[2] < minute)) return std::nullopt;
  double hours = v[0];
  if (clock.half_day != 0) hours = std::fmod(hours, noon) + (clock.half_day == 2 ? noon : 0.0);
  return hours * hour + v[1] * minute + v[2];
}

std::string iso_moment(std::int64_t days, double seconds) {
  // The calendar by search: a log has one first row.
  int year = 1970 + static_cast<int>(days / 366);
  while (days_from_civil(year + 1, 1, 1) <= days) ++year;
  int month = 1;
  while (month < 12 && days_from_civil(year, month + 1, 1) <= days) ++month;
  const auto day = static_cast<int>(days - days_from_civil(year, month, 1)) + 1;
  const auto whole = static_cast<int>(seconds);
  std::string text = fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", year, month, day, whole / 3600,
                                 whole / 60 % 60, whole % 60);
  const auto thousandths = static_cast<int>(std::round(1000.0 * (seconds - whole)));
  if (thousandths > 0 && thousandths < 1000) {
    std::string decimals = fmt::format(".{:03}", thousandths);
    decimals.erase(decimals.find_last_not_of('0') + 1);
    text += decimals;
  }
  return text;
}

}  // namespace joulepress::cases
