#include "tools/study/correct_search.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tools/study/correct_runs.hpp"

namespace joulepress::tools {
namespace {

using Kind = EnteredStep::Kind;

constexpr double room_K = 400.0;  // above all that is wished or guessed; own choice
constexpr double shortest_leg_s = 60.0;
constexpr double under_fastest = 0.99;  // so that rounding breaks no limit
constexpr int fine_runs = 2;            // on the case's own grid, at the end
constexpr int slower_runs = 12;
constexpr double lag_worth_K = 5.0;  // below it slower ramps are not asked for

/// A programme found, as lines; the holds of a wish keep their names.
std::vector<EnteredStep> lines_of(const inverse::LegProgramme& programme, const PowderWish& wish) {
  std::vector<EnteredStep> lines;
  double time = 0.0, value = programme.start;
  for (const inverse::Leg& leg : programme.legs) {
    EnteredStep line;
    line.kind = leg.level ? Kind::hold : Kind::ramp;
    line.start_s = time;
    line.length_s = leg.length;
    line.from_K = value;
    line.to_K = leg.to;
    if (leg.level) line.name = wish.steps[static_cast<std::size_t>(leg.step)].name;
    time += leg.length;
    value = leg.to;
    lines.push_back(line);
  }
  return lines;
}

bool is_at_limit(const solver::RunResult& result) {
  return std::any_of(
      result.limited.begin(), result.limited.end(),
      [](const solver::LimitedInterval& interval) { return interval.mode == solver::DriveMode::at_limit; });
}

/// The powder's answers to programmes of legs; whether a limit of the press was met on the way.
inverse::Responses answers_of(const ProgrammeRuns& runs, const PowderWish& wish, MeantFor meant,
                              bool* at_limit = nullptr) {
  return [&runs, &wish, meant, at_limit](std::span<const inverse::LegProgramme> programmes) {
    std::vector<std::vector<cases::ProgrammeStep>> steps;
    for (const inverse::LegProgramme& programme : programmes)
      steps.push_back(programme_steps(lines_of(programme, wish)));
    std::vector<std::vector<double>> answers;
    for (const solver::RunResult& result : runs(steps)) {
      answers.push_back(powder_at(result, meant, wish.track.times));
      if (at_limit) *at_limit = *at_limit || is_at_limit(result);
    }
    return answers;
  };
}

inverse::SearchRules rules_of(const cases::Case& c, const PowderWish& wish) {
  inverse::SearchRules rules;
  const int coolings = static_cast<int>(wish.steps.size()) - wish.driven;
  rules.most_legs = c.press.entry.steps - coolings;
  if (c.press.entry.fastest_rate) rules.fastest = under_fastest * *c.press.entry.fastest_rate;
  rules.shortest = std::max(shortest_leg_s, c.press.entry.time);
  rules.lowest = wish.track.start;
  rules.highest = *std::max_element(wish.track.values.begin(), wish.track.values.end());
  for (const inverse::WishStep& step : wish.track.steps) rules.highest = std::max(rules.highest, step.guess);
  rules.highest += room_K;
  return rules;
}

/// Ramps of a wish made longer; its track with them.
PowderWish slowed(const PowderWish& wish, double factor) {
  PowderWish slow = wish;
  double time = 0.0;
  std::vector<double> old_ends, new_ends;
  for (std::size_t k = 0; k < slow.steps.size(); ++k) {
    EnteredStep& step = slow.steps[k];
    old_ends.push_back(step.start_s + step.length_s);
    if (step.kind == Kind::ramp) step.length_s *= factor;
    step.start_s = time;
    time += step.length_s;
    new_ends.push_back(time);
    if (k < slow.track.steps.size()) slow.track.steps[k].length = step.length_s;
  }
  for (double& t : slow.track.times) {
    std::size_t k = 0;
    while (k + 1 < old_ends.size() && t > old_ends[k]) ++k;
    const double old_start = k > 0 ? old_ends[k - 1] : 0.0, new_start = k > 0 ? new_ends[k - 1] : 0.0;
    t = new_start + (t - old_start) * (new_ends[k] - new_start) / (old_ends[k] - old_start);
  }
  return slow;
}

/// Whether the powder is so far from the wish in its ramps that somebody would slow them down.
bool lags(const PowderWish& wish, const inverse::FoundProgramme& found) {
  for (std::size_t i = 0; i < found.response.size(); ++i)
    if (std::abs(found.response[i] - wish.track.values[i]) > lag_worth_K) return true;
  return false;
}

}  // namespace

double wished_at(const PowderWish& wish, double time) {
  return inverse::mean_over(wish.track.times, wish.track.values, time, time);
}

Correction find_correction(const cases::Case& c, const PowderWish& asked, const CorrectRequest& request,
                           const std::function<bool()>& go_on, const Told& told) {
  if (request.density) return find_for_density(c, asked, request, go_on, told);
  Correction correction;
  PowderWish wish = asked;
  correction.corrected = as_the_press(c, correction);
  const ProgrammeRuns coarse = exact_runs(c, coarse_K, request.threads, go_on),
                      fine = exact_runs(c, c.accuracy, request.threads, go_on);
  const inverse::SearchRules rules = rules_of(c, wish);
  const auto counted = [&](const inverse::Responses& model) {
    return [&correction, &told, &wish, model](std::span<const inverse::LegProgramme> programmes) {
      auto answers = model(programmes);
      correction.runs += static_cast<int>(programmes.size());
      double best = INFINITY;
      for (const std::vector<double>& answer : answers) {
        double sum = 0.0;
        for (std::size_t i = 0; i < answer.size(); ++i)
          sum += (answer[i] - wish.track.values[i]) * (answer[i] - wish.track.values[i]);
        if (!answer.empty()) best = std::min(best, std::sqrt(sum / static_cast<double>(answer.size())));
      }
      if (told) told(correction.runs, best);
      return answers;
    };
  };
  inverse::FoundProgramme found =
      inverse::search_programme(wish.track, counted(answers_of(coarse, wish, request.meant)), rules);
  if (!found.answered) {
    correction.why_not = "the case itself does not come to its end";
    return correction;
  }
  for (const auto& [from, to] : inverse::settled_spans(wish.track))
    correction.as_it_stands_K.push_back(inverse::mean_over(wish.track.times, found.first_response, from, to));
  bool at_limit = false;
  inverse::SearchRules once_more = rules;
  once_more.most_runs = fine_runs;
  const inverse::FoundProgramme last = inverse::refine_programme(
      wish.track, counted(answers_of(fine, wish, request.meant, &at_limit)), once_more, found);
  set_programme(as_typed(lines_of((last.answered ? last : found).programme, wish), wish, c.press.entry),
                correction);
  if (at_limit) lower_to_reach(fine, correction);
  correction.found = std::move(found);
  return correction;
}

std::optional<SlowerRamps> find_slower(const cases::Case& c, const PowderWish& wish,
                                       const CorrectRequest& request, const Correction& correction,
                                       const std::function<bool()>& go_on) {
  if (request.density || !lags(wish, correction.found)) return {};
  SlowerRamps slower;
  const PowderWish slow = slowed(wish, slower.factor);
  inverse::LegProgramme legs = correction.found.programme;
  // Legs of a ramp and its hold share the time until the end of the hold.
  double sum = 0.0, wanted = 0.0, before = 0.0;
  for (inverse::Leg& leg : legs.legs) {
    if (!slow.track.steps[static_cast<std::size_t>(leg.step)].level) leg.length *= slower.factor;
    sum += leg.length;
  }
  for (const inverse::WishStep& step : slow.track.steps) wanted += step.length;
  for (const inverse::WishStep& step : wish.track.steps) before += step.length;
  for (inverse::Leg& leg : legs.legs) leg.length *= wanted / sum;
  const ProgrammeRuns coarse = exact_runs(c, coarse_K, 1, go_on);
  inverse::SearchRules rules = rules_of(c, slow);
  rules.most_runs = slower_runs;
  const inverse::FoundProgramme from =
      inverse::search_programme(slow.track, answers_of(coarse, slow, request.meant), rules, &legs);
  if (!from.answered) return {};
  const std::vector<std::vector<cases::ProgrammeStep>> steps{programme_steps(lines_of(from.programme, slow))};
  const solver::RunResult result = std::move(coarse(steps).front());
  slower.longer_s = wanted - before;
  slower.rms_K = from.rms;
  slower.ramps = ramps_followed(slow, result, request.meant);
  return slower;
}

std::vector<RampFollowed> ramps_followed(const PowderWish& wish, const solver::RunResult& result,
                                         MeantFor meant) {
  std::vector<RampFollowed> ramps;
  std::vector<double> times, powder, spread, ahead;
  for (const solver::HistoryRow& row : result.rows) {
    if (!row.powder) return {};
    times.push_back(row.time_s);
    powder.push_back(meant_of(*row.powder, meant));
    spread.push_back(row.powder->max_K - row.powder->min_K);
    ahead.push_back(row.control_sensor >= 0
                        ? row.sensors[static_cast<std::size_t>(row.control_sensor)].reading_K - powder.back()
                        : NAN);
  }
  for (int k = 0; k < wish.driven; ++k) {
    const EnteredStep& step = wish.steps[static_cast<std::size_t>(k)];
    if (step.kind != Kind::ramp) continue;
    RampFollowed ramp;
    ramp.step = k;
    ramp.start_s = step.start_s;
    ramp.end_s = step.start_s + step.length_s;
    ramp.from_K = wished_at(wish, ramp.start_s);
    ramp.to_K = wished_at(wish, ramp.end_s);
    const auto at = [&](const std::vector<double>& values, double time) {
      return inverse::mean_over(times, values, time, time);
    };
    const double way = ramp.to_K >= ramp.from_K ? 1.0 : -1.0;
    double furthest = -INFINITY;
    for (const double t : wish.track.times) {
      if (t < ramp.start_s || t > ramp.end_s) continue;
      const double lag = wished_at(wish, t) - at(powder, t);
      if (way * lag <= furthest) continue;
      furthest = way * lag;
      ramp.largest_lag_K = lag;
      ramp.largest_lag_s = t;
    }
    ramp.end_lag_K = ramp.to_K - at(powder, ramp.end_s);
    ramp.end_spread_K = at(spread, ramp.end_s);
    ramp.sensor_ahead_K = at(ahead, ramp.end_s);
    ramps.push_back(ramp);
  }
  return ramps;
}

}  // namespace joulepress::tools
