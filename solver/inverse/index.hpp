// How much of an output's variance is due to one uncertain input.
//
//   first order   S_j = V[ E[y | x_j] ] / V[y]           what goes if x_j becomes known
//   total         T_j = E[ V[y | all but x_j] ] / V[y]   what stays if all others become known
// For independent inputs 0 <= S_j <= T_j; the difference is interaction; the S_j sum to 1 if there is none.
// Source: Saltelli et al., Global Sensitivity Analysis, 2008, from memory.
#pragma once

#include "solver/inverse/bootstrap.hpp"

namespace joulepress::inverse {

/// Estimates for one input [-] and their 95 % intervals (bootstrap.hpp).
struct Index {
  double first = 0, total = 0;
  Interval first_interval, total_interval;
};

}  // namespace joulepress::inverse
