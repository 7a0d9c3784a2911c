// The march: from the initial state to the end of the programme.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::solver {

struct Progress {
  double time_s, end_s;
  double sensor_K;  ///< reading of the control sensor, NaN without one
  double powder_K;  ///< powder mean, NaN without powder
};

/// Called after every accepted step; returning false stops the run (status interrupted).
/// Observers cannot influence the numbers.
using ProgressObserver = std::function<bool(const Progress&)>;

/// Runs the whole programme.  Never throws for reasons of physics: a run that cannot go on returns what was
/// computed with status failed and the reason.
RunResult run(const Problem& problem, const ProgressObserver& observe = {});

/// What is not in the model, as sentences for every report.
std::vector<std::string> not_modelled(const Problem& problem);

}  // namespace joulepress::solver
