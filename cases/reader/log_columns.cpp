// What every column of a log shows; see log_values.hpp.
#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/log_values.hpp"

namespace joulepress::cases {
namespace {

std::vector<std::string> words_for_is() {
  std::vector<std::string> words = logged_names();
  words.emplace_back("ignored");
  return words;
}

class Planner {
 public:
  Planner(const std::vector<Heading>& headings, const TimeColumns& times, const LogMap& map,
          ErrorList& errors)
      : headings_(headings), times_(times), map_(map), errors_(errors), mapped_(headings.size(), nullptr) {}

  ColumnPlans plan(const LogTable& table, std::size_t heading_row) {
    for (const MappedColumn& column : map_.columns) place_mapped(column);
    for (std::size_t k = 0; k < headings_.size(); ++k) {
      if (static_cast<int>(k) == times_.time || static_cast<int>(k) == times_.date) continue;
      const Heading& heading = headings_[k];
      if (heading.text.empty() && !mapped_[k]) {
        if (holds_anything(table, heading_row, k)) plans_.ignored.push_back(fmt::format("column {}", k + 1));
        continue;
      }
      add(k);
    }
    check_twice();
    return std::move(plans_);
  }

 private:
  static bool holds_anything(const LogTable& table, std::size_t heading_row, std::size_t k) {
    for (std::size_t r = heading_row + 1; r < table.rows.size(); ++r)
      if (!table.cell(table.rows[r], k).empty()) return true;
    return false;
  }

  void place_mapped(const MappedColumn& column) {
    const Place& place = column.written.at(column.number ? "number" : "heading");
    const std::string key = column.written.path_of(column.number ? "number" : "heading");
    std::size_t k = headings_.size();
    if (column.number > 0) {
      k = static_cast<std::size_t>(column.number) - 1;
      if (k >= headings_.size()) {
        errors_.add(place, key, fmt::format("The log has {} columns.", headings_.size()), "Count from 1.");
        return;
      }
    } else if (!column.heading.empty()) {
      k = by_heading(column.heading, place, key);
    }
    if (k >= headings_.size()) return;
    if (mapped_[k])
      errors_.add(place, key, fmt::format("The column \"{}\" stands here twice.", headings_[k].text),
                  "Keep one of them.");
    else if (static_cast<int>(k) == times_.time || static_cast<int>(k) == times_.date)
      errors_.add(place, key, fmt::format("\"{}\" is the column of the time.", headings_[k].text),
                  "Leave it out here; how it is written is said in `time:`.");
    mapped_[k] = &column;
  }

  std::size_t by_heading(const std::string& name, const Place& place, const std::string& key) {
    std::vector<std::size_t> found;
    for (const bool whole : {true, false}) {
      for (std::size_t k = 0; k < headings_.size(); ++k)
        if (name == (whole ? headings_[k].text : headings_[k].name)) found.push_back(k);
      if (!found.empty()) break;
    }
    if (found.size() == 1) return found.front();
    std::vector<std::string> known;
    for (const Heading& heading : headings_) known.push_back(heading.text);
    if (found.empty())
      errors_.add(place, key, fmt::format("No column of the log is called \"{}\".", name),
                  suggestion(name, known));
    else
      errors_.add(place, key, fmt::format("{} columns of the log are called \"{}\".", found.size(), name),
                  fmt::format("Give its number instead, `number: {}`.", found.front() + 1));
    return headings_.size();
  }

  /// Place and key of something that the map says of a column, or does not say.
  Place place_of(std::size_t k, const char* key) const {
    return mapped_[k] ? mapped_[k]->written.at(key) : headings_[k].place;
  }
  std::string key_of(std::size_t k, const char* key) const {
    return mapped_[k] ? mapped_[k]->written.path_of(key) : std::string("columns.") + key;
  }
  void refuse(std::size_t k, const char* key, const std::string& problem, const std::string& remedy) {
    errors_.add(place_of(k, key), key_of(k, key), problem, remedy);
  }
  std::string entry(std::size_t k, const std::string& says) const {
    return fmt::format("Say in the map `columns: [{{heading: \"{}\", {}}}]`.", headings_[k].text, says);
  }

  void add(std::size_t k) {
    const Heading& heading = headings_[k];
    const MappedColumn* mapped = mapped_[k];
    if (mapped && mapped->ignored()) {
      plans_.ignored.push_back(heading.text);
      return;
    }
    const std::string is = mapped ? mapped->is.text : std::string();
    Heading as = heading;
    if (mapped && mapped->unit) as.unit = mapped->unit.text;
    const Meant meant = meaning_of(as);
    std::optional<Logged> what = meant.what;
    if (!is.empty()) what = logged_called(is).value_or(Logged::reading);
    if (!what) {
      not_told(k, meant);
      return;
    }
    if (!is.empty() && *what == Logged::reading && is_mistyped(k, is)) return;
    ColumnPlan plan;
    plan.column = k;
    plan.mapped = mapped;
    plan.logged.heading = heading.text.empty() ? fmt::format("column {}", k + 1) : heading.text;
    plan.logged.what = *what;
    if (!set_unit(k, as, plan)) return;
    if (*what == Logged::reading) plan.logged.sensor = is.empty() ? heading.name : is;
    if (*what == Logged::current || *what == Logged::voltage) set_mean(k, meant, plan);
    if (mapped) check_effect(k, *what);
    plans_.read.push_back(std::move(plan));
  }

  /// A sensor called almost like a quantity is a mistyped quantity.
  bool is_mistyped(std::size_t k, const std::string& is) {
    const std::vector<std::string> words = words_for_is();
    if (nearest(is, words).empty()) return false;
    refuse(k, "is", fmt::format("\"{}\" is no quantity, and too near to one for the name of a sensor.", is),
           suggestion(is, words));
    return true;
  }

  void not_told(std::size_t k, const Meant& meant) {
    const Heading& heading = headings_[k];
    if (mapped_[k]) {
      const SaidWord& unit = mapped_[k]->unit;
      if (unit && !log_unit(unit.text))
        unknown_unit(k, unit.text, Logged::reading);
      else
        refuse(k, "is", fmt::format("Nothing says what \"{}\" shows.", heading.text),
               fmt::format("Add `is:` with the name of its sensor, or one of: {}.", listed(words_for_is())));
      return;
    }
    if (!meant.lacks_unit.empty()) {
      const Logged what = logged_called(meant.lacks_unit).value_or(Logged::reading);
      refuse(
          k, "unit", fmt::format("\"{}\" has no unit, neither here nor in the row below.", heading.text),
          entry(k, "unit: " + first_of(log_units_of(what))) + fmt::format(" Units: {}.", log_units_of(what)));
    } else if (!meant.wrong_unit.empty()) {
      unknown_unit(k, heading.unit, logged_called(meant.wrong_unit).value_or(Logged::reading));
    } else {
      plans_.ignored.push_back(heading.text);
      if (meant.pressure)
        plans_.remarks.push_back(fmt::format(
            "\"{0}\" is ignored: a pressure may be that of the oil or that on the powder. If it is "
            "that of the oil, say `columns: [{{heading: \"{0}\", is: gauge pressure}}]`.",
            heading.text));
    }
  }

  static std::string first_of(const std::string& units) { return units.substr(0, units.find(',')); }

  void unknown_unit(std::size_t k, const std::string& unit, Logged what) {
    refuse(
        k, "unit", fmt::format("There is no unit \"{}\" here.", unit),
        fmt::format("{} Units: {}.", entry(k, "unit: " + first_of(log_units_of(what))), log_units_of(what)));
  }

  bool set_unit(std::size_t k, const Heading& as, ColumnPlan& plan) {
    const Logged what = plan.logged.what;
    if (as.unit.empty()) {
      refuse(k, "unit",
             fmt::format("\"{}\" has no unit, neither in its heading nor here.", headings_[k].text),
             fmt::format("Add `unit:`. Units: {}.", log_units_of(what)));
      return false;
    }
    const auto unit = log_unit(as.unit);
    if (!unit) {
      unknown_unit(k, as.unit, what);
      return false;
    }
    if (!fits(what, unit->kind)) {
      const bool of_map = mapped_[k] && mapped_[k]->unit;
      refuse(k, of_map ? "unit" : "is",
             fmt::format("\"{}\" in {} is no {}.", headings_[k].text, as.unit, logged_name(what)),
             fmt::format("Units: {}.", log_units_of(what)));
      return false;
    }
    plan.unit = *unit;
    plan.logged.unit = unit->plain;
    return true;
  }

  void set_mean(std::size_t k, const Meant& meant, ColumnPlan& plan) {
    std::optional<bool> mean = meant.mean;
    if (mapped_[k] && mapped_[k]->shows) mean = mapped_[k]->shows.text == "mean";
    if (!mean)
      refuse(k, "shows",
             fmt::format("Nothing says whether \"{}\" is the mean or the effective value; where the current "
                         "pulses they differ.",
                         headings_[k].text),
             mapped_[k] ? "Add `shows: mean` or `shows: effective`."
                        : entry(k, "shows: effective") + " Or write `shows: mean`.");
    plan.logged.mean = mean.value_or(false);
  }

  /// Keys that change nothing for this quantity.
  void check_effect(std::size_t k, Logged what) {
    const MappedColumn& column = *mapped_[k];
    const auto none = [&](const char* key, bool said, bool has_effect) {
      if (said && !has_effect)
        refuse(k, key, fmt::format("\"{}\" has no effect on a {}.", key, logged_name(what)), "Leave it out.");
    };
    const bool reading = what == Logged::reading;
    none("shows", static_cast<bool>(column.shows), what == Logged::current || what == Logged::voltage);
    none("open above", column.open_above.has_value(), reading);
    none("sees from", column.sees_from.has_value(), reading);
    none("valid", column.has_range, reading);
    none("sign", column.reversed, what == Logged::stroke || what == Logged::force);
    none("zero", column.zero_at_start, what == Logged::stroke);
  }

  /// One column for each quantity; of one sensor several where they say when each of them counts.
  void check_twice() {
    for (std::size_t i = 0; i < plans_.read.size(); ++i)
      for (std::size_t j = i + 1; j < plans_.read.size(); ++j) {
        const LoggedColumn &a = plans_.read[i].logged, &b = plans_.read[j].logged;
        if (a.what != b.what || a.sensor != b.sensor || a.mean != b.mean) continue;
        const auto has_range = [](const ColumnPlan& plan) { return plan.mapped && plan.mapped->has_range; };
        const std::size_t k = plans_.read[j].column;
        if (a.what != Logged::reading)
          refuse(k, "is", fmt::format("\"{}\" and \"{}\" are both a {}.", a.heading, b.heading, quantity(a)),
                 "Say in the map `is: ignored` for one of them.");
        else if (!has_range(plans_.read[i]) || !has_range(plans_.read[j]))
          refuse(
              k, "valid",
              fmt::format("\"{}\" and \"{}\" are both readings of \"{}\".", a.heading, b.heading, a.sensor),
              "Say in the map where each counts, `valid: {to: 1000 degC}` and `valid: {from: 1000 degC}`, or "
              "give them different names behind `is:`.");
      }
  }

  static std::string quantity(const LoggedColumn& column) {
    if (column.what != Logged::current && column.what != Logged::voltage) return logged_name(column.what);
    return fmt::format("{} {}", column.mean ? "mean" : "effective", logged_name(column.what));
  }

  const std::vector<Heading>& headings_;
  const TimeColumns& times_;
  const LogMap& map_;
  ErrorList& errors_;
  std::vector<const MappedColumn*> mapped_;
  ColumnPlans plans_;
};

}  // namespace

ColumnPlans plan_columns(const std::vector<Heading>& headings, const TimeColumns& times, const LogMap& map,
                         const LogTable& table, std::size_t heading_row, ErrorList& errors) {
  return Planner(headings, times, map, errors).plan(table, heading_row);
}

}  // namespace joulepress::cases
