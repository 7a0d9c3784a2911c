#include "solver/abort.hpp"

#include <cmath>
#include <cstdio>

#include "solver/drive.hpp"
#include "solver/sensor.hpp"

namespace joulepress::solver {
namespace {

double value_of(const Problem& problem, const AbortRule& rule, const State& state, double conductance) {
  const double current = std::sqrt(std::max(state.current_squared, 0.0));
  const double voltage = conductance > 0.0 ? current / conductance : 0.0;
  switch (rule.what) {
    case AbortRule::What::current:
      return current;
    case AbortRule::What::voltage:
      return voltage;
    case AbortRule::What::power:
      return current * voltage;
    case AbortRule::What::reading:
      break;
  }
  return settled(problem, rule.sensor, state);
}

/// Relative excess of the rule; -1 where it is not in force.
double excess(const Problem& problem, const AbortRule& rule, const State& state, double conductance) {
  const int sensor = control_sensor(problem.drive, state.control);
  if (sensor >= 0 && settled(problem, sensor, state) > rule.until) return -1.0;
  return value_of(problem, rule, state, conductance) / rule.above - 1.0;
}

}  // namespace

double abort_value(const Problem& problem, const State& state, double conductance) {
  double largest = -1.0;
  for (const AbortRule& rule : problem.drive.aborts)
    largest = std::max(largest, excess(problem, rule, state, conductance));
  return largest;
}

std::string abort_text(const Problem& problem, const State& state) {
  const AbortRule* broken = nullptr;
  double largest = -1.0;
  for (const AbortRule& rule : problem.drive.aborts) {
    const double its = excess(problem, rule, state, state.control.conductance);
    if (!(its > largest)) continue;
    largest = its;
    broken = &rule;
  }
  if (!broken) return "a rule of the case ended the run";
  char what[200], text[400];
  const double above = broken->told > 0.0 ? broken->told : broken->above;
  switch (broken->what) {
    case AbortRule::What::current:
      std::snprintf(what, sizeof what, "the current rose above %.0f A", above);
      break;
    case AbortRule::What::voltage:
      std::snprintf(what, sizeof what, "the voltage rose above %.2f V", above);
      break;
    case AbortRule::What::power:
      std::snprintf(what, sizeof what, "the power rose above %.2f kW", 1e-3 * above);
      break;
    case AbortRule::What::reading:
      std::snprintf(what, sizeof what, "%s read more than %.0f degC",
                    problem.sensors[broken->sensor].name.c_str(), above - zero_celsius);
      break;
  }
  std::snprintf(text, sizeof text, "at t = %.1f s %s, which the case gives as a reason to stop", state.time,
                what);
  return text;
}

}  // namespace joulepress::solver
