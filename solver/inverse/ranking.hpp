// Which inputs an output's variance comes from, told from a sample of runs made for other ends.
//
// Inputs are standard scores z, independent and normal, so that functions of them have known variances:
//
// Linear    y = b_0 + sum_j b_j z_j + rest by least squares
//   V = sum_j b_j^2 + s^2,  s^2 = RSS / (n - d - 1);   SRC_j = b_j / sqrt V,  share_j = SRC_j^2
//   R2 = 1 - RSS / TSS,  adjusted 1 - (1 - R2) (n - 1) / (n - d - 1),  Q2 = 1 - PRESS / TSS with
//   PRESS = sum_i (e_i / (1 - h_i))^2, what each row misses if it is left out, h the diagonal of the hat
//   matrix
//
// Quadratic y = c_0 + sum_k c_k psi_k over few of: z_j, (z_j^2 - 1) / sqrt 2, z_i z_j; Hermite polynomials of
// variance 1 and no covariance, so that with D = sum_k c_k^2
//   S_j = (sum of c_k^2 of j alone) / D,   T_j = (sum of c_k^2 of all with j) / D
// Terms are taken one by one, each the one that lowers RSS most beside those there (orthogonal least
// squares); products only of inputs that already have a term of their own.  There are as many of them, k, at
// most a third of n, as make the corrected leave-one-out error least (Chapelle, Vapnik, Bengio, Mach. Learn.
// 48 (2002) 9; Blatman and Sudret, J. Comput. Phys. 230 (2011) 2345):
//   error = PRESS / (n - 1 - 2 k)  (1 + tr (Psi^T Psi)^-1),   Q2 = 1 - error (n - 1) / TSS
// Every term counts twice, once as a coefficient and once for having been the best of many, of which PRESS
// knows nothing (the charge of Friedman, Ann. Stat. 19 (1991) 1; how large: own choice).  1 - Q2 is the part
// of V[y] that the indices say nothing about.  A product of two inputs that do nothing alone remains unseen,
// as do powers above 2.
//
// Measured with 20 inputs, four of which act, and 5 % of the variance noise (25 seeds): Q2 0.93 where new
// runs give 0.94 at n = 64, 0.942 and 0.945 at 128; of the intervals, which take the terms as given, 90 %
// hold the truth.  If all 20 act alike, 64 runs are too few (Q2 0.50, new runs 0.60), 128 enough (0.91,
// 0.92). All results dimensionless.  Sources from memory.  Tests: tests/solver/test_ranking.cpp.
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "solver/inverse/index.hpp"
#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

struct LinearRanking {
  std::vector<double> coefficients;  ///< SRC_j, with the sign of the effect
  std::vector<double> shares;        ///< of the output's variance
  double r2 = 1, adjusted_r2 = 1, q2 = 1;
};

/// From one row of scores per run and one output each.  Empty unless the runs tell every coefficient, also
/// with any one of them left out: more than inputs + 1, and in all directions.  Equal outputs: zeros, R2 = Q2
/// = 1.  Throws std::invalid_argument for another number of outputs or values that are not finite.
std::optional<LinearRanking> linear_ranking(const Table& scores, std::span<const double> outputs);

/// c z_first (second < 0), c (z_first^2 - 1) / sqrt 2 (second = first) or c z_first z_second.
struct Term {
  int first = 0, second = -1;
  double coefficient = 0;  ///< unit of the output
};

struct QuadraticRanking {
  std::vector<Index> indices;  ///< one per input
  std::vector<Term> terms;     ///< in the order in which they were taken
  double q2 = 1;
};

/// From one row of scores per run and one output each, two runs at least.  Intervals: rows drawn again, the
/// same terms.  Equal outputs: zeros, Q2 = 1.  Throws std::invalid_argument as linear_ranking does.
QuadraticRanking quadratic_ranking(const Table& scores, std::span<const double> outputs,
                                   std::uint64_t bootstrap_seed = 1);

}  // namespace joulepress::inverse
