// Scrambled Sobol points: nets of Sobol's theory, uniform and unbiased, better than random numbers, and the
// same bits for ever.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <set>
#include <stdexcept>
#include <vector>

#include "solver/inverse/distribution.hpp"
#include "solver/inverse/sampling.hpp"

using namespace joulepress::inverse;

namespace {

constexpr std::uint64_t large = 0xFFFFFFFFFFFFFFFFu;

/// A product over the dimensions of factors whose mean over (0, 1) is 1.
double smooth(const Table& points, int row) {
  double product = 1.0;
  for (int j = 0; j < points.columns; ++j)
    product *= 1.0 + (std::exp(points(row, j)) - (std::numbers::e - 1.0)) / (j + 2.0);
  return product;
}

double mean_of_smooth(const Table& points) {
  double sum = 0.0;
  for (int i = 0; i < points.rows; ++i) sum += smooth(points, i);
  return sum / points.rows;
}

Table random_points(int n, int dimensions, std::uint64_t seed) {
  std::mt19937_64 generator(seed);
  Table points(n, dimensions);
  for (double& x : points.values) x = (static_cast<double>(generator() >> 12) + 0.5) * 0x1p-52;
  return points;
}

/// Root mean square over seeds of the mean's error.
template <typename Points>
double error_of(Points points, int n, int dimensions) {
  double sum = 0.0;
  const int seeds = 40;
  for (int seed = 0; seed < seeds; ++seed) {
    const double error = mean_of_smooth(points(n, dimensions, seed)) - 1.0;
    sum += error * error;
  }
  return std::sqrt(sum / seeds);
}

}  // namespace

TEST_CASE("Sobol: every dimension has one point in each cell") {
  for (const std::uint64_t seed : {std::uint64_t{0}, std::uint64_t{1}, large})
    for (const int n : {1, 2, 16, 256, 1024}) {
      const Table points = sobol_points(n, 200, seed);
      for (int j = 0; j < points.columns; ++j) {
        std::set<int> cells;
        for (int i = 0; i < n; ++i) cells.insert(int(points(i, j) * n));
        CAPTURE(j);
        CHECK(int(cells.size()) == n);
      }
    }
}

TEST_CASE("Sobol: the first two dimensions have one point in each box of equal area") {
  // Sobol (1967): a (0, m, 2) net in base 2.
  for (const std::uint64_t seed : {std::uint64_t{3}, large})
    for (const int m : {1, 4, 8, 10}) {
      const Table points = sobol_points(1 << m, 2, seed);
      for (int wide = 0; wide <= m; ++wide) {
        std::set<std::pair<int, int>> boxes;
        for (int i = 0; i < points.rows; ++i)
          boxes.insert({int(points(i, 0) * (1 << wide)), int(points(i, 1) * (1 << (m - wide)))});
        CHECK(int(boxes.size()) == points.rows);
      }
    }
}

TEST_CASE("Sobol: strictly inside, first points first, dimensions of their own") {
  const Table points = sobol_points(300, 200, 5), fewer = sobol_points(77, 200, 5),
              narrower = sobol_points(300, 9, 5);
  for (const double x : points.values) CHECK((x > 0.0 && x < 1.0));
  CHECK(std::equal(fewer.values.begin(), fewer.values.end(), points.values.begin()));
  for (int i = 0; i < 300; ++i)
    for (int j = 0; j < 9; ++j) CHECK(narrower(i, j) == points(i, j));
  // Between any two of the first 40 dimensions: no correlation beyond what 256 points allow.
  const Table more = sobol_points(256, 40, 2);
  for (int a = 0; a < 40; ++a)
    for (int b = 0; b < a; ++b) {
      double sum = 0.0;
      for (int i = 0; i < 256; ++i) sum += 12.0 * (more(i, a) - 0.5) * (more(i, b) - 0.5);
      CHECK(std::abs(sum / 256) < 0.25);
    }
}

TEST_CASE("Sobol: same seed same bits, other seed other bits") {
  const Table points = sobol_points(4, 2, 2024), again = sobol_points(4, 2, 2024);
  CHECK(points.values == again.values);
  // Of another implementation (Python, Sobol's two first dimensions and SplitMix64 of their definitions).
  const std::vector<double> written{0.12823211766082887, 0.48483856720829366, 0.77330663509173958,
                                    0.61525252981157996, 0.73470040991182028, 0.066183883105491392,
                                    0.41709578171878492, 0.76525761344197762};
  CHECK(points.values == written);
  const Table other = sobol_points(4, 2, 2025);
  for (std::size_t k = 0; k < 8; ++k) CHECK(points.values[k] != other.values[k]);
}

TEST_CASE("Sobol: one point is uniform over seeds, and so unbiased") {
  // Mean and variance of point 3 in dimension 5 over 20000 seeds, within four standard errors; pairs of bits
  // of two points as often as chance has it.
  const int seeds = 20000;
  double sum = 0.0, squares = 0.0;
  int both = 0;
  for (int seed = 0; seed < seeds; ++seed) {
    const Table points = sobol_points(4, 6, seed);
    const double x = points(3, 5) - 0.5;
    sum += x;
    squares += x * x;
    both += points(3, 5) > 0.5 && points(2, 4) > 0.5;
  }
  CHECK(std::abs(sum / seeds) < 4.0 * std::sqrt(1.0 / 12 / seeds));
  CHECK(std::abs(squares / seeds - 1.0 / 12) < 4.0 * std::sqrt(1.0 / 180 / seeds));
  CHECK(std::abs(both - 0.25 * seeds) < 4.0 * std::sqrt(0.1875 * seeds));
  double mean = 0.0;
  for (int seed = 0; seed < 400; ++seed) mean += mean_of_smooth(sobol_points(8, 5, seed)) / 400;
  const double standard_error = error_of(sobol_points, 8, 5) / std::sqrt(400.0);
  CHECK(std::abs(mean - 1.0) < 4.0 * standard_error);
}

TEST_CASE("Sobol: moments of what is made of the points") {
  // n = 512; a random sample would be off by 1 / sqrt(n) = 0.044 standard deviations in the mean.
  const Table points = sobol_points(512, 50, 11);
  const double s = 0.5 * std::log(1.5);
  const Distribution skewed{Distribution::Kind::log_normal, 2.0, 1.5};
  for (int j = 0; j < 50; ++j) {
    double uniform = 0, mean = 0, variance = 0, skewed_mean = 0;
    for (int i = 0; i < 512; ++i) {
      const double z = standard_score(points(i, j));
      uniform += points(i, j) / 512;
      mean += z / 512;
      variance += z * z / 512;
      skewed_mean += at(skewed, points(i, j)) / 512;
    }
    CAPTURE(j);
    CHECK(std::abs(uniform - 0.5) < 5e-4);
    CHECK(std::abs(mean) < 5e-3);
    CHECK(std::abs(variance - 1.0) < 3e-2);
    CHECK(std::abs(skewed_mean / (2.0 * std::exp(0.5 * s * s)) - 1.0) < 2e-3);
  }
}

TEST_CASE("Sobol: a smooth function's mean beats random numbers") {
  for (const int dimensions : {2, 6}) {
    CAPTURE(dimensions);
    const double at_64 = error_of(sobol_points, 64, dimensions),
                 at_1024 = error_of(sobol_points, 1024, dimensions);
    CHECK(at_64 < 0.25 * error_of(random_points, 64, dimensions));
    CHECK(at_1024 < 0.05 * error_of(random_points, 1024, dimensions));
    CHECK(at_1024 < at_64 / 16.0);  // faster than 1 / n
  }
}

TEST_CASE("Sobol: points that cannot be are refused") {
  CHECK_THROWS_AS(sobol_points(0, 2, 1), std::invalid_argument);
  CHECK_THROWS_AS(sobol_points(4, 0, 1), std::invalid_argument);
  CHECK_THROWS_AS(sobol_points(4, 3668, 1), std::invalid_argument);
}
