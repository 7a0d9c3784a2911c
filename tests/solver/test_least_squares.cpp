// Least squares on problems whose minima are known, and on one like those it is for.
#include "solver/inverse/least_squares.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <string>
#include <unsupported/Eigen/NonLinearOptimization>

#include "solver/noise.hpp"
#include "tests/solver/least_squares_problems.hpp"
#include "tests/support/record.hpp"

using namespace joulepress::inverse;
using namespace joulepress::test;
using End = LeastSquaresResult::End;

TEST_CASE("least squares finds minima that are known") {
  for (const Known& known : known_problems()) {
    Asked asked;
    const LeastSquaresResult found = least_squares(problem_of(known, asked), exact(false));
    INFO(known.name << ": " << found.points << " points in " << asked.calls << " calls");
    CHECK(found.points == int(asked.points.size()));
    CHECK(std::abs(found.sum_of_squares - known.sum) <= known.limit);
    REQUIRE(known.x.size() <= found.x.size());
    for (std::size_t i = 0; i < known.x.size(); ++i)
      CHECK(std::abs(found.x[i] / known.x[i] - 1.0) <= known.x_limit);
    if (std::string(known.name).rfind("NIST", 0) == 0)
      compare({std::string("sum of squares of ") + known.name,
               "NIST Statistical Reference Datasets, certified value", known.sum, found.sum_of_squares,
               known.limit, "-", "least squares within a box"});
  }
}

// J that only follows may say that nothing is left to be gained where something is: with BoxBOD the search
// ends 2e-5 of S above the least, though asked for 1e-13.
TEST_CASE("between differences the residuals met stand in for them") {
  int with = 0, without = 0;
  for (const Known& known : known_problems()) {
    Asked asked, asked_without;
    const LeastSquaresResult found = least_squares(problem_of(known, asked), exact());
    without += least_squares(problem_of(known, asked_without), exact(false)).points;
    with += found.points;
    INFO(known.name << ": " << found.points << " points in " << asked.calls << " calls, differences "
                    << asked_without.points.size() << " in " << asked_without.calls);
    CHECK(std::abs(found.sum_of_squares - known.sum) <= (known.secant_too ? known.limit : 1e-4 * known.sum));
    if (!known.secant_too) continue;
    for (std::size_t i = 0; i < known.x.size(); ++i)
      CHECK(std::abs(found.x[i] / known.x[i] - 1.0) <= known.x_limit);
  }
  MESSAGE("points of all problems: " << with << " with the secant, " << without << " without");
  CHECK(with < 0.7 * without);
}

namespace {

/// For the reference: residuals as it wants them.
struct Functor {
  using Scalar = double;
  using InputType = Eigen::VectorXd;
  using ValueType = Eigen::VectorXd;
  using JacobianType = Eigen::MatrixXd;
  enum { InputsAtCompileTime = Eigen::Dynamic, ValuesAtCompileTime = Eigen::Dynamic };
  const Known* known;
  int count;
  mutable int asked = 0;
  int inputs() const { return int(known->start.size()); }
  int values() const { return count; }
  Eigen::VectorXd at(const Eigen::VectorXd& x) const {
    const std::vector<double> met = known->f(Point(x.data(), x.data() + x.size()));
    return Eigen::Map<const Eigen::VectorXd>(met.data(), Eigen::Index(met.size()));
  }
  int operator()(const Eigen::VectorXd& x, Eigen::VectorXd& r) const {
    ++asked;
    r = at(x);
    return 0;
  }
  int df(const Eigen::VectorXd& x, Eigen::MatrixXd& J) const {
    const Eigen::VectorXd here = at(x);  // known to it already: not counted
    Eigen::VectorXd there, moved = x;
    for (Eigen::Index i = 0; i < x.size(); ++i) {
      moved[i] = x[i] + known->step[i];
      (*this)(moved, there);
      J.col(i) = (there - here) / (moved[i] - x[i]);
      moved[i] = x[i];
    }
    return 0;
  }
};

}  // namespace

// Eigen's port of MINPACK (unsupported/Eigen/NonLinearOptimization), without a box, to as little: the same
// minima.  Box 3-d and BoxBOD, for which it needs the box, are left out.
TEST_CASE("a general library finds the same minima") {
  int seen = 0, ours = 0, theirs = 0;
  for (const Known& known : known_problems()) {
    const std::string name = known.name;
    if (name.find("Box") != std::string::npos) continue;
    ++seen;
    Asked asked;
    const LeastSquaresResult found = least_squares(problem_of(known, asked), exact(false));
    Functor functor{&known, int(found.residuals.size())};
    Eigen::LevenbergMarquardt<Functor> reference(functor);
    reference.parameters.maxfev = 4000;
    reference.parameters.ftol = reference.parameters.xtol = 1e-13;
    Eigen::VectorXd x =
        Eigen::Map<const Eigen::VectorXd>(known.start.data(), Eigen::Index(known.start.size()));
    reference.minimize(x);
    MESSAGE(name << ": " << found.points << " points in " << asked.calls << " calls; the library "
                 << functor.asked << " one after the other");
    CHECK(std::abs(reference.fvec.squaredNorm() - found.sum_of_squares) <= known.limit);
    ours += found.points;
    theirs += functor.asked;
  }
  CHECK(seen == 6);
  CHECK(ours < theirs);
}

namespace {

/// A powder that lags behind eight temperatures entered and lies below them the more the hotter, seen at 24
/// times with noise; residuals over 1 K.
struct Lagging {
  double noise_K = 0, lag = 0.4, below = 6e-5;
  Point truth{600, 800, 1000, 1200, 1400, 1500, 1500, 1100};
  std::vector<double> powder(const Point& x) const {
    std::vector<double> all;
    double T = 300.0;
    for (const double entered : x) {
      const double aim = entered - 20.0 - below * (entered - 300.0) * (entered - 300.0);
      for (int k = 0; k < 3; ++k) all.push_back(T += lag * (aim - T));
    }
    return all;
  }
  Function residuals(int& runs) const {
    return [*this, &runs, wish = powder(truth)](const Point& x) {
      std::vector<double> r = powder(x);
      for (std::size_t i = 0; i < r.size(); ++i)
        r[i] += noise_K * joulepress::solver::normal_deviate(3, runs, int(i)) - wish[i];
      ++runs;
      return r;
    };
  }
};

LeastSquaresResult entered_for(const Lagging& model, bool secant, Asked& asked,
                               const Table* jacobian = nullptr) {
  int runs = 0;
  LeastSquaresRules rules;
  rules.secant = secant;
  Point start = model.powder(model.truth);  // the wish itself, at the ends of the eight
  for (std::size_t i = 0; i < 8; ++i) start[i] = start[3 * i + 2];
  start.resize(8);
  return least_squares(
      problem_of(model.residuals(runs), asked, start, Point(8, 300.0), Point(8, 2500.0), Point(8, 5.0)),
      rules, jacobian);
}

double farthest(const Point& a, const Point& b) {
  double most = 0.0;
  for (std::size_t i = 0; i < a.size(); ++i) most = std::max(most, std::abs(a[i] - b[i]));
  return most;
}

}  // namespace

TEST_CASE("noise of runs is borne, and the secant spares runs") {
  for (const double noise_K : {0.0, 0.05, 0.3}) {
    Lagging model;
    model.noise_K = noise_K;
    Asked with, without;
    const auto secant = entered_for(model, true, with), differences = entered_for(model, false, without);
    MESSAGE("noise " << noise_K << " K: secant " << secant.points << " points in " << with.calls << " calls, "
                     << farthest(secant.x, model.truth) << " K off; differences " << differences.points
                     << " in " << without.calls << ", " << farthest(differences.x, model.truth) << " K off");
    CHECK(farthest(secant.x, model.truth) <= 0.1 + 8.0 * noise_K);
    CHECK(farthest(differences.x, model.truth) <= 0.1 + 8.0 * noise_K);
    CHECK(secant.points < differences.points);
    CHECK(secant.end != End::budget);
  }
}

TEST_CASE("a Jacobian from a model that is alike spares its differences") {
  Lagging coarse, fine;
  coarse.lag = 0.37;
  coarse.below = 5e-5;
  Asked of_coarse, of_fine, of_fine_alone;
  const auto first = entered_for(coarse, true, of_coarse);
  const auto second = entered_for(fine, true, of_fine, &first.jacobian);
  const auto alone = entered_for(fine, true, of_fine_alone);
  MESSAGE("with a Jacobian " << second.points << " points in " << of_fine.calls << " calls, without "
                             << alone.points << " in " << of_fine_alone.calls);
  CHECK(of_fine.sizes[0] == 1);
  CHECK(farthest(second.x, fine.truth) <= 0.1);
  CHECK(second.points < alone.points);

  SUBCASE("one that says the contrary is replaced") {
    Table wrong = first.jacobian;
    for (double& value : wrong.values) value = -value;
    Asked asked;
    const auto found = entered_for(fine, true, asked, &wrong);
    CHECK(farthest(found.x, fine.truth) <= 0.1);
  }
}
