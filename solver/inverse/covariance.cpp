#include "solver/inverse/covariance.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::inverse {

double covariance_between(const Table& covariance, const std::vector<double>& a,
                          const std::vector<double>& b) {
  double sum = 0.0;
  for (int i = 0; i < covariance.rows; ++i)
    for (int j = 0; j < covariance.columns; ++j)
      sum += a[static_cast<std::size_t>(i)] * covariance(i, j) * b[static_cast<std::size_t>(j)];
  return sum;
}

double deviation_of(const Table& covariance, const std::vector<double>& slope) {
  return std::sqrt(std::max(0.0, covariance_between(covariance, slope, slope)));
}

Table with_measurement(const Table& covariance, const std::vector<double>& slope, double deviation) {
  const int n = covariance.rows;
  std::vector<double> seen(static_cast<std::size_t>(n), 0.0);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j)
      seen[static_cast<std::size_t>(i)] += covariance(i, j) * slope[static_cast<std::size_t>(j)];
  double variance = deviation * deviation;
  for (int i = 0; i < n; ++i)
    variance += slope[static_cast<std::size_t>(i)] * seen[static_cast<std::size_t>(i)];
  Table after = covariance;
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j)
      after(i, j) -= seen[static_cast<std::size_t>(i)] * seen[static_cast<std::size_t>(j)] / variance;
  return after;
}

}  // namespace joulepress::inverse
