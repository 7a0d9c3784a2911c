#include "solver/sensor.hpp"

#include <cmath>

#include "solver/drive.hpp"

namespace joulepress::solver {
namespace {

/// The optics with the lowest value as it lies before what it reads too high is added.
Pyrometer before_shift(const Sensor& sensor) {
  Pyrometer optics = sensor.optics;
  optics.lower_limit -= sensor.reads_high_by;
  return optics;
}

}  // namespace

double material_at(const Sensor& sensor, std::span<const double> temperature,
                   std::span<const double> outer_edges, double chamber) {
  if (sensor.kind == SensorKind::furnace) return chamber;
  return sensor.kind == SensorKind::thermocouple ? sensor.junction.of(temperature)
                                                 : sensor.spot.of(outer_edges);
}

double change_at(const Problem& problem, const Sensor& sensor, std::span<const double> change) {
  if (sensor.kind == SensorKind::thermocouple) return sensor.junction.of(change);
  double sum = 0.0;
  for (std::size_t k = 0; k < sensor.spot.faces.size(); ++k)
    sum += sensor.spot.weights[k] * change[problem.interfaces.outer_faces[sensor.spot.faces[k]].a.cell];
  return sum;
}

double settled_reading(const Sensor& sensor, double material, double ambient) {
  if (sensor.exact) return material + sensor.reads_high_by;
  if (sensor.kind == SensorKind::pyrometer)
    return shown_temperature(before_shift(sensor), material) + sensor.reads_high_by;
  return tip_temperature(sensor.stem, material, ambient) + sensor.reads_high_by;
}

double error_bound(const Sensor& sensor, double material, double ambient) {
  if (sensor.exact) return 0.0;
  if (sensor.kind == SensorKind::pyrometer) return std::nan("");
  return material - bound_tip(sensor.stem, material, ambient);
}

bool is_in_sight(const Sensor& sensor, double material) {
  return sensor.kind != SensorKind::pyrometer || solver::is_in_sight(before_shift(sensor), material);
}

double material_for_reading(const Sensor& sensor, double shown, double ambient) {
  const double true_reading = shown - sensor.reads_high_by;
  if (sensor.exact) return true_reading;
  if (sensor.kind == SensorKind::pyrometer) return surface_for_reading(sensor.optics, true_reading);
  return material_for_tip(sensor.stem, true_reading, ambient);
}

double lagged(double before, double from, double to, double dt, double response) {
  if (!(response > 0.0) || !(dt > 0.0)) return response > 0.0 ? before : to;
  const double behind = response * (to - from) / dt;  // of a steady ramp
  return to - behind + (before - from + behind) * std::exp(-dt / response);
}

double settled(const Problem& problem, int sensor, const CellField& temperature,
               const EdgeTemperatures& edges, double t) {
  const Sensor& its = problem.sensors[sensor];
  const double ambient = chamber_at(problem, t);
  return settled_reading(its, material_at(its, temperature, edges.outer, ambient), ambient);
}

double settled(const Problem& problem, int sensor, const State& state) {
  return settled(problem, sensor, state.temperature, state.edges, state.time);
}

double shown(const Problem& problem, int sensor, const State& state) {
  return state.readings.empty() ? settled(problem, sensor, state) : state.readings[sensor];
}

bool sees(const Problem& problem, int sensor, const State& state) {
  const Sensor& its = problem.sensors[sensor];
  return is_in_sight(its,
                     material_at(its, state.temperature, state.edges.outer, chamber_at(problem, state.time)));
}

std::vector<double> readings_after(const Problem& problem, const State& before, double dt,
                                   const CellField& temperature, const EdgeTemperatures& edges) {
  std::vector<double> readings;
  for (int k = 0; k < static_cast<int>(problem.sensors.size()); ++k) {
    const double is = settled(problem, k, temperature, edges, before.time + dt),
                 response = problem.sensors[k].response;
    readings.push_back(response > 0.0
                           ? lagged(shown(problem, k, before), settled(problem, k, before), is, dt, response)
                           : is);
  }
  return readings;
}

}  // namespace joulepress::solver
