#include "solver/tolerance.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "solver/problem.hpp"

namespace joulepress::solver {

namespace {

struct Row {
  Thermocouple type;
  int tolerance_class;
  double from, to;                ///< degC
  double constant, start, slope;  ///< the larger of constant [K] and start [K] + slope |t / degC|
};

using enum Thermocouple;

constexpr std::array<Row, 15> rows{{
    {B, 2, 600, 1700, 0, 0, 0.0025},
    {B, 3, 600, 1700, 4, 0, 0.005},
    {C, 2, 426, 2315, 0, 0, 0.01},
    {J, 1, -40, 750, 1.5, 0, 0.004},
    {J, 2, -40, 750, 2.5, 0, 0.0075},
    {K, 1, -40, 1000, 1.5, 0, 0.004},
    {K, 2, -40, 1200, 2.5, 0, 0.0075},
    {K, 3, -200, 40, 2.5, 0, 0.015},
    {N, 1, -40, 1000, 1.5, 0, 0.004},
    {N, 2, -40, 1200, 2.5, 0, 0.0075},
    {N, 3, -200, 40, 2.5, 0, 0.015},
    {R, 1, 0, 1600, 1, 1 - 0.003 * 1100, 0.003},
    {R, 2, 0, 1600, 1.5, 0, 0.0025},
    {S, 1, 0, 1600, 1, 1 - 0.003 * 1100, 0.003},
    {S, 2, 0, 1600, 1.5, 0, 0.0025},
}};

const Row* find(Thermocouple type, int tolerance_class) {
  const auto* row = std::find_if(rows.begin(), rows.end(), [&](const Row& r) {
    return r.type == type && r.tolerance_class == tolerance_class;
  });
  return row == rows.end() ? nullptr : row;
}

}  // namespace

std::optional<double> tolerance(Thermocouple type, int tolerance_class, double kelvin) {
  constexpr double rounding = 1e-9;  // K, what kelvin and back may cost at the ends
  const Row* row = find(type, tolerance_class);
  const double t = kelvin - zero_celsius;
  if (!row || !(t >= row->from - rounding && t <= row->to + rounding)) return std::nullopt;
  return std::max(row->constant, row->start + row->slope * std::abs(t));
}

std::optional<std::pair<double, double>> tolerance_range(Thermocouple type, int tolerance_class) {
  const Row* row = find(type, tolerance_class);
  if (!row) return std::nullopt;
  return std::pair{row->from + zero_celsius, row->to + zero_celsius};
}

}  // namespace joulepress::solver
