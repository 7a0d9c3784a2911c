// timing.json: every clock and machine fact of a run; all other files are the same bytes for the same input.
#pragma once

#include <string>

#include "solver/results.hpp"

namespace joulepress::tools {

struct Timing {
  double wall_s = 0, cpu_s = 0, march_cpu_s = 0, judging_cpu_s = 0;  ///< the last: whether tools hold
};

/// CPU seconds of this process so far.
double cpu_seconds();

std::string timing_json(const Timing& timing, const solver::Counts& counts);

}  // namespace joulepress::tools
