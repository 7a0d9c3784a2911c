// What a programme would have needed where the press was at a limit: the same run with nothing in its way.
#pragma once

#include <vector>

#include "solver/results.hpp"

namespace joulepress::solver {

struct Problem;

/// The worst instant of one interval at a limit.
struct Need {
  LimitedInterval interval;
  double needs = 0;       ///< A, V or W of what limits, at that instant; what the press gives: its limit
  double gives = 0;       ///< the same
  double set_K = 0;       ///< programme then
  double rate_K_s = 0;    ///< its slope then; 0: a hold
  bool programme = true;  ///< false: the programme alone needs no more than the press gives
};

/// One for every interval at a limit of the press under a programme of temperature, exactly followed without
/// limits, controller and hand-over.  Empty for other drives, and where that run fails.
std::vector<Need> needs_of(const Problem& problem, const RunResult& result);

}  // namespace joulepress::solver
