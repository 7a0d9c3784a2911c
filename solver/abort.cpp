#include "solver/abort.hpp"

#include <algorithm>
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
  return shown(problem, rule.sensor, state);
}

/// Until the control sensor first shows the value of `until`.
bool is_in_force(const Problem& problem, const AbortRule& rule, const State& state) {
  const int sensor = control_sensor(problem.drive, state.control);
  return sensor < 0 || std::max(state.control.highest, shown(problem, sensor, state)) <= rule.until;
}

}  // namespace

Excess largest_excess(const Problem& problem, const State& state, double conductance) {
  Excess largest;
  for (std::size_t k = 0; k < problem.drive.aborts.size(); ++k) {
    const AbortRule& rule = problem.drive.aborts[k];
    if (!is_in_force(problem, rule, state)) continue;
    const double value = value_of(problem, rule, state, conductance) / rule.above - 1.0;
    if (value > largest.value) largest = {value, static_cast<int>(k)};
  }
  return largest;
}

std::string abort_text(const Problem& problem, int rule, double time) {
  const AbortRule* broken = &problem.drive.aborts[rule];
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
  std::snprintf(text, sizeof text, "at t = %.1f s %s, which the case gives as a reason to stop", time, what);
  return text;
}

}  // namespace joulepress::solver
