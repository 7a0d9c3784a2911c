#include "solver/event.hpp"

#include <algorithm>
#include <cmath>

#include "solver/abort.hpp"
#include "solver/drive.hpp"
#include "solver/sensor.hpp"

namespace joulepress::solver {
namespace {

// K: rounding, less is no departure from the programme; what tracking may leave at a corner, more is a jump.
constexpr double reading_slack = 5e-3, tracking_slack = 0.1;

/// Reading minus programme [K].  Exact tracking follows the settled reading: a lag cannot turn a corner.
double lead(const Problem& problem, const State& before, const State& state, const Segment& now) {
  return settled(problem, control_sensor(problem.drive, before.control), state) -
         value_in(now, programme_time(before, state.time));
}

double lead(const Problem& problem, const State& state) {
  return lead(problem, state, state, *segment_at(problem.drive, programme_time(state, state.time)));
}

}  // namespace

Event event_of(const Problem& problem, const State& before, const StepOutcome& step, const Segment& now) {
  Event event;
  const auto take = [&event](Event::What what, double value) {
    if (!(value > event.value)) return;
    event.what = what;
    event.value = value;
  };
  const bool tracks = problem.drive.kind == DriveKind::tracking;
  const double s = step.state.current_squared;
  if (before.mode == DriveMode::tracking) {
    const Ceiling top = ceiling(problem.drive, step.conductance);
    event.limit = s < 0.0 ? Limit::none : top.limit;
    event.value = std::isfinite(top.s) ? std::max(-s, s - top.s) / top.s : -s;
  } else if (before.mode == DriveMode::off && tracks && !now.off) {
    event.value = -lead(problem, before, step.state, now) - reading_slack;
  } else if (before.mode == DriveMode::at_limit) {
    event.value = lead(problem, before, step.state, now) - reading_slack;
  }
  const int sensor = control_sensor(problem.drive, before.control);
  if (const auto& next = problem.drive.hand_over;
      next && tracks && sensor != next->sensor && !now.off && sees(problem, next->sensor, step.state))
    take(Event::What::hand_over, settled(problem, sensor, step.state) - next->at);
  const Excess excess = largest_excess(problem, step.state, step.conductance);
  event.rule = excess.rule;
  take(Event::What::abort, excess.value);
  return event;
}

double value_at_start(const Problem& problem, const State& state) {
  const bool tracks = problem.drive.kind == DriveKind::tracking;
  if (state.mode == DriveMode::off && tracks) return std::min(-lead(problem, state) - reading_slack, -1e-12);
  if (state.mode == DriveMode::at_limit) return std::min(lead(problem, state) - reading_slack, -1e-12);
  return -1.0;
}

DriveMode mode_at_start(const Problem& problem, const State& state) {
  const double ahead = lead(problem, state);
  const double slack = state.mode == DriveMode::tracking ? tracking_slack : reading_slack;
  if (std::abs(ahead) <= slack) return DriveMode::tracking;
  if (ahead > 0.0) return DriveMode::off;
  return std::isfinite(ceiling(problem.drive, 1.0).s) ? DriveMode::at_limit : DriveMode::tracking;
}

}  // namespace joulepress::solver
