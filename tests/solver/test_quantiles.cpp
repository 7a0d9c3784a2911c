// Quantiles by hand, and how often their intervals hold the truth.
#include "solver/inverse/quantiles.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>

#include "solver/inverse/distribution.hpp"

using namespace joulepress::inverse;

namespace {

std::vector<double> normal_sample(int n, std::mt19937_64& generator) {
  std::vector<double> sample(n);
  for (double& x : sample) x = standard_score((static_cast<double>(generator() >> 12) + 0.5) * 0x1p-52);
  return sample;
}

}  // namespace

TEST_CASE("moments by hand") {
  const Moments found = moments(std::array{2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0});
  CHECK(found.mean == 5.0);
  CHECK(std::abs(found.standard_deviation - std::sqrt(32.0 / 7.0)) < 1e-15);
  CHECK(std::abs(found.mean_error - std::sqrt(32.0 / 56.0)) < 1e-15);
  CHECK(moments(std::array{3.0, 3.0}).standard_deviation == 0.0);
}

TEST_CASE("type 7 by hand") {
  const std::array sorted{1.0, 2.0, 4.0, 8.0, 16.0};
  CHECK(quantile(sorted, 0.0) == 1.0);
  CHECK(quantile(sorted, 1.0) == 16.0);
  CHECK(quantile(sorted, 0.5) == 4.0);
  CHECK(quantile(sorted, 0.25) == 2.0);
  CHECK(std::abs(quantile(sorted, 0.1) - 1.4) < 1e-15);
  CHECK(std::abs(quantile(sorted, 0.9) - 12.8) < 1e-14);
  CHECK(quantile(std::array{3.0}, 0.7) == 3.0);
}

TEST_CASE("interval of a median by binomial numbers") {
  // At 10 values the true median lies between the 2nd and the 9th with 1 - 2 (1 + 10) / 2^10 = 0.978515625
  // (textbook): a confidence that needs no place between values.
  std::vector<double> sample;
  for (int k = 1; k <= 10; ++k) sample.push_back(k * k);
  const QuantileEstimate found = quantiles(sample, std::array{0.5}, 1.0 - 22.0 / 1024.0)[0];
  CHECK(found.value == 30.5);
  CHECK(std::abs(found.low - 4.0) < 1e-9);
  CHECK(std::abs(found.high - 81.0) < 1e-9);
}

TEST_CASE("a sample that ends before its interval is carried on as a normal one") {
  // Values at the scores of k / (n + 1): the line through median and end is the identity, low = z(l).
  std::vector<double> sample;
  for (int k = 1; k <= 31; ++k) sample.push_back(standard_score(k / 32.0));
  const QuantileEstimate found = quantiles(sample, std::array{0.025})[0];
  // l from I_0.025(l, 32 - l) = 0.975 by bisection of the integral in Python.
  CHECK(std::abs(found.low - standard_score(0.0753130 / 32.0)) < 1e-5);
  CHECK(found.value < -1.4);
  CHECK(found.high < -1.0);
}

TEST_CASE("95 % intervals hold the truth as often as they say") {
  // 600 samples each; the count is binomial, four of its standard deviations are allowed.
  std::mt19937_64 generator(7);
  const std::array shares{0.025, 0.5, 0.975};
  for (const int n : {32, 64, 128, 1024}) {
    const int samples = 600;
    std::array<int, 3> held{};
    for (int k = 0; k < samples; ++k) {
      const std::vector<QuantileEstimate> found = quantiles(normal_sample(n, generator), shares);
      for (int j = 0; j < 3; ++j) {
        const double truth = standard_score(shares[j]);
        held[j] += found[j].low <= truth && truth <= found[j].high;
      }
    }
    for (int j = 0; j < 3; ++j) {
      INFO(n << " values, share " << shares[j] << ": " << held[j] << " of " << samples);
      CHECK(std::abs(held[j] - 0.95 * samples) < 4.0 * std::sqrt(0.95 * 0.05 * samples));
    }
  }
}

TEST_CASE("1-sigma intervals too") {
  std::mt19937_64 generator(8);
  const std::array shares{0.025, 0.975};
  const int samples = 400;
  for (const int n : {32, 256}) {
    std::array<int, 2> held{};
    for (int k = 0; k < samples; ++k) {
      const std::vector<QuantileEstimate> found = quantiles(normal_sample(n, generator), shares, 0.6827);
      for (int j = 0; j < 2; ++j) {
        const double truth = standard_score(shares[j]);
        held[j] += found[j].low <= truth && truth <= found[j].high;
      }
    }
    for (int j = 0; j < 2; ++j) {
      INFO(n << " values: " << held[j] << " of " << samples);
      CHECK(std::abs(held[j] - 0.6827 * samples) < 4.0 * std::sqrt(0.6827 * 0.3173 * samples));
    }
  }
}

TEST_CASE("intervals hold their value and narrow with the sample; order does not matter") {
  std::mt19937_64 generator(3);
  const std::vector<double> sample = normal_sample(1024, generator);
  double before = std::numeric_limits<double>::infinity();
  for (const int n : {2, 5, 32, 1024}) {
    std::vector<double> part(sample.begin(), sample.begin() + n);
    const std::array shares{0.001, 0.025, 0.3, 0.5, 0.975, 0.999};
    const std::vector<QuantileEstimate> found = quantiles(part, shares);
    for (const QuantileEstimate& estimate : found)
      CHECK((estimate.low <= estimate.value && estimate.value <= estimate.high));
    std::reverse(part.begin(), part.end());
    CHECK(quantiles(part, shares)[1].low == found[1].low);
    if (n < 32) continue;
    CHECK(found[1].high - found[1].low < before);
    before = found[1].high - found[1].low;
  }
  const QuantileEstimate constant = quantiles(std::vector<double>(20, 4.5), std::array{0.025})[0];
  CHECK(constant.low == 4.5);
  CHECK(constant.high == 4.5);
}

TEST_CASE("samples and shares that cannot be are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN(), inf = std::numeric_limits<double>::infinity();
  const std::array half{0.5};
  CHECK_THROWS_AS(moments(std::array{1.0}), std::invalid_argument);
  CHECK_THROWS_AS(moments(std::array{1.0, nan}), std::invalid_argument);
  CHECK_THROWS_AS(quantiles(std::array{1.0, inf}, half), std::invalid_argument);
  CHECK_THROWS_AS(quantiles(std::array{1.0}, half), std::invalid_argument);
  CHECK_THROWS_AS(quantiles(std::array{1.0, 2.0}, std::array{0.0}), std::invalid_argument);
  CHECK_THROWS_AS(quantiles(std::array{1.0, 2.0}, half, 1.0), std::invalid_argument);
  CHECK_THROWS_AS(quantile(std::array{2.0, 1.0}, 0.5), std::invalid_argument);
  CHECK_THROWS_AS(quantile(std::array{1.0, 2.0}, 1.5), std::invalid_argument);
  CHECK_THROWS_AS(quantile(std::vector<double>{}, 0.5), std::invalid_argument);
}
