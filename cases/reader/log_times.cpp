#include "cases/reader/log_times.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/reader/keys.hpp"
#include "cases/reader/log_moments.hpp"

namespace joulepress::cases {
namespace {

constexpr double day = 86400.0;           // s
constexpr double half_a_day = day / 2.0;  // s

std::string rows_word(int count) {
  return fmt::format("{} {}", count, count == 1 ? "row" : "rows");
}

/// Rows of one kind and where the first of them stands.
struct Counted {
  int count = 0, line = 0;
  void add(int at) {
    if (count++ == 0) line = at;
  }
  void tell(std::vector<std::string>& remarks, const std::string& one, const std::string& many) const {
    if (count == 0) return;
    remarks.push_back(count == 1 ? fmt::format("One {} (line {}).", one, line)
                                 : fmt::format("{} {} (the first: line {}).", count, many, line));
  }
};

bool same_cells(const LogTable& table, const LogTable::Row& a, const LogTable::Row& b) {
  for (std::size_t k = 0; k < std::max(a.count, b.count); ++k)
    if (table.cell(a, k) != table.cell(b, k)) return false;
  return true;
}

/// How the column tells the time.
struct Form {
  enum class Kind { number, clock, date } kind = Kind::number;
  double factor = 1;           ///< of a number
  bool minutes_first = false;  ///< two parts are minutes and seconds
  bool hours_first = false;    ///< two parts are hours and minutes
  std::string told;
};

Form form_called(const std::string& name) {
  Form form;
  form.told = name;
  if (name == "date and time") {
    form.kind = Form::Kind::date;
    form.hours_first = true;
  } else if (name.find(':') != std::string::npos) {
    form.kind = Form::Kind::clock;
    form.minutes_first = name == "m:s";
    form.hours_first = name == "h:m";
  } else {
    form.factor = unit_factor(name, Kind::time).value();
  }
  return form;
}

/// The form, from the map, the heading, or the cells.
class FormFinder {
 public:
  FormFinder(const LogTable& table, const TimeRows& where, const Heading& heading, const TimeColumns& columns,
             const LogMap& map, ErrorList& errors)
      : table_(table), where_(where), heading_(heading), columns_(columns), map_(map), errors_(errors) {}

  std::optional<Form> find() const {
    if (const auto& said = map_.time.written_as) return form_called(said.text);
    if (columns_.date >= 0) return form_called("date and time");
    const auto unit = log_unit(heading_.unit);
    if (unit && unit->kind == Kind::time) return form_called(unit->plain);
    if (!heading_.unit.empty()) {
      refuse(heading_.place, fmt::format("\"{}\" is no unit of a time.", heading_.unit));
      return std::nullopt;
    }
    return from_cells();
  }

 private:
  std::optional<Form> from_cells() const {
    bool dates = false;
    std::optional<Place> two_parts, number;
    std::string two_parts_cell;
    int clocks = 0;
    for (std::size_t r = where_.first_row; r < table_.rows.size(); ++r) {
      const LogTable::Row& row = table_.rows[r];
      const auto k = static_cast<std::size_t>(columns_.time);
      const std::string_view cell = table_.cell(row, k);
      const DateAndClock moment = moment_in(cell);
      dates = dates || moment.date;
      if (moment.clock) ++clocks;
      if (moment.clock && !moment.date && moment.clock->parts == 2 && !two_parts) {
        two_parts = table_.place(row, k);
        two_parts_cell = cell;
      }
      if (!moment.date && !moment.clock && !number && looks_like_number(cell)) number = table_.place(row, k);
    }
    if (dates) return form_called("date and time");
    if (two_parts) {
      refuse(*two_parts,
             fmt::format("\"{}\" may be hours and minutes, or minutes and seconds.", two_parts_cell),
             "Say in the map `time: {written as: m:s}` or `h:m`.");
      return std::nullopt;
    }
    if (clocks > 0) return form_called("h:m:s");
    if (number)
      refuse(heading_.place, fmt::format("The time \"{}\" has no unit.", heading_.text));
    else
      refuse(
          heading_.place, fmt::format("Below \"{}\" stands no time that can be read.", heading_.text),
          "Say in the map which column tells the time, `time: {column: ...}`, and how, `written as: ...`.");
    return std::nullopt;
  }

  void refuse(const Place& place, const std::string& problem, std::string remedy = {}) const {
    if (remedy.empty()) {
      const auto words = choices_of(*find_key("log time", "written as"));
      remedy = fmt::format("Say in the map how it is written, `time: {{written as: s}}`. Known: {}.",
                           listed(words));
    }
    errors_.add(place, "time.written as", problem, remedy);
  }

  const LogTable& table_;
  const TimeRows& where_;
  const Heading& heading_;
  const TimeColumns& columns_;
  const LogMap& map_;
  ErrorList& errors_;
};

/// A row with its cell of the time taken apart.
struct RowTime {
  std::size_t row = 0;
  double seconds = 0;  ///< of a number or a clock
  std::optional<DateParts> date;
};

class TimeReader {
 public:
  TimeReader(const LogTable& table, const TimeRows& where, const TimeColumns& columns, const LogMap& map,
             NumberStyle style, ErrorList& errors)
      : table_(table), where_(where), columns_(columns), map_(map), style_(style), errors_(errors) {}

  LogTimes read(const Form& form) {
    LogTimes times;
    times.told = form.told;
    std::vector<RowTime> all = cells(form);
    if (form.kind == Form::Kind::date && !add_days(all, times)) return times;
    if (form.kind == Form::Kind::clock) pass_midnight(all, times);
    keep_rising(all, times);
    tell(times);
    check(times, form);
    return times;
  }

 private:
  std::string_view cell(const LogTable::Row& row, int column) const {
    return column < 0 ? std::string_view() : table_.cell(row, static_cast<std::size_t>(column));
  }

  std::optional<RowTime> time_of(const LogTable::Row& row, const Form& form) const {
    const std::string_view text = cell(row, columns_.time);
    RowTime time;
    if (form.kind == Form::Kind::number) {
      const auto number = number_in(text, style_);
      if (!number) return std::nullopt;
      time.seconds = number->value * form.factor;
      return time;
    }
    DateAndClock moment = moment_in(text);
    if (columns_.date >= 0 && !moment.date) moment.date = date_in(cell(row, columns_.date));
    if (!moment.clock || (form.kind == Form::Kind::date && !moment.date)) return std::nullopt;
    const auto seconds = seconds_of(*moment.clock, form.minutes_first);
    if (!seconds) return std::nullopt;
    time.seconds = *seconds;
    time.date = moment.date;
    return time;
  }

  /// Rows with a time; headings that come again and lines of text are left out and counted.
  std::vector<RowTime> cells(const Form& form) {
    std::vector<RowTime> all;
    all.reserve(table_.rows.size());
    for (std::size_t r = where_.first_row; r < table_.rows.size(); ++r) {
      const LogTable::Row& row = table_.rows[r];
      if (r + 1 == table_.rows.size() && table_.ends_open && r > where_.first_row &&
          row.count < table_.rows[r - 1].count) {
        cut_off_.add(row.line);
        continue;
      }
      if (auto time = time_of(row, form)) {
        time->row = r;
        all.push_back(*time);
      } else if (repeats_headings(row)) {
        repeated_.add(row.line);
      } else if (!is_units_again(row)) {
        (has_numbers(row) ? unreadable_ : texts_).add(row.line);
      }
    }
    return all;
  }

  bool repeats_headings(const LogTable::Row& row) const {
    return same_cells(table_, row, table_.rows[where_.heading_row]);
  }
  bool is_units_again(const LogTable::Row& row) const {
    return where_.first_row > where_.heading_row + 1 &&
           same_cells(table_, row, table_.rows[where_.heading_row + 1]);
  }
  bool has_numbers(const LogTable::Row& row) const {
    for (std::size_t k = 0; k < row.count; ++k)
      if (static_cast<int>(k) != columns_.time && static_cast<int>(k) != columns_.date &&
          number_in(table_.cell(row, k), style_))
        return true;
    return false;
  }

  /// The orders in which every date of the log is one.
  std::vector<DateOrder> orders(const std::vector<RowTime>& all) const {
    std::vector<DateOrder> possible;
    const DateParts& first = *all.front().date;
    if (map_.time.order)
      possible = {*order_called(map_.time.order.text)};
    else if (first.digits[0] == 4)
      possible = {DateOrder::year_month_day};
    else if (first.sign == '.')  // points stand between day, month and year (common practice, no source)
      possible = {DateOrder::day_month_year};
    else
      possible = {DateOrder::day_month_year, DateOrder::month_day_year};
    if (!map_.time.order && first.sign == '-' && first.digits[0] == 2 && first.digits[2] == 2)
      possible.push_back(DateOrder::year_month_day);
    std::erase_if(possible, [&all](DateOrder order) {
      return std::any_of(all.begin(), all.end(),
                         [order](const RowTime& t) { return !days_of(*t.date, order); });
    });
    return possible;
  }

  bool add_days(std::vector<RowTime>& all, LogTimes& times) {
    if (all.empty()) return true;  // reported as no time at all
    const std::vector<DateOrder> possible = orders(all);
    const LogTable::Row& row = table_.rows[all.front().row];
    const auto column = static_cast<std::size_t>(columns_.date >= 0 ? columns_.date : columns_.time);
    if (possible.size() != 1) {
      std::vector<std::string> names;
      for (const DateOrder order : possible) names.push_back(order_name(order));
      const std::string dates = fmt::format("\"{}\"", table_.cell(row, column));
      if (possible.empty())
        errors_.add(map_.time.order ? map_.time.order.place : table_.place(row, column), "time.order",
                    map_.time.order
                        ? fmt::format("Not all dates can be read as {}; the first is {}.",
                                      map_.time.order.text, dates)
                        : fmt::format("The dates of the log are in no one order; the first is {}.", dates),
                    "Known: year-month-day, day.month.year, month/day/year.");
      else
        errors_.add(table_.place(row, column), "time.order",
                    fmt::format("{} can be read in more than one way, like all dates of the log.", dates),
                    fmt::format("Say in the map `time: {{order: {}}}`. It may be: {}.", names.front(),
                                listed(names)));
      return false;
    }
    times.told += ", " + order_name(possible.front());
    const std::int64_t start = *days_of(*all.front().date, possible.front());
    times.began = iso_moment(start, all.front().seconds);
    for (RowTime& time : all)
      time.seconds += day * static_cast<double>(*days_of(*time.date, possible.front()) - start);
    return true;
  }

  void pass_midnight(std::vector<RowTime>& all, LogTimes& times) const {
    double days = 0.0;
    Counted passed;
    for (std::size_t k = 0; k < all.size(); ++k) {
      all[k].seconds += days;
      if (k > 0 && all[k].seconds < all[k - 1].seconds - half_a_day) {
        all[k].seconds += day;
        days += day;
        passed.add(table_.rows[all[k].row].line);
      }
    }
    if (passed.count > 0)
      times.remarks.push_back(fmt::format("The clock passed midnight {} (line {}).",
                                          passed.count == 1 ? "once" : fmt::format("{} times", passed.count),
                                          passed.line));
  }

  void keep_rising(const std::vector<RowTime>& all, LogTimes& times) {
    times.time.reserve(all.size());
    times.rows.reserve(all.size());
    for (const RowTime& time : all) {
      const double since = time.seconds - all.front().seconds;
      const int line = table_.rows[time.row].line;
      if (!times.time.empty() && since == times.time.back()) {
        still_.add(line);
      } else if (!times.time.empty() && since < times.time.back()) {
        backwards_.add(line);
      } else {
        times.time.push_back(since);
        times.rows.push_back(time.row);
      }
    }
  }

  void tell(LogTimes& times) const {
    auto& to = times.remarks;
    repeated_.tell(to, "line repeats the headings and was left out",
                   "lines repeat the headings and were left out");
    texts_.tell(to, "line holds text, no numbers, and was left out",
                "lines hold text, no numbers, and were left out");
    unreadable_.tell(to, "row has no time that can be read and was left out",
                     "rows have no time that can be read and were left out");
    still_.tell(to, "row has the time of the row before it; the first of them counts",
                "rows have the time of the row before them; the first of each counts");
    backwards_.tell(to, "row runs backwards in time and was left out",
                    "rows run backwards in time and were left out");
    cut_off_.tell(to, "line at the end is cut off and was left out", "");
  }

  void check(const LogTimes& times, const Form& form) {
    const LogTable::Row& heading = table_.rows[where_.heading_row];
    const Place place = table_.place(heading, static_cast<std::size_t>(columns_.time));
    const auto kept = static_cast<int>(times.rows.size());
    if (unreadable_.count >= std::max(kept, 1)) {
      std::size_t r = where_.first_row;
      while (r + 1 < table_.rows.size() && table_.rows[r].line != unreadable_.line) ++r;
      const auto k = static_cast<std::size_t>(columns_.time);
      errors_.add(table_.place(table_.rows[r], k), "time.written as",
                  fmt::format("\"{}\" is no time written as {}; {} cannot be used.",
                              table_.cell(table_.rows[r], k), form.told, rows_word(unreadable_.count)),
                  fmt::format("Say in the map how the time is written. Known: {}.",
                              listed(choices_of(*find_key("log time", "written as")))));
    } else if (backwards_.count >= std::max(kept, 1)) {
      errors_.add({table_.file, backwards_.line, 1}, "time.column",
                  fmt::format("The time runs backwards here and {} could not be used, more than are left.",
                              rows_word(backwards_.count)),
                  "Cut the log into one file for each run, or name another column of the time.");
    } else if (kept < 2) {
      errors_.add(place, "time.column",
                  fmt::format("The log has {} with a time; two are needed.", rows_word(kept)),
                  "Check the column of the time, the separator and the line of the headings.");
    }
  }

  const LogTable& table_;
  const TimeRows& where_;
  const TimeColumns& columns_;
  const LogMap& map_;
  NumberStyle style_;
  ErrorList& errors_;
  Counted repeated_, texts_, unreadable_, still_, backwards_, cut_off_;
};

}  // namespace

bool looks_like_time(std::string_view cell) {
  const DateAndClock moment = moment_in(cell);
  return moment.date || moment.clock;
}

LogTimes read_times(const LogTable& table, const TimeRows& where, const std::vector<Heading>& headings,
                    const TimeColumns& columns, const LogMap& map, NumberStyle style, ErrorList& errors) {
  const Heading& heading = headings[static_cast<std::size_t>(columns.time)];
  const auto form = FormFinder(table, where, heading, columns, map, errors).find();
  if (!form) return {};
  return TimeReader(table, where, columns, map, style, errors).read(*form);
}

}  // namespace joulepress::cases
