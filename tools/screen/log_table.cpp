#include "tools/screen/log_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <string_view>
#include <vector>

#include "cases/reader/units.hpp"

namespace joulepress::tools {
namespace {

using cases::Logged;
using cases::LoggedColumn;

/// Unit in which a panel would show it: shown = (value - zero) / factor.
struct Shown {
  std::string_view unit;
  double factor = 1, zero = 0;
};

Shown shown_as(const LoggedColumn& column) {
  constexpr double kilo = 1e3, bar = 1e5, milli = 1e-3;
  switch (column.what) {
    case Logged::reading:
      break;
    case Logged::programme:
      if (column.unit == "A" || column.unit == "kA") return {"A"};
      if (column.unit == "V" || column.unit == "mV") return {"V"};
      if (column.unit == "W" || column.unit == "kW") return {"kW", kilo};
      break;
    case Logged::current:
      return {"A"};
    case Logged::voltage:
      return {"V"};
    case Logged::power:
      return {"kW", kilo};
    case Logged::force:
      return {"kN", kilo};
    case Logged::gauge_pressure:
      return {"bar", bar};
    case Logged::stroke:
      return {"mm", milli};
  }
  return {"degC", 1.0, cases::zero_celsius};
}

/// With the decimals of the digit, which it has in another unit too.
std::string number(double value, double digit) {
  if (!std::isfinite(value)) return "-";
  const int decimals =
      digit > 0.0 ? std::clamp(static_cast<int>(std::ceil(-std::log10(digit) - 1e-9)), 0, 6) : 3;
  const double tiny = 0.5 * std::pow(10.0, -decimals);
  return fmt::format("{:.{}f}", std::abs(value) < tiny ? 0.0 : value, decimals);
}

std::string shown(const LoggedColumn& column, double value) {
  const Shown as = shown_as(column);
  return number((value - as.zero) / as.factor, column.digit / as.factor);
}

std::string meaning(const LoggedColumn& column) {
  const std::string_view kind = column.mean ? ", mean" : ", effective";
  switch (column.what) {
    case Logged::reading:
      return fmt::format("reading of \"{}\"", column.sensor);
    case Logged::programme:
      return "programme";
    case Logged::current:
      return fmt::format("current{}", kind);
    case Logged::voltage:
      return fmt::format("voltage{}", kind);
    case Logged::power:
      return "power";
    case Logged::force:
      return "force";
    case Logged::gauge_pressure:
      return "gauge pressure";
    case Logged::stroke:
      break;
  }
  return "stroke, positive as the punches come together";
}

/// Cells in columns as wide as they need; the first so many to the left, the others to the right.
class Table {
 public:
  explicit Table(std::size_t left) : left_(left) {}
  void add(std::vector<std::string> row) { rows_.push_back(std::move(row)); }
  std::string text() const {
    std::vector<std::size_t> width;
    for (const auto& row : rows_)
      for (std::size_t k = 0; k < row.size(); ++k) {
        if (k >= width.size()) width.push_back(0);
        width[k] = std::max(width[k], letters(row[k]));
      }
    std::string out;
    for (const auto& row : rows_) {
      std::string line;
      for (std::size_t k = 0; k < row.size(); ++k) {
        const std::string room(width[k] - letters(row[k]), ' ');
        line += (k == 0 ? "  " : "   ") + (k < left_ || k + 1 == row.size() ? row[k] + room : room + row[k]);
      }
      line.erase(line.find_last_not_of(' ') + 1);
      out += line + "\n";
    }
    return out;
  }

 private:
  static std::size_t letters(const std::string& text) {
    return static_cast<std::size_t>(std::count_if(
        text.begin(), text.end(), [](char c) { return (static_cast<unsigned char>(c) & 0xC0u) != 0x80u; }));
  }
  std::size_t left_;
  std::vector<std::vector<std::string>> rows_;
};

std::string left_out(const LoggedColumn& column) {
  std::string text;
  for (const cases::LeftOutValues& values : column.left_out)
    text += fmt::format("{}{} {}", text.empty() ? "" : ", ", values.count, values.why);
  return text;
}

std::string columns_table(const cases::PressLog& log) {
  Table table(2);
  table.add({"heading", "understood as", "from", "to", "unit", "digit", "left out"});
  for (const LoggedColumn& column : log.columns) {
    double least = std::nan(""), most = std::nan("");
    for (const double value : column.values) {
      least = std::fmin(least, value);
      most = std::fmax(most, value);
    }
    const Shown as = shown_as(column);
    table.add({column.heading, meaning(column), shown(column, least), shown(column, most),
               std::string(as.unit),
               column.digit > 0.0 ? fmt::format("{:.3g}", column.digit / as.factor) : "-", left_out(column)});
  }
  return table.text();
}

std::string times_line(const cases::PressLog& log) {
  std::vector<double> steps;
  for (std::size_t k = 1; k < log.time.size(); ++k) steps.push_back(log.time[k] - log.time[k - 1]);
  std::string text =
      fmt::format("{} rows, {:.6g} s to {:.6g} s", log.time.size(), log.time.front(), log.time.back());
  if (!steps.empty()) {
    const auto middle = steps.begin() + static_cast<std::ptrdiff_t>(steps.size() / 2);
    std::nth_element(steps.begin(), middle, steps.end());
    const auto [least, most] = std::minmax_element(steps.begin(), steps.end());
    if (*most - *least <= 1e-6 * *middle)
      text += fmt::format(", every {:.4g} s", *middle);
    else
      text += fmt::format(", mostly every {:.4g} s ({:.4g} s to {:.4g} s)", *middle, *least, *most);
  }
  text += fmt::format("\nTime from \"{}\", written as {}", log.time_heading, log.time_as);
  if (!log.began.empty()) text += fmt::format("; began {}", log.began);
  return text + "\n";
}

std::string listed_lines(std::string_view head, const std::vector<std::string>& lines) {
  if (lines.empty()) return {};
  std::string text = fmt::format("\n{}\n", head);
  for (const std::string& line : lines) text += fmt::format("  {}\n", line);
  return text;
}

std::string melts_table(const cases::PressLog& log) {
  if (log.melts.empty()) return {};
  Table table(4);
  for (const cases::MeltEvent& melt : log.melts) {
    std::string when = fmt::format("at {:.6g} s", cases::moment_of(melt, log));
    if (!melt.at)
      when += fmt::format(", as \"{}\" reads {:.6g} degC", melt.sensor, cases::in_celsius(melt.reading));
    table.add({melt.melts, fmt::format("{:.1f} degC", cases::in_celsius(melt.temperature)),
               fmt::format("+- {:.3g} K", melt.deviation), when});
  }
  return "\nMelted\n" + table.text();
}

std::string first_rows(const cases::PressLog& log) {
  constexpr std::size_t rows_shown = 3;
  const std::size_t count = std::min(rows_shown, log.time.size());
  Table table(2);
  std::vector<std::string> head{"time", "s"};
  for (std::size_t k = 0; k < count; ++k) head.push_back(fmt::format("{:.6g}", log.time[k]));
  head.emplace_back();
  table.add(head);
  for (const LoggedColumn& column : log.columns) {
    std::vector<std::string> row{column.what == Logged::reading ? column.sensor : column.heading,
                                 std::string(shown_as(column).unit)};
    for (std::size_t k = 0; k < count; ++k) row.push_back(shown(column, column.values[k]));
    row.emplace_back();
    table.add(row);
  }
  return "\nThe first rows\n" + table.text();
}

}  // namespace

std::string log_table(const cases::PressLog& log) {
  std::string text = fmt::format("{}   ({})\n", log.file, log.layout);
  if (!log.map.empty()) text += fmt::format("Map: {}\n", log.map);
  text += times_line(log) + "\n" + columns_table(log);
  text += listed_lines("Ignored", log.ignored) + listed_lines("Remarks", log.remarks);
  return text + melts_table(log) + first_rows(log);
}

}  // namespace joulepress::tools
