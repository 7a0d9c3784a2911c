// What to expect before anything runs: current, voltage, power and offset at every hold, from a steady
// solution on a coarse grid; of a furnace how slowly the stack follows it.  Steady means that the hold lasts
// for ever: a short one is still on its way there.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/process_faults.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {

struct HoldForecast {
  std::string name;
  std::string problem;  ///< why there is no forecast; empty: there is one
  double current_A = 0, voltage_V = 0, power_W = 0;
  double set_K = 0;                              ///< what the control sensor reads; 0 without one
  std::vector<double> readings_K;                ///< of every sensor
  std::optional<double> powder_K, powder_max_K;  ///< mean, hottest place
  double hottest_tool_K = 0;
  std::string hottest_tool;
  std::vector<double> highest_by_material_K;  ///< of each material of the case; 0: of no part
  /// At the end of the ramp to this hold, temperature programmes only: the power of the hold and the heat
  /// stored when every place rises in proportion to the steady field,
  ///   P = P_hold + rate * sum C_i (T_i - T_start) / (T_sensor - T_start).
  std::optional<double> ramp_current_A, ramp_voltage_V, ramp_power_W;
  /// In a furnace: time in which the stack, as if evenly hot, follows it to 1 - 1/e,
  ///   sum C_i / sum dQ/dT  over the surface, and how far it is behind at the end of the ramp, rate * time.
  std::optional<double> follows_s, behind_K;
};

/// One a hold; at most the first four, so that a check stays quick.
std::vector<HoldForecast> forecast(const Case& c);

/// Doubts that the forecast raises: current density in the punches, limits of the press (at holds and at the
/// ends of ramps), liquid in powder and tools, couples that get too hot.
std::vector<Doubt> doubts_of(const Case& c, const std::vector<HoldForecast>& holds);

/// Data that end before the highest temperature expected, where they reach the programme's.  A run says this
/// itself, of the temperatures it met.
std::vector<Doubt> doubts_of_data(const Case& c, const std::vector<HoldForecast>& holds);

/// Current density in a part that all the current passes [A/cm2].
double current_density(const ColumnPart& part, double current_A);

}  // namespace joulepress::cases
