#include "solver/tuning.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "solver/steady.hpp"

namespace joulepress::solver {
namespace {

constexpr double length = 120.0;  // s; steepest long before, since heat needs seconds across a tool
constexpr double share = 0.1;     // of the full output, as the step

/// Temperature of the first hold, or the highest where there is none.
double working_point(const Drive& drive) {
  double highest = 0.0;
  for (const Segment& segment : drive.segments) {
    if (segment.hold && segment.from > segment.to - 1.0 && segment.start > 0.0) return segment.to;
    highest = std::max({highest, segment.from, segment.to});
  }
  return highest;
}

/// What the sensor shows after a step of power, every second.
std::vector<double> readings_after(Problem q, double power, int sensor) {
  Segment step;
  step.end = length;
  step.from = step.to = power;
  q.drive.kind = DriveKind::power;
  q.drive.segments = {step};
  const RunResult result = run(q);
  std::vector<double> readings;
  if (result.status != RunStatus::completed) return readings;
  for (int k = 0; k * q.history_every <= length; ++k) {
    const auto row = std::lower_bound(result.rows.begin(), result.rows.end(), k * q.history_every - 1e-6,
                                      [](const HistoryRow& r, double time) { return r.time_s < time; });
    readings.push_back(row->sensors[sensor].reading_K);
  }
  return readings;
}

/// dP/dI of the stack where it holds a temperature [V]; 0 where no steady state is found.
double power_per_current(const Problem& problem, double at) {
  Problem q = problem;
  Segment hold;
  hold.end = 1.0;
  hold.from = hold.to = at;
  q.drive.segments = {hold};
  const Steady steady = solve_steady(q, 0.0);
  if (!steady.converged || !(steady.stage.conductance > 0.0)) return 0.0;
  return 2.0 * std::sqrt(std::max(steady.state.current_squared, 0.0)) / steady.stage.conductance;
}

}  // namespace

Gains suggested_gains(const Problem& problem) {
  Problem q = solved(problem);
  const Controller controller = *q.drive.controller;  // of a half: its share of the output
  const int sensor = q.drive.hand_over ? q.drive.hand_over->sensor : q.drive.sensor;
  Gains gains;
  gains.at_K = working_point(q.drive);
  clear_the_way(q.drive);
  q.initial_temperature = gains.at_K;
  q.history_every = 1.0;
  q.fields_every = 0.0;
  const double per_output = controller.by_power ? 1.0 : power_per_current(q, gains.at_K);  // W
  const double step = share * controller.highest * per_output;
  if (!(step > 0.0) || !std::isfinite(step)) {
    gains.why_not = "no steady state was found at the first hold";
    return gains;
  }
  const std::vector<double> without = readings_after(q, 0.0, sensor), with = readings_after(q, step, sensor);
  if (without.empty() || with.size() != without.size()) {
    gains.why_not = "the step of the model could not be run";
    return gains;
  }
  std::size_t steepest = 1;
  const auto answer = [&](std::size_t k) { return with[k] - without[k]; };
  const auto rise = [&](std::size_t k) { return answer(k) - answer(k - 1); };
  for (std::size_t k = 2; k < with.size(); ++k)
    if (rise(k) > rise(steepest)) steepest = k;
  if (!(rise(steepest) > 0.0)) {
    gains.why_not = "the sensor does not answer to a step of power";
    return gains;
  }
  const double slope = rise(steepest) / q.history_every;
  const double time = (static_cast<double>(steepest) - 0.5) * q.history_every;
  const double delay = std::max(0.0, time - 0.5 * (answer(steepest) + answer(steepest - 1)) / slope);
  gains.delay = delay + controller.period;
  gains.gain = step / (2.0 * slope * gains.delay) / per_output;
  gains.integral_time = 8.0 * gains.delay;
  // The whole takes twice the power of its half, and the same current.
  const double halves = problem.half ? 2.0 : 1.0;
  gains.slope = slope / (halves * step);
  if (controller.by_power) gains.gain *= halves;
  return gains;
}

}  // namespace joulepress::solver
