#include "tools/screen/difference_table.hpp"

#include <fmt/format.h>

#include <cmath>

namespace joulepress::tools {
namespace {

struct Row {
  std::string what, a, b, unit, difference, unit_of_difference, note;
};

std::string line(const Row& row) {
  const std::string text = fmt::format("  {:<36}{:>11}{:>11} {:<5}{:>10} {:<2}{:>11}", row.what, row.a, row.b,
                                       row.unit, row.difference, row.unit_of_difference, row.note);
  return text.substr(0, text.find_last_not_of(' ') + 1) + "\n";
}

}  // namespace

std::string number_text(double value, const Shown& how) {
  return std::isnan(value) ? "-" : fmt::format("{:.{}f}", value * how.factor + how.zero, how.decimals);
}

std::string difference_text(double a, double b, const Shown& how) {
  if (std::isnan(a) || std::isnan(b)) return {};
  if (a == b) return "same";
  const double difference = (b - a) * how.factor, last_digit = std::pow(10.0, -how.decimals);
  if (std::abs(difference) < 1e-4 * last_digit) return "~0";
  return std::abs(difference) < 0.5 * last_digit ? fmt::format("{:+.1g}", difference)
                                                 : fmt::format("{:+.{}f}", difference, how.decimals);
}

std::string table_head(const std::string& last) {
  return line({"", "A", "B", "", "B - A", "", last});
}

std::string table_row(const std::string& what, double a, double b, const Shown& how,
                      const std::string& note) {
  if (std::isnan(a) && std::isnan(b)) return {};
  Row row{what, number_text(a, how), number_text(b, how), how.unit, difference_text(a, b, how), {}, note};
  if (!row.difference.empty() && row.difference.find_first_of("+-") == 0)
    row.unit_of_difference = how.unit_of_difference;
  if (how.percent && note.empty() && a != 0.0 && std::abs(b - a) >= 0.0005 * std::abs(a))
    row.note = fmt::format("{:+.1f} %", 100.0 * (b - a) / std::abs(a));
  return line(row);
}

std::string word_row(const std::string& what, const std::string& a, const std::string& b) {
  return line({what, a, b, "", "", "", ""});
}

}  // namespace joulepress::tools
