// Numbers in the cells of a log; see log_text.hpp.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "cases/reader/log_text.hpp"

namespace joulepress::cases {
namespace {

bool is_digit(char c) {
  return c >= '0' && c <= '9';
}

/// The sign in front, taken off; some programs write the minus of typesetting.
bool take_sign(std::string_view& cell) {
  constexpr std::string_view long_minus = "\xE2\x88\x92";
  bool minus = false;
  if (cell.starts_with(long_minus)) {
    minus = true;
    cell.remove_prefix(long_minus.size());
  } else if (!cell.empty() && (cell.front() == '-' || cell.front() == '+')) {
    minus = cell.front() == '-';
    cell.remove_prefix(1);
  }
  return minus;
}

/// The power of ten at the end, 0 when there is none, taken off; nothing where it is none.
std::optional<int> take_power(std::string_view& cell) {
  const std::size_t e = cell.find_first_of("eE");
  if (e == std::string_view::npos) return 0;
  std::string_view power = cell.substr(e + 1);
  if (power.starts_with('+')) power.remove_prefix(1);
  int value = 0;
  const auto [end, status] = std::from_chars(power.data(), power.data() + power.size(), value);
  if (status != std::errc{} || end != power.data() + power.size() || std::abs(value) > 300)
    return std::nullopt;
  cell = cell.substr(0, e);
  return value;
}

/// What stands in a cell of digits, points and commas.
struct Shape {
  int points = 0, commas = 0;
  std::size_t first_sign = std::string_view::npos, last_sign = std::string_view::npos;
  bool any_digit = false, number = true, groups_of_three = true;
};

Shape shape_of(std::string_view digits) {
  Shape shape;
  for (std::size_t k = 0; k < digits.size(); ++k) {
    const char c = digits[k];
    if (is_digit(c)) {
      shape.any_digit = true;
    } else if (c == '.' || c == ',') {
      (c == '.' ? shape.points : shape.commas)++;
      if (shape.first_sign == std::string_view::npos) shape.first_sign = k;
      shape.last_sign = k;
    } else {
      shape.number = false;
      return shape;
    }
  }
  shape.number = shape.any_digit;
  if (shape.first_sign == std::string_view::npos) return shape;
  // 1.250.000: at most three digits, not 0 alone, then groups of three
  const std::size_t lead = shape.first_sign;
  shape.groups_of_three = lead >= 1 && lead <= 3 && digits[0] != '0';
  std::size_t since = 0;
  for (std::size_t k = lead + 1; k <= digits.size(); ++k) {
    if (k < digits.size() && is_digit(digits[k])) {
      ++since;
      continue;
    }
    if (since != 3) shape.groups_of_three = false;
    since = 0;
  }
  return shape;
}

/// What one cell says about the style of all; "grouped": with the other sign between thousands.
enum class Says {
  nothing,
  point,
  comma,
  grouped_point,
  grouped_comma,
  point_or_thousands,
  comma_or_thousands
};

Says said_by(std::string_view cell) {
  take_sign(cell);
  const std::size_t before = cell.size();
  if (!take_power(cell)) return Says::nothing;
  const bool power = cell.size() != before;
  const Shape shape = shape_of(cell);
  if (!shape.number || shape.first_sign == std::string_view::npos) return Says::nothing;
  const char last = cell[shape.last_sign];
  if (shape.points > 0 && shape.commas > 0) {  // 1.234,5: the last sign is that of the decimals
    if ((last == ',' ? shape.commas : shape.points) != 1) return Says::nothing;
    return last == ',' ? Says::grouped_comma : Says::grouped_point;
  }
  if (shape.points + shape.commas > 1) {  // 1.234.567: thousands; a date has other groups
    if (!shape.groups_of_three) return Says::nothing;
    return last == ',' ? Says::grouped_point : Says::grouped_comma;
  }
  if (shape.groups_of_three && !power)
    return last == ',' ? Says::comma_or_thousands : Says::point_or_thousands;
  return last == ',' ? Says::comma : Says::point;
}

struct Vote {
  int count = 0;
  Place place;
  std::string cell;
};

}  // namespace

bool looks_like_number(std::string_view cell) {
  take_sign(cell);
  if (!take_power(cell)) return false;
  const Shape shape = shape_of(cell);
  if (!shape.number) return false;
  // 05.03.2024 is a date
  return shape.points + shape.commas <= 1 || (shape.points > 0 && shape.commas > 0) || shape.groups_of_three;
}

std::optional<LogNumber> number_in(std::string_view cell, NumberStyle style) {
  constexpr std::size_t longest = 40;
  const bool minus = take_sign(cell);
  const auto power = take_power(cell);
  if (!power || cell.empty() || cell.size() > longest) return std::nullopt;
  char plain[longest];
  std::size_t length = 0;
  int decimals = -1;  // none yet
  const char other = style.decimal == ',' ? '.' : ',';
  for (const char c : cell) {
    if (c == style.decimal && decimals < 0) {
      plain[length++] = '.';
      decimals = 0;
    } else if (is_digit(c)) {
      plain[length++] = c;
      if (decimals >= 0) ++decimals;
    } else if (c != other || !style.thousands || decimals >= 0) {
      return std::nullopt;
    }
  }
  if (length == 0 || (length == 1 && decimals == 0)) return std::nullopt;
  if (style.thousands && cell.find(other) != std::string_view::npos &&
      !shape_of(cell.substr(0, cell.find(style.decimal))).groups_of_three)
    return std::nullopt;
  LogNumber number;
  const auto [end, status] = std::from_chars(plain, plain + length, number.value);
  if (status != std::errc{} || end != plain + length) return std::nullopt;
  if (*power != 0) number.value *= std::pow(10.0, *power);
  if (!std::isfinite(number.value)) return std::nullopt;
  if (minus) number.value = -number.value;
  number.digits = *power - std::max(decimals, 0);
  return number;
}

NumberStyle style_of(const LogTable& table, std::size_t first_row, char said, ErrorList& errors) {
  if (said != 0) return {said, true};
  Vote point, comma, point_or, comma_or;
  bool grouped = false;
  const auto take = [&table](Vote& vote, const LogTable::Row& row, std::size_t k) {
    if (vote.count++ > 0) return;
    vote.place = table.place(row, k);
    vote.cell = std::string(table.cell(row, k));
  };
  for (std::size_t r = first_row; r < table.rows.size(); ++r) {
    const LogTable::Row& row = table.rows[r];
    for (std::size_t k = 0; k < row.count; ++k) {
      const Says says = said_by(table.cell(row, k));
      grouped = grouped || says == Says::grouped_point || says == Says::grouped_comma;
      if (says == Says::point || says == Says::grouped_point) take(point, row, k);
      if (says == Says::comma || says == Says::grouped_comma) take(comma, row, k);
      if (says == Says::point_or_thousands) take(point_or, row, k);
      if (says == Says::comma_or_thousands) take(comma_or, row, k);
    }
  }
  const auto unsure = [&errors](const Vote& vote, const std::string& problem) {
    errors.add(vote.place, "decimal", problem,
               "Say in the map `decimal: comma` or `decimal: point`; the other sign then groups thousands.");
  };
  const auto called = [](char sign) { return sign == ',' ? "comma" : "point"; };
  if (comma.count > 0 && point.count > 0) {
    const bool comma_first = comma.place.line <= point.place.line;
    const Vote& sooner = comma_first ? comma : point;
    const Vote& later = comma_first ? point : comma;
    unsure(later, fmt::format("\"{}\" has a decimal {}, \"{}\" in line {} a decimal {}.", later.cell,
                              called(comma_first ? '.' : ','), sooner.cell, sooner.place.line,
                              called(comma_first ? ',' : '.')));
    return {};
  }
  if (comma.count > 0 || point.count > 0) {
    const char decimal = comma.count > 0 ? ',' : '.';
    const Vote& other = decimal == ',' ? point_or : comma_or;
    if (other.count > 0 && !grouped)
      unsure(other, fmt::format("\"{}\" may have decimals or thousands; other numbers have a decimal {}.",
                                other.cell, called(decimal)));
    return {decimal, grouped};
  }
  // Between commas as separators no number has a decimal comma, and nobody groups thousands by points.
  const Vote& either = comma_or.count > 0 ? comma_or : point_or;
  if (either.count > 0 && (comma_or.count > 0 || table.separator != ','))
    unsure(either, fmt::format("\"{}\" may have decimals or thousands: every {} of the log stands before "
                               "three digits.",
                               either.cell, called(comma_or.count > 0 ? ',' : '.')));
  return {'.', false};
}

}  // namespace joulepress::cases
