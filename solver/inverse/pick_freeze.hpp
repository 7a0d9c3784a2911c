// Which inputs an output's variance comes from, by a design made for the question: n (d + 2) runs.
//
// From two samples A and B of n rows and d columns, and AB_j: A with the column j of B.  With y centred by
// the mean over A and B,
//   S_j = (1/n) sum_i y_B (y_ABj - y_A) / V      Saltelli et al., Comput. Phys. Commun. 181 (2010) 259
//   T_j = (1/2n) sum_i (y_A - y_ABj)^2 / V       Jansen, Comput. Phys. Commun. 117 (1999) 35
// V the variance over A and B.  Estimates of small S_j scatter about 0 and may lie below it.  Intervals:
// bootstrap.hpp, over the sample rows; Sobol points are more even than that, the intervals on the wide side.
// All indices dimensionless.  Sources from memory.  Tests: tests/solver/test_pick_freeze.cpp.
#pragma once

#include <cstdint>
#include <span>
#include <vector>

#include "solver/inverse/index.hpp"
#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

/// Shares in (0, 1) of n (d + 2) runs, one column per input: A, B, AB_1 .. AB_d of n rows each.  n = 2^k is
/// best.  Throws std::invalid_argument as sobol_points does in 2 d dimensions, and for 2^31 runs or more.
Table pick_freeze_points(int n, int d, std::uint64_t seed);

/// One index per input from the outputs of those runs, in their order.  Where one is not finite (a run that
/// failed) the sample row is left out of all matrices.  Outputs that are all equal give zeros.  Throws
/// std::invalid_argument for a wrong number of outputs or fewer than two whole sample rows.
std::vector<Index> pick_freeze_indices(int n, int d, std::span<const double> outputs,
                                       std::uint64_t bootstrap_seed = 1);

}  // namespace joulepress::inverse
