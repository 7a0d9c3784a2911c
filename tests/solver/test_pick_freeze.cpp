// Indices of two functions with closed forms, and what becomes of failed runs.
#include "solver/inverse/pick_freeze.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <functional>
#include <limits>
#include <numbers>
#include <stdexcept>

#include "tests/support/record.hpp"

using namespace joulepress::inverse;

namespace {

using Function = std::function<double(const std::vector<double>&)>;

std::vector<double> outputs_of(const Table& points, const Function& f) {
  std::vector<double> outputs;
  for (int i = 0; i < points.rows; ++i) outputs.push_back(f(points.row(i)));
  return outputs;
}

std::vector<Index> ranked(int n, int d, std::uint64_t seed, const Function& f) {
  return pick_freeze_indices(n, d, outputs_of(pick_freeze_points(n, d, seed), f));
}

struct Truth {
  std::vector<double> first, total;
};

/// Ishigami and Homma (1990): sin x1 + a sin^2 x2 + b x3^4 sin x1 on (-pi, pi)^3, a = 7, b = 0.1.
double ishigami(const std::vector<double>& share) {
  const auto x = [&](int j) { return std::numbers::pi * (2.0 * share[j] - 1.0); };
  return std::sin(x(0)) * (1.0 + 0.1 * std::pow(x(2), 4)) + 7.0 * std::pow(std::sin(x(1)), 2);
}

/// By hand: E[sin^2] = 1/2, V[sin^2] = 1/8, E[x^4] = pi^4 / 5, E[x^8] = pi^8 / 9.
Truth ishigami_truth() {
  const double a = 7.0, b = 0.1, p4 = std::pow(std::numbers::pi, 4);
  const double first = 0.5 * std::pow(1.0 + b * p4 / 5.0, 2), second = a * a / 8.0;
  const double both = 0.5 * b * b * p4 * p4 * (1.0 / 9.0 - 1.0 / 25.0), all = first + second + both;
  return {{first / all, second / all, 0.0}, {(first + both) / all, second / all, both / all}};
}

/// Sobol's g: prod (|4 x_j - 2| + a_j) / (1 + a_j); the factors have variance V_j = 1 / (3 (1 + a_j)^2).
const std::vector<double> g_weights{0.0, 1.0, 4.5, 9.0, 99.0, 99.0, 99.0, 99.0};

double g_function(const std::vector<double>& share) {
  double product = 1.0;
  for (std::size_t j = 0; j < share.size(); ++j)
    product *= (std::abs(4.0 * share[j] - 2.0) + g_weights[j]) / (1.0 + g_weights[j]);
  return product;
}

Truth g_truth() {
  double all = 1.0;
  const auto part = [](double a) { return 1.0 / (3.0 * (1.0 + a) * (1.0 + a)); };
  for (const double a : g_weights) all *= 1.0 + part(a);
  Truth truth;
  for (const double a : g_weights) {
    truth.first.push_back(part(a) / (all - 1.0));
    truth.total.push_back(part(a) * all / (1.0 + part(a)) / (all - 1.0));
  }
  return truth;
}

void check_close(const std::vector<Index>& found, const Truth& truth, double limit) {
  REQUIRE(found.size() == truth.first.size());
  for (std::size_t j = 0; j < found.size(); ++j) {
    CAPTURE(j);
    CHECK(std::abs(found[j].first - truth.first[j]) < limit);
    CHECK(std::abs(found[j].total - truth.total[j]) < limit);
    CHECK((found[j].first_interval.low <= truth.first[j] && truth.first[j] <= found[j].first_interval.high));
    CHECK((found[j].total_interval.low <= truth.total[j] && truth.total[j] <= found[j].total_interval.high));
  }
}

}  // namespace

TEST_CASE("pick and freeze: Ishigami's function") {
  const Truth truth = ishigami_truth();
  const std::string source = "Saltelli et al., Global Sensitivity Analysis, 2008, from memory";
  const std::vector<double> first{0.3139, 0.4424, 0.0}, total{0.5576, 0.4424, 0.2437};
  const std::vector<Index> found = ranked(4096, 3, 1, ishigami);
  for (int j = 0; j < 3; ++j) {
    CHECK(std::abs(truth.first[j] - first[j]) < 5e-5);
    CHECK(std::abs(truth.total[j] - total[j]) < 5e-5);
    const std::string input = ", input " + std::to_string(j + 1);
    joulepress::test::compare({"first-order index of Ishigami's function" + input, source, first[j],
                               found[j].first, 0.01, "1", "ranking by a design of runs"});
    joulepress::test::compare({"total index of Ishigami's function" + input, source, total[j], found[j].total,
                               0.01, "1", "ranking by a design of runs"});
  }
  check_close(found, truth, 0.01);
  check_close(ranked(256, 3, 2, ishigami), truth, 0.1);
}

TEST_CASE("pick and freeze: Sobol's g function") {
  check_close(ranked(2048, 8, 3, g_function), g_truth(), 0.01);
}

TEST_CASE("pick and freeze: rows of the design") {
  const int n = 8, d = 3;
  const Table points = pick_freeze_points(n, d, 4);
  REQUIRE(points.rows == n * (d + 2));
  for (int j = 0; j < d; ++j)
    for (int i = 0; i < n; ++i)
      for (int k = 0; k < d; ++k) CHECK(points((j + 2) * n + i, k) == points(j == k ? n + i : i, k));
  for (const double x : points.values) CHECK((x > 0.0 && x < 1.0));
}

TEST_CASE("pick and freeze: a failed run takes its sample row with it and no other") {
  const int n = 64, d = 3;
  std::vector<double> outputs = outputs_of(pick_freeze_points(n, d, 5), ishigami), without;
  outputs[10] = std::numeric_limits<double>::quiet_NaN();         // A
  outputs[4 * n + 33] = std::numeric_limits<double>::infinity();  // AB_3
  for (int matrix = 0; matrix < d + 2; ++matrix)
    for (int i = 0; i < n; ++i)
      if (i != 10 && i != 33) without.push_back(outputs[matrix * n + i]);
  const std::vector<Index> found = pick_freeze_indices(n, d, outputs),
                           expected = pick_freeze_indices(n - 2, d, without);
  for (int j = 0; j < d; ++j) {
    CHECK(found[j].first == expected[j].first);
    CHECK(found[j].total_interval.high == expected[j].total_interval.high);
  }
}

TEST_CASE("pick and freeze: nothing that varies, one input that does, a great offset") {
  for (const Index& index : ranked(16, 4, 1, [](const std::vector<double>&) { return 0.1; })) {
    CHECK(index.first == 0.0);
    CHECK(index.total == 0.0);
    CHECK(index.total_interval.high == 0.0);
  }
  const std::vector<Index> found = ranked(256, 4, 1, [](const std::vector<double>& x) { return 1e6 + x[2]; });
  for (int j = 0; j < 4; ++j) {
    CHECK(std::abs(found[j].first - (j == 2)) < 0.02);
    CHECK(std::abs(found[j].total - (j == 2)) < 0.02);
    if (j != 2) CHECK(found[j].total == 0.0);
  }
}

TEST_CASE("pick and freeze: same seed same bits") {
  const std::vector<Index> found = ranked(64, 3, 9, ishigami), again = ranked(64, 3, 9, ishigami),
                           other = ranked(64, 3, 10, ishigami);
  for (int j = 0; j < 3; ++j) {
    CHECK(found[j].first == again[j].first);
    CHECK(found[j].first_interval.low == again[j].first_interval.low);
    CHECK(found[j].total != other[j].total);
  }
}

TEST_CASE("pick and freeze: designs and outputs that cannot be are refused") {
  CHECK_THROWS_AS(pick_freeze_points(0, 2, 1), std::invalid_argument);
  CHECK_THROWS_AS(pick_freeze_points(4, 0, 1), std::invalid_argument);
  CHECK_THROWS_AS(pick_freeze_points(1 << 28, 8, 1), std::invalid_argument);
  CHECK_THROWS_AS(pick_freeze_indices(4, 2, std::vector<double>(15, 1.0)), std::invalid_argument);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(pick_freeze_indices(4, 2, std::vector<double>(16, nan)), std::invalid_argument);
}
