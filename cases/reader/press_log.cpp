#include "cases/reader/press_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <sstream>
#include <stdexcept>

#include "cases/reader/log_headings.hpp"
#include "cases/reader/log_map.hpp"
#include "cases/reader/log_text.hpp"
#include "cases/reader/log_times.hpp"
#include "cases/reader/log_values.hpp"

namespace joulepress::cases {
namespace {

/// Nobody writes more in front of the headings; a map may say otherwise.
constexpr std::size_t lines_before_headings = 500;

std::optional<std::string> bytes_of(const std::filesystem::path& file, ErrorList& errors) {
  const Place whole{file.string(), 0, 0};
  std::error_code ignored;
  std::ifstream stream(file, std::ios::binary);
  if (!stream || std::filesystem::is_directory(file, ignored)) {
    errors.add(whole, {}, fmt::format("The log \"{}\" cannot be read.", file.string()), "Check the name.");
    return std::nullopt;
  }
  std::ostringstream content;
  content << stream.rdbuf();
  std::string bytes = content.str();
  const auto is_binary = [&bytes](std::string_view start) { return bytes.starts_with(start); };
  if (is_binary("PK\x03\x04") || is_binary("\xD0\xCF\x11\xE0") || is_binary("%PDF")) {
    errors.add(whole, {}, "This is no text, but the file of a spreadsheet or another program.",
               "Save it from there as CSV.");
    return std::nullopt;
  }
  return bytes;
}

/// The line of the headings, the columns they name and where the numbers begin.
struct Layout {
  LogTable table;
  std::size_t heading_row = 0, first_row = 0;
  std::vector<Heading> headings;
};

/// Numbers, times and empty cells, at least one of the first two: a row of the log.
bool is_data(const LogTable& table, const LogTable::Row& row) {
  std::size_t data = 0;
  for (std::size_t k = 0; k < row.count; ++k) {
    const std::string_view cell = table.cell(row, k);
    if (looks_like_number(cell) || looks_like_time(cell)) ++data;
  }
  return data > 0 && 2 * data >= table.filled(row);
}

/// Units and empty cells, at least one unit.
bool is_units(const LogTable& table, const LogTable::Row& row) {
  bool any = false;
  for (std::size_t k = 0; k < row.count; ++k) {
    const std::string_view cell = table.cell(row, k);
    if (log_unit(cell))
      any = true;
    else if (!cell.empty() && cell.find_first_of("[(/%-") == std::string_view::npos)
      return false;
  }
  return any;
}

std::vector<Heading> headings_in(const LogTable& table, std::size_t r) {
  std::vector<Heading> headings;
  const LogTable::Row& row = table.rows[r];
  for (std::size_t k = 0; k < row.count; ++k)
    headings.push_back(heading_of(std::string(table.cell(row, k)), table.place(row, k)));
  return headings;
}

/// Units from the row below, where the headings have none.
void add_units(const LogTable& table, const LogTable::Row& row, std::vector<Heading>& headings) {
  for (std::size_t k = 0; k < headings.size(); ++k) {
    std::string_view unit = table.cell(row, k);
    if (!headings[k].unit.empty() || unit.empty()) continue;
    if (unit.size() > 2 && std::string_view("[(").find(unit.front()) != std::string_view::npos)
      unit = unit.substr(1, unit.size() - 2);
    if (unit != "-" && unit != "1") headings[k].unit = unit;
  }
}

/// Takes a row as that of the headings.
void take_headings(Layout& layout, std::size_t r) {
  layout.heading_row = r;
  layout.first_row = r + 1;
  layout.headings = headings_in(layout.table, r);
  if (r + 1 < layout.table.rows.size() && is_units(layout.table, layout.table.rows[r + 1])) {
    add_units(layout.table, layout.table.rows[r + 1], layout.headings);
    ++layout.first_row;
  }
}

/// The next two rows have a time: one alone may be that of a small table before the log.
bool times_follow(const Layout& layout, std::size_t time) {
  const LogTable& table = layout.table;
  const std::size_t end = std::min(layout.first_row + 2, table.rows.size());
  for (std::size_t r = layout.first_row; r < end; ++r) {
    const std::string_view cell = table.cell(table.rows[r], time);
    if (!looks_like_number(cell) && !looks_like_time(cell)) return false;
  }
  return end > layout.first_row;
}

/// A row of words that has a time among them and numbers below.
bool find_headings(Layout& layout, const LogMap& map) {
  const LogTable& table = layout.table;
  for (std::size_t r = 0; r + 1 < table.rows.size(); ++r) {
    if (map.headings > 0 ? table.rows[r].line != map.headings : table.rows[r].count < 2) continue;
    if (map.headings == 0 && is_data(table, table.rows[r])) continue;
    take_headings(layout, r);
    if (map.headings > 0) return table.rows[r].count > 1;
    const int time = time_columns(layout.headings, map, nullptr).time;
    if (time >= 0 && times_follow(layout, static_cast<std::size_t>(time))) return true;
  }
  return false;
}

std::vector<char> separators(const LogMap& map) {
  if (map.separator != 0) return {map.separator};
  return {'\t', ';', ','};
}

/// The separator with which headings are found, and the whole table cut by it.
std::optional<Layout> layout_of(const std::string& file, const std::string& text, const LogMap& map,
                                ErrorList& errors) {
  for (const char separator : separators(map)) {
    ErrorList unclosed;
    Layout layout;
    const std::size_t lines =
        std::max(lines_before_headings, static_cast<std::size_t>(std::max(map.headings, 0)) + 3);
    layout.table = cut(file, text, separator, unclosed, lines);
    if (!find_headings(layout, map)) continue;
    layout.table = cut(file, text, separator, errors);
    take_headings(layout, layout.heading_row);
    return layout;
  }
  const std::string known = map.separator ? "" : " with commas, semicolons or tabs between its cells";
  if (map.headings > 0)
    errors.add(map.headings_place, "headings",
               fmt::format("Line {} of the log is no line of headings{}.", map.headings, known),
               "Give the number of the line in which the columns are named, empty lines counted too.");
  else
    errors.add(
        {file, 1, 1}, "headings",
        fmt::format("No line{} has a heading of the time and numbers below it.", known),
        "Say in the map in which line the headings stand, `headings: 12`, and which of them is that of the "
        "time, `time: {column: ...}`.");
  return std::nullopt;
}

/// A row with more cells than headings: decimal commas between commas, mostly.
void check_widths(const Layout& layout, ErrorList& errors) {
  const LogTable& table = layout.table;
  const std::size_t width = table.rows[layout.heading_row].count;
  int count = 0;
  const LogTable::Row* first = nullptr;
  for (std::size_t r = layout.first_row; r < table.rows.size(); ++r) {
    const LogTable::Row& row = table.rows[r];
    bool more = false;
    for (std::size_t k = width; k < row.count; ++k) more = more || !table.cell(row, k).empty();
    if (more && count++ == 0) first = &row;
  }
  if (!first) return;
  const std::string others = count == 1 ? "" : fmt::format(", here and in {} more", count - 1);
  errors.add(
      {table.file, first->line, 1}, "separator",
      fmt::format("{} cells stand below {} headings{}.", first->count, width, others),
      table.separator == ','
          ? "Commas that part cells cannot be decimal commas too: export with semicolons, or with decimal "
            "points."
          : "Take the separator out of the cells, or put quotes around them.");
}

std::string layout_words(const Layout& layout, Encoding encoding, NumberStyle style) {
  const char sign = layout.table.separator;
  return fmt::format("{}, {}, decimal {}, headings in line {}", encoding_name(encoding),
                     sign == ','   ? "commas"
                     : sign == ';' ? "semicolons"
                                   : "tabs",
                     style.decimal == ',' ? "commas" : "points", layout.table.rows[layout.heading_row].line);
}

void tell_pauses(PressLog& log) {
  constexpr double long_pause = 20.0;  // steps; own choice
  std::vector<double> steps;
  for (std::size_t k = 1; k < log.time.size(); ++k) steps.push_back(log.time[k] - log.time[k - 1]);
  if (steps.size() < 3) return;
  std::vector<double> sorted = steps;
  std::nth_element(sorted.begin(), sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2),
                   sorted.end());
  const double usual = sorted[sorted.size() / 2];
  for (std::size_t k = 0; k < steps.size(); ++k)
    if (steps[k] > long_pause * usual)
      log.remarks.push_back(
          fmt::format("Nothing is logged for {:.6g} s from {:.6g} s on.", steps[k], log.time[k]));
}

const LoggedColumn* sensor_called(const PressLog& log, const std::string& name) {
  for (const LoggedColumn& column : log.columns)
    if (column.what == Logged::reading && column.sensor == name) return &column;
  return nullptr;
}

/// Melt events lie within the log, and what they name is read there.
void check_melts(const PressLog& log, ErrorList& errors) {
  for (const MeltEvent& melt : log.melts) {
    const auto refuse = [&](const char* key, const std::string& problem, const std::string& remedy) {
      errors.add(melt.written.at(key), melt.written.path_of(key), problem, remedy);
    };
    if (melt.at) {
      if (!log.time.empty() && !(*melt.at <= log.time.back()))
        refuse("at", fmt::format("The log ends at {:.6g} s.", log.time.back()),
               "Give the time from its first row, not that of a clock.");
      continue;
    }
    if (melt.sensor.empty()) continue;  // reported
    const LoggedColumn* column = sensor_called(log, melt.sensor);
    if (!column) {
      std::vector<std::string> known;
      for (const LoggedColumn& c : log.columns)
        if (c.what == Logged::reading) known.push_back(c.sensor);
      refuse("when", fmt::format("The log has no reading of \"{}\".", melt.sensor),
             suggestion(melt.sensor, known));
      continue;
    }
    double highest = 0.0;
    for (const double value : column->values)
      if (std::isfinite(value)) highest = std::max(highest, value);
    if (melt.reading > 0.0 && !(highest >= melt.reading))
      refuse("reads",
             fmt::format("\"{}\" never reads so much; its highest value is {:.6g} degC.", melt.sensor,
                         in_celsius(highest)),
             "Check the reading, or give the moment, `at: 512 s`.");
  }
}

void read_into(PressLog& log, const std::string& bytes, const LogMap& map, ErrorList& errors) {
  const Encoding encoding = map.encoding.value_or(encoding_of(bytes));
  const std::string text = decoded(bytes, encoding);
  const std::size_t before = errors.size();
  const auto layout = layout_of(log.file, text, map, errors);
  if (layout) {
    check_widths(*layout, errors);
    const TimeColumns times_at = time_columns(layout->headings, map, &errors);
    const ColumnPlans plans =
        plan_columns(layout->headings, times_at, map, layout->table, layout->heading_row, errors);
    if (errors.size() == before) {
      const NumberStyle style = style_of(layout->table, layout->first_row, map.decimal, errors);
      log.layout = layout_words(*layout, encoding, style);
      const TimeRows where{layout->heading_row, layout->first_row};
      if (errors.size() == before) {
        LogTimes times = read_times(layout->table, where, layout->headings, times_at, map, style, errors);
        if (errors.size() == before) log.columns = read_columns(plans, layout->table, times, style, errors);
        log.time = std::move(times.time);
        log.began = times.began;
        log.time_as = times.told;
        log.time_heading = layout->headings[static_cast<std::size_t>(times_at.time)].text;
        log.remarks.insert(log.remarks.end(), times.remarks.begin(), times.remarks.end());
        log.ignored = plans.ignored;
        log.remarks.insert(log.remarks.end(), plans.remarks.begin(), plans.remarks.end());
      }
    }
  }
  if (errors.size() > before) errors.remember(log.file, text);
}

}  // namespace

bool is_press_log(const std::filesystem::path& file) {
  std::string end = file.extension().string();
  for (char& c : end)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return end == ".csv" || end == ".tsv" || end == ".txt" || end == ".log" || end == ".dat";
}

double moment_of(const MeltEvent& melt, const PressLog& log) {
  if (melt.at) return *melt.at;
  const LoggedColumn* column = sensor_called(log, melt.sensor);
  if (!column) throw std::logic_error("a melt event of another log");
  std::optional<std::size_t> before;
  for (std::size_t k = 0; k < column->values.size(); ++k) {
    const double value = column->values[k];
    if (!std::isfinite(value)) continue;
    if (value >= melt.reading) {
      if (!before) return log.time[k];
      const double below = column->values[*before];
      return log.time[*before] + (log.time[k] - log.time[*before]) * (melt.reading - below) / (value - below);
    }
    before = k;
  }
  throw std::logic_error("a melt event that the log does not reach");
}

PressLog read_press_log(const std::filesystem::path& file, const std::filesystem::path& named_map) {
  ErrorList errors;
  PressLog log;
  log.file = file.string();
  const std::filesystem::path map_file = named_map.empty() ? map_beside(file, log.remarks) : named_map;
  LogMap map;
  if (!map_file.empty()) map = read_log_map(map_file, errors);
  log.map = map.file;
  const std::size_t before = errors.size();
  if (const auto bytes = bytes_of(file, errors)) read_into(log, *bytes, map, errors);
  log.melts = map.melts;
  log.remarks.insert(log.remarks.end(), map.remarks.begin(), map.remarks.end());
  if (errors.size() == before) {
    check_melts(log, errors);
    tell_pauses(log);
  }
  errors.throw_if_any();
  return log;
}

}  // namespace joulepress::cases
