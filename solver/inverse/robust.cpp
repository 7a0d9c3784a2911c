#include "solver/inverse/robust.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

namespace joulepress::inverse {
namespace {

constexpr double far_bend = 3.0;         // c of rho
constexpr double to_deviation = 1.4826;  // of a median of absolute values, normal errors

}  // namespace

double bent(double e, Bend bend) {
  const double u = e / far_bend, square = u * u;
  const double rho =
      bend == Bend::lets_go ? std::log1p(square) : 2.0 * square / (std::sqrt(1.0 + square) + 1.0);
  return std::copysign(far_bend * std::sqrt(rho), e);
}

double slope_of_bent(double e, Bend bend) {
  const double u = std::abs(e / far_bend), root = std::sqrt(1.0 + u * u);
  if (bend == Bend::pulls_on) return std::sqrt(0.5 * (root + 1.0)) / root;
  return u < 1e-6 ? 1.0 : u / (root * root * std::sqrt(std::log1p(u * u)));
}

double rms_of(const std::vector<double>& values) {
  double sum = 0.0;
  for (const double v : values) sum += v * v;
  return std::sqrt(sum / static_cast<double>(values.size()));
}

double median_of(std::vector<double> values) {
  const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
  std::nth_element(values.begin(), middle, values.end());
  return *middle;
}

double scatter_of(const std::vector<double>& values) {
  std::vector<double> sizes;
  for (const double v : values) sizes.push_back(std::abs(v));
  return std::min(to_deviation * median_of(std::move(sizes)), rms_of(values));
}

double memory_of(const std::vector<double>& misfits, double deviation) {
  std::vector<double> e;
  for (const double d : misfits) e.push_back(std::clamp(d / deviation, -far_bend, far_bend));
  const std::size_t n = e.size();
  double power = 0.0;
  for (const double v : e) power += v * v;
  if (!(power > 0.0)) return 1.0;
  double g = 1.0;
  for (std::size_t lag = 1; lag < n; ++lag) {
    double product = 0.0;
    for (std::size_t i = lag; i < n; ++i) product += e[i] * e[i - lag];
    if (!(product > 0.0)) break;
    g += 2.0 * product / power;
  }
  return std::min(g, static_cast<double>(n));
}

}  // namespace joulepress::inverse
