#include "solver/control.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/noise.hpp"
#include "solver/sensor.hpp"

namespace joulepress::solver {
namespace {

constexpr std::uint64_t control_noise_seed = 1;
constexpr double derivative_filter = 8.0;  // common practice: 5 to 20

void begin_period(double time, double given, ControlState& control) {
  ++control.samples;
  control.sampled_at = time;
  control.from = given;
}

}  // namespace

DriveKind output_kind(const Controller& controller) {
  return controller.by_power ? DriveKind::power : DriveKind::current;
}

Segment output_segment(const Controller& controller, const ControlState& control) {
  Segment output;
  output.start = control.sampled_at;
  output.end = control.sampled_at + controller.period;
  output.from = control.from;
  output.to = control.to;
  return output;
}

void take_sample(const Controller& c, double time, double set, double reading, double given,
                 ControlState& control) {
  const double period = c.period, error = set - reading;
  const bool integrates = c.integral_time > 0.0;
  // Asked for more than the press gave: the integral takes back the difference.
  if (integrates) control.integral += given - control.to;
  if (c.derivative_time > 0.0 && control.samples > 0) {
    const double filter = c.derivative_time / derivative_filter;
    control.derivative =
        (filter * control.derivative - c.gain * c.derivative_time * (reading - control.reading)) /
        (filter + period);
  }
  if (integrates) control.integral += c.gain * error * period / c.integral_time;
  begin_period(time, given, control);
  control.reading = reading;
  const double wanted = c.gain * error + control.integral + control.derivative;
  const double most = c.rate * period;
  control.to =
      std::clamp(std::clamp(wanted, c.lowest, std::max(c.lowest, c.highest)), given - most, given + most);
  if (integrates) control.integral += control.to - wanted;
}

void lead_output(const Controller& c, double time, double next, double reading, double given,
                 ControlState& control) {
  begin_period(time, given, control);
  control.reading = reading;
  const double most = c.rate * c.period;
  control.to = std::clamp(next, given - most, given + most);
  // As if the controller had asked for it: the first sample of its own goes on from there.
  control.integral = control.to;
  control.derivative = 0.0;
}

namespace {

/// What the controller reads: the instrument and its noise.
double sampled_reading(const Problem& problem, const State& state) {
  const int sensor = control_sensor(problem.drive, state.control);
  const double noise = problem.sensors[sensor].noise;
  const double reading = shown(problem, sensor, state);
  if (!(noise > 0.0)) return reading;
  return reading + noise * normal_deviate(control_noise_seed, static_cast<std::uint64_t>(sensor),
                                          static_cast<std::uint64_t>(state.control.samples));
}

/// Output that makes a power now.
double output_of_power(const Controller& c, double power, double conductance) {
  return c.by_power ? power : std::sqrt(power * std::max(conductance, 0.0));
}

/// The largest output that the limits of the press allow now.
double can_give(const Drive& drive, double conductance) {
  if (!(conductance > 0.0)) return 0.0;
  const double s = ceiling(drive, conductance).s;
  return drive.controller->by_power ? s / conductance : std::sqrt(s);
}

/// Constant power until the sensor sees; then the programme goes on from where it meets the reading.
void start_blind(const Problem& problem, double reading, State& state) {
  const Controller& c = *problem.drive.controller;
  ControlState& control = state.control;
  if (control.samples == 0) control.blind = control.stands = c.start_power.has_value();
  if (!control.blind || !sees(problem, control_sensor(problem.drive, control), state) ||
      reading < c.start_until)
    return;
  const double stood = programme_time(state, state.time);
  const double goes_on = std::max(stood, time_of_value(problem.drive, reading));
  control.blind = control.stands = false;
  control.waited = state.time - goes_on;
  control.skipped = goes_on - stood;
}

/// The timer of a hold starts when the reading has arrived.
void wait_for_arrival(const Drive& drive, double reading, State& state) {
  ControlState& control = state.control;
  if (control.blind) return;
  const Segment& now = drive.segments[control.segment];
  const bool from_above = control.segment > 0 && drive.segments[control.segment - 1].from > now.from;
  const double arrival = drive.controller->arrival;
  const bool there = from_above ? reading <= now.from + arrival : reading >= now.from - arrival;
  const double programme = programme_time(state, state.time);
  control.stands = now.hold && !there && control.arrived != control.segment;
  control.waited = state.time - programme;
  if (now.hold && !control.stands) control.arrived = control.segment;
}

/// True where the programme is in another segment than at the last sample.
bool note_segment(const Drive& drive, State& state) {
  ControlState& control = state.control;
  const int now =
      static_cast<int>(segment_at(drive, programme_time(state, state.time)) - drive.segments.data());
  if (now == control.segment) return false;
  control.delays.resize(static_cast<std::size_t>(now), control.waited);
  control.segment = now;
  return true;
}

}  // namespace

bool is_sampled(const Drive& drive, const State& state) {
  const ControlState& control = state.control;
  if (!drive.controller) return false;
  const bool resting = control.samples > 0 && control.from == 0.0 && control.to == 0.0;
  const Segment* now = segment_at(drive, programme_time(state, state.time));
  return !(resting && now->off && now == &drive.segments[control.segment]);  // it has seen that corner
}

bool sample(const Problem& problem, State& state) {
  const Drive& drive = problem.drive;
  const Controller& c = *drive.controller;
  ControlState& control = state.control;
  double reading = sampled_reading(problem, state);
  if (const auto& next = drive.hand_over; next && control_sensor(drive, control) != next->sensor &&
                                          reading >= next->at && sees(problem, next->sensor, state)) {
    control.sensor = next->sensor;
    control.reading = reading = sampled_reading(problem, state);  // the step between two sensors is no rate
  }
  if (control.samples > 0 && state.time > control.sampled_at + 1.5 * c.period) {
    control.reading = reading;  // it rested: how the reading changed since then is no rate
    control.derivative = 0.0;
  }
  start_blind(problem, reading, state);
  const bool corner = note_segment(drive, state);
  wait_for_arrival(drive, reading, state);
  const Segment& now = drive.segments[control.segment];
  const double given = std::min(control.to, can_give(drive, control.conductance));
  const double time = state.time;
  if (control.blind)
    lead_output(c, time, output_of_power(c, *c.start_power, control.conductance), reading, given, control);
  else if (now.off)
    lead_output(c, time, 0.0, reading, given, control);
  else
    take_sample(c, time, value_in(now, programme_time(state, time)), reading, given, control);
  return corner;
}

void tell_holds(const Drive& drive, const ControlState& control, std::vector<HistoryFrame::Hold>& holds) {
  if (!drive.controller) return;
  std::vector<HistoryFrame::Hold> in_fact;
  std::size_t n = 0;
  for (std::size_t k = 0; k < drive.segments.size(); ++k) {
    const Segment& its = drive.segments[k];
    if (!its.hold) continue;
    HistoryFrame::Hold hold = holds[n++];
    if (its.end <= control.skipped) continue;
    const double delay = k < control.delays.size() ? control.delays[k] : control.waited;
    hold.start_s = its.start + delay;
    hold.end_s = its.end + delay;
    in_fact.push_back(std::move(hold));
  }
  holds = std::move(in_fact);
}

}  // namespace joulepress::solver
