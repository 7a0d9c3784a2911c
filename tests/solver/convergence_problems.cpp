#include "convergence_problems.hpp"

#include <cmath>
#include <numbers>
#include <utility>

namespace {

constexpr double pi = std::numbers::pi;
using Function = std::function<double(double)>;

/// Solution of a tridiagonal system; lower[0] and upper[n - 1] are not read.
std::vector<double> tridiagonal(std::vector<double> lower, std::vector<double> diagonal,
                                std::vector<double> upper, std::vector<double> right) {
  const int n = int(right.size());
  for (int i = 1; i < n; ++i) {
    const double share = lower[i] / diagonal[i - 1];
    diagonal[i] -= share * upper[i - 1];
    right[i] -= share * right[i - 1];
  }
  right[n - 1] /= diagonal[n - 1];
  for (int i = n - 2; i >= 0; --i) right[i] = (right[i] - upper[i] * right[i + 1]) / diagonal[i];
  return right;
}

/// -(r^m u')' = r^m q on (inner, 1), u(1) = 0 held by half a cell, cells of equal width; at r = inner u is
/// `held` there by half a cell too, or nothing flows (inner = 0).
struct Conduction {
  std::vector<double> u;  ///< in the cells
  double flow_out;        ///< through r = 1, per unit angle or area
};

Conduction conduct(int n, int m, double inner, double held, const Function& source) {
  const double h = (1.0 - inner) / n;
  const auto area = [&](double r) { return std::pow(r, m); };
  std::vector<double> lower(n), diagonal(n), upper(n), right(n);
  for (int i = 0; i < n; ++i) {
    const double west = inner + i * h, east = west + h, middle = west + 0.5 * h;
    const double volume = (std::pow(east, m + 1) - std::pow(west, m + 1)) / (m + 1);
    const double to_west = i > 0 ? area(west) / h : (inner > 0.0 ? 2.0 * area(west) / h : 0.0);
    const double to_east = i < n - 1 ? area(east) / h : 2.0 * area(east) / h;
    lower[i] = -to_west;
    upper[i] = -to_east;
    diagonal[i] = to_west + to_east;
    right[i] = volume * source(middle) + (i == 0 ? to_west * held : 0.0);
  }
  Conduction found{tridiagonal(lower, diagonal, upper, right), 0.0};
  found.flow_out = 2.0 * found.u[n - 1] / h;
  return found;
}

/// -e u'' + b u' + c u = 1 at nodes 0..n of [0, 1] with u(0) = u(1) = 0; b by the node before (upwind) or by
/// both neighbours.
std::vector<double> boundary_value(int n, double e, double b, double c, bool upwind) {
  const double h = 1.0 / n;
  std::vector<double> lower(n - 1), diagonal(n - 1), upper(n - 1);
  for (int i = 0; i < n - 1; ++i) {
    lower[i] = -e / (h * h) - (upwind ? b / h : 0.5 * b / h);
    diagonal[i] = 2.0 * e / (h * h) + (upwind ? b / h : 0.0) + c;
    upper[i] = -e / (h * h) + (upwind ? 0.0 : 0.5 * b / h);
  }
  std::vector<double> u = tridiagonal(lower, diagonal, upper, std::vector<double>(n - 1, 1.0));
  u.insert(u.begin(), 0.0);
  u.push_back(0.0);
  return u;
}

/// u'' = w^2 u at nodes of [0, 1], u(0) = 1, u'(1) = 0 by a mirrored node.
std::vector<double> fin(int n, double w) {
  const double h = 1.0 / n;
  std::vector<double> lower(n, -1.0), diagonal(n, 2.0 + w * w * h * h), upper(n, -1.0), right(n, 0.0);
  right[0] = 1.0;
  lower[n - 1] = -2.0;
  std::vector<double> u = tridiagonal(lower, diagonal, upper, right);
  u.insert(u.begin(), 1.0);
  return u;
}

/// Middle of a slab at t = 0.1: u_t = u_xx, u = sin(pi x) at first, 0 at the ends; `implicit` 1 or 1/2.
double cooling(int n, int steps, double implicit) {
  const double h = 1.0 / n, number = 0.1 / steps / (h * h);
  std::vector<double> u(n - 1);
  for (int i = 0; i < n - 1; ++i) u[i] = std::sin(pi * (i + 1) * h);
  const std::vector<double> side(n - 1, -implicit * number), middle(n - 1, 1.0 + 2.0 * implicit * number);
  for (int step = 0; step < steps; ++step) {
    std::vector<double> right(n - 1);
    for (int i = 0; i < n - 1; ++i) {
      const double before = i > 0 ? u[i - 1] : 0.0, behind = i < n - 2 ? u[i + 1] : 0.0;
      right[i] = u[i] + (1.0 - implicit) * number * (before - 2.0 * u[i] + behind);
    }
    u = tridiagonal(side, middle, side, right);
  }
  return u[n / 2 - 1];
}

/// Sum over n panels of [a, b] of a rule with places and weights on (0, 1).
double panels(const Function& f, double a, double b, int n,
              const std::vector<std::pair<double, double>>& rule) {
  const double h = (b - a) / n;
  double sum = 0.0;
  for (int i = 0; i < n; ++i)
    for (const auto& [place, weight] : rule) sum += weight * h * f(a + (i + place) * h);
  return sum;
}

using Slope = std::function<double(double, double)>;  ///< y' of t and y

/// y(end) from n equal steps of an explicit Runge-Kutta scheme: rows of coefficients, then the weights.
double runge_kutta(const Slope& slope, double y, double end, int n,
                   const std::vector<std::vector<double>>& rows, const std::vector<double>& weights) {
  const double dt = end / n;
  for (int step = 0; step < n; ++step) {
    std::vector<double> k;
    for (const std::vector<double>& row : rows) {
      double at = y, share = 0.0;
      for (std::size_t j = 0; j < row.size(); ++j) at += dt * row[j] * k[j], share += row[j];
      k.push_back(slope((step + share) * dt, at));
    }
    for (std::size_t j = 0; j < k.size(); ++j) y += dt * weights[j] * k[j];
  }
  return y;
}

/// y(end) of y' = -rate (y - g(t)) by backward Euler (share 1) or the trapezoidal rule (share 1/2).
double implicit_steps(double rate, const Function& g, double y, double end, int n, double share) {
  const double dt = end / n;
  for (int step = 0; step < n; ++step) {
    const double now = -rate * (y - g(step * dt));
    y = (y + dt * (1.0 - share) * now + dt * share * rate * g((step + 1) * dt)) / (1.0 + dt * share * rate);
  }
  return y;
}

/// Place of an oscillator x'' = -x at `end`, from x = 1 at rest: velocity and place turn by turn, half steps
/// of the velocity at both ends.
double oscillator(double end, int n) {
  const double dt = end / n;
  double x = 1.0, v = 0.0;
  for (int step = 0; step < n; ++step) {
    v -= 0.5 * dt * x;
    x += dt * v;
    v -= 0.5 * dt * x;
  }
  return x;
}

}  // namespace

std::vector<ConvergenceProblem> conduction_problems() {
  const Function square = [](double r) { return r * r; }, none = [](double) { return 0.0; };
  const Function one = [](double) { return 1.0; };
  const Function wave = [](double x) { return std::cos(0.5 * pi * x); };
  const double w = 3.0, e = 0.1;
  // Layer: u = x - (exp((x - 1) / e) - exp(-1 / e)) / (1 - exp(-1 / e)).
  const double layer = 0.75 - (std::exp(-0.25 / e) - std::exp(-1.0 / e)) / (1.0 - std::exp(-1.0 / e));
  // Reaction: u = 1 - cosh((x - 1/2) / s) / cosh(1 / (2 s)), s^2 = 0.01.
  const double reaction = 1.0 - std::cosh(2.5) / std::cosh(5.0);
  const double decay = std::exp(-0.1 * pi * pi);
  return {
      {"slab, source a cosine: insulated side",
       2,
       [=](int n) { return conduct(n, 0, 0, 0, wave).u[0]; },
       4.0 / (pi * pi),
       {32, 16, 8}},
      {"slab, source a cosine: heat out",
       2,
       [=](int n) { return conduct(n, 0, 0, 0, wave).flow_out; },
       2.0 / pi,
       {30, 20, 15}},
      {"cylinder with source: mean, 1 / 8",
       2,
       [=](int n) {
         const std::vector<double> u = conduct(n, 1, 0, 0, one).u;
         double sum = 0.0;
         for (int i = 0; i < n; ++i) sum += (2 * i + 1.0) / (double(n) * n) * u[i];
         return sum;
       },
       0.125,
       {40, 20, 10}},
      {"sphere with source r^2: middle, (1 - r^4) / 20",
       2,
       [=](int n) { return conduct(n, 2, 0, 0, square).u[0]; },
       0.05,
       {36, 24, 12}},
      {"ring without source: flow 1 / ln 4",
       2,
       [=](int n) { return conduct(n, 1, 0.25, 1.0, none).flow_out; },
       1.0 / std::log(4.0),
       {32, 16, 8}},
      {"shell without source: flow 1 / (1/a - 1)",
       2,
       [=](int n) { return conduct(n, 2, 0.4, 1.0, none).flow_out; },
       1.0 / 1.5,
       {36, 24, 16}},
      {"fin: tip, 1 / cosh w", 2, [=](int n) { return fin(n, w)[n]; }, 1.0 / std::cosh(w), {32, 16, 8}},
      {"fin: heat in by one difference, w tanh w",
       1,
       [=](int n) { return n * (1.0 - fin(n, w)[1]); },
       w * std::tanh(w),
       {64, 32, 16}},
      {"fin: heat in by two differences",
       2,
       [=](int n) {
         const std::vector<double> u = fin(n, w);
         return 0.5 * n * (3.0 - 4.0 * u[1] + u[2]);
       },
       w * std::tanh(w),
       {60, 40, 20}},
      {"layer, upwind: u(3/4)",
       1,
       [=](int n) { return boundary_value(n, e, 1.0, 0.0, true)[3 * n / 4]; },
       layer,
       {80, 40, 20}},
      {"layer, central: u(3/4)",
       2,
       [=](int n) { return boundary_value(n, e, 1.0, 0.0, false)[3 * n / 4]; },
       layer,
       {48, 24, 12}},
      {"reaction layer: u(1/4)",
       2,
       [=](int n) { return boundary_value(n, 0.01, 0.0, 1.0, false)[n / 4]; },
       reaction,
       {48, 32, 16}},
      {"cooling slab, backward Euler, steps as cells",
       1,
       [=](int n) { return cooling(n, n, 1.0); },
       decay,
       {40, 20, 10}},
      {"cooling slab, trapezoidal, steps as cells",
       2,
       [=](int n) { return cooling(n, n, 0.5); },
       decay,
       {32, 16, 8}},
      {"cooling slab, backward Euler, steps as cells squared",
       2,
       [=](int n) { return cooling(n, n * n / 4, 1.0); },
       decay,
       {24, 16, 8}},
  };
}

std::vector<ConvergenceProblem> quadrature_problems() {
  const std::vector<std::pair<double, double>> left{{0, 1}}, middle{{0.5, 1}}, trapezoid{{0, 0.5}, {1, 0.5}},
      simpson{{0, 1.0 / 6}, {0.5, 2.0 / 3}, {1, 1.0 / 6}}, radau{{0, 0.25}, {2.0 / 3, 0.75}},
      gauss{{0.5 - std::sqrt(1.0 / 12), 0.5}, {0.5 + std::sqrt(1.0 / 12), 0.5}};
  const Function exponential = [](double x) { return std::exp(x); };
  const Function bell = [](double x) { return 1.0 / (1.0 + x * x); };
  const Function root = [](double x) { return std::sqrt(x); };
  const double e1 = std::exp(1.0) - 1.0;
  const auto power = [](double exponent) { return [=](double x) { return std::pow(x, exponent); }; };
  const auto rule = [](const Function& f, double a, double b, const auto& of) {
    return [=](int n) { return panels(f, a, b, n, of); };
  };
  return {
      {"rectangles, exp", 1, rule(exponential, 0, 1, left), e1, {32, 16, 8}},
      {"rectangles, 1 / (1 + x^2)", 1, rule(bell, 0, 1, left), 0.25 * pi, {24, 16, 12}},
      {"trapezoids, exp", 2, rule(exponential, 0, 1, trapezoid), e1, {16, 8, 4}},
      {"midpoints, 1 / (1 + x^2)", 2, rule(bell, 0, 1, middle), 0.25 * pi, {18, 12, 8}},
      {"midpoints, cos 5x",
       2,
       rule([](double x) { return std::cos(5 * x); }, 0, 1, middle),
       std::sin(5.0) / 5.0,
       {32, 16, 8}},
      {"trapezoids, root", 1.5, rule(root, 0, 1, trapezoid), 2.0 / 3.0, {32, 16, 8}},
      {"midpoints, root", 1.5, rule(root, 0, 1, middle), 2.0 / 3.0, {36, 24, 16}},
      {"Simpson, root", 1.5, rule(root, 0, 1, simpson), 2.0 / 3.0, {16, 8, 4}},
      {"half circle by midpoints",
       1.5,
       rule([](double x) { return std::sqrt(1.0 - x * x); }, -1, 1, middle),
       0.5 * pi,
       {32, 16, 8}},
      {"midpoints, 1 / root", 0.5, rule(power(-0.5), 0, 1, middle), 2.0, {64, 32, 16}},
      {"midpoints, x^-0.4", 0.6, rule(power(-0.4), 0, 1, middle), 1.0 / 0.6, {64, 32, 16}},
      {"midpoints, x^-0.3", 0.7, rule(power(-0.3), 0, 1, middle), 1.0 / 0.7, {54, 36, 24}},
      {"midpoints, x^-0.1", 0.9, rule(power(-0.1), 0, 1, middle), 1.0 / 0.9, {64, 32, 16}},
      {"midpoints, ln", 1, rule([](double x) { return std::log(x); }, 0, 1, middle), -1.0, {32, 16, 8}},
      {"Radau, exp", 3, rule(exponential, 0, 1, radau), e1, {12, 8, 4}},
      {"Simpson, sine", 4, rule([](double x) { return std::sin(x); }, 0, pi, simpson), 2.0, {16, 8, 4}},
      {"Gauss of two points, exp", 4, rule(exponential, 0, 1, gauss), e1, {9, 6, 4}},
      {"length of a quarter circle by chords",
       2,
       [](int n) { return 2.0 * n * std::sin(0.25 * pi / n); },
       0.5 * pi,
       {12, 6, 3}},
  };
}

std::vector<ConvergenceProblem> step_problems() {
  const std::vector<std::vector<double>> heun{{}, {1}}, midpoint{{}, {0.5}}, kutta3{{}, {0.5}, {-1, 2}},
      kutta4{{}, {0.5}, {0, 0.5}, {0, 0, 1}};
  const Slope decay = [](double, double y) { return -y; };
  const Slope logistic = [](double, double y) { return y * (1.0 - y); };
  const Slope square = [](double, double y) { return -y * y; };
  const double grown = 1.0 / (1.0 + 9.0 * std::exp(-3.0));  // from 0.1, t = 3
  const Function sine = [](double t) { return std::sin(t); };
  // y' = -r (y - sin t), y(0) = 0: y = r (r sin t - cos t + exp(-r t)) / (1 + r^2).
  const double r = 10.0;
  const double driven = r * (r * std::sin(2.0) - std::cos(2.0) + std::exp(-2.0 * r)) / (1.0 + r * r);
  const auto explicit_steps = [](const Slope& slope, double y, double end, const auto& rows,
                                 const std::vector<double>& weights) {
    return [=](int n) { return runge_kutta(slope, y, end, n, rows, weights); };
  };
  return {
      {"Euler, decay",
       1,
       explicit_steps(decay, 1, 1, std::vector<std::vector<double>>{{}}, {1}),
       std::exp(-1.0),
       {40, 20, 10}},
      {"Euler, 1 / (1 + t)",
       1,
       explicit_steps(square, 1, 2, std::vector<std::vector<double>>{{}}, {1}),
       1.0 / 3.0,
       {36, 24, 16}},
      {"Euler, logistic",
       1,
       explicit_steps(logistic, 0.1, 3, std::vector<std::vector<double>>{{}}, {1}),
       grown,
       {60, 30, 15}},
      {"Heun, logistic", 2, explicit_steps(logistic, 0.1, 3, heun, {0.5, 0.5}), grown, {32, 16, 8}},
      {"Heun, decay", 2, explicit_steps(decay, 1, 1, heun, {0.5, 0.5}), std::exp(-1.0), {12, 8, 4}},
      {"midpoint, 1 / (1 + t)", 2, explicit_steps(square, 1, 2, midpoint, {0, 1}), 1.0 / 3.0, {24, 12, 6}},
      {"backward Euler, driven",
       1,
       [=](int n) { return implicit_steps(r, sine, 0, 2, n, 1.0); },
       driven,
       {64, 32, 16}},
      {"trapezoidal, driven",
       2,
       [=](int n) { return implicit_steps(r, sine, 0, 2, n, 0.5); },
       driven,
       {80, 40, 20}},
      {"trapezoidal, decay",
       2,
       [=](int n) {
         return implicit_steps(
             1, [](double) { return 0.0; }, 1, 1, n, 0.5);
       },
       std::exp(-1.0),
       {9, 6, 4}},
      {"oscillator", 2, [](int n) { return oscillator(2.0, n); }, std::cos(2.0), {32, 16, 8}},
      {"Kutta of order 3, decay",
       3,
       explicit_steps(decay, 1, 1, kutta3, {1.0 / 6, 2.0 / 3, 1.0 / 6}),
       std::exp(-1.0),
       {16, 8, 4}},
      {"Kutta of order 3, 1 / (1 + t)",
       3,
       explicit_steps(square, 1, 2, kutta3, {1.0 / 6, 2.0 / 3, 1.0 / 6}),
       1.0 / 3.0,
       {27, 18, 12}},
      {"Kutta of order 4, decay",
       4,
       explicit_steps(decay, 1, 1, kutta4, {1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6}),
       std::exp(-1.0),
       {16, 8, 4}},
      {"Kutta of order 4, logistic",
       4,
       explicit_steps(logistic, 0.1, 3, kutta4, {1.0 / 6, 1.0 / 3, 1.0 / 3, 1.0 / 6}),
       grown,
       {18, 12, 8}},
  };
}
