#include "tools/study/correct_study.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/panel.hpp"
#include "cases/pressing.hpp"
#include "solver/drive.hpp"
#include "tools/store/files.hpp"
#include "tools/store/log_csv.hpp"
#include "tools/store/results_read.hpp"
#include "tools/study/correct_search.hpp"
#include "tools/study/programme_runs.hpp"

namespace joulepress::tools {
namespace {

constexpr double stop_margin = 1.25;           // own choice
constexpr double stop_reading_K = 50.0;        // above the highest of the programme; own choice
constexpr double usual_watch_K = 873.15;       // 600 degC: current to reach it tells the contacts; own choice
constexpr double shortest_bound_s = 2.0;       // limits met for less are not told
constexpr double longest_pause_s = 20.0;       // between two stretches told as one
constexpr double all_of_it = 0.998;            // of a limit
constexpr double longest_unchecked_s = 300.0;  // between two lines of the panel

using Kind = EnteredStep::Kind;

/// A quantity of a run over its rows.
struct Course {
  std::vector<double> times, values;
  double at(double time) const { return inverse::mean_over(times, values, time, time); }
  double mean(double from, double to) const { return inverse::mean_over(times, values, from, to); }
};

template <class Value>
Course course_of(const solver::RunResult& result, Value&& value) {
  Course course;
  for (const solver::HistoryRow& row : result.rows) {
    course.times.push_back(row.time_s);
    course.values.push_back(value(row));
  }
  return course;
}

double reading_of(const solver::HistoryRow& row) {
  return row.control_sensor >= 0 ? row.sensors[static_cast<std::size_t>(row.control_sensor)].reading_K : NAN;
}

void add_holds(const PowderWish& wish, const solver::RunResult& result, CorrectStudy& study) {
  const auto of_powder = [&result](double solver::PowderValue::*value) {
    return course_of(result, [value](const solver::HistoryRow& row) { return (*row.powder).*value; });
  };
  const Course met = course_of(
                   result, [&](const solver::HistoryRow&row) { return meant_of(*row.powder, study.meant); }),
               reading = course_of(result, reading_of), mean = of_powder(&solver::PowderValue::mean_K),
               coldest = of_powder(&solver::PowderValue::min_K),
               hottest = of_powder(&solver::PowderValue::max_K),
               density = of_powder(&solver::PowderValue::density_mean);
  for (int k = 0; k < wish.driven; ++k) {
    const EnteredStep& step = wish.steps[static_cast<std::size_t>(k)];
    if (step.kind != Kind::hold) continue;
    HoldMet hold;
    hold.name = step.name;
    hold.start_s = step.start_s;
    hold.end_s = step.start_s + step.length_s;
    hold.settled_from_s = step.start_s + 0.5 * step.length_s;
    const auto over = [&hold](const Course& course) { return course.mean(hold.settled_from_s, hold.end_s); };
    hold.wished_K = study.density ? NAN
                                  : inverse::mean_over(wish.track.times, wish.track.values,
                                                       hold.settled_from_s, hold.end_s);
    hold.met_K = over(met);
    hold.sensor_K = over(reading);
    hold.mean_K = over(mean);
    hold.coldest_K = over(coldest);
    hold.hottest_K = over(hottest);
    hold.density_end = density.at(hold.end_s);
    study.density_end = hold.density_end;
    study.holds.push_back(hold);
  }
  if (study.density) return;
  double sum = 0.0;
  for (std::size_t i = 0; i < wish.track.times.size(); ++i) {
    const double miss = met.at(wish.track.times[i]) - wish.track.values[i];
    sum += miss * miss;
    if (std::abs(miss) <= std::abs(study.largest_K)) continue;
    study.largest_K = miss;
    study.largest_s = wish.track.times[i];
  }
  study.rms_K = std::sqrt(sum / static_cast<double>(wish.track.times.size()));
}

/// As the press's panel shows them, without the noise of a log.
std::vector<LogColumn> panel_columns(const cases::Case& c, solver::Problem problem) {
  cases::Case quiet = c;
  if (!quiet.press.meters) {  // of a press that does not say: what can be read off at a glance
    quiet.press.meters = cases::Meters{};
    quiet.press.meters->every = 1.0;
    quiet.press.meters->temperature = 1.0;
    quiet.press.meters->current = 5.0;
    quiet.press.meters->voltage = 0.01;
    quiet.press.meters->force = 100.0;
    quiet.press.meters->stroke = 1e-5;
  }
  quiet.press.meters->noise = 0.0;
  for (solver::Sensor& sensor : problem.sensors) sensor.noise = 0.0;
  std::vector<LogColumn> columns = log_columns(quiet, problem);
  std::erase_if(columns, [](const LogColumn& column) { return column.name == "time"; });
  return columns;
}

void add_panel(const cases::Case& c, const PowderWish& wish, const solver::Problem& problem,
               const solver::RunResult& result, CorrectStudy& study) {
  const std::vector<LogColumn> columns = panel_columns(c, problem);
  for (const LogColumn& column : columns)
    study.panel_columns.push_back(fmt::format("{} [{}]", column.name, column.unit));
  const auto add = [&](const solver::HistoryRow& row, int step) {
    PanelCheck check;
    check.time_s = row.time_s;
    check.step = step;
    for (const LogColumn& column : columns) {
      const double shown = column.shown(row, 0);
      check.shown.push_back(std::isfinite(shown) ? digits_of(shown, column.digit) : "");
    }
    check.wished_K =
        row.time_s <= wish.track.times.back() && !study.density ? wished_at(wish, row.time_s) : NAN;
    check.powder = *row.powder;
    study.panel.push_back(std::move(check));
  };
  // The first row of the programme's clock at or after a time: a controller may have waited.
  const auto row_at = [&result](double time) {
    const auto row =
        std::find_if(result.rows.begin(), result.rows.end(),
                     [time](const solver::HistoryRow& r) { return r.programme_s >= time - 1e-6; });
    return row == result.rows.end() ? result.rows.end() - 1 : row;
  };
  for (std::size_t k = 0; k < study.programme.size(); ++k) {
    const EnteredStep& line = study.programme[k];
    const int parts = line.kind == Kind::cool
                          ? 1
                          : std::max(line.kind == Kind::ramp ? 2 : 1,
                                     static_cast<int>(std::ceil(line.length_s / longest_unchecked_s)));
    for (int i = 1; i < parts; ++i) add(*row_at(line.start_s + line.length_s * i / parts), -1);
    add(*row_at(line.start_s + line.length_s), static_cast<int>(k));
  }
}

void add_pressure(const cases::Case& c, CorrectStudy& study) {
  double time = 0.0, value = 0.0;
  bool first = true;
  for (const cases::ProgrammeStep& step : c.programme.pressure) {
    EnteredPressure line;
    line.start_s = time;
    line.length_s = step.duration.value_or(0.0);
    line.to_Pa = step.to;
    line.from_Pa = step.kind == cases::ProgrammeStep::Kind::hold || first ? step.to : value;
    line.gauge_N = cases::force_at(c, step.to);
    time += line.length_s;
    value = step.to;
    first = false;
    study.pressure.push_back(line);
  }
}

void add_binding(Binding::What what, double start, double end, CorrectStudy& study) {
  for (Binding& binding : study.binding) {
    if (binding.what != what || start - binding.end_s > longest_pause_s) continue;
    binding.end_s = std::max(binding.end_s, end);
    return;
  }
  study.binding.push_back({what, start, end});
}

/// Where the press gave all it can: its limits, or the largest output of its controller.
void add_limits(const cases::Case& c, double end_s, const solver::RunResult& result, CorrectStudy& study) {
  const bool by_power = c.press.controller.by_power;
  const double output = study.by_controller ? c.press.controller.largest_output : 1.0;
  struct Limit {
    Binding::What what;
    double most;
    double solver::HistoryRow::*value;
  };
  for (const Limit& limit :
       {Limit{Binding::What::current, c.press.current_limit.value_or(INFINITY) * (by_power ? 1.0 : output),
              &solver::HistoryRow::current_A},
        Limit{Binding::What::voltage, c.press.voltage_limit.value_or(INFINITY),
              &solver::HistoryRow::voltage_V},
        Limit{Binding::What::power, c.press.power_limit.value_or(INFINITY) * (by_power ? output : 1.0),
              &solver::HistoryRow::power_W}})
    for (std::size_t k = 1; k < result.rows.size() && result.rows[k].time_s <= end_s; ++k) {
      const solver::HistoryRow &before = result.rows[k - 1], &row = result.rows[k];
      if (before.*limit.value > all_of_it * limit.most && row.*limit.value > all_of_it * limit.most)
        add_binding(limit.what, before.time_s, row.time_s, study);
    }
}

void add_bindings(const cases::Case& c, const PowderWish& wish, const solver::RunResult& result,
                  CorrectStudy& study) {
  const double end_s = wish.track.times.back();
  if (!c.programme.by_furnace) add_limits(c, end_s, result, study);
  for (const solver::LimitedInterval& interval : result.limited)
    if (interval.mode == solver::DriveMode::off && interval.start_s < end_s)
      add_binding(Binding::What::off, interval.start_s, interval.end_s, study);
  std::erase_if(study.binding,
                [](const Binding& binding) { return binding.end_s - binding.start_s < shortest_bound_s; });
  if (!c.press.entry.fastest_rate) return;
  for (const EnteredStep& line : study.programme)
    if (line.kind == Kind::ramp && std::abs(line.rate()) > 0.98 * *c.press.entry.fastest_rate)
      study.binding.push_back({Binding::What::rate, line.start_s, line.start_s + line.length_s});
}

/// Upward to two digits.
double two_digits_up(double value) {
  if (!(value > 0.0)) return 0.0;
  const double unit = std::pow(10.0, std::floor(std::log10(value)) - 1.0);
  return unit * std::ceil(value / unit - 1e-9);
}

void add_stops(const cases::Case& c, const solver::RunResult& result, CorrectStudy& study) {
  const bool mean_current = c.press.meters && c.press.meters->mean_current,
             mean_voltage = c.press.meters && c.press.meters->mean_voltage;
  double highest = 0.0;
  for (const EnteredStep& line : study.programme) highest = std::max(highest, line.to_K);
  const double start = result.rows.empty() ? 0.0 : reading_of(result.rows.front());
  const double half_way =
      solver::zero_celsius + 50.0 * std::round((0.5 * (start + highest) - solver::zero_celsius) / 50.0);
  const double watch = std::min(usual_watch_K, half_way);
  double early = 0.0, current = 0.0, voltage = 0.0;
  bool passed = false;
  for (const solver::HistoryRow& row : result.rows) {
    const double amperes = cases::current_shown(row, mean_current);
    const double volts = cases::voltage_shown(c.press, row, mean_voltage);
    passed = passed || reading_of(row) >= watch;
    if (!passed) early = std::max(early, amperes);
    current = std::max(current, amperes);
    voltage = std::max(voltage, volts);
  }
  const auto add = [&study](StopValue::What what, double above, std::optional<double> until) {
    if (above > 0.0) study.stops.push_back({what, above, until});
  };
  if (!c.programme.by_furnace) {
    const double first = two_digits_up(stop_margin * early), all = two_digits_up(stop_margin * current);
    if (first < all) add(StopValue::What::current, first, watch);
    add(StopValue::What::current, all, {});
    add(StopValue::What::voltage, two_digits_up(stop_margin * voltage), {});
  }
  add(StopValue::What::reading, highest + stop_reading_K, {});
}

/// Offsets of a stored study of uncertainty, put about what was met here.
void add_ranges(const std::filesystem::path& folder, CorrectStudy& study) {
  const std::filesystem::path file = folder / "bound.json";
  if (!std::filesystem::exists(file))
    throw NoResults(
        fmt::format("\"{}\" holds no study of uncertainty; `joulepress bound CASE --out {}` makes "
                    "one.",
                    folder.string(), folder.string()));
  const auto json = nlohmann::json::parse(read_whole(file), nullptr, false);
  if (!json.is_object() || json.value("schema", "") != "joulepress.bound/1")
    throw FileError(fmt::format("\"{}\" is no study of uncertainty that can be read here.", file.string()));
  if (json.value("title", "") != study.title)
    study.warnings.push_back(fmt::format("The range is that of the case \"{}\".", json.value("title", "")));
  for (HoldMet& hold : study.holds)
    for (const auto& its : json.value("holds", nlohmann::json::array())) {
      if (its.value("name", "") != hold.name) continue;
      for (const auto& value : its.value("values", nlohmann::json::array())) {
        if (value.value("name", "") != "offset" || !value.contains("quantiles") ||
            !value.at("value").is_number())
          continue;
        const double own = value.at("value").get<double>();
        for (const auto& quantile : value.at("quantiles")) {
          const double share = quantile.value("share", 0.5), at = quantile.value("value", own);
          if (share < 0.4) hold.low_K = hold.mean_K + at - own;
          if (share > 0.6) hold.high_K = hold.mean_K + at - own;
        }
      }
    }
}

}  // namespace

CorrectStudy correct_study(const cases::Case& c, const std::string& case_sha256, const PowderWish& wish,
                           const Correction& correction, const CorrectRequest& request,
                           const solver::Problem& problem, const solver::RunResult& result) {
  CorrectStudy study;
  study.title = c.title;
  study.version = JOULEPRESS_VERSION;
  study.case_sha256 = case_sha256;
  study.control = c.programme.control;
  study.press = c.press.name;
  study.meant = request.meant;
  study.density = request.density;
  study.like = wish.like;
  study.by_controller = correction.by_controller;
  study.why_exact = correction.why_exact;
  study.completed = result.status == solver::RunStatus::completed;
  study.reason = result.reason;
  study.wish = wish.steps;
  study.programme = correction.programme;
  study.most_steps = c.press.entry.steps;
  study.runs = correction.runs + 1;
  study.as_it_stands_K = correction.as_it_stands_K;
  study.warnings = wish.warnings;
  add_pressure(c, study);
  for (const solver::HistoryRow& row : result.rows) {
    study.current_A = std::max(study.current_A, row.current_A);
    study.voltage_V = std::max(study.voltage_V, row.voltage_V);
    study.power_W = std::max(study.power_W, row.power_W);
  }
  add_bindings(c, wish, result, study);
  if (!study.completed) return study;
  add_holds(wish, result, study);
  if (!study.density) study.ramps = ramps_followed(wish, result, study.meant);
  add_panel(c, wish, problem, result, study);
  add_stops(c, result, study);
  if (!request.bound.empty()) add_ranges(request.bound, study);
  return study;
}

}  // namespace joulepress::tools
