// Problems for least squares whose minima are known.  NIST: Statistical Reference Datasets, nonlinear
// regression; data, starts and certified values from stored copies of Misra1a.dat, BoxBOD.dat and
// Thurber.dat.  The others: More, Garbow, Hillstrom, ACM Trans. Math. Softw. 7 (1981) 17, in brackets their
// numbers, from memory.
#pragma once

#include <functional>
#include <limits>
#include <vector>

#include "solver/inverse/least_squares.hpp"

namespace joulepress::test {

using inverse::Point;
using Function = std::function<std::vector<double>(const Point&)>;

constexpr double none = std::numeric_limits<double>::infinity();

/// What was asked of a function.
struct Asked {
  int calls = 0;
  std::vector<std::size_t> sizes;
  std::vector<Point> points;
};

inverse::Residuals asking(const Function& f, Asked& asked);

struct Known {
  const char* name;
  Function f;
  Point start;
  Point step;
  Point lowest, highest;  ///< empty: endless
  double sum = 0;         ///< of squares, least
  double limit = 0;
  Point x;                 ///< empty: more than one, or no number at hand
  double x_limit = 0;      ///< relative
  bool secant_too = true;  ///< the same limits hold between differences
};

std::vector<Known> known_problems();

std::vector<double> rosenbrock(const Point& x);

inverse::LeastSquaresProblem problem_of(const Known& known, Asked& asked);
inverse::LeastSquaresProblem problem_of(const Function& f, Asked& asked, Point start, Point lowest,
                                        Point highest, Point step);

/// Ends where rounding does.
inverse::LeastSquaresRules exact(bool secant = true);

}  // namespace joulepress::test
