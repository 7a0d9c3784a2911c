// Why the powder is not as hot as the sensor reads: the way from the reading to the powder mean, one bar for
// each step, with its sign.  The bars join end to end, so that their sum is seen to be the whole difference.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "solver/density_summary.hpp"
#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

struct SignedStep {
  std::string name;
  double value = 0;  ///< K
};

/// The terms of the offset on their way from the sensor to the powder: the order of solver::offset_terms
/// backward.  `names` by the key of the term; a missing one is the key.  Terms that are zero are left out.
std::vector<SignedStep> offset_steps(const solver::OffsetParts& parts,
                                     const std::map<std::string, std::string>& names);

struct SignedBars {
  Head head;
  std::string start_name, end_name;  ///< "sensor reads", "powder mean"
  double start = 0;                  ///< the reading, in the unit of the axis
  std::vector<SignedStep> steps;     ///< from `start` to the end
  std::string axis_label;            ///< "temperature in °C"
  std::string unit, step_unit;       ///< written behind values: "°C", "K"
};

/// `start` and the steps' sum.
double end_of(const SignedBars& bars);

/// The SVG; without steps the text is empty.
std::string signed_bars(const SignedBars& bars);

}  // namespace joulepress::tools::figures
