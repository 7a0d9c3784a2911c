#include "mesh/layout.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace joulepress::mesh {
namespace {

/// Signed distance between two intervals: positive gap, negative overlap.
double separation(double a0, double a1, double b0, double b1) {
  return std::max(b0 - a1, a0 - b1);
}

struct Apart {
  double r, z;
};
Apart apart(const Block& a, const Block& b) {
  return {separation(a.r_inner, a.r_outer, b.r_inner, b.r_outer),
          separation(a.z_bottom, a.z_top, b.z_bottom, b.z_top)};
}

bool overlap(const Block& a, const Block& b) {
  const Apart d = apart(a, b);
  return d.r < -touch_tolerance && d.z < -touch_tolerance;
}

bool touch(const Block& a, const Block& b) {
  const Apart d = apart(a, b);
  return (std::abs(d.r) <= touch_tolerance && d.z < -touch_tolerance) ||
         (std::abs(d.z) <= touch_tolerance && d.r < -touch_tolerance);
}

double distance(const Block& a, const Block& b) {
  const Apart d = apart(a, b);
  return std::hypot(std::max(d.r, 0.0), std::max(d.z, 0.0));
}

std::vector<bool> connected_to_first(const Layout& layout) {
  std::vector<bool> reached(layout.size(), false);
  std::vector<std::size_t> open{0};
  reached[0] = true;
  while (!open.empty()) {
    const std::size_t here = open.back();
    open.pop_back();
    for (std::size_t k = 0; k < layout.size(); ++k) {
      if (reached[k] || !(touch(layout[here], layout[k]) || overlap(layout[here], layout[k]))) continue;
      reached[k] = true;
      open.push_back(k);
    }
  }
  return reached;
}

}  // namespace

std::vector<LayoutFault> faults_of(const Layout& layout) {
  std::vector<LayoutFault> faults;
  if (layout.empty()) return faults;
  const int n = static_cast<int>(layout.size());
  for (int k = 0; k < n; ++k) {
    const double width = layout[k].r_outer - layout[k].r_inner, height = layout[k].z_top - layout[k].z_bottom;
    const bool extended =
        width > touch_tolerance && height > touch_tolerance && std::isfinite(width + height);
    if (!extended || layout[k].r_inner < 0.0)
      faults.push_back({LayoutFault::Kind::empty, k, std::nullopt, std::min(width, height)});
  }
  for (int a = 0; a < n; ++a) {
    for (int b = a + 1; b < n; ++b) {
      if (!overlap(layout[a], layout[b])) continue;
      const Apart d = apart(layout[a], layout[b]);
      faults.push_back({LayoutFault::Kind::overlap, a, b, std::min(-d.r, -d.z)});
    }
  }
  const std::vector<bool> reached = connected_to_first(layout);
  for (int k = 0; k < n; ++k) {
    if (reached[k]) continue;
    LayoutFault fault{LayoutFault::Kind::floating, k, std::nullopt, std::numeric_limits<double>::infinity()};
    for (int other = 0; other < n; ++other) {
      if (!reached[other]) continue;
      const double gap = distance(layout[k], layout[other]);
      if (gap < fault.size) {
        fault.size = gap;
        fault.other = other;
      }
    }
    faults.push_back(fault);
  }
  return faults;
}

}  // namespace joulepress::mesh
