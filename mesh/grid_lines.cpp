#include "mesh/grid_lines.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

namespace joulepress::mesh {
namespace {

/// Wanted size at every feature: the least of all features' cones there.
std::vector<double> sizes_at(const std::vector<Feature>& features, const GridRule& rule) {
  std::vector<double> own;
  for (const Feature& f : features) own.push_back(f.fine ? rule.smallest : rule.largest);
  for (std::size_t k = 1; k < features.size(); ++k) {
    const double length = features[k].at - features[k - 1].at;
    if (length > rule.cells_across_min * rule.smallest - touch_tolerance) continue;
    const double size = length / std::max(rule.cells_across_min, 1);  // of the cells it will get
    own[k - 1] = std::min(own[k - 1], size);
    own[k] = std::min(own[k], size);
  }
  std::vector<double> sizes;
  for (const Feature& here : features) {
    double size = rule.largest;
    for (std::size_t k = 0; k < features.size(); ++k)
      size = std::min(size, own[k] + rule.growth * std::abs(here.at - features[k].at));
    sizes.push_back(size);
  }
  return sizes;
}

/// Integral of 1/h over a length x on which h = size + growth x, and its inverse.
double cells_in(double x, double size, double growth) {
  return growth > 0.0 ? std::log1p(growth * x / size) / growth : x / size;
}
double length_of(double cells, double size, double growth) {
  return growth > 0.0 ? size / growth * std::expm1(growth * cells) : size * cells;
}

/// h between two features: it rises from the first, may stay level, and falls toward the second.
struct Profile {
  double from, to;
  double first, second, level;  ///< sizes at the features and between [m]
  double growth;
  double rise, fall;                ///< lengths [m]
  double rising, staying, falling;  ///< integrals of 1/h [-]

  double cells() const { return rising + staying + falling; }
  double at(double target) const {
    if (target <= rising) return from + length_of(target, first, growth);
    if (target < rising + staying) return from + rise + (target - rising) * level;
    return to - length_of(cells() - target, second, growth);
  }
};

Profile profile_of(double from, double to, double first, double second, const GridRule& rule) {
  const double length = to - from, growth = rule.growth;
  Profile p{from, to, first, second, std::min(first, second), growth, 0, 0, 0, 0, 0};
  if (growth > 0.0) {
    const double largest = std::min(rule.largest, std::max(length / rule.per_stretch, 3.0 * rule.smallest));
    p.level = std::min(largest, 0.5 * (first + second + growth * length));  // where the cones meet
    p.rise = std::clamp((p.level - first) / growth, 0.0, length);
    p.fall = std::clamp((p.level - second) / growth, 0.0, length - p.rise);
  }
  p.rising = cells_in(p.rise, first, growth);
  p.staying = (length - p.rise - p.fall) / p.level;
  p.falling = cells_in(p.fall, second, growth);
  return p;
}

}  // namespace

std::vector<double> graded_lines(const std::vector<Feature>& features, const GridRule& rule,
                                 std::optional<double> centre) {
  assert(features.size() >= 2);
  const std::vector<double> sizes = sizes_at(features, rule);
  std::vector<double> lines{features.front().at};
  for (std::size_t f = 1; f < features.size(); ++f) {
    const Profile p = profile_of(features[f - 1].at, features[f].at, sizes[f - 1], sizes[f], rule);
    int coarse = std::max({rule.cells_across_min, static_cast<int>(std::ceil(p.cells() - 1e-6)), 1});
    if (centre && std::abs(0.5 * (p.from + p.to) - *centre) <= touch_tolerance) coarse += coarse % 2;
    const int n = coarse * rule.refinement;
    for (int k = 1; k < n; ++k) lines.push_back(p.at(p.cells() * k / n));
    lines.push_back(p.to);
  }
  return lines;
}

}  // namespace joulepress::mesh
