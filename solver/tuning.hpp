// Gains for the press's controller, from a step of the model.
//
// The stack begins everywhere at the temperature of the first hold; two runs, without power and with a step
// of it, differ by the answer of the sensor to that step.  From its steepest tangent: slope k [K/(s W)] and
// delay d [s], to which a period of the controller is added (half for looking once a period, half for an
// output that goes in straight lines).  Then, for a process that integrates after a delay,
//   K = 1 / (2 k d),   Ti = 8 d          (Skogestad 2003, J. Process Control 13:291, from memory)
// with the closed loop as fast as the delay.  An output of current is taken along its slope dP/dI = 2 R I at
// the current that holds that temperature.  Tests: tests/verification/test_tuning.cpp.
#pragma once

#include <optional>
#include <string>

#include "solver/problem.hpp"

namespace joulepress::solver {

struct Gains {
  double gain = 0;           ///< W/K or A/K, of the whole stack
  double integral_time = 0;  ///< s
  double delay = 0;          ///< s, the period included
  double slope = 0;          ///< K/(s W)
  double at_K = 0;           ///< where the step was taken
  std::string why_not;       ///< why there are none; empty when there are
};

/// The problem must have a controller and a programme of temperature with a hold or a ramp.
Gains suggested_gains(const Problem& problem);

}  // namespace joulepress::solver
