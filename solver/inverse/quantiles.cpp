#include "solver/inverse/quantiles.hpp"

#include <algorithm>
#include <boost/math/special_functions/beta.hpp>
#include <cmath>
#include <stdexcept>

#include "solver/inverse/distribution.hpp"

namespace joulepress::inverse {
namespace {

using InDoubles = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

void refuse_unusable(std::span<const double> sample, std::size_t least) {
  if (sample.size() < least) throw std::invalid_argument("sample: too few values");
  if (!std::all_of(sample.begin(), sample.end(), [](double x) { return std::isfinite(x); }))
    throw std::invalid_argument("sample: a value is not finite");
}

/// Between sorted values at a place counted from 0.
double between(std::span<const double> sorted, double place) {
  const std::size_t before = std::min(static_cast<std::size_t>(place), sorted.size() - 1);
  const std::size_t behind = std::min(before + 1, sorted.size() - 1);
  return std::lerp(sorted[before], sorted[behind], place - static_cast<double>(before));
}

/// Real k in (0, n + 1) with I_share(k, n + 1 - k) = probability; the left side falls from 1 to 0.
double place_of(double share, double probability, double n) {
  double low = 0.0, high = n + 1.0;
  for (int halving = 0; halving < 60; ++halving) {
    const double middle = 0.5 * (low + high);
    const bool above = boost::math::ibeta(middle, n + 1.0 - middle, share, InDoubles()) > probability;
    (above ? low : high) = middle;
  }
  return 0.5 * (low + high);
}

/// The k-th of n sorted values for real k in (0, n + 1).
double value_at_place(std::span<const double> sorted, double k) {
  const double n = static_cast<double>(sorted.size());
  if (k >= 1.0 && k <= n) return between(sorted, k - 1.0);
  const double end = k < 1.0 ? 1.0 : n, median = quantile(sorted, 0.5);
  const double last = k < 1.0 ? sorted.front() : sorted.back();
  return median + (last - median) * standard_score(k / (n + 1.0)) / standard_score(end / (n + 1.0));
}

}  // namespace

Moments moments(std::span<const double> sample) {
  refuse_unusable(sample, 2);
  const double n = static_cast<double>(sample.size());
  Moments found;
  for (const double x : sample) found.mean += x / n;
  double squares = 0.0;
  for (const double x : sample) squares += (x - found.mean) * (x - found.mean);
  found.standard_deviation = std::sqrt(squares / (n - 1.0));
  found.mean_error = found.standard_deviation / std::sqrt(n);
  return found;
}

double quantile(std::span<const double> sorted, double share) {
  refuse_unusable(sorted, 1);
  if (!(share >= 0.0 && share <= 1.0)) throw std::invalid_argument("quantile: share outside [0, 1]");
  if (!std::is_sorted(sorted.begin(), sorted.end())) throw std::invalid_argument("quantile: not sorted");
  return between(sorted, share * static_cast<double>(sorted.size() - 1));
}

std::vector<QuantileEstimate> quantiles(std::span<const double> sample, std::span<const double> shares,
                                        double confidence) {
  refuse_unusable(sample, 2);
  if (!(confidence > 0.0 && confidence < 1.0))
    throw std::invalid_argument("quantiles: confidence outside (0, 1)");
  std::vector<double> sorted(sample.begin(), sample.end());
  std::sort(sorted.begin(), sorted.end());
  const double n = static_cast<double>(sorted.size());
  std::vector<QuantileEstimate> found;
  for (const double share : shares) {
    if (!(share > 0.0 && share < 1.0)) throw std::invalid_argument("quantiles: share outside (0, 1)");
    const double value = quantile(sorted, share);
    const double low = value_at_place(sorted, place_of(share, 0.5 + 0.5 * confidence, n));
    const double high = value_at_place(sorted, place_of(share, 0.5 - 0.5 * confidence, n));
    found.push_back({share, value, std::min(low, value), std::max(high, value)});
  }
  return found;
}

}  // namespace joulepress::inverse
