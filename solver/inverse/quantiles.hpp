// What a sample tells of the distribution it is from, and how well.
//
// Value at a share p: straight between the sorted values, x_(1 + (n - 1) p) (type 7 of Hyndman and Fan, Am.
// Stat. 50 (1996) 361).  Its interval needs no distribution: the share of cases below the l-th of n values is
// Beta(l, n + 1 - l), so that the true quantile lies above x_l with the probability I_p(l, n + 1 - l).  With
// confidence c
//   low = x_l,   I_p(l, n + 1 - l) = (1 + c) / 2        high = x_u,  I_p(u, n + 1 - u) = (1 - c) / 2
// for real l and u, straight between the values again (Hutson, J. Appl. Stat. 26 (1999) 343).  Where l < 1 or
// u > n the sample ends before its interval does.  There the last value x_e and the median m are carried on
// as a normal distribution would,
//   x_l = m + (x_e - m) z(l) / z(e),   z(k) = Phi^-1(k / (n + 1)),
// own choice.  At 95 % and p = 0.025 or 0.975 this happens below n = 146.
//
// How often 95 % intervals hold the truth at p = 0.975 (4000 samples): normal 94 % at n = 32, 95 % from 64;
// log-normal of sigma 0.5, the worse tail, 88 % at 32, 93 % at 64, 95 % from 128.  Even points (sampling.hpp)
// give better quantiles than random ones: for them the intervals are on the wide side.
// Sources from memory.  Tests: tests/solver/test_quantiles.cpp.
#pragma once

#include <span>
#include <vector>

namespace joulepress::inverse {

/// All in the unit of the sample.
struct Moments {
  double mean = 0;
  double standard_deviation = 0;  ///< with n - 1
  double mean_error = 0;          ///< standard error of the mean, of a random sample
};

struct QuantileEstimate {
  double share = 0;          ///< of cases below it [-]
  double value = 0;          ///< unit of the sample
  double low = 0, high = 0;  ///< interval about it, unit of the sample
};

/// Of at least two finite values; else std::invalid_argument.
Moments moments(std::span<const double> sample);

/// Type 7 quantile, in the unit of the sample, of values sorted upward, at least one; share in [0, 1]. Throws
/// std::invalid_argument for others and for values that are not finite.
double quantile(std::span<const double> sorted, double share);

/// One estimate per share in (0, 1), with intervals of the given confidence in (0, 1).  The sample: at least
/// two finite values in any order.  Throws std::invalid_argument for others.
std::vector<QuantileEstimate> quantiles(std::span<const double> sample, std::span<const double> shares,
                                        double confidence = 0.95);

}  // namespace joulepress::inverse
