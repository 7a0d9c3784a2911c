// How much a number told from n runs would change with other runs: told by drawing the runs again.
//
// 200 times n rows are drawn with replacement from the n rows and the numbers computed anew; the interval of
// each number goes from its 2.5 % to its 97.5 % quantile (percentile interval; Efron and Tibshirani, An
// Introduction to the Bootstrap, 1993, from memory).  Rows are the generator's 64 bits modulo n (uneven by n
// / 2^64), so that the same seed gives the same rows everywhere.
#pragma once

#include <cstdint>
#include <functional>
#include <span>
#include <vector>

namespace joulepress::inverse {

struct Interval {
  double low = 0, high = 0;
};

/// Numbers from some rows, each named by its index, some of them several times.
using Statistic = std::function<std::vector<double>(std::span<const int> rows)>;

/// 95 % intervals, one per number of the statistic, in its units; it gives equally many for all rows, all
/// finite.  n > 0.
std::vector<Interval> bootstrap(int n, const Statistic& statistic, std::uint64_t seed);

}  // namespace joulepress::inverse
