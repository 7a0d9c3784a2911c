#include "solver/drive.hpp"

#include <algorithm>
#include <limits>

namespace joulepress::solver {

const Segment* segment_at(const Drive& drive, double t) {
  if (drive.segments.empty()) return nullptr;
  for (const Segment& segment : drive.segments)
    if (t < segment.end) return &segment;
  return &drive.segments.back();
}

double value_in(const Segment& segment, double t) {
  const double length = segment.end - segment.start;
  if (!(length > 0.0)) return segment.to;
  const double share = std::clamp((t - segment.start) / length, 0.0, 1.0);
  return segment.from + share * (segment.to - segment.from);
}

double chamber_at(const Problem& problem, double t) {
  if (problem.drive.kind != DriveKind::furnace) return problem.chamber_temperature;
  const Segment* segment = segment_at(problem.drive, t);
  return segment ? value_in(*segment, t) : problem.chamber_temperature;
}

bool carries_current(const Drive& drive) {
  return drive.kind != DriveKind::none && drive.kind != DriveKind::furnace;
}

Ceiling ceiling(const Drive& drive, double conductance) {
  Ceiling lowest{drive.current_limit * drive.current_limit, Limit::current};
  const double by_voltage = drive.voltage_limit * conductance * drive.voltage_limit * conductance;
  if (by_voltage < lowest.s) lowest = {by_voltage, Limit::voltage};
  const double by_power = drive.power_limit * conductance;
  if (by_power < lowest.s) lowest = {by_power, Limit::power};
  return lowest;
}

Prescribed prescribed(const Drive& drive, DriveKind kind, const Segment& segment, double t,
                      double conductance) {
  if (segment.off) return {};
  const double value = value_in(segment, t);
  double s = 0.0;
  if (kind == DriveKind::current) s = value * value;
  if (kind == DriveKind::voltage) s = value * conductance * value * conductance;
  if (kind == DriveKind::power) s = std::max(value, 0.0) * conductance;
  const Ceiling top = ceiling(drive, conductance);
  if (s > top.s) return {top.s, top.limit};
  return {s, Limit::none};
}

void clear_the_way(Drive& drive) {
  drive.controller.reset();
  drive.hand_over.reset();
  drive.aborts.clear();
  drive.current_limit = drive.voltage_limit = drive.power_limit = std::numeric_limits<double>::infinity();
}

double programme_time(const State& state, double t) {
  return (state.control.stands ? state.time : t) - state.control.waited;
}

double force_time(const State& state, double t) {
  return programme_time(state, t) - state.control.skipped;
}

double time_of_value(const Drive& drive, double value) {
  for (const Segment& segment : drive.segments)
    if (!segment.off && segment.to > segment.from && value >= segment.from && value <= segment.to)
      return segment.start +
             (value - segment.from) / (segment.to - segment.from) * (segment.end - segment.start);
  return 0.0;
}

int control_sensor(const Drive& drive, const ControlState& control) {
  return control.sensor >= 0 ? control.sensor : drive.sensor;
}

double end_time(const Drive& drive) {
  return drive.segments.empty() ? 0.0 : drive.segments.back().end;
}

}  // namespace joulepress::solver
