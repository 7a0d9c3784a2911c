// The deviates against another implementation (Python, of the same published algorithm, its SplitMix64
// checked to give 0xE220A8397B1DCDAF first from 0), and their moments within four standard errors.
#include "solver/noise.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>
#include <vector>

using namespace joulepress::solver;

namespace {

constexpr int n = 100000;
constexpr std::uint64_t last = std::numeric_limits<std::uint64_t>::max();

std::vector<double> draw(std::uint64_t seed, std::uint64_t stream) {
  std::vector<double> z;
  for (int i = 0; i < n; ++i) z.push_back(normal_deviate(seed, stream, i));
  return z;
}

double mean_power(const std::vector<double>& z, int power) {
  double sum = 0;
  for (const double x : z) sum += std::pow(x, power);
  return sum / n;
}

/// Correlation of a[i] with b[i + lag]; standard error 1 / sqrt(n).
double correlation(const std::vector<double>& a, const std::vector<double>& b, int lag) {
  double sum = 0;
  for (int i = 0; i + lag < n; ++i) sum += a[i] * b[i + lag];
  return sum / (n - lag);
}

}  // namespace

TEST_CASE("deviates of another implementation") {
  struct Row {
    std::uint64_t seed, stream, index;
    double deviate;
  };
  const std::vector<Row> rows{
      {0, 0, 0, 1.922742222962594},           {1, 0, 0, -0.40599608657115593},
      {0, 1, 0, -0.012994847896426373},       {0, 0, 1, 0.21976300782817698},
      {2024, 3, 100000, -0.3618363832067257}, {last, last, last, -1.5111539796448257}};
  for (const Row& row : rows)
    CHECK(std::abs(normal_deviate(row.seed, row.stream, row.index) - row.deviate) < 1e-14);
}

TEST_CASE("the ends of the uniforms: never infinite") {
  // The two indices, found by running the mixing backwards, at which the first uniform of seed 1, stream 0 is
  // as small (2^-53) and as large (1) as it can be.
  const double extreme = normal_deviate(1, 0, 11213757155321937131u);
  CHECK(std::abs(extreme - 6.369183621772398) < 1e-13);  // sqrt(106 ln 2) times its cosine
  CHECK(std::abs(normal_deviate(1, 0, 4727143020186739257u)) == 0.0);
}

TEST_CASE("moments and distribution of a normal deviate") {
  for (const std::uint64_t seed : {std::uint64_t{0}, std::uint64_t{1}, last}) {
    CAPTURE(seed);
    const std::vector<double> z = draw(seed, 7);
    const double error = 4.0 / std::sqrt(double{n});
    const double mean = mean_power(z, 1), variance = mean_power(z, 2) - mean * mean;
    CHECK(std::abs(mean) < error);
    CHECK(std::abs(variance - 1.0) < error * std::sqrt(2.0));
    CHECK(std::abs(mean_power(z, 3)) < error * std::sqrt(15.0));
    CHECK(std::abs(mean_power(z, 4) - 3.0) < error * std::sqrt(96.0));
    // Kolmogorov and Smirnov: a larger distance from the normal distribution comes once in ten thousand
    // seeds.
    std::vector<double> sorted = z;
    std::sort(sorted.begin(), sorted.end());
    double distance = 0;
    for (int i = 0; i < n; ++i) {
      const double share = 0.5 * std::erfc(-sorted[i] / std::numbers::sqrt2);
      distance = std::max({distance, share - double(i) / n, double(i + 1) / n - share});
    }
    CHECK(distance * std::sqrt(double{n}) < 2.23);
    // So many beyond three as there should be: 270 of 100000.
    const auto far = std::count_if(z.begin(), z.end(), [](double x) { return std::abs(x) > 3.0; });
    CHECK(std::abs(double(far) - 269.98) < 4.0 * std::sqrt(269.98));
  }
}

TEST_CASE("neighbours, streams and seeds know nothing of each other") {
  const std::vector<double> z = draw(5, 0), next_stream = draw(5, 1), next_seed = draw(6, 0),
                            swapped = draw(0, 5);
  const double error = 4.0 / std::sqrt(double{n});
  for (const int lag : {1, 2, 3, 64}) CHECK(std::abs(correlation(z, z, lag)) < error);
  for (const int lag : {0, 1}) {
    CHECK(std::abs(correlation(z, next_stream, lag)) < error);
    CHECK(std::abs(correlation(next_stream, z, lag)) < error);
    CHECK(std::abs(correlation(z, next_seed, lag)) < error);
    CHECK(std::abs(correlation(z, swapped, lag)) < error);
  }
  // Sizes too: squares less one, of variance two.
  std::vector<double> squares, other_squares;
  for (int i = 0; i < n; ++i) {
    squares.push_back((z[i] * z[i] - 1.0) / std::numbers::sqrt2);
    other_squares.push_back((next_stream[i] * next_stream[i] - 1.0) / std::numbers::sqrt2);
  }
  CHECK(std::abs(correlation(squares, squares, 1)) < error);
  CHECK(std::abs(correlation(squares, other_squares, 0)) < error);
  CHECK(correlation(z, z, 0) == doctest::Approx(1.0).epsilon(0.02));
  CHECK(correlation(squares, squares, 0) == doctest::Approx(1.0).epsilon(0.05));
}

TEST_CASE("the same bits in any order") {
  const std::vector<double> z = draw(11, 4);
  int same = 0;
  for (int i = n - 1; i >= 0; --i) {
    normal_deviate(12, 4, i);
    same += normal_deviate(11, 4, i) == z[i];
  }
  CHECK(same == n);
}
