// The level of the last hold at which the powder has a wished density at its end.
#include <algorithm>
#include <cmath>

#include "solver/summary.hpp"
#include "tools/study/correct_runs.hpp"

namespace joulepress::tools {
namespace {

using Kind = EnteredStep::Kind;

constexpr double nearest_dense = 1e-4;  // porosity below which one density is as good as the other
constexpr double level_step_K = 100.0;  // between the levels tried first; own choice
constexpr int levels_either_way = 3;
constexpr int closer_runs = 8;        // between two of them
constexpr double near_enough = 1e-3;  // of the density

/// Number of its step; the last driven one where there is no hold.
std::size_t last_hold(const PowderWish& wish) {
  int hold = wish.driven - 1;
  while (hold > 0 && wish.steps[static_cast<std::size_t>(hold)].kind != Kind::hold) --hold;
  return static_cast<std::size_t>(
      wish.steps[static_cast<std::size_t>(hold)].kind == Kind::hold ? hold : wish.driven - 1);
}

/// The case's steps with its last hold at another level.
std::vector<EnteredStep> with_level(const PowderWish& wish, double level) {
  std::vector<EnteredStep> lines = wish.steps;
  const std::size_t last = last_hold(wish);
  for (std::size_t k = last > 0 ? last - 1 : 0; k <= last; ++k) lines[k].to_K = level;
  for (std::size_t k = last; k < lines.size(); ++k) {
    lines[k].from_K = k == last ? level : lines[k - 1].to_K;
    if (lines[k].kind == Kind::cool) lines[k].to_K = lines[k].from_K;
  }
  return lines;
}

double end_density(const solver::RunResult& result) {
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const bool there = !summary.holds.empty() && summary.holds.back().last.powder;
  return there ? summary.holds.back().last.powder->density_mean : NAN;
}

}  // namespace

Correction find_for_density(const cases::Case& c, const PowderWish& wish, const CorrectRequest& request,
                            const std::function<bool()>& go_on, const Told& told) {
  Correction correction;
  correction.corrected = as_the_press(c, correction);
  const double wished = request.density.value();
  // How much less dense than wished, as a logarithm of porosities: the densities of the last percents differ
  // too little.
  const auto less_dense_at = [&](const ProgrammeRuns& runs, const std::vector<double>& levels) {
    std::vector<std::vector<cases::ProgrammeStep>> steps;
    for (const double level : levels) steps.push_back(programme_steps(with_level(wish, level)));
    std::vector<double> less;
    for (const solver::RunResult& result : runs(steps)) {
      const double density = result.status == solver::RunStatus::completed ? end_density(result) : NAN;
      less.push_back(std::log((1.0 - density + nearest_dense) / (1.0 - wished + nearest_dense)));
    }
    correction.runs += static_cast<int>(levels.size());
    if (told) told(correction.runs, NAN);
    return less;
  };
  const double own = wish.steps[last_hold(wish)].to_K;
  std::vector<double> levels;
  for (int k = -levels_either_way; k <= levels_either_way; ++k)
    if (own + k * level_step_K > wish.track.start + level_step_K) levels.push_back(own + k * level_step_K);
  const std::vector<double> less = less_dense_at(exact_runs(c, coarse_K, request.threads, go_on), levels);
  // The powder is denser the hotter it was held: two levels lie about the wish, or the nearest has to do.
  std::optional<std::pair<double, double>> about;
  double level = own, nearest = INFINITY;
  for (std::size_t k = 0; k < levels.size(); ++k) {
    if (k > 0 && less[k - 1] > 0.0 && less[k] <= 0.0 && !about) about = {levels[k - 1], levels[k]};
    if (!(std::abs(less[k]) < nearest)) continue;
    nearest = std::abs(less[k]);
    level = levels[k];
  }
  if (std::isinf(nearest)) {
    correction.why_not = "no run near the case comes to its end";
    return correction;
  }
  if (about) {
    const ProgrammeRuns own_grid = exact_runs(c, c.accuracy, request.threads, go_on);
    auto [low, high] = *about;
    for (int run = 0; run < closer_runs; ++run) {
      level = 0.5 * (low + high);
      const double here = less_dense_at(own_grid, {level}).front();
      if (std::abs(here) * (1.0 - wished) < near_enough || high - low < c.press.entry.temperature) break;
      (here > 0.0 ? low : high) = level;
    }
  }
  std::vector<EnteredStep> lines = with_level(wish, level);
  lines.resize(static_cast<std::size_t>(wish.driven));
  set_programme(as_typed(std::move(lines), wish, c.press.entry), correction);
  return correction;
}

}  // namespace joulepress::tools
