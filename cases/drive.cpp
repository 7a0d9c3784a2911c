#include "cases/drive.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>

#include "cases/reader/input_error.hpp"
#include "cases/stack.hpp"
#include "solver/half.hpp"

namespace joulepress::cases {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

solver::DriveKind kind_of(const Programme& programme) {
  switch (programme.driven) {
    case Programme::Driven::temperature:
      return programme.by_furnace ? solver::DriveKind::furnace : solver::DriveKind::tracking;
    case Programme::Driven::current:
      return solver::DriveKind::current;
    case Programme::Driven::voltage:
      return solver::DriveKind::voltage;
    case Programme::Driven::power:
      return solver::DriveKind::power;
    case Programme::Driven::nothing:
      break;
  }
  return solver::DriveKind::none;
}

solver::Controller controller_of(const Case& c) {
  const CaseController& source = c.press.controller;
  solver::Controller controller;
  // A press without the limit has been refused by then.
  const double full = (source.by_power ? c.press.power_limit : c.press.current_limit).value_or(0.0);
  controller.period = source.period;
  controller.by_power = source.by_power;
  if (source.proportional_band) controller.gain = full / *source.proportional_band;
  controller.integral_time = source.integral_time.value_or(0.0);
  controller.derivative_time = source.derivative_time;
  controller.lowest = source.least_output * full;
  controller.highest = source.largest_output * full;
  if (source.full_sweep > 0.0) controller.rate = full / source.full_sweep;
  controller.arrival = source.arrival;
  controller.start_power = c.programme.start_power;
  controller.start_until = c.programme.start_until.value_or(0.0);
  return controller;
}

solver::AbortRule rule_of(const Case& c, const CaseAbortRule& source) {
  solver::AbortRule rule;
  const auto watch = [&rule](solver::AbortRule::What what, const std::optional<double>& above) {
    if (!above) return;
    rule.what = what;
    rule.above = *above;
  };
  watch(solver::AbortRule::What::current, source.current);
  watch(solver::AbortRule::What::voltage, source.voltage);
  watch(solver::AbortRule::What::power, source.power);
  watch(solver::AbortRule::What::reading, source.reading);
  rule.sensor = sensor_named(c, source.of.empty() ? c.programme.control : source.of);
  if (rule.sensor < 0) rule.sensor = 0;
  rule.until = source.until.value_or(infinity);
  return rule;
}

std::vector<solver::Segment> segments_of(const Case& c, bool of_temperature) {
  std::vector<solver::Segment> segments;
  double time = 0.0, value = of_temperature ? start_of_programme(c) : 0.0;
  int holds = 0;
  for (const ProgrammeStep& step : c.programme.steps) {
    solver::Segment segment;
    segment.start = time;
    segment.from = value;
    segment.to = step.kind == ProgrammeStep::Kind::ramp ? step.to : value;
    segment.hold = step.kind == ProgrammeStep::Kind::hold;
    segment.off = step.kind == ProgrammeStep::Kind::cool_free;
    segment.name = step.name;
    if (segment.hold && segment.name.empty()) segment.name = fmt::format("hold {}", ++holds);
    const double length = step.duration ? *step.duration : std::abs(segment.to - segment.from) / *step.rate;
    segment.end = time + length;
    time = segment.end;
    value = segment.off && !of_temperature ? 0.0 : segment.to;
    if (length > 0.0) segments.push_back(segment);
  }
  return segments;
}

}  // namespace

solver::Drive drive_of(const Case& c) {
  solver::Drive drive;
  drive.kind = kind_of(c.programme);
  drive.current_limit = c.press.current_limit.value_or(infinity);
  drive.voltage_limit = c.press.voltage_limit.value_or(infinity);
  drive.power_limit = c.press.power_limit.value_or(infinity);
  const bool of_temperature = c.programme.driven == Programme::Driven::temperature;
  drive.segments = segments_of(c, of_temperature);
  for (const CaseAbortRule& rule : c.programme.aborts) drive.aborts.push_back(rule_of(c, rule));
  if (!of_temperature) return drive;
  drive.sensor = sensor_named(c, c.programme.control);
  if (!c.programme.hand_over_to.empty())
    drive.hand_over = solver::HandOver{sensor_named(c, c.programme.hand_over_to), c.programme.hand_over_at};
  if (c.programme.by_controller) drive.controller = controller_of(c);
  return drive;
}

std::optional<solver::Gains> settle_gains(const Case& c, solver::Problem& problem) {
  if (!problem.drive.controller || c.press.controller.proportional_band) return std::nullopt;
  const solver::Gains gains = solver::suggested_gains(problem);
  if (!gains.why_not.empty()) {
    ErrorList errors;
    errors.add(c.press.written.at("controller"), c.press.written.path_of("controller"),
               fmt::format("No gains follow from a step of the model: {}.", gains.why_not),
               "Give `proportional band` and `integral time`.");
    errors.throw_if_any();
  }
  problem.drive.controller->gain = gains.gain;
  problem.drive.controller->integral_time = gains.integral_time;
  if (problem.half) problem.half = solver::half_of(problem);
  return gains;
}

}  // namespace joulepress::cases
