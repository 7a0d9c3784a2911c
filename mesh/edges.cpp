#include "mesh/edges.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::mesh {
namespace {

/// A block seen with one direction as "across" (from edge to edge) and the other as "along".
struct Span {
  double low, high, from, to;
};
Span span_of(const Block& block, bool vertical) {
  return vertical ? Span{block.r_inner, block.r_outer, block.z_bottom, block.z_top}
                  : Span{block.z_bottom, block.z_top, block.r_inner, block.r_outer};
}

using Intervals = std::vector<std::pair<double, double>>;

/// Removes [from, to] from the intervals; crumbs shorter than the tolerance vanish.
Intervals without(const Intervals& intervals, double from, double to) {
  Intervals rest;
  const auto keep = [&](double a, double b) {
    if (b - a > touch_tolerance) rest.emplace_back(a, b);
  };
  for (const auto& [a, b] : intervals) {
    if (to <= a || from >= b) {
      keep(a, b);
      continue;
    }
    keep(a, std::min(b, from));
    keep(std::max(a, to), b);
  }
  return rest;
}

/// What of a's high edge sees b's low edge, nothing standing between.
Intervals visible(const Layout& layout, int a, int b, bool vertical) {
  const Span sa = span_of(layout[a], vertical), sb = span_of(layout[b], vertical);
  Intervals open{{std::max(sa.from, sb.from), std::min(sa.to, sb.to)}};
  if (open[0].second - open[0].first <= touch_tolerance) return {};
  for (int k = 0; k < static_cast<int>(layout.size()) && !open.empty(); ++k) {
    if (k == a || k == b) continue;
    const Span s = span_of(layout[k], vertical);
    const bool between = s.high > sa.high + touch_tolerance && s.low < sb.low - touch_tolerance;
    if (between) open = without(open, s.from, s.to);
  }
  return open;
}

}  // namespace

std::vector<Stretch> stretches_of(const Layout& layout) {
  std::vector<Stretch> contacts, facing;
  const int n = static_cast<int>(layout.size());
  for (const bool vertical : {false, true}) {
    for (int a = 0; a < n; ++a) {
      for (int b = 0; b < n; ++b) {
        if (a == b) continue;
        const double gap = span_of(layout[b], vertical).low - span_of(layout[a], vertical).high;
        if (gap < -touch_tolerance) continue;
        const bool contact = gap <= touch_tolerance;
        for (const auto& [from, to] : visible(layout, a, b, vertical))
          (contact ? contacts : facing).push_back({a, b, vertical, from, to, contact ? 0.0 : gap});
      }
    }
  }
  contacts.insert(contacts.end(), facing.begin(), facing.end());
  return contacts;
}

}  // namespace joulepress::mesh
