#include "solver/frame.hpp"

#include <algorithm>
#include <cmath>

#include "solver/control.hpp"
#include "solver/drive.hpp"
#include "solver/sensor.hpp"
#include "solver/stroke.hpp"
#include "solver/thermoelectric.hpp"
#include "solver/touches.hpp"

namespace joulepress::solver {
namespace {

/// A frame at a time after `before`, with the fields of `state` as start values.
Frame start_frame(const Problem& problem, const State& before, const State& state, double time) {
  Frame frame;
  frame.time = time;
  frame.programme = programme_time(before, time);
  frame.force_time = force_time(before, time);
  frame.control_sensor = control_sensor(problem.drive, before.control);
  frame.temperature = state.temperature;
  frame.potential = state.potential;
  frame.edges = state.edges;
  frame.beds = state.beds;
  frame.hottest = state.highest;
  return frame;
}

/// How the beds close at the frame's instant.
void close_beds(const Problem& problem, const Workspace& ws, Frame& frame) {
  const double force = force_at(problem, frame.force_time);
  for (std::size_t b = 0; b < problem.beds.size(); ++b)
    frame.closings.push_back(closing_of(problem, problem.beds[b], ws.present.shapes()[b], frame.beds[b],
                                        frame.temperature, force));
}

/// `current_squared(conductance)` [A2]: what flows once the conductance is known.
template <class F>
void finish_frame(const Problem& start, Workspace& ws, const State& state, F&& current_squared,
                  Frame& frame) {
  const Problem& problem = ws.present.at(frame.beds);
  frame.joule.assign(frame.temperature.size(), 0.0);
  properties_at(problem, frame.temperature, frame.beds, frame.hottest, frame.properties);
  close_beds(start, ws, frame);
  touches_at(problem, frame.temperature, frame.edges.pair_a, frame.edges.pair_b,
             loads_of(problem, frame.force_time, frame.closings), frame.properties);
  // Before the first step nothing is known of the potential, and no current has flown.
  if (ws.electrified && state.electric_matrix && use_electric_factor(problem, ws, state)) {
    electric_conductances(problem, frame.properties, ws.electric_faces);
    solve_potential(problem, ws.electric_faces, ws.electric, *state.electric_matrix,
                    problem.numerics.potential_tolerance, frame.potential, frame.currents);
    const TerminalCurrents currents = terminal_currents(problem, frame.currents);
    frame.conductance = 0.5 * (currents.low + currents.high);
    frame.current = std::sqrt(std::max(current_squared(frame.conductance), 0.0));
    frame.voltage = frame.current / frame.conductance;
    const double scale = frame.voltage * frame.voltage;
    frame.contact_heat = scale * joule_heat(problem, frame.currents, frame.potential, frame.joule);
    for (double& heat : frame.joule) heat *= scale;
  }
  heat_flows(problem, frame.properties, frame.temperature, frame.time, frame.edges, frame.flows);
  if (!problem.thermoelectric) return;
  const double current = signed_current(problem, frame.current * frame.current);
  const Thermoelectric heat =
      add_thermoelectric_heat(problem, frame.properties, frame.currents, frame.conductance, current,
                              frame.temperature, frame.edges, frame.flows);
  frame.seebeck = problem.positive_below ? -heat.voltage : heat.voltage;
  frame.thermoelectric = heat.power;
}

}  // namespace

Frame frame_within(const Problem& problem, Workspace& ws, const State& before, const StepOutcome& step,
                   double theta) {
  const State& after = step.state;
  const double time = before.time + theta * (after.time - before.time);
  Frame frame = start_frame(problem, before, after, time);
  // Start values between the two states save most of the iterations; the solution does not depend on them.
  const auto blend = [theta](const std::vector<double>& low, std::vector<double>& high) {
    for (std::size_t i = 0; i < high.size(); ++i) high[i] = low[i] + theta * (high[i] - low[i]);
  };
  blend(before.temperature, frame.temperature);
  frame.beds = dense_beds(before, step, theta);
  frame.hottest = before.highest;
  frame.potential = dense_potential(step, theta);
  blend(before.edges.pair_a, frame.edges.pair_a);
  blend(before.edges.pair_b, frame.edges.pair_b);
  blend(before.edges.outer, frame.edges.outer);
  temperature_from_enthalpy(problem, ws.mass, dense_enthalpy(before, step, theta), frame.temperature);
  const auto flowing = [&](double conductance) {
    const Segment* segment = segment_at(problem.drive, frame.programme);
    if (after.mode == DriveMode::driven)
      return prescribed(problem.drive, problem.drive.kind, *segment, frame.programme, conductance).s;
    if (after.mode == DriveMode::controlled)
      return prescribed(problem.drive, output_kind(*problem.drive.controller),
                        output_segment(*problem.drive.controller, before.control), frame.time, conductance)
          .s;
    if (after.mode == DriveMode::at_limit) return ceiling(problem.drive, conductance).s;
    return dense_current_squared(step, theta);
  };
  finish_frame(problem, ws, after, flowing, frame);
  frame.readings = readings_after(problem, before, time - before.time, frame.temperature, frame.edges);
  return frame;
}

Frame frame_of(const Problem& problem, Workspace& ws, const State& state) {
  Frame frame = start_frame(problem, state, state, state.time);
  finish_frame(
      problem, ws, state, [&state](double) { return state.current_squared; }, frame);
  frame.readings = readings_after(problem, state, 0.0, frame.temperature, frame.edges);
  return frame;
}

}  // namespace joulepress::solver
