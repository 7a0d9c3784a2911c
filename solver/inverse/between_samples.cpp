#include "solver/inverse/between_samples.hpp"

#include <algorithm>
#include <cstddef>
#include <stdexcept>

namespace joulepress::inverse {
namespace {

/// Slopes at the samples: the weighted harmonic mean of those on either side, none where these differ in
/// sign; at the ends that of the last interval.
std::vector<double> slopes_of(const std::vector<double>& t, const std::vector<double>& v) {
  const std::size_t n = t.size();
  std::vector<double> slopes(n, 0.0);
  if (n < 2) return slopes;
  const auto step = [&](std::size_t k) { return t[k + 1] - t[k]; };
  const auto rise = [&](std::size_t k) { return (v[k + 1] - v[k]) / step(k); };
  slopes.front() = rise(0);
  slopes.back() = rise(n - 2);
  for (std::size_t k = 1; k + 1 < n; ++k) {
    const double before = rise(k - 1), behind = rise(k);
    if (!(before * behind > 0.0)) continue;
    const double a = 2.0 * step(k) + step(k - 1), b = step(k) + 2.0 * step(k - 1);
    slopes[k] = (a + b) / (a / before + b / behind);
  }
  return slopes;
}

}  // namespace

std::vector<double> between_samples(const std::vector<double>& times, const std::vector<double>& values,
                                    const std::vector<double>& wanted) {
  if (times.empty() || times.size() != values.size())
    throw std::invalid_argument("as many values as times, and at least one");
  std::vector<double> t, v, out;
  for (std::size_t k = 0; k < times.size(); ++k) {
    if (!t.empty() && !(times[k] > t.back())) continue;
    t.push_back(times[k]);
    v.push_back(values[k]);
  }
  const std::vector<double> slopes = slopes_of(t, v);
  for (const double at : wanted) {
    const auto next = std::upper_bound(t.begin(), t.end(), at);
    if (next == t.begin() || next == t.end()) {
      out.push_back(next == t.begin() ? v.front() : v.back());
      continue;
    }
    const auto k = static_cast<std::size_t>(next - t.begin()) - 1;
    const double length = t[k + 1] - t[k], x = (at - t[k]) / length, y = 1.0 - x;
    out.push_back(v[k] * y * y * (1.0 + 2.0 * x) + v[k + 1] * x * x * (1.0 + 2.0 * y) +
                  length * x * y * (slopes[k] * y - slopes[k + 1] * x));
  }
  return out;
}

}  // namespace joulepress::inverse
