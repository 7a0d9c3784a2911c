#include "tests/solver/least_squares_problems.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace joulepress::test {

using namespace inverse;

Residuals asking(const Function& f, Asked& asked) {
  return [f, &asked](std::span<const Point> points) {
    ++asked.calls;
    asked.sizes.push_back(points.size());
    std::vector<std::vector<double>> all;
    for (const Point& x : points) {
      asked.points.push_back(x);
      all.push_back(f(x));
    }
    return all;
  };
}

LeastSquaresRules exact(bool secant) {
  LeastSquaresRules rules;
  rules.most_points = 4000;
  rules.least_gain = 1e-13;
  rules.least_move = 1e-7;
  rules.secant = secant;
  return rules;
}

LeastSquaresProblem problem_of(const Known& known, Asked& asked) {
  LeastSquaresProblem problem;
  problem.residuals = asking(known.f, asked);
  problem.start = known.start;
  problem.step = known.step;
  problem.lowest = known.lowest.empty() ? Point(known.start.size(), -none) : known.lowest;
  problem.highest = known.highest.empty() ? Point(known.start.size(), none) : known.highest;
  return problem;
}

LeastSquaresProblem problem_of(const Function& f, Asked& asked, Point start, Point lowest, Point highest,
                               Point step) {
  LeastSquaresProblem problem;
  problem.residuals = asking(f, asked);
  problem.start = std::move(start);
  problem.lowest = std::move(lowest);
  problem.highest = std::move(highest);
  problem.step = std::move(step);
  return problem;
}

std::vector<double> rosenbrock(const Point& x) {
  return {10.0 * (x[1] - x[0] * x[0]), 1.0 - x[0]};
}

namespace {

std::vector<double> powell_singular(const Point& x) {
  const double a = x[1] - 2.0 * x[2], b = x[0] - x[3];
  return {x[0] + 10.0 * x[1], std::sqrt(5.0) * (x[2] - x[3]), a * a, std::sqrt(10.0) * b * b};
}

std::vector<double> box_3d(const Point& x) {
  std::vector<double> r;
  for (int i = 1; i <= 10; ++i) {
    const double t = 0.1 * i;
    r.push_back(std::exp(-t * x[0]) - std::exp(-t * x[1]) - x[2] * (std::exp(-t) - std::exp(-10.0 * t)));
  }
  return r;
}

std::vector<double> brown_dennis(const Point& x) {
  std::vector<double> r;
  for (int i = 1; i <= 20; ++i) {
    const double t = i / 5.0, a = x[0] + t * x[1] - std::exp(t);
    const double b = x[2] + x[3] * std::sin(t) - std::cos(t);
    r.push_back(a * a + b * b);
  }
  return r;
}

std::vector<double> bard(const Point& x) {
  const double y[] = {0.14, 0.18, 0.22, 0.25, 0.29, 0.32, 0.35, 0.39,
                      0.37, 0.58, 0.73, 0.96, 1.34, 2.10, 4.39};
  std::vector<double> r;
  for (int i = 1; i <= 15; ++i) {
    const double u = i, v = 16 - i, w = std::min(u, v);
    r.push_back(y[i - 1] - (x[0] + u / (v * x[1] + w * x[2])));
  }
  return r;
}

struct Data {
  std::vector<double> y, x;
};

/// Both of NIST's growing saturations: y = b1 (1 - exp(-b2 x)).
Function saturation(const Data& data) {
  return [data](const Point& b) {
    std::vector<double> r;
    for (std::size_t i = 0; i < data.x.size(); ++i)
      r.push_back(b[0] * (1.0 - std::exp(-b[1] * data.x[i])) - data.y[i]);
    return r;
  };
}

const Data misra1a{
    {10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78},
    {77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0}};
const Data boxbod{{109, 149, 149, 191, 213, 224}, {1, 2, 3, 5, 7, 10}};
const Data thurber{
    {80.574,   84.248,   87.264,   87.195,   89.076,   89.608,   89.868,   90.101,   92.405,   95.854,
     100.696,  101.060,  401.672,  390.724,  567.534,  635.316,  733.054,  759.087,  894.206,  990.785,
     1090.109, 1080.914, 1122.643, 1178.351, 1260.531, 1273.514, 1288.339, 1327.543, 1353.863, 1414.509,
     1425.208, 1421.384, 1442.962, 1464.350, 1468.705, 1447.894, 1457.628},
    {-3.067, -2.981, -2.921, -2.912, -2.840, -2.797, -2.702, -2.699, -2.633, -2.481, -2.363, -2.322, -1.501,
     -1.460, -1.274, -1.212, -1.100, -1.046, -0.915, -0.714, -0.566, -0.545, -0.400, -0.309, -0.109, -0.103,
     0.010,  0.119,  0.377,  0.790,  0.963,  1.006,  1.115,  1.572,  1.841,  2.047,  2.200}};

std::vector<double> thurber_residuals(const Point& b) {
  std::vector<double> r;
  for (std::size_t i = 0; i < thurber.x.size(); ++i) {
    const double x = thurber.x[i];
    r.push_back((b[0] + x * (b[1] + x * (b[2] + x * b[3]))) / (1.0 + x * (b[4] + x * (b[5] + x * b[6]))) -
                thurber.y[i]);
  }
  return r;
}

}  // namespace

std::vector<Known> known_problems() {
  const Point small{1e-7, 1e-7, 1e-7, 1e-7};
  std::vector<Known> all;
  all.push_back(
      {"Rosenbrock (1)", rosenbrock, {-1.2, 1.0}, {1e-7, 1e-7}, {}, {}, 0.0, 1e-12, {1.0, 1.0}, 1e-6});
  all.push_back(
      {"Powell singular (13)", powell_singular, {3.0, -1.0, 0.0, 1.0}, small, {}, {}, 0.0, 1e-12, {}, 0.0});
  all.push_back({"Box 3-d (12)",
                 box_3d,
                 {0.0, 10.0, 20.0},
                 {1e-7, 1e-7, 1e-7},
                 {0, 0, 0},
                 {20, 20, 30},
                 0.0,
                 1e-12,
                 {1.0, 10.0, 1.0},
                 1e-5});
  all.push_back({"Brown and Dennis (16)",
                 brown_dennis,
                 {25.0, 5.0, -5.0, -1.0},
                 small,
                 {},
                 {},
                 85822.2,
                 0.05,
                 {},
                 0.0});
  all.push_back({"Bard (8)", bard, {1.0, 1.0, 1.0}, {1e-7, 1e-7, 1e-7}, {}, {}, 8.21487e-3, 1e-8, {}, 0.0});
  all.push_back({"NIST Misra1a, start 1",
                 saturation(misra1a),
                 {500.0, 1e-4},
                 {5e-5, 1e-11},
                 {},
                 {},
                 1.2455138894e-1,
                 1e-9,
                 {2.3894212918e+02, 5.5015643181e-04},
                 1e-6});
  all.push_back({"NIST BoxBOD, start 1",
                 saturation(boxbod),
                 {1.0, 1.0},
                 {1e-5, 1e-7},
                 {0, 0.01},
                 {1000, 10},
                 1.1680088766e+03,
                 1e-6,
                 {2.1380940889e+02, 5.4723748542e-01},
                 1e-6,
                 false});
  all.push_back({"NIST Thurber, start 1",
                 thurber_residuals,
                 {1000, 1000, 400, 40, 0.7, 0.3, 0.03},
                 {1e-4, 1e-4, 4e-5, 4e-6, 7e-8, 3e-8, 3e-9},
                 Point(7, 0.0),
                 {1e4, 1e4, 1e4, 1e4, 10, 10, 10},
                 5.6427082397e+03,
                 1e-6,
                 {1.2881396800e+03, 1.4910792535e+03, 5.8323836877e+02, 7.5416644291e+01, 9.6629502864e-01,
                  3.9797285797e-01, 4.9727297349e-02},
                 1e-6});
  return all;
}

}  // namespace joulepress::test
