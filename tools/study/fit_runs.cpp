#include "tools/study/fit_runs.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/blank_case.hpp"
#include "cases/many/edits.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/stack.hpp"
#include "solver/inverse/between_samples.hpp"
#include "solver/inverse/covariance.hpp"
#include "solver/inverse/programme_search.hpp"
#include "solver/march.hpp"
#include "tools/crew/side_by_side.hpp"
#include "tools/study/programme_runs.hpp"

namespace joulepress::tools {
namespace {

constexpr std::size_t most_rows = 1500;  // of a column that are compared
constexpr double rows_every_s = 2.0;     // of a run
constexpr double cut_below = 0.05;       // of the highest current or power
constexpr double near_the_top = 0.02;    // of the rise of the reading
constexpr double blank_step = 0.25;      // deviations
constexpr double blank_reading_K = 3.0,
                 blank_share = 0.01;    // what a value of a blank run is good for; own choice
constexpr double from_the_bore = 2e-3;  // m, of a second couple
constexpr double from_the_powder = 3e-3;

/// A value of the rows at other times.
template <class Value>
struct Curve {
  std::vector<double> times, values;
  Curve(const std::vector<solver::HistoryRow>& rows, Value&& value) {
    for (const solver::HistoryRow& row : rows) {
      times.push_back(row.time_s);
      values.push_back(value(row));
    }
  }
  std::vector<double> at(const std::vector<double>& wanted) const {
    return inverse::between_samples(times, values, wanted);
  }
  double over(double from, double to) const { return inverse::mean_over(times, values, from, to); }
};
template <class Value>
Curve(const std::vector<solver::HistoryRow>&, Value&&) -> Curve<Value>;

/// When the log last shows a current, or a power, of some size [s].  When after that it was cut is not known
/// to the second, and what follows is of its own: a scatter of its own keeps it from what was heated.
double last_heated(const cases::LoggedRun& run) {
  const std::vector<double>& values = run.log.columns[static_cast<std::size_t>(run.driven_by)].values;
  double highest = 0.0, last = 0.0;
  for (const double value : values)
    if (value > highest) highest = value;
  for (std::size_t i = 0; i < values.size(); ++i)
    if (values[i] > cut_below * highest) last = run.log.time[i];
  return last;
}

/// Least and most of the values that are there, a hundredth at either end left out: single ones may be far
/// off.
std::pair<double, double> bulk_of(const std::vector<double>& values) {
  std::vector<double> sorted;
  std::copy_if(values.begin(), values.end(), std::back_inserter(sorted),
               [](double v) { return std::isfinite(v); });
  if (sorted.empty()) return {0.0, 0.0};
  std::sort(sorted.begin(), sorted.end());
  const std::size_t out = sorted.size() / 100;
  return {sorted[out], sorted[sorted.size() - 1 - out]};
}

/// The current was cut somewhere between two rows, no moment likelier than another: what falls by so much
/// from row to row then is known to 1/sqrt(12) of that.
double unsure_after_cut(const std::vector<LoggedValue>& values) {
  double step = 0.0;
  for (std::size_t i = 1; i < std::min<std::size_t>(values.size(), 3); ++i)
    step = std::max(step, std::abs(values[i].measured - values[i - 1].measured));
  return step / std::sqrt(12.0);
}

cases::CaseSensor bare_couple(std::string name, std::string part, double depth) {
  cases::CaseSensor couple;
  couple.name = std::move(name);
  couple.part = std::move(part);
  couple.depth = depth;
  couple.sheath_diameter = 1e-3;
  couple.sheath_conductivity = 15.0;
  return couple;
}

/// Places where one more couple could be: close to the bore of the sleeve around the powder, and on the axis
/// of the punch above it.
void add_places(const cases::Case& c, std::vector<cases::CaseSensor>& sensors,
                std::vector<std::string>& where) {
  for (const cases::Sleeve& sleeve : c.sleeves) {
    const double wall = 0.5 * (sleeve.outer_diameter - sleeve.inner_diameter);
    if (!(wall > 2.0 * from_the_bore) || sleeve.inner_diameter == 0.0) continue;
    sensors.push_back(bare_couple("couple near the bore", sleeve.name, wall - from_the_bore));
    where.push_back(fmt::format("a couple in {}, 2 mm from its bore", sleeve.name));
    break;
  }
  for (std::size_t k = 1; k < c.column.size(); ++k) {
    const cases::ColumnPart& punch = c.column[k];
    if (!c.column[k - 1].powder || !punch.height || punch.bore > 0.0) continue;
    sensors.push_back(bare_couple("couple in the punch", punch.name, 0.5 * punch.diameter - 1e-6));
    sensors.back().height = from_the_powder;
    where.push_back(fmt::format("a couple on the axis of {}, 3 mm above the powder", punch.name));
    break;
  }
}

}  // namespace

FitRuns::FitRuns(cases::Case c, std::filesystem::path folder, std::vector<cases::LoggedRun> logs,
                 double accuracy, int threads, std::function<bool()> go_on)
    : c_(std::move(c)),
      folder_(std::move(folder)),
      logs_(std::move(logs)),
      accuracy_(accuracy),
      threads_(threads),
      go_on_(std::move(go_on)) {
  resolved_ = cases::resolved_document(c_);
  inputs_ = cases::uncertain_inputs(c_, resolved_);
  choices_ = cases::model_choices(c_);
  std::erase_if(choices_, [](const cases::ModelChoice& choice) { return !choice.either_may_hold; });
  add_places(c_, more_sensors_, more_where_);
  add_series();
  for (std::size_t k = 0; k < logs_.size(); ++k) hot_.push_back(hot_spell(k));
  add_watched();
}

void FitRuns::add_series() {
  for (std::size_t k = 0; k < logs_.size(); ++k) {
    const cases::PressLog& log = logs_[k].log;
    const double cut = last_heated(logs_[k]);
    const std::size_t every = 1 + log.time.size() / most_rows;
    for (std::size_t n = 0; n < logs_[k].compared.size(); ++n) {
      const auto& values = log.columns[static_cast<std::size_t>(logs_[k].compared[n].column)].values;
      FitSeries heated{static_cast<int>(k), static_cast<int>(n), -1, false, {}, 0.0}, off = heated;
      off.off = true;
      for (std::size_t i = 0; i < values.size(); i += every)
        if (std::isfinite(values[i]))
          (log.time[i] <= cut ? heated : off).values.push_back({log.time[i], values[i]});
      off.unsure = unsure_after_cut(off.values);
      for (FitSeries* series : {&heated, &off})
        if (!series->values.empty()) series_.push_back(std::move(*series));
    }
    const bool powder =
        std::any_of(c_.column.begin(), c_.column.end(), [](const auto& p) { return p.powder; });
    for (std::size_t n = 0; powder && n < log.melts.size(); ++n)
      series_.push_back({static_cast<int>(k),
                         -1,
                         static_cast<int>(n),
                         false,
                         {{cases::moment_of(log.melts[n], log), log.melts[n].temperature}},
                         0.0});
  }
}

std::optional<HotSpell> FitRuns::hot_spell(std::size_t k) const {
  const cases::LoggedRun& run = logs_[k];
  const cases::ComparedColumn* best = nullptr;
  for (const cases::ComparedColumn& compared : run.compared) {
    if (compared.sensor < 0) continue;
    const bool controls = c_.sensors[static_cast<std::size_t>(compared.sensor)].name == c_.programme.control;
    if (!best || controls) best = &compared;
    if (controls) break;
  }
  if (!best) return std::nullopt;
  const std::vector<double>& values = run.log.columns[static_cast<std::size_t>(best->column)].values;
  const auto [low, top] = bulk_of(values);
  const double least = top - near_the_top * (top - low);
  std::vector<double> hot;
  for (std::size_t i = 0; i < values.size(); ++i)
    if (values[i] >= least) hot.push_back(run.log.time[i]);
  // Without the hundredth at either end: a jump of the couple long before is none of it.
  const std::size_t cut = hot.size() / 100;
  return HotSpell{best->sensor, hot[cut], hot[hot.size() - 1 - cut], top - low};
}

void FitRuns::add_watched() {
  const bool powder = std::any_of(c_.column.begin(), c_.column.end(), [](const auto& p) { return p.powder; });
  for (std::size_t k = 0; k < logs_.size(); ++k) {
    if (!hot_[k] || !powder) continue;
    const auto log = static_cast<int>(k);
    const double from = hot_[k]->from_s, to = hot_[k]->to_s;
    watched_.push_back({Watched::What::powder, log, -1, from, to, {}});
    watched_.push_back({Watched::What::offset, log, hot_[k]->sensor, from, to, {}});
    watched_.push_back({Watched::What::centre, log, -1, from, to, {}});
    for (std::size_t n = 0; n < more_sensors_.size(); ++n)
      watched_.push_back(
          {Watched::What::another, log, static_cast<int>(c_.sensors.size() + n), from, to, more_where_[n]});
  }
}

inverse::LearnProblem FitRuns::problem(const ModelError& model_error) const {
  inverse::LearnProblem problem;
  problem.unknowns = static_cast<int>(inputs_.size());
  for (const FitSeries& series : series_) {
    const cases::LoggedRun& run = logs_[static_cast<std::size_t>(series.log)];
    if (series.melt >= 0)
      problem.series.push_back({inverse::DataSeries::Use::single, 1,
                                run.log.melts[static_cast<std::size_t>(series.melt)].deviation});
    else {
      const cases::ComparedColumn& compared = run.compared[static_cast<std::size_t>(series.column)];
      const cases::LoggedColumn& column = run.log.columns[static_cast<std::size_t>(compared.column)];
      const auto [low, high] = bulk_of(column.values);
      const double error = column.what == cases::Logged::voltage ? model_error.voltage : model_error.other;
      problem.series.push_back({inverse::DataSeries::Use::data, static_cast<int>(series.values.size()),
                                std::hypot(compared.deviation, series.unsure), error * (high - low)});
    }
  }
  if (!watched_.empty())
    problem.series.push_back({inverse::DataSeries::Use::watched, static_cast<int>(watched_.size()), 1.0});
  problem.misfit = [this](std::span<const inverse::Point> points) { return misfits_at(points, nullptr); };
  if (model_error.voltage > 0.0 || model_error.other > 0.0)
    for (const cases::ModelChoice& choice : choices_)
      problem.other_models.emplace_back(
          [this, &choice](std::span<const inverse::Point> points) { return misfits_at(points, &choice); });
  return problem;
}

std::vector<std::vector<double>> FitRuns::misfits_at(std::span<const inverse::Point> points,
                                                     const cases::ModelChoice* other) const {
  const std::size_t n = logs_.size();
  std::vector<solver::RunResult> results(points.size() * n);
  std::vector<std::optional<cases::Case>> variants(points.size());
  side_by_side(points.size(), threads_, [&](std::size_t k) { variants[k] = case_at(points[k], other); });
  side_by_side(results.size(), threads_, [&](std::size_t k) {
    const auto& variant = variants[k / n];
    if (!variant || (go_on_ && !go_on_())) return;
    try {
      const solver::Problem q = cases::logged_problem(*variant, logs_[k % n]);
      solver::Observers observers;
      observers.progress = [this](const solver::Progress&) { return !go_on_ || go_on_(); };
      results[k] = solver::run(q, observers);
    } catch (const cases::InputErrors&) {
      results[k].status = solver::RunStatus::failed;  // a variant that no longer fits together
    }
  });
  if (go_on_ && !go_on_()) throw Interrupted{};
  std::vector<std::vector<double>> misfits;
  for (std::size_t k = 0; k < points.size(); ++k)
    misfits.push_back(misfit_of(std::span(results).subspan(k * n, n)));
  return misfits;
}

double FitRuns::missed(const std::vector<double>& misfits, int log) const {
  const auto& hot = hot_[static_cast<std::size_t>(log)];
  const auto& compared = logs_[static_cast<std::size_t>(log)].compared;
  double sum = 0.0;
  int n = 0;
  std::size_t at = 0;
  for (const FitSeries& series : series_) {
    const bool its = hot && series.log == log && series.melt < 0 && !series.off &&
                     compared[static_cast<std::size_t>(series.column)].sensor == hot->sensor;
    for (const LoggedValue& value : series.values) {
      const double misfit = misfits[at++];
      if (!its || value.time_s < hot->from_s || value.time_s > hot->to_s) continue;
      sum += misfit;
      ++n;
    }
  }
  return n > 0 ? sum / n : 0.0;
}

int FitRuns::watched_at(std::size_t k) const {
  std::size_t at = k;
  for (const FitSeries& series : series_) at += series.values.size();
  return static_cast<int>(at);
}

double FitRuns::beyond_logs(const std::vector<double>& misfits, int log) const {
  const auto& hot = hot_[static_cast<std::size_t>(log)];
  return std::hypot(missed(misfits, log), hot ? usual_model_error.other * hot->range_K : 0.0);
}

double FitRuns::deviation_of(const inverse::Learned& learned, const inverse::Table& covariance,
                             std::size_t k) const {
  const int at = watched_at(k);
  return std::hypot(inverse::deviation_of(covariance, learned.slope.row(at)),
                    inverse::deviation_by_models(learned, static_cast<std::size_t>(at)),
                    beyond_logs(learned.after, watched_[k].log));
}

FitRuns::Blank FitRuns::blank(const inverse::Point& scores, int log) const {
  const auto run_of = [&](const inverse::Point& point) -> std::vector<double> {
    const auto variant = case_at(point, nullptr);
    const auto empty = variant ? cases::blank_case(*variant) : std::nullopt;
    if (!empty || !hot_[static_cast<std::size_t>(log)]) return {};
    const cases::LoggedRun& driven = logs_[static_cast<std::size_t>(log)];
    try {
      const solver::RunResult result = solver::run(cases::logged_problem(*empty, driven));
      if (result.status != solver::RunStatus::completed) return {};
      const HotSpell& hot = *hot_[static_cast<std::size_t>(log)];
      const Curve reading(result.rows, [&](const solver::HistoryRow& row) {
        return row.sensors[static_cast<std::size_t>(hot.sensor)].reading_K;
      });
      const Curve volts(result.rows, [](const solver::HistoryRow& row) { return row.voltage_V; });
      std::vector<double> values = reading.at({hot.from_s / 3.0, hot.from_s / 1.5, hot.to_s});
      for (const double value : volts.at({hot.from_s / 2.0, hot.to_s})) values.push_back(value);
      return values;
    } catch (const cases::InputErrors&) {
      return {};
    }
  };
  const std::size_t n = scores.size();
  std::vector<std::vector<double>> shown(n + 1);
  side_by_side(n + 1, threads_, [&](std::size_t k) {
    if (go_on_ && !go_on_()) return;
    inverse::Point point = scores;
    if (k > 0) point[k - 1] += blank_step;
    shown[k] = run_of(point);
  });
  if (go_on_ && !go_on_()) throw Interrupted{};
  if (shown[0].empty()) return {};
  Blank out{inverse::Table(static_cast<int>(shown[0].size()), static_cast<int>(n)),
            {blank_reading_K, blank_reading_K, blank_reading_K, blank_share * shown[0][3],
             blank_share * shown[0][4]}};
  for (std::size_t k = 0; k < n; ++k)
    for (std::size_t i = 0; i < shown[0].size() && !shown[k + 1].empty(); ++i)
      out.slope(static_cast<int>(i), static_cast<int>(k)) = (shown[k + 1][i] - shown[0][i]) / blank_step;
  return out;
}

cases::SourceNode FitRuns::document_at(const inverse::Point& scores) const {
  cases::ErrorList errors;
  cases::SourceNode document = cases::edited(resolved_, cases::edits_at(inputs_, scores), errors);
  errors.throw_if_any();
  return document;
}

std::optional<cases::Case> FitRuns::case_at(const inverse::Point& scores,
                                            const cases::ModelChoice* other) const {
  cases::ErrorList errors;
  const auto read = [&](const cases::SourceNode& document) {
    cases::Case c = cases::read_case(document, folder_, errors);
    errors.throw_if_any();
    return c;
  };
  try {
    cases::Case c = read(document_at(scores));
    if (other) {
      // Its edits carry what the scores have made of the case.
      const auto choices = cases::model_choices(c);
      const auto same = std::find_if(choices.begin(), choices.end(),
                                     [&](const cases::ModelChoice& one) { return one.id == other->id; });
      if (same == choices.end()) return std::nullopt;
      c = read(cases::edited(cases::resolved_document(c), same->edits, errors));
    }
    c.accuracy = std::max(c.accuracy, accuracy_);
    c.history_every = rows_every_s;
    c.sensors.insert(c.sensors.end(), more_sensors_.begin(), more_sensors_.end());
    return c;
  } catch (const cases::InputErrors&) {
    return std::nullopt;
  }
}

std::vector<double> FitRuns::misfit_of(std::span<const solver::RunResult> results) const {
  for (const solver::RunResult& result : results)
    if (result.status != solver::RunStatus::completed || result.rows.empty()) return {};
  std::vector<double> misfit;
  for (const FitSeries& series : series_) {
    const auto log = static_cast<std::size_t>(series.log);
    if (series.melt >= 0) {
      const Curve centre(results[log].rows, [](const auto& row) { return row.powder->centre_K; });
      misfit.push_back(centre.at({series.values[0].time_s})[0] - series.values[0].measured);
      continue;
    }
    const Curve shown(results[log].rows, [&](const auto& row) {
      return cases::shown_of(c_, logs_[log], logs_[log].compared[static_cast<std::size_t>(series.column)],
                             row);
    });
    std::vector<double> times;
    for (const LoggedValue& value : series.values) times.push_back(value.time_s);
    const std::vector<double> values = shown.at(times);
    for (std::size_t k = 0; k < values.size(); ++k) misfit.push_back(values[k] - series.values[k].measured);
  }
  for (const Watched& watched : watched_) {
    const auto sensor = static_cast<std::size_t>(std::max(watched.sensor, 0));
    const Curve curve(results[static_cast<std::size_t>(watched.log)].rows,
                      [&](const solver::HistoryRow& row) {
                        switch (watched.what) {
                          case Watched::What::offset:
                            return row.powder->mean_K - row.sensors[sensor].reading_K;
                          case Watched::What::centre:
                            return row.powder->centre_K;
                          case Watched::What::another:
                            return row.sensors[sensor].reading_K;
                          case Watched::What::powder:
                            break;
                        }
                        return row.powder->mean_K;
                      });
    misfit.push_back(curve.over(watched.from_s, watched.to_s));
  }
  return misfit;
}

}  // namespace joulepress::tools
