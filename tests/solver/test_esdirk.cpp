// The time scheme against the order conditions (Butcher trees to order 4; Hairer and Wanner, Solving ODEs II,
// from memory), which are exact identities.
#include <doctest/doctest.h>

#include <cmath>
#include <complex>

#include "solver/esdirk.hpp"

using namespace joulepress::solver;

namespace {

using Row = std::array<double, n_stages>;

double dot(const Row& x, const Row& y) {
  double sum = 0.0;
  for (int i = 0; i < n_stages; ++i) sum += x[i] * y[i];
  return sum;
}
Row times(const Row& x, const Row& y) {
  Row out;
  for (int i = 0; i < n_stages; ++i) out[i] = x[i] * y[i];
  return out;
}
Row a_times(const Row& x) {
  Row out;
  for (int i = 0; i < n_stages; ++i) out[i] = dot(esdirk().a[i], x);
  return out;
}

/// R(z) = 1 + z b^T (I - z A)^-1 1 by forward substitution.
std::complex<double> stability(std::complex<double> z) {
  const Tableau& t = esdirk();
  std::array<std::complex<double>, n_stages> u;
  for (int i = 0; i < n_stages; ++i) {
    std::complex<double> sum = 1.0;
    for (int j = 0; j < i; ++j) sum += z * t.a[i][j] * u[j];
    u[i] = sum / (1.0 - z * t.a[i][i]);
  }
  std::complex<double> result = 1.0;
  for (int i = 0; i < n_stages; ++i) result += z * t.b[i] * u[i];
  return result;
}

}  // namespace

TEST_CASE("row sums, stage order 2 and stiff accuracy") {
  const Tableau& t = esdirk();
  for (int i = 0; i < n_stages; ++i) {
    double sum = 0.0;
    for (int j = 0; j <= i; ++j) sum += t.a[i][j];
    CHECK(sum == doctest::Approx(t.c[i]).epsilon(1e-15));
    CHECK(a_times(t.c)[i] == doctest::Approx(0.5 * t.c[i] * t.c[i]).epsilon(1e-14));
    CHECK(t.a[5][i] == t.b[i]);
    if (i > 0) CHECK(t.a[i][i] == t.gamma);
  }
}

TEST_CASE("order conditions: 4 for the result, exactly 3 for the estimate") {
  const Tableau& t = esdirk();
  const Row c2 = times(t.c, t.c), c3 = times(c2, t.c), ac = a_times(t.c);
  for (const Row* b : {&t.b, &t.b_embedded}) {
    CHECK(dot(*b, Row{1, 1, 1, 1, 1, 1}) == doctest::Approx(1.0).epsilon(1e-14));
    CHECK(dot(*b, t.c) == doctest::Approx(1.0 / 2).epsilon(1e-14));
    CHECK(dot(*b, c2) == doctest::Approx(1.0 / 3).epsilon(1e-14));
    CHECK(dot(*b, ac) == doctest::Approx(1.0 / 6).epsilon(1e-14));
  }
  CHECK(dot(t.b, c3) == doctest::Approx(1.0 / 4).epsilon(1e-14));
  CHECK(dot(t.b, times(t.c, ac)) == doctest::Approx(1.0 / 8).epsilon(1e-14));
  CHECK(dot(t.b, a_times(c2)) == doctest::Approx(1.0 / 12).epsilon(1e-14));
  CHECK(dot(t.b, a_times(ac)) == doctest::Approx(1.0 / 24).epsilon(1e-14));
  CHECK(std::abs(dot(t.b_embedded, c3) - 1.0 / 4) > 1e-4);  // else the estimate would be blind
}

TEST_CASE("A-stable on the imaginary axis and R(infinity) = 0") {
  for (double y = 0.01; y < 1e4; y *= 1.3) CHECK(std::abs(stability({0.0, y})) <= 1.0 + 1e-12);
  CHECK(std::abs(stability({-1e9, 0.0})) < 1e-8);
}

TEST_CASE("continuous extension: ends, slopes at the ends, order 4 in between") {
  const Tableau& t = esdirk();
  const Row start = dense_weights(0.0), end = dense_weights(1.0);
  const double h = 1e-6;
  const Row left = dense_weights(h), right = dense_weights(1.0 - h);
  for (int i = 0; i < n_stages; ++i) {
    CHECK(start[i] == 0.0);
    CHECK(end[i] == doctest::Approx(t.b[i]).epsilon(1e-12));
    CHECK(left[i] / h == doctest::Approx(i == 0 ? 1.0 : 0.0).epsilon(1e-4));
    CHECK((end[i] - right[i]) / h == doctest::Approx(i == 5 ? 1.0 : 0.0).epsilon(1e-4));
  }
  const Row c2 = times(t.c, t.c), c3 = times(c2, t.c);
  for (const double theta : {0.1, 0.37, 0.5, 0.83}) {
    const Row b = dense_weights(theta);
    CHECK(dot(b, Row{1, 1, 1, 1, 1, 1}) == doctest::Approx(theta).epsilon(1e-12));
    CHECK(dot(b, t.c) == doctest::Approx(std::pow(theta, 2) / 2).epsilon(1e-12));
    CHECK(dot(b, c2) == doctest::Approx(std::pow(theta, 3) / 3).epsilon(1e-12));
    CHECK(dot(b, c3) == doctest::Approx(std::pow(theta, 4) / 4).epsilon(1e-12));
    CHECK(dot(b, a_times(c2)) == doctest::Approx(std::pow(theta, 4) / 12).epsilon(1e-12));
  }
}
