// What an uncertain input may be, as a function of a share in (0, 1) of all cases that lie below it.
//
//   fixed       centre
//   normal      centre + size z           size: the standard deviation, in the unit of the input
//   log_normal  centre size^(z / 2)       centre: the median; size: the factor that is two standard
//   deviations
//                                         of the logarithm, so that about 95 % lie within centre / size and
//                                         centre size
// with the standard score z = Phi^-1(share).  What lies outside [low, high] is held at the limit: the limit
// takes the share of all that would lie beyond it, the rest is as without limits.
// Source: textbook; Phi^-1 from Boost.  Tests: tests/solver/test_distribution.cpp.
#pragma once

#include <limits>

namespace joulepress::inverse {

struct Distribution {
  enum class Kind { fixed, normal, log_normal };
  Kind kind = Kind::fixed;
  double centre = 0;  ///< unit of the input
  double size = 0;    ///< normal: unit of the input; log_normal: factor >= 1 [-]; fixed: not read
  double low = -std::numeric_limits<double>::infinity();  ///< unit of the input
  double high = std::numeric_limits<double>::infinity();  ///< unit of the input
};

/// z [-] of a share in (0, 1); std::invalid_argument outside.
double standard_score(double share);

/// Value of the input at a standard score [-].  Throws std::invalid_argument for a size below 0 (log_normal:
/// below 1), a log_normal centre not above 0, low above high, or a number that is not finite.
double at_score(const Distribution& distribution, double score);

/// Value of the input below which the share in (0, 1) lies; throws as both above.
double at(const Distribution& distribution, double share);

}  // namespace joulepress::inverse
