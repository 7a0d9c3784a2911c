// How the current follows the programme.
//
// Everything is expressed in s = I^2 (effective current squared), which Joule heat is proportional to:
//   current programme  s = I(t)^2        voltage programme  s = (U(t) G)^2        power programme  s = P(t) G
// A temperature programme is tracked exactly: with the conductivities frozen in a sweep T = Ta + s Tb, and s
// follows from the control sensor.  0 <= s <= s_max from the limits of current, voltage and power, so that
// power is never negative: when the programme falls faster than the stack can cool the current is 0.
// A furnace's programme is the temperature of the chamber's wall; nothing flows.
#pragma once

#include "solver/problem.hpp"
#include "solver/results.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// The segment in force just after time t (the last one at the very end); null without a programme.
const Segment* segment_at(const Drive& drive, double t);

/// Programme value at t within the segment.
double value_in(const Segment& segment, double t);

/// Temperature of the chamber's wall at t [K], which radiating faces see: of a furnace as its programme has
/// it, otherwise constant.
double chamber_at(const Problem& problem, double t);

/// Whether the drive sends a current through the stack.
bool carries_current(const Drive& drive);

/// Largest s the press can give at the conductance G [S], and which limit binds.
struct Ceiling {
  double s = 0;
  Limit limit = Limit::none;
};
Ceiling ceiling(const Drive& drive, double conductance);

/// s prescribed by a segment of current, voltage or power, clamped to the ceiling.
struct Prescribed {
  double s = 0;
  Limit limit = Limit::none;
};
Prescribed prescribed(const Drive& drive, DriveKind kind, const Segment& segment, double t,
                      double conductance);

/// Takes from the drive all that can stand between the programme and the stack: limits, controller,
/// hand-over, rules.
void clear_the_way(Drive& drive);

/// Time of the programme when the clock shows t, in a step from the state [s].
double programme_time(const State& state, double t);

/// Time at which the force is read from its programme [s].
double force_time(const State& state, double t);

/// Time of the programme at which its first rise meets a value; 0 where none does [s].
double time_of_value(const Drive& drive, double value);

/// The sensor that controls at present; -1 without one.
int control_sensor(const Drive& drive, const ControlState& control);

/// End of the programme [s].
double end_time(const Drive& drive);

}  // namespace joulepress::solver
