// The press's own controller: a PID that looks at the reading once a period.
//
//   e = w - y,   v = K [ e + (1/Ti) sum e T ] + D,   D' = (Tf D - K Td (y - y_before)) / (Tf + T),  Tf = Td/8
// w programme, y reading, K gain, Ti integral time, Td derivative time, T period (textbook; the derivative is
// that of the reading, so that corners of the programme do not kick, and filtered, since a reading is noisy).
// The output u = v inside its limits goes in a straight line from sample to sample: current and temperature
// slopes have no jumps, and a step of the march needs no restart.
// Anti-windup: where the output is clamped, or the press could not give what was asked for, the integral is
// set back to what explains the output that was given.  Without an integral time there is none: v = K e + D
// and what a start at constant power left. Tests: tests/solver/test_control.cpp,
// tests/verification/test_controlled.cpp.
#pragma once

#include "solver/problem.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// Power or current: what the output is.
DriveKind output_kind(const Controller& controller);

/// The output between the last sample and the next, in clock time.
Segment output_segment(const Controller& controller, const ControlState& control);

/// A sample at `time` [s]: the programme says `set` and the sensor shows `reading` [K]; `given` is the output
/// that the press reached in fact [W or A].
void take_sample(const Controller& controller, double time, double set, double reading, double given,
                 ControlState& control);

/// Whether the controller is at work: once the current is cut for good the march is free in its steps.
bool is_sampled(const Drive& drive, const State& state);

/// A sample of the problem's controller in a state: which sensor controls, whether the programme waits, the
/// next output.  True where a segment of the programme began since the last one.
bool sample(const Problem& problem, State& state);

/// When holds began and ended in fact, the press having waited; those that a start at constant power jumped
/// over never did.
void tell_holds(const Drive& drive, const ControlState& control, std::vector<HistoryFrame::Hold>& holds);

/// A sample whose next output is known beforehand: start at constant power, or current cut.
void lead_output(const Controller& controller, double time, double next, double reading, double given,
                 ControlState& control);

}  // namespace joulepress::solver
