// Eigenvectors of correlation matrices with closed forms.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <stdexcept>

#include "solver/inverse/principal_directions.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::inverse;
using joulepress::test::relative;

namespace {

Table matrix_of(int n, std::vector<double> values) {
  Table table(n, n);
  table.values = std::move(values);
  return table;
}

}  // namespace

TEST_CASE("principal directions: two scores: 1 + r along (1, 1), 1 - r along (1, -1)") {
  // Textbook: characteristic polynomial (1 - l)^2 = r^2.
  for (const double r : {0.8, -0.3}) {
    CAPTURE(r);
    const Directions found = principal_directions(matrix_of(2, {1, r, r, 1}));
    REQUIRE(found.variances.size() == 2);
    const int along = r > 0.0 ? 0 : 1, across = 1 - along;
    CHECK(found.variances[static_cast<std::size_t>(along)] == relative(1 + r));
    CHECK(found.variances[static_cast<std::size_t>(across)] == relative(1 - r));
    const double half = std::sqrt(0.5);
    CHECK(found.vectors(0, along) == relative(half));
    CHECK(found.vectors(1, along) == relative(half));
    CHECK(found.vectors(0, across) == relative(half));
    CHECK(found.vectors(1, across) == relative(-half));
  }
}

TEST_CASE("principal directions: equal correlations: one direction of 1 + (n - 1) r, all others 1 - r") {
  // R = (1 - r) 1 + r e e^T with e = (1, ..., 1): textbook.
  constexpr int n = 5;
  constexpr double r = 0.6;
  Table matrix(n, n);
  for (int i = 0; i < n; ++i)
    for (int j = 0; j < n; ++j) matrix(i, j) = i == j ? 1.0 : r;
  const Directions found = principal_directions(matrix);
  CHECK(found.variances[0] == relative(1 + (n - 1) * r));
  for (std::size_t d = 1; d < n; ++d) CHECK(found.variances[d] == relative(1 - r));
  for (int i = 0; i < n; ++i) CHECK(found.vectors(i, 0) == relative(1 / std::sqrt(5.0)));
}

TEST_CASE("principal directions: they give the matrix again") {
  const Table matrix = matrix_of(3, {1, 0.5, -0.2, 0.5, 1, 0.1, -0.2, 0.1, 1});
  const Directions found = principal_directions(matrix);
  for (int i = 0; i < 3; ++i)
    for (int j = 0; j < 3; ++j) {
      double sum = 0.0;
      for (int d = 0; d < 3; ++d)
        sum += found.vectors(i, d) * found.variances[static_cast<std::size_t>(d)] * found.vectors(j, d);
      CHECK(std::abs(sum - matrix(i, j)) < 1e-14);
    }
  CHECK(found.variances[0] >= found.variances[1]);
  CHECK(found.variances[1] >= found.variances[2]);
}

TEST_CASE("principal directions: scores that do not hang together are their own directions") {
  const Directions found = principal_directions(matrix_of(3, {1, 0, 0, 0, 1, 0, 0, 0, 1}));
  for (int d = 0; d < 3; ++d) {
    CHECK(found.variances[static_cast<std::size_t>(d)] == 1.0);
    double sum = 0.0;
    for (int i = 0; i < 3; ++i) {
      CHECK((found.vectors(i, d) == 0.0 || found.vectors(i, d) == 1.0));
      sum += found.vectors(i, d);
    }
    CHECK(sum == 1.0);
  }
}

TEST_CASE("principal directions: what contradicts itself has a variance below 0; nonsense is refused") {
  // Determinant 1 + 2 abc - a^2 - b^2 - c^2 below 0 for 0.9, 0.9, -0.9.
  const Directions found = principal_directions(matrix_of(3, {1, 0.9, 0.9, 0.9, 1, -0.9, 0.9, -0.9, 1}));
  CHECK(found.variances[2] == relative(1 - 2 * 0.9));  // 1.9, 1.9, -0.8 by hand
  CHECK(principal_directions(Table()).variances.empty());
  CHECK_THROWS_AS(principal_directions(Table(2, 3)), std::invalid_argument);
  const double none = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(principal_directions(matrix_of(2, {1, none, none, 1})), std::invalid_argument);
}
