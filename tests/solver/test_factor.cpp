// The sparse factor against a dense elimination done by hand (identity).
#include "solver/factor.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <random>

using namespace joulepress::solver;

namespace {

using Dense = std::vector<std::vector<double>>;

Dense dense(int n, const std::vector<Link>& links, const MatrixValues& values) {
  Dense m(n, std::vector<double>(n, 0.0));
  for (int i = 0; i < n; ++i) m[i][i] = values.diagonal[i];
  for (std::size_t k = 0; k < links.size(); ++k) {
    m[links[k].a][links[k].b] += values.coupling[k];
    m[links[k].b][links[k].a] += values.coupling[k];
  }
  return m;
}

/// Gauss elimination without pivots, as a positive definite matrix allows.
std::vector<double> eliminate(Dense m, std::vector<double> x) {
  const std::size_t n = x.size();
  for (std::size_t k = 0; k < n; ++k)
    for (std::size_t i = k + 1; i < n; ++i) {
      const double f = m[i][k] / m[k][k];
      for (std::size_t j = k; j < n; ++j) m[i][j] -= f * m[k][j];
      x[i] -= f * x[k];
    }
  for (std::size_t k = n; k-- > 0;) {
    for (std::size_t j = k + 1; j < n; ++j) x[k] -= m[k][j] * x[j];
    x[k] /= m[k][k];
  }
  return x;
}

}  // namespace

TEST_CASE("a factor solves as dense elimination does; two links between one pair of cells add up") {
  std::mt19937 random(11);
  std::uniform_real_distribution<double> any(0.1, 10.0);
  constexpr int n = 24;
  std::vector<Link> links;
  for (int i = 0; i + 1 < n; ++i) links.push_back({i, i + 1});
  for (int i = 0; i + 6 < n; ++i) links.push_back({i + 6, i});  // either order of the cells
  links.push_back({3, 4});                                      // a second link between neighbours
  Factor factor(n, links);
  for (int round = 0; round < 3; ++round) {  // one pattern, new values
    MatrixValues values;
    values.diagonal.assign(n, 0.0);
    for (const Link& link : links) {
      const double g = any(random);
      values.coupling.push_back(-g);
      values.diagonal[link.a] += g;
      values.diagonal[link.b] += g;
    }
    for (double& d : values.diagonal) d += 0.01 * any(random);
    REQUIRE(factor.factorise(values));
    std::vector<double> right(n);
    for (double& v : right) v = any(random) - 5.0;
    const std::vector<double> expected = eliminate(dense(n, links, values), right);
    factor.solve(right);
    for (int i = 0; i < n; ++i) CHECK(std::abs(right[i] - expected[i]) <= 1e-11 * std::abs(expected[i]));
  }
}

TEST_CASE("a matrix that is singular, indefinite or not finite is refused") {
  const std::vector<Link> links{{0, 1}};
  Factor factor(2, links);
  CHECK(!factor.factorise({{1.0, 1.0}, {-2.0}}));  // indefinite
  CHECK(!factor.factorise({{1.0, 1.0}, {-1.0}}));  // singular: no cell is held
  CHECK(!factor.factorise({{std::numeric_limits<double>::quiet_NaN(), 1.0}, {-0.5}}));
  CHECK(factor.factorise({{1.0, 1.0}, {-0.5}}));
}
