// Uncertain inputs against tables of the normal distribution.
#include "solver/inverse/distribution.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <stdexcept>
#include <vector>

using namespace joulepress::inverse;
using Kind = Distribution::Kind;

TEST_CASE("standard scores of a table") {
  // Tables of the normal distribution (Abramowitz and Stegun, section 26; from memory).
  struct Row {
    double share, score;
  };
  for (const Row& row : std::vector<Row>{{0.5, 0.0},
                                         {0.75, 0.674489750},
                                         {0.8413447461, 1.0},
                                         {0.9, 1.281551566},
                                         {0.95, 1.644853627},
                                         {0.975, 1.959963985},
                                         {0.99, 2.326347874},
                                         {0.995, 2.575829304},
                                         {0.999, 3.090232306}}) {
    CAPTURE(row.share);
    CHECK(std::abs(standard_score(row.share) - row.score) < 1e-9);
    CHECK(std::abs(standard_score(1.0 - row.share) + row.score) < 1e-9);
  }
}

TEST_CASE("a score and the share below it, down to the last point of a sample") {
  // Phi(z) = erfc(-z / sqrt 2) / 2.
  for (const double share : {0x1p-53, 1e-12, 1e-6, 0.01, 0.3, 0.5, 0.8, 0.999})
    CHECK(std::abs(0.5 * std::erfc(-standard_score(share) / std::sqrt(2.0)) / share - 1.0) < 1e-13);
}

TEST_CASE("values at a share") {
  const double two_sigma = 0.97724986805182079;  // Phi(2)
  CHECK(at({Kind::fixed, 7.0, 100.0}, 0.9) == 7.0);
  CHECK(std::abs(at({Kind::normal, 10.0, 3.0}, two_sigma) - 16.0) < 1e-12);
  CHECK(at({Kind::normal, 10.0, 0.0}, 0.2) == 10.0);
  CHECK(at({Kind::log_normal, 5.0, 1.3}, 0.5) == 5.0);
  CHECK(std::abs(at({Kind::log_normal, 5.0, 1.3}, two_sigma) - 6.5) < 1e-12);
  CHECK(std::abs(at({Kind::log_normal, 5.0, 1.3}, 1.0 - two_sigma) - 5.0 / 1.3) < 1e-12);
  CHECK(at({Kind::log_normal, 5.0, 1.0}, 0.99) == 5.0);
}

TEST_CASE("limits hold what lies beyond, and move nothing else") {
  const Distribution free{Kind::normal, 0.5, 0.4}, held{Kind::normal, 0.5, 0.4, 0.0, 1.0};
  CHECK(at(held, 0.001) == 0.0);
  CHECK(at(held, 0.999) == 1.0);
  for (const double share : {0.2, 0.5, 0.8}) CHECK(at(held, share) == at(free, share));
  CHECK(at({Kind::fixed, 3.0, 0.0, 4.0, 5.0}, 0.5) == 4.0);
}

TEST_CASE("values rise with the share") {
  for (const Distribution& of :
       {Distribution{Kind::normal, -1.0, 2.0}, Distribution{Kind::log_normal, 0.1, 2.0, 0.05, 0.3}}) {
    double before = -std::numeric_limits<double>::infinity();
    for (int k = 1; k < 1000; ++k) {
      CHECK(at(of, k / 1000.0) >= before);
      before = at(of, k / 1000.0);
    }
  }
}

TEST_CASE("distributions and shares that cannot be are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  for (const double share : {0.0, 1.0, -0.1, 1.1, nan})
    CHECK_THROWS_AS(standard_score(share), std::invalid_argument);
  for (const Distribution& bad :
       {Distribution{Kind::normal, 1.0, -1.0}, Distribution{Kind::normal, nan, 1.0},
        Distribution{Kind::normal, 1.0, nan}, Distribution{Kind::log_normal, 1.0, 0.9},
        Distribution{Kind::log_normal, 0.0, 1.1}, Distribution{Kind::log_normal, -1.0, 1.1},
        Distribution{Kind::normal, 1.0, 1.0, 2.0, 1.0}, Distribution{Kind::fixed, 1.0, 0.0, nan, 1.0}})
    CHECK_THROWS_AS(at(bad, 0.5), std::invalid_argument);
  CHECK_THROWS_AS(at_score({Kind::normal, 1.0, 1.0}, nan), std::invalid_argument);
}
