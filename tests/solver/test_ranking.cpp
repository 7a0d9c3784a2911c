// Rankings of polynomials whose indices are closed forms: squares of coefficients of orthonormal terms.
#include "solver/inverse/ranking.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <stdexcept>

#include "solver/inverse/distribution.hpp"
#include "solver/inverse/sampling.hpp"
#include "solver/noise.hpp"

using namespace joulepress::inverse;

namespace {

using Row = std::function<double(int)>;  ///< score of an input
using Function = std::function<double(const Row&)>;

Table scores_of(int n, int d, std::uint64_t seed) {
  Table scores = sobol_points(n, d, seed);
  for (double& x : scores.values) x = standard_score(x);
  return scores;
}

std::vector<double> outputs_of(const Table& scores, const Function& f, double noise = 0.0) {
  std::vector<double> outputs;
  for (int i = 0; i < scores.rows; ++i)
    outputs.push_back(f([&](int j) { return scores(i, j); }) +
                      noise * joulepress::solver::normal_deviate(11, 0, i));
  return outputs;
}

double square(double z) {
  return (z * z - 1.0) / std::numbers::sqrt2;
}

/// 20 inputs, of which five do something: variance 9 + 4 + 1 + 0.64 + 0.25 + 1 = 15.89.
double polynomial(const Row& z) {
  return 100.0 + 3.0 * z(0) - 2.0 * z(3) + z(7) + 0.8 * square(z(0)) + 0.5 * square(z(12)) + z(0) * z(3);
}

const std::vector<Term> polynomial_terms{{0, -1, 3.0}, {3, -1, -2.0}, {7, -1, 1.0},
                                         {0, 0, 0.8},  {12, 12, 0.5}, {0, 3, 1.0}};

/// What the found terms would miss of new runs with noise, as Q2: terms are orthonormal, so that errors of
/// coefficients add up by their squares.
double q2_of_new_runs(const std::vector<Term>& found, double noise_variance) {
  const auto same = [](const Term& a, const Term& b) { return a.first == b.first && a.second == b.second; };
  double missed = noise_variance;
  for (const Term& term : found) {
    double error = term.coefficient;
    for (const Term& truth : polynomial_terms)
      if (same(term, truth)) error -= truth.coefficient;
    missed += error * error;
  }
  for (const Term& truth : polynomial_terms)
    if (std::none_of(found.begin(), found.end(), [&](const Term& term) { return same(term, truth); }))
      missed += truth.coefficient * truth.coefficient;
  return 1.0 - missed / (15.89 + noise_variance);
}

struct Truth {
  int input;
  double first, total;
};
const std::vector<Truth> polynomial_truth{{0, 9.64, 10.64}, {3, 4.0, 5.0}, {7, 1.0, 1.0}, {12, 0.25, 0.25}};

/// Truths of all inputs, zero where the list says nothing.
std::vector<Index> spread(const std::vector<Truth>& truths, int d, double variance) {
  std::vector<Index> all(d);
  for (const Truth& truth : truths) {
    all[truth.input].first = truth.first / variance;
    all[truth.input].total = truth.total / variance;
  }
  return all;
}

bool holds(const Interval& interval, double x) {
  return interval.low - 1e-9 <= x && x <= interval.high + 1e-9;
}

}  // namespace

TEST_CASE("linear ranking: a linear function gives its shares exactly") {
  const std::vector<double> b{3.0, -2.0, 1.0, 0.0, 0.5};
  const Table scores = scores_of(64, 5, 1);
  const auto found = linear_ranking(scores, outputs_of(scores, [&](const Row& z) {
                                      double y = 7.0;
                                      for (int j = 0; j < 5; ++j) y += b[j] * z(j);
                                      return y;
                                    }));
  REQUIRE(found);
  const double variance = 9.0 + 4.0 + 1.0 + 0.25;
  for (int j = 0; j < 5; ++j) {
    CHECK(std::abs(found->coefficients[j] - b[j] / std::sqrt(variance)) < 1e-12);
    CHECK(std::abs(found->shares[j] - b[j] * b[j] / variance) < 1e-12);
  }
  CHECK(std::abs(found->r2 - 1.0) < 1e-12);
  CHECK(std::abs(found->adjusted_r2 - 1.0) < 1e-12);
  CHECK(std::abs(found->q2 - 1.0) < 1e-12);
}

TEST_CASE("linear ranking: leaving each row out by hand gives Q2") {
  const int n = 20, d = 3;
  const Table scores = scores_of(n, d, 2);
  const std::vector<double> y = outputs_of(
      scores, [](const Row& z) { return z(0) + 0.5 * z(1) + z(0) * z(2); }, 0.3);
  const auto whole = linear_ranking(scores, y);
  REQUIRE(whole);
  double mean = 0.0, tss = 0.0, press = 0.0;
  for (const double x : y) mean += x / n;
  for (const double x : y) tss += (x - mean) * (x - mean);
  for (int out = 0; out < n; ++out) {
    Table less(n - 1, d);
    std::vector<double> others;
    for (int i = 0, row = 0; i < n; ++i) {
      if (i == out) continue;
      for (int j = 0; j < d; ++j) less(row, j) = scores(i, j);
      others.push_back(y[i]);
      ++row;
    }
    // Normal equations of the rest, solved by Gauss.
    double a[4][5] = {};
    for (int i = 0; i < n - 1; ++i) {
      const double x[5] = {1.0, less(i, 0), less(i, 1), less(i, 2), others[i]};
      for (int p = 0; p < 4; ++p)
        for (int q = 0; q < 5; ++q) a[p][q] += x[p] * x[q];
    }
    for (int p = 0; p < 4; ++p)
      for (int r = 0; r < 4; ++r)
        if (r != p)
          for (int q = 4; q >= p; --q) a[r][q] -= a[r][p] / a[p][p] * a[p][q];
    double predicted = a[0][4] / a[0][0];
    for (int j = 0; j < d; ++j) predicted += a[j + 1][4] / a[j + 1][j + 1] * scores(out, j);
    press += (y[out] - predicted) * (y[out] - predicted);
  }
  CHECK(std::abs(whole->q2 - (1.0 - press / tss)) < 1e-10);
  CHECK(whole->q2 < whole->adjusted_r2);
  CHECK(whole->adjusted_r2 < whole->r2);
}

TEST_CASE("linear ranking: what a straight line does not tell goes to no input") {
  // y = z0 + square(z1) + noise of variance 1: a third of the variance each, and R2 a third.
  const Table scores = scores_of(4096, 3, 3);
  const auto found =
      linear_ranking(scores, outputs_of(
                                 scores, [](const Row& z) { return z(0) + square(z(1)); }, 1.0));
  REQUIRE(found);
  CHECK(std::abs(found->shares[0] - 1.0 / 3) < 0.03);
  CHECK(found->shares[1] < 0.003);
  CHECK(std::abs(found->r2 - 1.0 / 3) < 0.03);
}

TEST_CASE("linear ranking: too few runs and directions not told") {
  const Function first = [](const Row& z) { return z(0); };
  const Table few = scores_of(6, 5, 1), enough = scores_of(8, 5, 1);
  CHECK(!linear_ranking(few, outputs_of(few, first)));
  CHECK(linear_ranking(enough, outputs_of(enough, first)));
  Table twice = scores_of(32, 3, 1);
  for (int i = 0; i < 32; ++i) twice(i, 2) = 2.0 * twice(i, 0);
  CHECK(!linear_ranking(twice, outputs_of(twice, first)));
  Table alone = scores_of(32, 3, 1);  // an input that one run alone tells of
  for (int i = 1; i < 32; ++i) alone(i, 2) = 0.0;
  CHECK(!linear_ranking(alone, outputs_of(alone, first)));
}

TEST_CASE("quadratic ranking: a polynomial of degree 2 is found exactly") {
  const std::vector<Index> truth = spread(polynomial_truth, 20, 15.89);
  for (const int n : {64, 128})
    for (const std::uint64_t seed : {1, 2, 3, 4, 5}) {
      CAPTURE(n);
      CAPTURE(seed);
      const Table scores = scores_of(n, 20, seed);
      const QuadraticRanking found = quadratic_ranking(scores, outputs_of(scores, polynomial));
      CHECK(found.q2 > 1.0 - 1e-9);
      for (int j = 0; j < 20; ++j) {
        CAPTURE(j);
        CHECK(std::abs(found.indices[j].first - truth[j].first) < 1e-9);
        CHECK(std::abs(found.indices[j].total - truth[j].total) < 1e-9);
        CHECK(holds(found.indices[j].first_interval, truth[j].first));
        CHECK(holds(found.indices[j].total_interval, truth[j].total));
      }
    }
}

TEST_CASE("quadratic ranking: noise") {
  // Noise of a twentieth of the variance.  Intervals take the terms as given: a little below 95 % hold.
  const std::vector<Index> truth = spread(polynomial_truth, 20, 15.89);
  int held = 0, seen = 0;
  for (const int n : {64, 128, 256}) {
    double squares = 0.0, promised = 0.0, kept = 0.0;
    for (std::uint64_t seed = 1; seed <= 10; ++seed) {
      CAPTURE(n);
      CAPTURE(seed);
      const Table scores = scores_of(n, 20, seed);
      const QuadraticRanking found =
          quadratic_ranking(scores, outputs_of(scores, polynomial, std::sqrt(0.8)));
      promised += found.q2 / 10.0;
      kept += q2_of_new_runs(found.terms, 0.8) / 10.0;
      for (int j = 0; j < 20; ++j) {
        squares += std::pow(found.indices[j].first - truth[j].first, 2) / 200.0;
        if (truth[j].total < 0.05) {
          CHECK(found.indices[j].total < 0.06);
          continue;
        }
        held += holds(found.indices[j].first_interval, truth[j].first);
        held += holds(found.indices[j].total_interval, truth[j].total);
        seen += 2;
      }
    }
    INFO(n << " runs: Q2 " << promised << ", of new runs " << kept);
    CHECK(promised <= kept + 0.005);
    CHECK(promised >= kept - 0.04);
    CHECK(std::sqrt(squares) < 0.15 / std::sqrt(double(n)));
  }
  INFO(held << " of " << seen);
  CHECK(held >= 0.85 * seen);
}

TEST_CASE("quadratic ranking: Q2 tells how new runs are met") {
  // A cube is no polynomial of degree 2: (z^3 - 3 z) / sqrt 6 has variance 1 and no share in any term.
  const Function cubed = [](const Row& z) {
    return 2.0 * z(1) + (std::pow(z(0), 3) - 3.0 * z(0)) / std::sqrt(6.0);
  };
  const Table scores = scores_of(512, 6, 4);
  const QuadraticRanking found = quadratic_ranking(scores, outputs_of(scores, cubed));
  CHECK(std::abs(found.q2 - 0.8) < 0.06);
  CHECK(found.indices[1].first > 0.9);
}

TEST_CASE("rankings: noise alone, nothing that varies") {
  const Table scores = scores_of(128, 10, 1);
  const QuadraticRanking noise = quadratic_ranking(scores, outputs_of(
                                                               scores, [](const Row&) { return 5.0; }, 1.0));
  CHECK(noise.q2 < 0.1);
  const std::vector<double> equal(128, 0.1);
  const auto linear = linear_ranking(scores, equal);
  REQUIRE(linear);
  CHECK(linear->r2 == 1.0);
  CHECK(linear->q2 == 1.0);
  for (const double share : linear->shares) CHECK(share == 0.0);
  const QuadraticRanking none = quadratic_ranking(scores, equal);
  CHECK(none.q2 == 1.0);
  CHECK(none.terms.empty());
  for (const Index& index : none.indices) {
    CHECK(index.total == 0.0);
    CHECK(index.total_interval.high == 0.0);
  }
}

TEST_CASE("rankings: same seed same bits, inputs in another order same answers") {
  const Table scores = scores_of(96, 20, 6);
  const std::vector<double> y = outputs_of(scores, polynomial, 0.5);
  const QuadraticRanking found = quadratic_ranking(scores, y), again = quadratic_ranking(scores, y);
  Table turned(96, 20);
  for (int i = 0; i < 96; ++i)
    for (int j = 0; j < 20; ++j) turned(i, 19 - j) = scores(i, j);
  const QuadraticRanking other = quadratic_ranking(turned, y);
  const auto linear = linear_ranking(scores, y), linear_other = linear_ranking(turned, y);
  REQUIRE(linear);
  REQUIRE(linear_other);
  for (int j = 0; j < 20; ++j) {
    CHECK(found.indices[j].total_interval.low == again.indices[j].total_interval.low);
    CHECK(std::abs(found.indices[j].first - other.indices[19 - j].first) < 1e-12);
    CHECK(std::abs(found.indices[j].total_interval.high - other.indices[19 - j].total_interval.high) < 1e-12);
    CHECK(std::abs(linear->coefficients[j] - linear_other->coefficients[19 - j]) < 1e-12);
  }
}

TEST_CASE("rankings: numbers that cannot be are refused") {
  Table scores = scores_of(8, 2, 1);
  std::vector<double> y(8, 1.0);
  CHECK_THROWS_AS(linear_ranking(scores, std::vector<double>(7, 1.0)), std::invalid_argument);
  CHECK_THROWS_AS(quadratic_ranking(scores, std::vector<double>(9, 1.0)), std::invalid_argument);
  CHECK_THROWS_AS(quadratic_ranking(Table(1, 2), std::vector<double>(1, 1.0)), std::invalid_argument);
  y[3] = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(quadratic_ranking(scores, y), std::invalid_argument);
  y[3] = 1.0;
  scores(2, 1) = std::numeric_limits<double>::infinity();
  CHECK_THROWS_AS(linear_ranking(scores, y), std::invalid_argument);
}
