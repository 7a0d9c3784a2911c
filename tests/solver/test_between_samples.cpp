// Courses between their samples: smooth ones, jumps, ends.
#include "solver/inverse/between_samples.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <stdexcept>

#include "tests/support/relative.hpp"

using joulepress::inverse::between_samples;
using joulepress::test::relative;

// A body that cools: with rows of a fifteenth of its time constant straight lines miss by 5.5e-4 of the rise
// in the middle of a row, h^2 / 8 of the second derivative (textbook).
TEST_CASE("a smooth course is met far better than by straight lines") {
  std::vector<double> t, v, at;
  for (int k = 0; k <= 60; ++k) t.push_back(2.0 * k), v.push_back(std::exp(-t.back() / 30.0));
  for (int k = 1; k < 59; ++k) at.push_back(2.0 * k + 1.0);
  const std::vector<double> met = between_samples(t, v, at);
  for (std::size_t k = 0; k < at.size(); ++k)
    CHECK(std::abs(met[k] - std::exp(-at[k] / 30.0)) < 0.02 * 5.5e-4 * std::exp(-at[k] / 30.0));
  CHECK(between_samples(t, v, {40.0})[0] == relative(std::exp(-40.0 / 30.0), 1e-12));
}

TEST_CASE("no overshoot at a jump, no course beyond the ends") {
  const std::vector<double> t{0, 1, 2, 3, 4, 5}, v{1, 1, 1, 0, 0, 0};
  for (double at = -1.0; at < 6.0; at += 0.05) {
    const double met = between_samples(t, v, {at})[0];
    const double least = at >= 2.0 ? 0.0 : 1.0, most = at <= 3.0 ? 1.0 : 0.0;
    CHECK(met > least - 1e-12);
    CHECK(met < most + 1e-12);
  }
}

TEST_CASE("few samples, two at one time, none") {
  CHECK(between_samples({0, 2}, {1, 3}, {0.5, 2.5, -1.0}) == std::vector<double>{1.5, 3.0, 1.0});
  CHECK(between_samples({1}, {7}, {0.0, 1.0, 2.0}) == std::vector<double>{7, 7, 7});
  CHECK(between_samples({0, 1, 1, 2}, {0, 1, 5, 2}, {1.0, 1.5}) == std::vector<double>{1.0, 1.5});
  CHECK_THROWS_AS(between_samples({}, {}, {1.0}), std::invalid_argument);
  CHECK_THROWS_AS(between_samples({0, 1}, {1}, {1.0}), std::invalid_argument);
}
