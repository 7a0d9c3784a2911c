// What to expect before anything runs: current, voltage, power and offset at every hold, from a steady
// solution on a coarse grid.  Steady means that the hold lasts for ever: a short one is still on its way
// there.
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
  double set_K = 0;                ///< what the control sensor reads; 0 without one
  std::optional<double> powder_K;  ///< mean
  double hottest_tool_K = 0;
  std::string hottest_tool;
};

/// One a hold; at most the first four, so that a check stays quick.
std::vector<HoldForecast> forecast(const Case& c);

/// Doubts that the forecast raises: current density in the punches, limits of the press, liquid in the
/// powder, data that end before.
std::vector<Doubt> doubts_of(const Case& c, const std::vector<HoldForecast>& holds);

/// Current density in a part that all the current passes [A/cm2].
double current_density(const ColumnPart& part, double current_A);

}  // namespace joulepress::cases
