// The level of the last hold at which the powder has a wished density at its end.
#include <algorithm>
#include <cmath>

#include "solver/summary.hpp"
#include "tools/study/correct_runs.hpp"

namespace joulepress::tools {
namespace {

using Kind = EnteredStep::Kind;

constexpr double nearest_dense = 1e-4;  // porosity below which one density is as good as the other
constexpr double room_K = 300.0;        // either way from the case's own level; own choice
constexpr double difference_K = 10.0;
constexpr double enough = 1e-3;  // of the density: not met if it misses by more

/// The case's steps with its last hold at another level.
std::vector<EnteredStep> with_level(const PowderWish& wish, double level) {
  std::vector<EnteredStep> lines = wish.steps;
  int hold = wish.driven - 1;
  while (hold > 0 && lines[static_cast<std::size_t>(hold)].kind != Kind::hold) --hold;
  const auto last = static_cast<std::size_t>(hold);
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
  const double wished = request.density.value();
  correction.corrected = as_the_press(c, correction);
  const ProgrammeRuns coarse = exact_runs(c, coarse_K, request.threads, go_on),
                      own_grid = exact_runs(c, c.accuracy, request.threads, go_on);
  const auto residuals_of = [&](const ProgrammeRuns& runs) {
    return [&](std::span<const inverse::Point> points) {
      std::vector<std::vector<cases::ProgrammeStep>> steps;
      for (const inverse::Point& point : points) steps.push_back(programme_steps(with_level(wish, point[0])));
      std::vector<std::vector<double>> residuals;
      for (const solver::RunResult& result : runs(steps)) {
        const double density = result.status == solver::RunStatus::completed ? end_density(result) : NAN;
        residuals.emplace_back();
        if (std::isfinite(density))
          residuals.back().push_back(
              std::log((1.0 - density + nearest_dense) / (1.0 - wished + nearest_dense)));
      }
      correction.runs += static_cast<int>(points.size());
      if (told) told(correction.runs, NAN);
      return residuals;
    };
  };
  int hold = wish.driven - 1;
  while (hold > 0 && wish.steps[static_cast<std::size_t>(hold)].kind != Kind::hold) --hold;
  const double own = wish.steps[static_cast<std::size_t>(hold)].to_K;
  inverse::LeastSquaresProblem problem{residuals_of(coarse),
                                       {own},
                                       {std::max(wish.track.start + difference_K, own - room_K)},
                                       {own + room_K},
                                       {difference_K}};
  const inverse::LeastSquaresResult rough = inverse::least_squares(problem, {30, 1e-3, 0.02, true});
  if (rough.end == inverse::LeastSquaresResult::End::none) {
    correction.why_not = "the case itself does not come to its end";
    return correction;
  }
  problem.residuals = residuals_of(own_grid);
  problem.start = rough.x;
  const inverse::LeastSquaresResult fine =
      inverse::least_squares(problem, {4, 1e-3, 0.02, true}, &rough.jacobian);
  const double level = (fine.residuals.empty() ? rough : fine).x[0];
  std::vector<EnteredStep> lines = with_level(wish, level);
  lines.resize(static_cast<std::size_t>(wish.driven));
  set_programme(as_typed(std::move(lines), wish, c.press.entry), correction);
  return correction;
}

}  // namespace joulepress::tools
