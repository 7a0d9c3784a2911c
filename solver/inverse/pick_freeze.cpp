#include "solver/inverse/pick_freeze.hpp"

#include <cmath>
#include <cstddef>
#include <limits>
#include <numeric>
#include <stdexcept>

#include "solver/inverse/sampling.hpp"

namespace joulepress::inverse {
namespace {

constexpr double no_spread = 1e-14;  // a spread below this share of the mean is none

/// Outputs of whole sample rows: one row each, in the columns A, B, AB_1 .. AB_d.
Table whole_rows(int n, int d, std::span<const double> outputs) {
  const auto output = [&](int row, int matrix) {
    return outputs[static_cast<std::size_t>(matrix) * n + row];
  };
  Table whole(0, d + 2);
  for (int i = 0; i < n; ++i) {
    bool is_whole = true;
    for (int matrix = 0; matrix < d + 2; ++matrix) is_whole = is_whole && std::isfinite(output(i, matrix));
    if (!is_whole) continue;
    for (int matrix = 0; matrix < d + 2; ++matrix) whole.values.push_back(output(i, matrix));
    ++whole.rows;
  }
  return whole;
}

/// First orders, then totals.
std::vector<double> indices_of(const Table& y, std::span<const int> rows) {
  const double n = static_cast<double>(rows.size());
  const int d = y.columns - 2;
  double mean = 0.0, variance = 0.0;
  for (const int i : rows) mean += (y(i, 0) + y(i, 1)) / (2.0 * n);
  for (const int i : rows)
    variance += ((y(i, 0) - mean) * (y(i, 0) - mean) + (y(i, 1) - mean) * (y(i, 1) - mean)) / (2.0 * n);
  std::vector<double> found(2 * static_cast<std::size_t>(d));
  if (!(std::sqrt(variance) > no_spread * std::abs(mean))) return found;
  for (int j = 0; j < d; ++j) {
    double first = 0.0, total = 0.0;
    for (const int i : rows) {
      const double change = y(i, j + 2) - y(i, 0);
      first += (y(i, 1) - mean) * change;
      total += 0.5 * change * change;
    }
    found[j] = first / n / variance;
    found[j + d] = total / n / variance;
  }
  return found;
}

}  // namespace

Table pick_freeze_points(int n, int d, std::uint64_t seed) {
  if (n < 1 || d < 1) throw std::invalid_argument("pick and freeze: no rows or no inputs");
  if (n > std::numeric_limits<int>::max() / (d + 2))
    throw std::invalid_argument("pick and freeze: 2^31 runs or more");
  const Table both = sobol_points(n, 2 * d, seed);
  Table points(n * (d + 2), d);
  for (int matrix = 0; matrix < d + 2; ++matrix)
    for (int i = 0; i < n; ++i)
      for (int j = 0; j < d; ++j) {
        const bool of_second = matrix == 1 || matrix == j + 2;
        points(matrix * n + i, j) = both(i, of_second ? d + j : j);
      }
  return points;
}

std::vector<Index> pick_freeze_indices(int n, int d, std::span<const double> outputs,
                                       std::uint64_t bootstrap_seed) {
  if (n < 1 || d < 1 || outputs.size() != static_cast<std::size_t>(n) * (d + 2))
    throw std::invalid_argument("pick and freeze: not n (d + 2) outputs");
  const Table y = whole_rows(n, d, outputs);
  if (y.rows < 2) throw std::invalid_argument("pick and freeze: fewer than two whole sample rows");
  std::vector<int> all(y.rows);
  std::iota(all.begin(), all.end(), 0);
  const std::vector<double> found = indices_of(y, all);
  const std::vector<Interval> intervals = bootstrap(
      y.rows, [&](std::span<const int> rows) { return indices_of(y, rows); }, bootstrap_seed);
  std::vector<Index> indices;
  for (int j = 0; j < d; ++j) indices.push_back({found[j], found[j + d], intervals[j], intervals[j + d]});
  return indices;
}

}  // namespace joulepress::inverse
