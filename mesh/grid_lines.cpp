#include "mesh/grid_lines.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace joulepress::mesh {
namespace {

double wanted_size(double x, const std::vector<Feature>& features, const GridRule& rule) {
  double size = rule.largest;
  for (const Feature& feature : features)
    if (feature.fine) size = std::min(size, rule.smallest + rule.growth * std::abs(x - feature.at));
  return size;
}

/// Cumulative integral of 1/h at evenly spaced samples of [from, to] (trapezoids).
std::vector<double> cumulative(double from, double to, const std::vector<Feature>& features,
                               const GridRule& rule) {
  constexpr int n_samples = 2000;
  std::vector<double> sums{0.0};
  sums.reserve(n_samples + 1);
  double before = 1.0 / wanted_size(from, features, rule);
  const double width = (to - from) / n_samples;
  for (int k = 1; k <= n_samples; ++k) {
    const double here = 1.0 / wanted_size(from + k * width, features, rule);
    sums.push_back(sums.back() + 0.5 * (before + here) * width);
    before = here;
  }
  return sums;
}

}  // namespace

std::vector<double> graded_lines(const std::vector<Feature>& features, const GridRule& rule) {
  assert(features.size() >= 2);
  std::vector<double> lines{features.front().at};
  for (std::size_t f = 1; f < features.size(); ++f) {
    const double from = features[f - 1].at, to = features[f].at;
    const std::vector<double> sums = cumulative(from, to, features, rule);
    const int coarse = std::max(rule.cells_across_min, static_cast<int>(std::ceil(sums.back() - 1e-6)));
    const int n = std::max(coarse, 1) * rule.refinement;
    std::size_t sample = 1;
    for (int k = 1; k < n; ++k) {
      const double target = sums.back() * k / n;
      while (sums[sample] < target) ++sample;
      const double share = (target - sums[sample - 1]) / (sums[sample] - sums[sample - 1]);
      lines.push_back(from + (to - from) * (static_cast<double>(sample - 1) + share) /
                                 static_cast<double>(sums.size() - 1));
    }
    lines.push_back(to);
  }
  return lines;
}

}  // namespace joulepress::mesh
