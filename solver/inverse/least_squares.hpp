// Bounded nonlinear least squares for residuals that cost a run each.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

using Point = std::vector<double>;

/// Residuals at several points at once, so that the model may be run for them side by side; one vector a
/// point, empty where the model has none.
using Residuals = std::function<std::vector<std::vector<double>>(std::span<const Point>)>;

struct LeastSquaresProblem {
  Residuals residuals;
  Point start, lowest, highest;  ///< a box; start is put into it
  Point step;  ///< of differences, above 0: what is a small but clear change of each unknown; also its scale
};

struct LeastSquaresRules {
  int most_points = 60;      ///< at which the residuals may be asked for
  double least_gain = 1e-3;  ///< share of the sum of squares; an accepted step that gains less is the last
  double least_move = 0.02;  ///< longest component of a step over `step`; a shorter one is the last
  bool secant = true;        ///< between differences the Jacobian follows the residuals met (Broyden)
};

struct LeastSquaresResult {
  /// gain, move: nothing more to gain; budget: most_points; none: no residuals at the start
  enum class End { gain, move, budget, none } end = End::none;
  Point x;
  std::vector<double> residuals;
  double sum_of_squares = 0;
  Table jacobian;  ///< a row a residual, a column an unknown; at x, or near it where `secant`
  int points = 0;  ///< at which the residuals were asked for
};

/// `jacobian`: a first guess of it, instead of differences at the start; null: none.
/// Throws std::invalid_argument for lengths that differ, a box that is none, steps that are not above 0.
LeastSquaresResult least_squares(const LeastSquaresProblem& problem, const LeastSquaresRules& rules = {},
                                 const Table* jacobian = nullptr);

}  // namespace joulepress::inverse
