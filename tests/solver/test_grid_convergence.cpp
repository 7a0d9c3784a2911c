// The order and the interval against a published example, power laws, and 47 numbers from real grids and
// steps whose true values are known.
#include "solver/inverse/grid_convergence.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "convergence_problems.hpp"
#include "tests/support/record.hpp"

using namespace joulepress::inverse;

namespace {

std::array<GridLevel, 3> power_law(double truth, double factor, double order, double r21, double r32) {
  std::array<GridLevel, 3> levels{{{0.1, 0}, {0.1 * r21, 0}, {0.1 * r21 * r32, 0}}};
  for (GridLevel& level : levels) level.value = truth + factor * std::pow(level.spacing, order);
  return levels;
}

}  // namespace

TEST_CASE("worked example of Celik et al.") {
  // J. Fluids Eng. 130 (2008) 078001, table 1, first column (from memory): reattachment length on 18000, 8000
  // and 4500 cells of a plane.
  const std::array<GridLevel, 3> levels{
      {{1 / std::sqrt(18000.0), 6.063}, {1 / std::sqrt(8000.0), 5.972}, {1 / std::sqrt(4500.0), 5.863}}};
  const GridConvergence found = grid_convergence(levels, 0);
  REQUIRE(found.observed_order);
  CHECK(found.approach == Approach::one_way);
  const std::string source = "Celik et al., J. Fluids Eng. 130 (2008) 078001, from memory";
  joulepress::test::compare({"observed order of three grids", source, 1.53, *found.observed_order, 0.005, "1",
                             "interval from three grids"});
  joulepress::test::compare({"value of an endless grid", source, 6.1685, found.extrapolated, 0.0005, "1",
                             "interval from three grids"});
  joulepress::test::compare({"interval of the finest of three grids", source, 0.022, found.half_width / 6.063,
                             0.0005, "1", "interval from three grids"});
}

TEST_CASE("a power law gives its order, its limit and its error") {
  for (const double order : {0.5, 0.8, 1.0, 1.37, 2.0})
    for (const double r21 : {1.2, 1.5, 2.0})
      for (const double r32 : {1.3, 2.0}) {
        CAPTURE(order);
        const std::array<GridLevel, 3> levels = power_law(3.0, -2.0, order, r21, r32);
        for (int k = 0; k < 3; ++k) {
          const GridConvergence found = grid_convergence(levels, k);
          REQUIRE(found.observed_order);
          CHECK(std::abs(*found.observed_order - order) < 1e-9);
          CHECK(std::abs(found.extrapolated - 3.0) < 1e-8);
          CHECK(found.safety == 1.25);
          CHECK(std::abs(found.half_width - 1.25 * std::abs(levels[k].value - 3.0)) < 1e-8);
        }
      }
}

TEST_CASE("orders outside are held to the limits, with factor 3") {
  const std::array<GridLevel, 3> fast = power_law(1.0, 5.0, 3.0, 1.5, 1.4);
  GridConvergence found = grid_convergence(fast, 0);
  CHECK(std::abs(found.observed_order.value_or(0) - 3.0) < 1e-9);
  CHECK(found.order == 2.0);
  CHECK(found.safety == 3.0);
  CHECK(std::abs(found.half_width - 3.0 * (fast[1].value - fast[0].value) / 1.25) < 1e-12);
  found = grid_convergence(power_law(1.0, 5.0, 0.3, 2.0, 2.0), 2);
  CHECK(std::abs(found.observed_order.value_or(0) - 0.3) < 1e-9);
  CHECK(found.order == 0.5);
  CHECK(found.safety == 3.0);
}

TEST_CASE("three values that tell no order") {
  const auto levels = [](double fine, double middle, double coarse) {
    return grid_convergence({{{1, fine}, {2, middle}, {4, coarse}}}, 0);
  };
  const GridConvergence equal = levels(7, 7, 7);
  CHECK(equal.approach == Approach::equal);
  CHECK(equal.half_width == 0.0);
  CHECK(equal.extrapolated == 7.0);

  const GridConvergence swinging = levels(1, -2, 4);  // C (-1)^k h
  CHECK(swinging.approach == Approach::swinging);
  CHECK(std::abs(swinging.observed_order.value_or(0) - 1.0) < 1e-12);
  CHECK(swinging.half_width >= 3.0 * 0.5 * 6.0);

  const GridConvergence apart = levels(0, 10, 11);
  CHECK(apart.approach == Approach::undetermined);
  CHECK(!apart.observed_order);
  CHECK(apart.order == 0.5);
  CHECK(std::abs(apart.half_width - 3.0 * 10.0 / (std::sqrt(2.0) - 1.0)) < 1e-12);

  for (const double met : {5.0, 5.0 + 1e-9}) {  // two that agree by chance
    const GridConvergence chance = levels(5, met, 9);
    CHECK(chance.approach == Approach::undetermined);
    CHECK(chance.order == 2.0);
    CHECK(chance.half_width >= 3.0 * 0.5 * 4.0);
  }
  const GridConvergence repeated = levels(0, 1, 1);
  CHECK(repeated.approach == Approach::undetermined);
  CHECK(repeated.order == 0.5);
}

TEST_CASE("two terms of an error") {
  // E = c h - h^2 at h = 1/4, 1/2, 1.  Where they nearly cancel (0 < c) the interval may miss only if an
  // order between 3 and 4.5 is seen; where they add up (c < 0) one power stands for two and is short by up to
  // 7 %.
  double shortest = 0.0;
  for (int k = -8000; k <= 8000; ++k) {
    const double c = 0.001 * k;
    const auto error = [c](double h) { return c * h - h * h; };
    const GridConvergence found =
        grid_convergence({{{0.25, error(0.25)}, {0.5, error(0.5)}, {1.0, error(1.0)}}}, 0);
    CAPTURE(c);
    if (found.approach == Approach::one_way && found.observed_order.value_or(0) > 3.0) continue;
    const double missed = std::abs(error(0.25)) / found.half_width;
    if (c < 0.0) shortest = std::max(shortest, missed);
    if (c >= 0.0) CHECK(missed <= 1.0 + 1e-9);
  }
  CHECK(shortest > 1.0);
  CHECK(shortest < 1.07);
}

TEST_CASE("intervals hold the truth and are seldom ten times too wide") {
  std::vector<ConvergenceProblem> problems = conduction_problems();
  for (const auto& more : {quadrature_problems(), step_problems()})
    problems.insert(problems.end(), more.begin(), more.end());
  CHECK(problems.size() == 47);
  int seen = 0, close = 0, close_to_order_3 = 0, up_to_order_3 = 0;
  for (const ConvergenceProblem& problem : problems) {
    std::array<GridLevel, 3> levels;
    for (int k = 0; k < 3; ++k) levels[k] = {1.0 / problem.cells[k], problem.value(problem.cells[k])};
    for (const int reported : {0, 2}) {
      const GridConvergence found = grid_convergence(levels, reported);
      const double error = std::abs(levels[reported].value - problem.truth);
      INFO(problem.name << ", level " << reported << ", order " << found.observed_order.value_or(-1) << ", "
                        << found.half_width / error << " times the error");
      CHECK(error > 1e-12);  // a problem without error says nothing
      CHECK(error <= found.half_width);
      const bool is_close = found.half_width <= 10.0 * error;
      ++seen;
      close += is_close;
      if (problem.order <= 3.0) ++up_to_order_3, close_to_order_3 += is_close;
    }
  }
  CHECK(close >= 0.8 * seen);
  CHECK(close_to_order_3 == up_to_order_3);
}

TEST_CASE("grid levels that cannot be used are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_THROWS_AS(grid_convergence({{{1, 1}, {1, 2}, {2, 3}}}, 0), std::invalid_argument);
  CHECK_THROWS_AS(grid_convergence({{{0, 1}, {1, 2}, {2, 3}}}, 0), std::invalid_argument);
  CHECK_THROWS_AS(grid_convergence({{{1, 1}, {2, nan}, {4, 3}}}, 0), std::invalid_argument);
  CHECK_THROWS_AS(grid_convergence({{{1, 1}, {2, 2}, {nan, 3}}}, 0), std::invalid_argument);
  CHECK_THROWS_AS(grid_convergence({{{1, 1}, {2, 2}, {4, 3}}}, 3), std::invalid_argument);
}
