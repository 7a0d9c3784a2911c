// Bounded nonlinear least squares for residuals that cost a run each.
//
//   least S = |r(x)|^2 in a box, r and x finite;  p = (change of x) / step, J = dr/dp,  g = J^T r
//   trial step   least |r + J p|^2 with |p| <= D:  (J^T J + lambda) p = -g,  lambda >= 0 and 0 where |p| < D
//                (Levenberg, Q. Appl. Math. 2 (1944) 164; Marquardt, J. SIAM 11 (1963) 431; D kept instead of
//                lambda: More, Lect. Notes Math. 630 (1978) 105).  lambda from the singular values of J, so
//                that finding it costs no run.
//   box          an unknown at a bound where -g points out of the box is left out of the step; one that the
//                step takes past a bound is put on it, and the rest of the step is found anew.
//   D            endless at first; q = (fall of S) / (fall that |r + J p|^2 foretells).  q < 1/4: D is |p|
//                times the minimum of the parabola through S, its slope and the new S, held to [1/10, 1/2]
//                (More; 1/4 where the trial has no residuals); q > 3/4: at least 2 |p|.
//   J            forward differences of `step`, backward where the box leaves no room; a point without
//                residuals is tried on the other side, and failing that the column is zero.
//   secant       after every trial with residuals, taken or not,  J += (dr - J p) p^T / p^T p  (Broyden,
//                Math. Comp. 19 (1965) 577).  Differences anew where a trial with a J that is not from
//                differences at this very x was no better, or gained next to nothing of much that J foretold;
//                never twice at one x.
// S never rises.  One J is one call of `residuals` (one more for the other sides), a trial is one.  The same
// calls give the same result to the bit.  Sources from memory; numbers in D not said to be More's: own
// choice. Tests: tests/solver/test_least_squares.cpp.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

using Point = std::vector<double>;

/// Residuals at several points at once, so that the model may be run for them side by side; one vector a
/// point, empty where the model has none.  A vector with a number that is not finite counts as empty.
using Residuals = std::function<std::vector<std::vector<double>>(std::span<const Point>)>;

struct LeastSquaresProblem {
  Residuals residuals;
  Point start, lowest, highest;  ///< a box, also endless; equal: not varied; start is put into it
  Point step;  ///< of differences, above 0: what is a small but clear change of each unknown; also its scale
};

struct LeastSquaresRules {
  int most_points = 60;      ///< at which the residuals may be asked for
  double least_gain = 1e-3;  ///< share of the sum of squares; an accepted step that gains less is the last
  double least_move = 0.02;  ///< longest component of a step over `step`; a shorter one is the last
  bool secant = true;        ///< between differences the Jacobian follows the residuals met (Broyden)
};

struct LeastSquaresResult {
  /// gain, move: nothing more to gain; budget: most_points; none: no residuals at the start, or nowhere a
  /// step from x
  enum class End { gain, move, budget, none } end = End::none;
  Point x;  ///< the best point met
  std::vector<double> residuals;
  double sum_of_squares = 0;
  Table jacobian;  ///< a row a residual, a column an unknown; at x, or near it where `secant`
  int points = 0;  ///< at which the residuals were asked for
};

/// `jacobian`: a first guess of it, instead of differences at the start; null: none.
/// Throws std::invalid_argument for lengths that differ, a box that is none, steps that are not above 0, a
/// start that is not finite, no point to ask for.
LeastSquaresResult least_squares(const LeastSquaresProblem& problem, const LeastSquaresRules& rules = {},
                                 const Table* jacobian = nullptr);

}  // namespace joulepress::inverse
