// Least squares at the sides of a box, without residuals here and there, at its ends, and refused.
#include "solver/inverse/least_squares.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

#include "solver/noise.hpp"
#include "tests/solver/least_squares_problems.hpp"

using namespace joulepress::inverse;
using namespace joulepress::test;
using End = LeastSquaresResult::End;
namespace {

/// Half the slope of the sum of squares, by central differences.
double half_slope(const Function& f, Point x, std::size_t i, double step) {
  const auto sum = [&](double move) {
    Point there = x;
    there[i] += move;
    double all = 0.0;
    for (const double r : f(there)) all += r * r;
    return all;
  };
  return (sum(step) - sum(-step)) / (4.0 * step);
}

}  // namespace

TEST_CASE("a minimum on the side of the box") {
  SUBCASE("Rosenbrock left of 0.5: there 1 - x is 0.5 and y is x^2") {
    for (const bool secant : {true, false}) {
      Asked asked;
      const auto found = least_squares(
          problem_of(rosenbrock, asked, {-1.2, 1.0}, {-2.0, -2.0}, {0.5, 2.0}, {1e-7, 1e-7}), exact(secant));
      CHECK(found.x[0] == 0.5);
      CHECK(std::abs(found.x[1] - 0.25) <= 1e-7);
      CHECK(std::abs(found.sum_of_squares - 0.25) <= 1e-10);
    }
  }
  SUBCASE("of six unknowns some: inside no slope, on a side it points out") {
    const Function f = [](const Point& x) {
      std::vector<double> r;
      for (int i = 0; i < 12; ++i) {
        double sum = -joulepress::solver::normal_deviate(5, 1, i);
        for (int j = 0; j < 6; ++j)
          sum += joulepress::solver::normal_deviate(5, 2, 6 * i + j) * (x[j] + 0.05 * x[j] * x[j]);
        r.push_back(sum);
      }
      return r;
    };
    Asked asked;
    const Point lowest(6, -0.1), highest(6, 0.1);
    const auto found =
        least_squares(problem_of(f, asked, Point(6, 0.0), lowest, highest, Point(6, 1e-6)), exact(false));
    int on_a_side = 0;
    for (std::size_t i = 0; i < 6; ++i) {
      const double slope = half_slope(f, found.x, i, 1e-5);
      INFO("unknown " << i << " at " << found.x[i] << ", slope " << slope);
      if (found.x[i] == -0.1) CHECK(slope > 0.0);
      if (found.x[i] == 0.1) CHECK(slope < 0.0);
      if (std::abs(found.x[i]) < 0.1) CHECK(std::abs(slope) <= 1e-5);
      on_a_side += std::abs(found.x[i]) == 0.1;
    }
    CHECK(on_a_side >= 2);
    CHECK(on_a_side <= 5);
    for (const Point& x : asked.points)
      for (const double value : x) CHECK(std::abs(value) <= 0.1);
  }
  SUBCASE("nowhere to go: all sides push outwards, one set of differences tells") {
    Asked asked;
    const Function f = [](const Point& x) { return std::vector<double>{x[0] + 2.0, x[1] + 3.0}; };
    const auto found = least_squares(problem_of(f, asked, {0, 0}, {0, 0}, {9, 9}, {1, 1}), exact());
    CHECK(found.end == End::gain);
    CHECK(found.points == 3);
    CHECK(found.x == Point{0.0, 0.0});
  }
  SUBCASE("an unknown without room stays and costs nothing") {
    Asked asked;
    const Function f = [](const Point& x) { return std::vector<double>{x[0] - 2.0, x[1] - 3.0}; };
    const auto found = least_squares(problem_of(f, asked, {0, 1}, {-9, 1}, {9, 1}, {1, 1}), exact());
    CHECK(asked.sizes[0] == 2);
    CHECK(found.x == Point{2.0, 1.0});
    CHECK(found.jacobian(1, 1) == 0.0);
  }
}

TEST_CASE("a start outside is put into the box, and nothing is asked outside") {
  Asked asked;
  const auto found = least_squares(
      problem_of(rosenbrock, asked, {-7.0, 40.0}, {-2.0, -2.0}, {2.0, 3.0}, {1e-7, 1e-7}), exact());
  CHECK(asked.points[0] == Point{-2.0, 3.0});
  CHECK(std::abs(found.x[0] - 1.0) <= 1e-6);
  for (const Point& x : asked.points) {
    CHECK(std::abs(x[0]) <= 2.0);
    CHECK(x[1] <= 3.0);
  }
}

TEST_CASE("start and differences are one call, those without room backward") {
  const Function f = [](const Point& x) { return std::vector<double>{x[0], 2.0 * x[1], x[0] * x[2]}; };
  Asked asked;
  LeastSquaresRules rules;
  rules.most_points = 4;
  const auto found =
      least_squares(problem_of(f, asked, {1, 4, 3}, {0, 0, 2.5}, {10, 4.5, 3.2}, {2, 1, 1}), rules);
  REQUIRE(asked.calls == 1);
  REQUIRE(asked.points.size() == 4);
  CHECK(asked.points[0] == Point{1.0, 4.0, 3.0});
  CHECK(asked.points[1] == Point{3.0, 4.0, 3.0});
  CHECK(asked.points[2] == Point{1.0, 3.0, 3.0});  // 0.5 above, 1 below
  CHECK(asked.points[3] == Point{1.0, 4.0, 2.5});  // the box is narrower than the step: the wider side
  CHECK(found.end == End::budget);
  CHECK(found.points == 4);
  const std::vector<double> slopes{1, 0, 0, 0, 2, 0, 3, 0, 1};
  for (std::size_t i = 0; i < slopes.size(); ++i)
    CHECK(std::abs(found.jacobian.values[i] - slopes[i]) <= 1e-12);
}

TEST_CASE("points without residuals") {
  const auto unless = [](const Function& f, const std::function<bool(const Point&)>& fails) -> Function {
    return [f, fails](const Point& x) { return fails(x) ? std::vector<double>{} : f(x); };
  };
  const Point low{-5.0, -5.0}, high{5.0, 5.0}, step{1e-6, 1e-6};
  Asked asked;
  SUBCASE("a difference is taken on the other side") {
    const Function f = unless(rosenbrock, [](const Point& x) { return x[0] > -1.2 && x[0] < -1.1999; });
    const auto found = least_squares(problem_of(f, asked, {-1.2, 1.0}, low, high, step), exact(false));
    CHECK(asked.sizes[0] == 3);
    CHECK(asked.sizes[1] == 1);
    CHECK(asked.points[3] == Point{-1.2 - 1e-6, 1.0});
    CHECK(found.sum_of_squares <= 1e-12);
  }
  SUBCASE("failing both the unknown waits") {
    const Function f =
        unless(rosenbrock, [](const Point& x) { return x[0] != -1.2 && std::abs(x[0] + 1.2) < 1e-4; });
    LeastSquaresRules rules = exact(false);
    rules.most_points = 6;
    const auto found = least_squares(problem_of(f, asked, {-1.2, 1.0}, low, high, step), rules);
    CHECK(found.x[0] == -1.2);
    CHECK(std::abs(found.x[1] - 1.44) <= 1e-6);
    CHECK(found.jacobian(0, 0) == 0.0);
  }
  SUBCASE("a trial that fails, or is not finite, is no better") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    const Function f = [&](const Point& x) {
      return x[1] < -2.0 ? std::vector<double>{} : x[1] > 1.5 ? std::vector<double>{nan, 0.0} : rosenbrock(x);
    };
    for (const bool secant : {true, false}) {
      Asked again;
      const auto found = least_squares(problem_of(f, again, {-1.2, 1.0}, low, high, step), exact(secant));
      int failed = 0;
      for (const Point& x : again.points) failed += x[1] < -2.0 || x[1] > 1.5;
      CHECK(failed > 0);
      CHECK(std::abs(found.x[0] - 1.0) <= 1e-6);
      CHECK(found.sum_of_squares <= 1e-12);
    }
  }
  SUBCASE("no start") {
    const Function f = unless(rosenbrock, [](const Point& x) { return x[0] == -1.2; });
    const auto found = least_squares(problem_of(f, asked, {-1.2, 1.0}, low, high, step));
    CHECK(found.end == End::none);
    CHECK(found.residuals.empty());
    CHECK(found.points == 3);
  }
  SUBCASE("a start alone") {
    const Function f = unless(rosenbrock, [](const Point& x) { return x[0] != -1.2 || x[1] != 1.0; });
    const auto found = least_squares(problem_of(f, asked, {-1.2, 1.0}, low, high, step));
    CHECK(found.end == End::none);
    CHECK(found.residuals == rosenbrock({-1.2, 1.0}));
    CHECK(found.points == 5);
  }
}

TEST_CASE("least squares ends when told") {
  LeastSquaresRules rules;
  Asked asked;
  const Point low{-5.0, -5.0}, high{5.0, 5.0}, step{1e-4, 1e-4};
  SUBCASE("budget, never overdrawn, with the best point met") {
    for (int most = 1; most <= 24; ++most) {
      rules.most_points = most;
      Asked again;
      const auto found = least_squares(problem_of(rosenbrock, again, {-1.2, 1.0}, low, high, step), rules);
      CHECK(found.points <= most);
      CHECK(found.points == int(again.points.size()));
      if (found.points == most) CHECK(found.end == End::budget);
      double best = none;
      for (const Point& x : again.points) {
        const auto r = rosenbrock(x);
        best = std::min(best, r[0] * r[0] + r[1] * r[1]);
      }
      const auto r = rosenbrock(found.x);
      CHECK(found.residuals == r);
      CHECK(found.sum_of_squares <= best * (1.0 + 1e-3));
    }
  }
  SUBCASE("a small gain") {
    const Function f = [](const Point& x) { return std::vector<double>{1.0, 1e-2 * x[0], 1e-2 * x[1]}; };
    const auto found = least_squares(problem_of(f, asked, {1.0, 1.0}, low, high, step), rules);
    CHECK(found.end == End::gain);
    CHECK(asked.calls == 2);
  }
  SUBCASE("a small move") {
    const Function f = [](const Point& x) {
      return std::vector<double>{1e3 * x[0] * (1.0 + x[0]), 1e3 * x[1]};
    };
    const auto found = least_squares(problem_of(f, asked, {1e-6, 1e-6}, low, high, step), rules);
    CHECK(found.end == End::move);
    CHECK(asked.calls == 2);
  }
  SUBCASE("nothing left") {
    const auto found = least_squares(problem_of(rosenbrock, asked, {1.0, 1.0}, low, high, step), rules);
    CHECK(found.end == End::gain);
    CHECK(asked.calls == 1);
    CHECK(found.sum_of_squares == 0.0);
  }
}

TEST_CASE("least squares to the bit") {
  for (const Known& known : known_problems()) {
    Asked first, second;
    const auto a = least_squares(problem_of(known, first), exact());
    const auto b = least_squares(problem_of(known, second), exact());
    CHECK(first.points == second.points);
    CHECK(a.x == b.x);
    CHECK(a.residuals == b.residuals);
    CHECK(a.jacobian.values == b.jacobian.values);
  }
}

TEST_CASE("least squares refuses what is no problem") {
  Asked asked;
  const auto good = [&] { return problem_of(rosenbrock, asked, {0, 0}, {-1, -1}, {1, 1}, {0.1, 0.1}); };
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_NOTHROW(least_squares(good()));
  const auto refused = [&](const std::function<void(LeastSquaresProblem&)>& spoil) {
    LeastSquaresProblem problem = good();
    spoil(problem);
    CHECK_THROWS_AS(least_squares(problem), std::invalid_argument);
  };
  refused([](auto& p) { p.start.clear(); });
  refused([](auto& p) { p.start = p.lowest = p.highest = p.step = Point{}; });
  refused([](auto& p) { p.step.pop_back(); });
  refused([](auto& p) { p.lowest.push_back(0.0); });
  refused([](auto& p) { p.highest.pop_back(); });
  refused([](auto& p) { p.lowest[1] = 1.5; });
  refused([&](auto& p) { p.highest[1] = nan; });
  refused([](auto& p) { p.lowest[0] = p.highest[0] = none; });
  refused([](auto& p) { p.step[0] = 0.0; });
  refused([](auto& p) { p.step[0] = none; });
  refused([&](auto& p) { p.start[0] = nan; });
  refused([](auto& p) {
    p.residuals = [](std::span<const Point>) { return std::vector<std::vector<double>>(2, {1.0, 2.0}); };
  });
  refused([](auto& p) {
    p.residuals = [](std::span<const Point> x) {
      std::vector<std::vector<double>> all(x.size(), {1.0, 2.0});
      all.back().push_back(3.0);
      return all;
    };
  });
  LeastSquaresRules rules;
  rules.most_points = 0;
  CHECK_THROWS_AS(least_squares(good(), rules), std::invalid_argument);
  const Table too_narrow(2, 1), too_short(1, 2);
  CHECK_THROWS_AS(least_squares(good(), {}, &too_narrow), std::invalid_argument);
  CHECK_THROWS_AS(least_squares(good(), {}, &too_short), std::invalid_argument);
}
