#include "tools/study/fit_study.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>

#include "cases/calibrate.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/units.hpp"
#include "solver/inverse/covariance.hpp"
#include "solver/inverse/distribution.hpp"
#include "tools/study/measures.hpp"

namespace joulepress::tools {
namespace {

using inverse::in_95;
using inverse::Point;
using inverse::Table;

constexpr double missed_by_much_K = 20.0;  // own choice
constexpr double far_from_prior = 2.5;     // deviations, told
constexpr double clearly_moved = 1.0;      // deviations that are left, by another choice of model
constexpr std::size_t most_moved = 3;
constexpr double second_couple_K =
    4.0;                        // half the class 2 tolerance of a type K couple at 1000 degC, IEC 60584-1
constexpr double melt_K = 3.0;  // own choice

/// Values with the same weights move together.
struct Block {
  std::string name, amount;
  std::vector<double> weights;  ///< by the inputs of the runs
  std::vector<cases::UncertainValue> values;
};

/// What a value was called in an earlier calibration; empty: in none.
std::string calibrated_name(const cases::Case& c, const std::string& address) {
  if (!c.calibration) return {};
  for (const cases::CalibratedInput& input : c.calibration->inputs)
    for (const cases::CalibratedValue& value : input.values)
      if (value.address == address) return input.name;
  return {};
}

std::vector<Block> blocks_of(const FitRuns& runs) {
  const auto& inputs = runs.inputs();
  std::vector<Block> values;  // one a value, first
  for (std::size_t k = 0; k < inputs.size(); ++k)
    for (const cases::UncertainValue& value : inputs[k].values) {
      const auto known = std::find_if(values.begin(), values.end(), [&](const Block& b) {
        return b.values.front().address == value.address;
      });
      const bool fresh = known == values.end();
      Block& block = fresh ? values.emplace_back() : *known;
      if (fresh) {
        const std::string earlier = calibrated_name(runs.the_case(), value.address);
        block.name = earlier.empty() ? inputs[k].name : earlier;
        block.amount = inputs[k].amount;
        block.weights.assign(inputs.size(), 0.0);
        block.values = {value};
      }
      block.weights[k] = value.weight;
    }
  std::vector<Block> blocks;
  for (Block& value : values) {
    const auto same = std::find_if(blocks.begin(), blocks.end(), [&](const Block& b) {
      return b.name == value.name && b.weights == value.weights;
    });
    if (same == blocks.end())
      blocks.push_back(std::move(value));
    else
      same->values.push_back(value.values.front());
  }
  return blocks;
}

double dot(const std::vector<double>& a, const std::vector<double>& b) {
  return std::inner_product(a.begin(), a.end(), b.begin(), 0.0);
}

/// In the units in which people see its kind.
FittedValue fitted(const cases::UncertainValue& value, double score, double deviation) {
  FittedValue out{value.address,
                  value.unit,
                  value.spread,
                  inverse::at_score(value.spread, score),
                  inverse::at_score(value.spread, score - in_95 * deviation),
                  inverse::at_score(value.spread, score + in_95 * deviation)};
  out.shown_unit = value.unit;
  const auto place = cases::calibrated_place(value.address);
  out.on_curve = !place || !place->key;
  if (!out.on_curve) {
    const Shown shown = shown_as(place->kind());
    if (*shown.unit == 0) return out;
    out.shown_unit = shown.unit;
    out.shown_factor = shown.factor;
    out.shown_zero = shown.zero;
  }
  return out;
}

FittedInput fitted(const Block& block, const inverse::Learned& learned, const Table& covariance) {
  FittedInput input;
  input.name = block.name;
  input.amount = block.amount;
  input.score = dot(block.weights, learned.scores);
  const double deviation = inverse::deviation_of(covariance, block.weights);
  input.left = deviation / std::sqrt(dot(block.weights, block.weights));
  for (const cases::UncertainValue& value : block.values)
    input.values.push_back(fitted(value, input.score, deviation));
  return input;
}

void add_inputs(const std::vector<Block>& blocks, const inverse::Learned& learned, FitStudy& study) {
  const Table covariance = inverse::covariance_in_all(learned);
  std::vector<FittedInput> inputs;
  for (const Block& block : blocks) inputs.push_back(fitted(block, learned, covariance));
  std::vector<int> order(inputs.size());
  std::iota(order.begin(), order.end(), 0);
  std::stable_sort(order.begin(), order.end(), [&](int a, int b) {
    return inputs[static_cast<std::size_t>(a)].left < inputs[static_cast<std::size_t>(b)].left;
  });
  const auto n = static_cast<int>(inputs.size());
  study.correlation = Table(n, n);
  for (int i = 0; i < n; ++i) {
    const Block& a = blocks[static_cast<std::size_t>(order[static_cast<std::size_t>(i)])];
    study.inputs.push_back(inputs[static_cast<std::size_t>(order[static_cast<std::size_t>(i)])]);
    for (int j = 0; j < n; ++j) {
      const Block& b = blocks[static_cast<std::size_t>(order[static_cast<std::size_t>(j)])];
      study.correlation(i, j) = i == j ? 1.0
                                       : inverse::covariance_between(covariance, a.weights, b.weights) /
                                             (inverse::deviation_of(covariance, a.weights) *
                                              inverse::deviation_of(covariance, b.weights));
    }
  }
}

void add_columns(const FitRuns& runs, const inverse::Learned& learned, FitStudy& study) {
  std::size_t at = 0;
  for (std::size_t k = 0; k < runs.series().size(); ++k) {
    const FitSeries& series = runs.series()[k];
    const cases::LoggedRun& run = runs.logs()[static_cast<std::size_t>(series.log)];
    if (series.melt >= 0) {
      const cases::MeltEvent& melt = run.log.melts[static_cast<std::size_t>(series.melt)];
      study.melts.push_back({series.log, melt.melts, series.values[0].time_s, melt.temperature,
                             melt.temperature + learned.before[at], melt.temperature + learned.after[at]});
      ++at;
      continue;
    }
    const cases::LoggedColumn& column =
        run.log
            .columns[static_cast<std::size_t>(run.compared[static_cast<std::size_t>(series.column)].column)];
    const bool goes_on = series.off && !study.columns.empty() &&
                         study.columns.back().column == series.column &&
                         study.columns.back().log == series.log;
    FittedColumn& fit = goes_on ? study.columns.back() : study.columns.emplace_back();
    if (goes_on)
      fit.off = learned.series[k];
    else
      fit.fit = learned.series[k];
    fit.log = series.log;
    fit.column = series.column;
    fit.heading = column.heading;
    fit.unit = column.unit;
    fit.what = column.what;
    for (const LoggedValue& value : series.values) {
      fit.time_s.push_back(value.time_s);
      fit.measured.push_back(value.measured);
      fit.before.push_back(value.measured + learned.before[at]);
      fit.after.push_back(value.measured + learned.after[at]);
      ++at;
    }
  }
}

void add_powder(const FitRuns& runs, const inverse::Learned& learned, FitStudy& study) {
  const auto deviation_before = [&](std::size_t k) {
    const std::vector<double> slope = learned.slope_before.row(runs.watched_at(k));
    return std::sqrt(dot(slope, slope));
  };
  for (std::size_t k = 0; k + 1 < runs.watched().size(); ++k) {
    const Watched& watched = runs.watched()[k];
    if (watched.what != Watched::What::powder) continue;
    const auto at = static_cast<std::size_t>(runs.watched_at(k));
    PowderLearned powder;
    powder.log = watched.log;
    powder.from_s = watched.from_s;
    powder.to_s = watched.to_s;
    powder.sensor = runs.the_case().sensors[static_cast<std::size_t>(runs.watched()[k + 1].sensor)].name;
    powder.powder_before_K = learned.before[at];
    powder.powder_K = learned.after[at];
    powder.offset_before_K = learned.before[at + 1];
    powder.offset_K = learned.after[at + 1];
    powder.powder_deviation_before_K = deviation_before(k);
    powder.offset_deviation_before_K = deviation_before(k + 1);
    powder.powder_deviation_K = runs.deviation_of(learned, learned.covariance, k);
    powder.offset_deviation_K = runs.deviation_of(learned, learned.covariance, k + 1);
    powder.missed_K = runs.missed(learned.after, watched.log);
    powder.beyond_logs_K = runs.beyond_logs(learned.after, watched.log);
    study.powder.push_back(powder);
  }
}

/// The offset of a log: index into what is watched.
std::size_t offset_of(const FitRuns& runs, int log) {
  const auto& watched = runs.watched();
  const auto found = std::find_if(watched.begin(), watched.end(), [log](const Watched& w) {
    return w.log == log && w.what == Watched::What::offset;
  });
  return static_cast<std::size_t>(found - watched.begin());
}

/// "film of column ends 1071 W/m2K instead of 1319": what moved by clearly more than what is left open.
std::vector<std::string> moved_by(const std::vector<Block>& blocks, const inverse::Learned& learned,
                                  const inverse::OtherModel& model) {
  std::vector<std::pair<double, std::string>> moved;
  for (const Block& block : blocks) {
    const double here = dot(block.weights, learned.scores), there = dot(block.weights, model.scores);
    const double by = std::abs(there - here) / inverse::deviation_of(learned.covariance, block.weights);
    if (by < clearly_moved) continue;
    const FittedValue value = fitted(block.values.front(), here, 0.0);
    const double other = inverse::at_score(block.values.front().spread, there);
    const std::string factor = value.on_curve ? "x " : "";
    moved.emplace_back(
        by, fmt::format("{} {}{:.4g} instead of {}{:.4g}{}{}", block.name, factor, value.shown(other), factor,
                        value.shown(value.value), value.shown_unit.empty() ? "" : " ", value.shown_unit));
  }
  std::stable_sort(moved.begin(), moved.end(),
                   [](const auto& a, const auto& b) { return a.first > b.first; });
  std::vector<std::string> words;
  for (std::size_t k = 0; k < std::min(moved.size(), most_moved); ++k)
    words.push_back(std::move(moved[k].second));
  return words;
}

void add_choices(const FitRuns& runs, const std::vector<Block>& blocks, const inverse::Learned& learned,
                 FitStudy& study) {
  for (std::size_t k = 0; k < learned.models.size(); ++k) {
    const inverse::OtherModel& model = learned.models[k];
    FittedChoice choice;
    choice.taken = runs.choices()[k].taken;
    choice.other = runs.choices()[k].other;
    choice.runs = !model.scores.empty();
    if (choice.runs) {
      choice.better = -0.5 * model.worse;
      choice.share = model.share;
      choice.moved = moved_by(blocks, learned, model);
      if (!study.powder.empty()) {
        const auto at = static_cast<std::size_t>(runs.watched_at(offset_of(runs, study.powder.back().log)));
        choice.offset_by_K = model.misfits[at] - learned.after[at];
      }
    }
    study.choices.push_back(std::move(choice));
  }
}

/// What one more measurement in the last log with a powder would leave.
void add_advice(const FitRuns& runs, const inverse::Learned& learned, FitStudy& study) {
  if (study.powder.empty()) return;
  const std::size_t offset = offset_of(runs, study.powder.back().log);
  const auto left = [&](const Table& covariance) { return runs.deviation_of(learned, covariance, offset); };
  const auto ask = [&](std::string what, const std::vector<double>& slope, double deviation) {
    study.advice.push_back(
        {std::move(what), deviation, left(inverse::with_measurement(learned.covariance, slope, deviation))});
  };
  for (std::size_t k = 0; k < runs.watched().size(); ++k) {
    const Watched& watched = runs.watched()[k];
    if (watched.log != study.powder.back().log) continue;
    const std::vector<double> slope = learned.slope.row(runs.watched_at(k));
    if (watched.what == Watched::What::another) ask(watched.where, slope, second_couple_K);
    if (watched.what == Watched::What::centre)
      ask("a disc in the powder that melts near the hold, at a temperature that is known", slope, melt_K);
  }
  const FitRuns::Blank blank = runs.blank(learned.scores, study.powder.back().log);
  Table after = learned.covariance;
  for (int k = 0; k < blank.slope.rows; ++k)
    after =
        inverse::with_measurement(after, blank.slope.row(k), blank.deviations[static_cast<std::size_t>(k)]);
  if (blank.slope.rows > 0)
    study.advice.push_back({"a run without powder, a plug of graphite in its place, under the same current",
                            blank.deviations.front(), left(after)});
  std::stable_sort(study.advice.begin(), study.advice.end(),
                   [](const MoreMeasured& a, const MoreMeasured& b) { return a.left_K < b.left_K; });
}

void add_others(const std::vector<Block>& blocks, const inverse::Learned& learned, FitStudy& study) {
  for (const inverse::OtherAnswer& other : learned.others) {
    std::vector<std::string> far;
    for (const Block& block : blocks) {
      const double by = dot(block.weights, other.scores) - dot(block.weights, learned.scores);
      if (std::abs(by) > 1.0) far.push_back(fmt::format("{} {:+.1f} deviations", block.name, by));
    }
    study.others.emplace_back(other.worse, fmt::format("{}", fmt::join(far, ", ")));
  }
}

void add_warnings(const FitRuns& runs, FitStudy& study) {
  for (const FittedInput& input : study.inputs)
    if (std::abs(input.score) > far_from_prior)
      study.warnings.push_back(
          fmt::format("{} went {:.1f} deviations from where it was taken to lie: either this press is "
                      "unusual in it, or it makes "
                      "up for something that the case has wrong.",
                      input.name, std::abs(input.score)));
  for (const PowderLearned& p : study.powder)
    if (std::abs(p.missed_K) > missed_by_much_K)
      study.warnings.push_back(
          fmt::format("Of all runs the best still reads {:.0f} K {} than \"{}\" did when it was hottest: "
                      "something is wrong "
                      "that no input makes up for. Look at what the case chooses (what walls see, whether "
                      "touches follow), "
                      "at the sensor and the mass, and ask the log without an earlier calibration.",
                      std::abs(p.missed_K), p.missed_K > 0.0 ? "more" : "less", p.sensor));
  for (const FittedChoice& choice : study.choices)
    if (choice.better > as_likely)
      study.warnings.push_back(
          fmt::format("The logs speak for another model: they are met better where {} (ln likelihood {:.1f} "
                      "more). Choose that in the case and ask again.",
                      choice.other, choice.better));
  for (const FittedColumn& column : study.columns)
    if (static_cast<std::size_t>(column.fit.far_off) * 20 > column.fit.values)
      study.warnings.push_back(fmt::format(
          "{} of {} values of \"{}\" lie far off the run: a jump, a couple that came loose, or an event "
          "that the case does not have.",
          column.fit.far_off, column.fit.values, column.heading));
  for (std::size_t k = 0; k < runs.logs().size(); ++k)
    for (const cases::MeltEvent& melt : runs.logs()[k].log.melts)
      if (std::none_of(study.melts.begin(), study.melts.end(), [&](const FittedMelt& m) {
            return m.log == static_cast<int>(k) && m.melts == melt.melts;
          }))
        study.warnings.push_back(fmt::format("{} of the log \"{}\" is not used: the case has no powder.",
                                             melt.melts, runs.logs()[k].log.file));
  if (!study.settled)
    study.warnings.emplace_back(
        "The search had not settled when it ended; ask for it again with better guesses.");
}

FitLog log_of(const cases::LoggedRun& run, const std::string& hash) {
  FitLog log;
  log.file = run.log.file;
  log.sha256 = hash;
  log.began = run.log.began;
  log.map = run.log.map;
  log.rows = static_cast<int>(run.log.time.size());
  log.pieces = static_cast<int>(run.segments.size());
  log.length_s = run.log.time.back();
  log.driven_by = run.log.columns[static_cast<std::size_t>(run.driven_by)].heading;
  log.unused = run.unused;
  log.unused.insert(log.unused.end(), run.log.ignored.begin(), run.log.ignored.end());
  log.remarks = run.log.remarks;
  log.remarks.insert(log.remarks.end(), run.remarks.begin(), run.remarks.end());
  return log;
}

}  // namespace

std::vector<cases::LoggedRun> logged_runs(const cases::Case& c, const FitRequest& request) {
  std::vector<cases::LoggedRun> runs;
  cases::ErrorList errors;
  for (std::size_t k = 0; k < request.logs.size(); ++k) {
    const std::filesystem::path map = k < request.maps.size() ? request.maps[k] : std::filesystem::path{};
    runs.push_back(cases::logged_run(c, cases::read_press_log(request.logs[k], map), errors));
  }
  errors.throw_if_any();
  return runs;
}

FitStudy fit_study(const FitRuns& runs, const std::vector<std::string>& hashes, const FitTold& told) {
  FitStudy study;
  study.title = runs.the_case().title;
  study.version = JOULEPRESS_VERSION;
  for (std::size_t k = 0; k < runs.logs().size(); ++k)
    study.logs.push_back(log_of(runs.logs()[k], hashes[k]));
  inverse::LearnProblem problem = runs.problem(usual_model_error);
  const auto counted = [&](inverse::Residuals ask) {
    return [&, ask = std::move(ask)](std::span<const Point> points) {
      auto misfits = ask(points);
      study.runs += static_cast<int>(points.size() * runs.logs().size());
      if (told) told(study.runs);
      return misfits;
    };
  };
  problem.misfit = counted(std::move(problem.misfit));
  for (inverse::Residuals& other : problem.other_models) other = counted(std::move(other));
  const inverse::Learned learned = inverse::learn(problem);
  if (learned.end == inverse::Learned::End::none) {
    study.why_not = "the case itself does not run to the end of its log with the current that was measured";
    return study;
  }
  study.settled = learned.end == inverse::Learned::End::settled;
  const std::vector<Block> blocks = blocks_of(runs);
  add_inputs(blocks, learned, study);
  add_columns(runs, learned, study);
  add_powder(runs, learned, study);
  add_choices(runs, blocks, learned, study);
  add_advice(runs, learned, study);
  add_others(blocks, learned, study);
  add_warnings(runs, study);
  study.scores = learned.scores;
  return study;
}

ToldIn told_in(cases::Logged what) {
  if (what == cases::Logged::voltage) return {0.0, 1.0, 1e3, "V", "mV"};
  if (what == cases::Logged::stroke) return {0.0, 1e3, 1e3, "mm", "mm"};
  return {cases::zero_celsius, 1.0, 1.0, "\u00b0C", "K"};
}

}  // namespace joulepress::tools
