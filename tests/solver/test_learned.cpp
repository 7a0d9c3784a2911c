// What data tell: closed forms, certified values, coverage over many seeds, and the ways data go wrong.
#include "solver/inverse/learned.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>

#include "solver/inverse/covariance.hpp"
#include "solver/inverse/robust.hpp"
#include "solver/noise.hpp"
#include "tests/solver/least_squares_problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::inverse;
using joulepress::solver::normal_deviate;
using joulepress::test::relative;

namespace {

using Model = std::function<std::vector<double>(const Point&)>;

LearnProblem problem_of(const Model& model, int unknowns, std::vector<DataSeries> series) {
  LearnProblem problem;
  problem.misfit = [model](std::span<const Point> points) {
    std::vector<std::vector<double>> answers;
    for (const Point& z : points) answers.push_back(model(z));
    return answers;
  };
  problem.series = std::move(series);
  problem.unknowns = unknowns;
  return problem;
}

DataSeries data(int count, double deviation) {
  return {DataSeries::Use::data, count, deviation};
}

/// A body warmed at a rate that it loses again by itself: how fast and how well it holds heat are unknown.
double warmed(double t, const Point& z) {
  const double loss = 0.01 * std::exp(0.5 * z[0]), rate = 5.0 * std::exp(0.2 * z[1]);  // 1/s, K/s
  return rate / loss * (1.0 - std::exp(-loss * t));
}

constexpr int readings = 120;

Model warmed_against(const std::vector<double>& measured) {
  return [measured](const Point& z) {
    std::vector<double> d;
    for (int i = 0; i < readings; ++i)
      d.push_back(warmed(5.0 * (i + 1), z) - measured[static_cast<std::size_t>(i)]);
    return d;
  };
}

std::vector<double> measured_of(const Point& truth, double noise, std::uint64_t seed) {
  std::vector<double> measured;
  for (int i = 0; i < readings; ++i)
    measured.push_back(warmed(5.0 * (i + 1), truth) +
                       noise * normal_deviate(seed, 7, static_cast<std::uint64_t>(i)));
  return measured;
}

}  // namespace

// Straight lines have a posterior in closed form: C = (A^T A / s^2 + 1)^-1, z = C A^T y / s^2; textbook.
TEST_CASE("what data tell of straight lines is the closed form") {
  const double s = 2.0;
  const std::vector<double> y{0.3, 0.1, -0.2, 0.4};  // far within s: rho is e^2 there to 1 %
  const Model line = [&](const Point& z) {
    std::vector<double> d;
    for (int i = 0; i < 4; ++i) d.push_back(z[0] + 0.5 * i * z[1] - y[static_cast<std::size_t>(i)]);
    return d;
  };
  LearnRules rules;
  rules.most_rounds = 1;  // later ones would weigh the little scatter of four values
  const Learned learned = learn(problem_of(line, 2, {data(4, s)}), rules);
  // A^T A = [[4, 3], [3, 3.5]], A^T y = [0.6, 0.45]
  const double a = 4.0 / (s * s) + 1.0, b = 3.0 / (s * s), d = 3.5 / (s * s) + 1.0, det = a * d - b * b;
  CHECK(learned.covariance(0, 0) == relative(d / det, 0.01));
  CHECK(learned.covariance(1, 1) == relative(a / det, 0.01));
  CHECK(learned.covariance(0, 1) == relative(-b / det, 0.01));
  const double p = 0.6 / (s * s), q = 0.45 / (s * s);
  CHECK(learned.scores[0] == relative((d * p - b * q) / det, 0.02));
  CHECK(learned.scores[1] == relative((a * q - b * p) / det, 0.02));
  CHECK(learned.slope(2, 1) == relative(1.0, 1e-9));
}

// The same with a model that may be wrong by m: ten of many values count, each known to m, however well they
// are met.
TEST_CASE("data count for no more than the model that is asked") {
  const int n = 200;
  const double m = 3.0, z_behind = 0.0;  // where the spread before pulls nowhere, noise alone is left
  const Model level = [&](const Point& z) {
    std::vector<double> d;
    for (int i = 0; i < n; ++i)
      d.push_back(z[0] - z_behind + 0.01 * normal_deviate(3, 7, static_cast<std::uint64_t>(i)));
    return d;
  };
  DataSeries series = data(n, 0.01);
  const double sharp = learn(problem_of(level, 1, {series})).covariance(0, 0);
  CHECK(sharp < 2.0 * 0.01 * 0.01 / n);
  series.model_deviation = m;
  const Learned learned = learn(problem_of(level, 1, {series}));
  const double precision = 10.0 / (m * m) + 1.0;
  CHECK(learned.covariance(0, 0) == relative(1.0 / precision, 0.01));
  CHECK(std::abs(learned.scores[0]) < 0.01);
}

// A level, seen n times to s, and another model that shows e more all along: with one straight unknown of
// unit spread both answers and both sums are known in closed form (textbook), and so is what the two leave
// open.
TEST_CASE("another model that may as well be right is in what is left open") {
  const int n = 5;
  const double s = 2.0, e = 1.5, level = 0.9;
  const auto shown = [&](double more) {
    return [=](std::span<const Point> points) {
      std::vector<std::vector<double>> answers;
      for (const Point& z : points) {
        answers.emplace_back(n, z[0] + more - level);
        answers.back().push_back(10.0 * z[0] + 7.0 * more);  // nothing measured it
      }
      return answers;
    };
  };
  LearnProblem problem;
  problem.unknowns = 1;
  problem.misfit = shown(0.0);
  problem.other_models = {shown(e), [](std::span<const Point> points) {
                            return std::vector<std::vector<double>>(points.size());
                          }};
  problem.series = {{DataSeries::Use::single, n, s}, {DataSeries::Use::watched, 1, 1.0}};
  const Learned learned = learn(problem);
  const double told = n / (s * s), C = 1.0 / (told + 1.0);
  const double here = C * told * level, there = C * told * (level - e);
  const double worse = ((level - e) * (level - e) - level * level) / (s * s / n + 1.0);
  REQUIRE(learned.models.size() == 2);
  const OtherModel& other = learned.models[0];
  CHECK(learned.scores[0] == relative(here, 0.02));
  CHECK(other.scores[0] == relative(there, 0.05));
  CHECK(other.worse == relative(worse, 0.05));
  CHECK(other.share == relative(1.0 / (1.0 + std::exp(0.5 * worse)), 0.02));
  CHECK(other.share > 0.5);  // it meets the level from nearer by
  CHECK(covariance_in_all(learned)(0, 0) ==
        relative(C + other.share * (there - here) * (there - here), 0.03));
  const double more = 10.0 * (there - here) + 7.0 * e;
  CHECK(deviation_by_models(learned, static_cast<std::size_t>(n)) ==
        relative(std::sqrt(other.share) * std::abs(more), 0.03));
  CHECK(learned.models[1].scores.empty());  // it has no run, and no part in anything
  CHECK(learned.models[1].share == 0.0);
}

TEST_CASE("weights are refined where runs have come nearer, and never the other way") {
  std::vector<double> near, far, swinging;
  for (int i = 0; i < 50; ++i) {
    near.push_back(0.3 * normal_deviate(4, 7, static_cast<std::uint64_t>(i)));
    far.push_back(10.0 * near.back());
    swinging.push_back(0.3 * std::sin(0.2 * i));
  }
  const std::vector<DataSeries> series{data(50, 0.1)};
  SeriesWeights weights(series);
  CHECK(weights.weigh(far));
  weights.remember(far);
  const double before = weights.slope(0, 0.0);
  CHECK_FALSE(weights.refine(far));
  CHECK(weights.refine(near));
  CHECK(weights.slope(0, 0.0) == relative(10.0 * before, 1e-9));  // as much nearer
  CHECK_FALSE(weights.refine(near));
  CHECK_FALSE(weights.refine(far));
  CHECK_FALSE(weights.refine(swinging));  // as small, but all of a piece
  CHECK(weights.unmet(far) - weights.unmet(near) == relative(50.0 * 2.0 * std::log(10.0), 1e-9));
  weights.remember(swinging);
  const double wary = weights.slope(0, 0.0);
  weights.trust(swinging);
  CHECK(weights.slope(0, 0.0) > 2.0 * wary);
}

// NIST Statistical Reference Datasets, Misra1a (certified values and standard deviations of the estimates,
// from memory): a wide spread beforehand leaves the data alone.
TEST_CASE("certified values and deviations of a reference data set") {
  const auto known = joulepress::test::known_problems();
  const auto misra = std::find_if(known.begin(), known.end(), [](const auto& k) {
    return std::string(k.name).find("Misra1a") != std::string::npos;
  });
  REQUIRE(misra != known.end());
  const double value[] = {2.3894212918e+02, 5.5015643181e-04}, deviation[] = {2.7070075241, 7.2668688436e-06},
               scatter = 1.0187876330e-01;
  const double wide = 30.0;  // deviations
  const Model model = [&](const Point& z) {
    return misra->f(
        {value[0] + wide * deviation[0] * (z[0] + 0.5), value[1] + wide * deviation[1] * (z[1] - 0.5)});
  };
  LearnRules rules;
  rules.step = 0.02;
  const Learned learned = learn(problem_of(model, 2, {data(14, scatter)}), rules);
  for (const int k : {0, 1}) {
    const double centre = k == 0 ? -0.5 : 0.5;
    const double off =
        (learned.scores[static_cast<std::size_t>(k)] - centre) * wide;  // in certified deviations
    // By the certified scatter instead of that which the fit weighs its values by.
    const double weight = learned.series[0].deviation * std::sqrt(learned.series[0].memory) / scatter;
    const double width = std::sqrt(learned.covariance(k, k)) * wide / weight;
    INFO("unknown " << k << ": " << off << ", " << width);
    CHECK(std::abs(off) < 0.35);  // far values are bent, and half a deviation of 30 beforehand pulls
    CHECK(width == relative(1.0, 0.1));
    joulepress::test::compare({"deviation of b" + std::to_string(k + 1) + " of NIST Misra1a",
                               "NIST Statistical Reference Datasets, certified, from memory", 1.0, width, 0.1,
                               "certified deviations", "what data tell of uncertain inputs"});
  }
}

TEST_CASE("intervals hold the truth as often as they say") {
  int inside[2] = {0, 0};
  std::vector<double> errors[2], widths[2];
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const Point truth{normal_deviate(seed, 1, 0), normal_deviate(seed, 1, 1)};
    const Learned learned =
        learn(problem_of(warmed_against(measured_of(truth, 3.0, seed)), 2, {data(readings, 3.0)}));
    REQUIRE(learned.end != Learned::End::none);
    for (std::size_t k = 0; k < 2; ++k) {
      const double width = 1.96 * std::sqrt(learned.covariance(static_cast<int>(k), static_cast<int>(k)));
      const double error = learned.scores[k] - truth[k];
      inside[k] += std::abs(error) <= width ? 1 : 0;
      errors[k].push_back(error);
      widths[k].push_back(width);
    }
  }
  for (std::size_t k = 0; k < 2; ++k) {
    double square = 0.0;
    for (const double e : errors[k]) square += e * e;
    const double scatter = std::sqrt(square / 100.0);
    std::nth_element(widths[k].begin(), widths[k].begin() + 50, widths[k].end());
    INFO("unknown " << k << ": " << inside[k] << " of 100, width " << widths[k][50] << ", scatter "
                    << scatter);
    CHECK(inside[k] >= 89);
    CHECK(widths[k][50] <= 1.5 * 1.96 * scatter);
  }
}

TEST_CASE("values far off and runs that fail hardly move what is learned") {
  const Point truth{0.8, -0.6};
  std::vector<double> measured = measured_of(truth, 3.0, 11);
  const auto learned_of = [](const Model& model) {
    return learn(problem_of(model, 2, {data(readings, 3.0)}));
  };
  const Learned clean = learned_of(warmed_against(measured));
  for (std::size_t i = 5; i < measured.size(); i += 12) measured[i] += 400.0;  // a couple that jumps
  const Learned spiked = learned_of(warmed_against(measured));
  CHECK(spiked.series[0].far_off == 10);
  const Model whole = warmed_against(measured);
  const Learned failed =
      learned_of([&](const Point& z) { return z[0] > 1.2 ? std::vector<double>{} : whole(z); });
  for (std::size_t k = 0; k < 2; ++k) {
    const double deviation = std::sqrt(clean.covariance(int(k), int(k)));
    CHECK(std::abs(spiked.scores[k] - clean.scores[k]) < 1.5 * deviation);
    CHECK(std::abs(spiked.scores[k] - truth[k]) < 4.0 * deviation);
    CHECK(failed.scores[k] == doctest::Approx(spiked.scores[k]).epsilon(0.05));
  }
}

// An error that lasts: 5 K for half of the time.  As 120 witnesses the data would be sure of a wrong answer.
TEST_CASE("what the model has wrong for long counts once") {
  const Point truth{0.5, 0.5};
  std::vector<double> measured = measured_of(truth, 0.3, 3);
  for (std::size_t i = 0; i < measured.size(); ++i)
    measured[i] += 8.0 * std::sin(2.0 * 3.141592653589793 * static_cast<double>(i) / 50.0);
  const Learned learned = learn(problem_of(warmed_against(measured), 2, {data(readings, 0.3)}));
  CHECK(learned.series[0].memory > 5.0);
  for (std::size_t k = 0; k < 2; ++k) {
    const double deviation = std::sqrt(learned.covariance(int(k), int(k)));
    CHECK(std::abs(learned.scores[k] - truth[k]) < 1.96 * deviation);
  }
}

// Autoregressive noise of the first order: sum of its autocorrelations (1 + a) / (1 - a); textbook.
TEST_CASE("values with a memory tell less") {
  const auto noise = [](double a, std::uint64_t seed) {
    std::vector<double> e{0.0};
    for (std::uint64_t i = 0; i < 4000; ++i)
      e.push_back(a * e.back() + std::sqrt(1.0 - a * a) * normal_deviate(seed, 2, i));
    return e;
  };
  double white = 0.0, slow = 0.0;
  for (std::uint64_t seed = 0; seed < 20; ++seed) {
    white += memory_of(noise(0.0, seed), 1.0) / 20.0;
    slow += memory_of(noise(0.8, seed), 1.0) / 20.0;
  }
  CHECK(white == relative(1.0, 0.1));
  CHECK(slow == relative(9.0, 0.25));
  CHECK(memory_of(std::vector<double>(50, 2.0), 1.0) == relative(50.0, 1e-12));
}

TEST_CASE("a second answer as good is told") {
  const Model either = [](const Point& z) {
    std::vector<double> d;
    for (int i = 0; i < 20; ++i) d.push_back((z[0] * z[0] - 1.0) * (1.0 + i) + 0.01 * z[1]);
    return d;
  };
  const Learned learned = learn(problem_of(either, 2, {data(20, 0.5)}));
  CHECK(std::abs(learned.scores[0]) == relative(1.0, 0.02));
  REQUIRE(!learned.others.empty());
  // starts aside are searched in the first, wide weights only
  CHECK(learned.others[0].scores[0] == doctest::Approx(-learned.scores[0]).epsilon(0.1));
}

TEST_CASE("what was not measured is followed, and one more measurement narrows it as a fit would") {
  const double s = 1.0;
  const Model both = [](const Point& z) {
    return std::vector<double>{0.5 * z[0] + 0.2, 3.0 * z[0] - 2.0 * z[1], z[1]};
  };
  const Learned learned =
      learn(problem_of(both, 2, {{DataSeries::Use::single, 1, s}, {DataSeries::Use::watched, 2, 1.0}}));
  const std::vector<double> offset{learned.slope(1, 0), learned.slope(1, 1)};
  CHECK(offset[0] == relative(3.0, 1e-9));
  CHECK(offset[1] == relative(-2.0, 1e-9));
  // C = diag(1 / (1 + 0.25), 1): textbook
  CHECK(deviation_of(learned.covariance, offset) == relative(std::sqrt(9.0 / 1.25 + 4.0), 2e-2));
  const Table after = with_measurement(learned.covariance, {0.0, 1.0}, 0.5);
  CHECK(after(1, 1) == relative(1.0 / (1.0 + 1.0 / 0.25), 1e-6));
  CHECK(after(0, 0) == relative(learned.covariance(0, 0), 1e-6));
}

TEST_CASE("no run, nothing to learn, series of other lengths") {
  const Model none = [](const Point&) { return std::vector<double>{}; };
  CHECK(learn(problem_of(none, 1, {data(3, 1.0)})).end == Learned::End::none);
  const Model two = [](const Point&) { return std::vector<double>{1.0, 2.0}; };
  CHECK_THROWS_AS(learn(problem_of(two, 1, {data(3, 1.0)})), std::invalid_argument);
  CHECK_THROWS_AS(learn(problem_of(two, 0, {data(2, 1.0)})), std::invalid_argument);
  CHECK_THROWS_AS(learn(problem_of(two, 1, {data(2, 0.0)})), std::invalid_argument);
}
