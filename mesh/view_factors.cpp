#include "mesh/view_factors.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace joulepress::mesh {
namespace {

using std::numbers::pi;
constexpr double infinity = std::numeric_limits<double>::infinity();

struct Point {
  double r, z;
};

Point point_on(const Ring& ring, double along) {
  return is_vertical(ring.looks) ? Point{ring.at, along} : Point{along, ring.at};
}

/// A linear function of c = cos p.
struct Linear {
  double at_zero, slope;
};

/// Distance of `to` in front of the plane that touches the wall at `from`.
Linear ahead(Side looks, const Point& from, const Point& to) {
  switch (looks) {
    case Side::outer:
      return {-from.r, to.r};
    case Side::inner:
      return {from.r, -to.r};
    case Side::top:
      return {to.z - from.z, 0.0};
    case Side::bottom:
      break;
  }
  return {from.z - to.z, 0.0};
}

struct Interval {
  double low, high;
};

/// Restricts c to where the function is positive.
void keep_positive(const Linear& f, Interval& c) {
  if (f.slope == 0.0) {
    if (!(f.at_zero > 0.0)) c.high = c.low;
  } else if (f.slope > 0.0) {
    c.low = std::max(c.low, -f.at_zero / f.slope);
  } else {
    c.high = std::min(c.high, -f.at_zero / f.slope);
  }
}

/// The c at which the line passes the radius R at the point that divides it as w : 1,
///   c(w) = (p/w + 2 R^2 + q w) / (2 r_a r_b),  p = R^2 - r_a^2,  q = R^2 - r_b^2,
/// and its extrema.
struct Passing {
  Passing(const Point& a, const Point& b, double radius)
      : p(difference(radius, a.r)),
        q(difference(radius, b.r)),
        middle(2.0 * radius * radius),
        scale(2.0 * a.r * b.r) {}
  double at(double w) const {
    const double first = p == 0.0 ? 0.0 : p / w, last = q == 0.0 ? 0.0 : q * w;
    return (first + middle + last) / scale;
  }
  double least(double from, double to) const {
    double value = std::min(at(from), at(to));
    if (p > 0.0 && q > 0.0) value = std::min(value, at(std::clamp(std::sqrt(p / q), from, to)));
    return value;
  }
  double most(double from, double to) const {
    double value = std::max(at(from), at(to));
    if (p < 0.0 && q < 0.0) value = std::max(value, at(std::clamp(std::sqrt(p / q), from, to)));
    return value;
  }
  /// Of the squares; a wall lies on its own radius whatever rounding says.
  static double difference(double R, double r) {
    return std::abs(R - r) <= touch_tolerance ? 0.0 : (R - r) * (R + r);
  }
  double p, q, middle, scale;
};

/// The c for which the solid cuts the line from a to b.
Interval hidden_by(const Block& solid, const Point& a, const Point& b) {
  constexpr Interval nothing{2.0, -2.0};
  double from = 0.0, to = 1.0;  // of the way from a to b
  const double rise = b.z - a.z, low = solid.z_bottom, high = solid.z_top;
  if (std::abs(rise) <= 1e-3 * touch_tolerance) {
    if (!(a.z > low && a.z < high)) return nothing;
  } else {
    const double one = (low - a.z) / rise, other = (high - a.z) / rise;
    from = std::max(from, std::min(one, other));
    to = std::min(to, std::max(one, other));
    if (!((to - from) * std::abs(rise) > 1e-3 * touch_tolerance)) return nothing;
  }
  const double w0 = from / (1.0 - from), w1 = to < 1.0 ? to / (1.0 - to) : infinity;
  const double least = solid.r_inner > 0.0 ? Passing(a, b, solid.r_inner).least(w0, w1) : -infinity;
  return {least, Passing(a, b, solid.r_outer).most(w0, w1)};
}

/// Integral of the visible kernel over the azimuth, times 4 r_a r_b: exchange per length of both walls.
class Kernel {
 public:
  Kernel(Side looks_a, Side looks_b, std::vector<const Block*> solids)
      : looks_a_(looks_a), looks_b_(looks_b), solids_(std::move(solids)) {}

  double operator()(const Point& a, const Point& b) {
    const Linear from_a = ahead(looks_a_, a, b), from_b = ahead(looks_b_, b, a);
    Interval open{-1.0, 1.0};
    keep_positive(from_a, open);
    keep_positive(from_b, open);
    if (!(open.high > open.low)) return 0.0;
    hidden_.clear();
    for (const Block* solid : solids_) {
      const Interval hidden = hidden_by(*solid, a, b);
      if (hidden.high > open.low && hidden.low < open.high) hidden_.push_back(hidden);
    }
    std::sort(hidden_.begin(), hidden_.end(),
              [](const Interval& x, const Interval& y) { return x.low < y.low; });
    const Azimuth azimuth(from_a, from_b, a, b);
    double sum = 0.0, from = open.low;
    for (const Interval& hidden : hidden_) {
      if (hidden.low > from) sum += azimuth.over(from, hidden.low);
      from = std::max(from, hidden.high);
      if (from >= open.high) break;
    }
    if (open.high > from) sum += azimuth.over(from, open.high);
    return 4.0 * a.r * b.r * sum;
  }

 private:
  /// (m_a + n_a u)(m_b + n_b u)/u^2 over p, u = A - B cos p.
  class Azimuth {
   public:
    Azimuth(const Linear& from_a, const Linear& from_b, const Point& a, const Point& b)
        : from_a_(from_a),
          from_b_(from_b),
          near_((a.r - b.r) * (a.r - b.r) + (a.z - b.z) * (a.z - b.z)),
          far_((a.r + b.r) * (a.r + b.r) + (a.z - b.z) * (a.z - b.z)),
          A_(0.5 * (far_ + near_)),
          B_(2.0 * a.r * b.r) {}
    double over(double c_low, double c_high) const {
      const double p0 = std::acos(std::min(c_high, 1.0)), p1 = std::acos(std::max(c_low, -1.0));
      constexpr double slender = 1e-3;  // below it the primitive loses digits and Gauss points are exact
      if (B_ < slender * A_) return by_points(p0, p1);
      const double na = -from_a_.slope / B_, nb = -from_b_.slope / B_;
      const double ma = from_a_.at_zero - na * A_, mb = from_b_.at_zero - nb * A_;
      if (near_ == 0.0) return na * nb * (p1 - p0);  // a concave wall and itself: ma and mb vanish
      const double first = half_angle(p1) - half_angle(p0), root = std::sqrt(near_ * far_);
      const double one = 2.0 / root * first;  // integral of 1/u
      const double two =
          (B_ * (std::sin(p1) / u(p1) - std::sin(p0) / u(p0)) + A_ * one) / (near_ * far_);  // of 1/u^2
      return ma * mb * two + (ma * nb + mb * na) * one + na * nb * (p1 - p0);
    }

   private:
    double u(double p) const {
      const double s = std::sin(0.5 * p);
      return near_ + 2.0 * B_ * s * s;
    }
    double half_angle(double p) const {
      return std::atan2(std::sqrt(far_) * std::sin(0.5 * p), std::sqrt(near_) * std::cos(0.5 * p));
    }
    double by_points(double p0, double p1) const {
      constexpr std::array<double, 4> x{0.1834346424956498, 0.5255324099163290, 0.7966664774136267,
                                        0.9602898564975363},
          w{0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763};
      const double middle = 0.5 * (p0 + p1), half = 0.5 * (p1 - p0);
      double sum = 0.0;
      for (std::size_t k = 0; k < x.size(); ++k)
        for (const double p : {middle - half * x[k], middle + half * x[k]}) {
          const double c = std::cos(p), d2 = A_ - B_ * c;
          sum += w[k] * (from_a_.at_zero + from_a_.slope * c) * (from_b_.at_zero + from_b_.slope * c) /
                 (d2 * d2);
        }
      return half * sum;
    }

    Linear from_a_, from_b_;
    double near_, far_, A_, B_;  ///< d^2 at p = 0 and at p = pi
  };

  Side looks_a_, looks_b_;
  std::vector<const Block*> solids_;
  std::vector<Interval> hidden_;
};

/// Gauss-Legendre points and weights on [-1, 1].
constexpr std::array<Interval, 2> two_points{{{-0.5773502691896258, 1.0}, {0.5773502691896258, 1.0}}};
constexpr std::array<Interval, 3> three_points{
    {{-0.7745966692414834, 5.0 / 9.0}, {0.0, 8.0 / 9.0}, {0.7745966692414834, 5.0 / 9.0}}};

template <std::size_t n>
double gauss(Kernel& kernel, const Ring& a, const Ring& b, const std::array<Interval, n>& points) {
  const auto along = [](const Ring& ring, double x) {
    return 0.5 * (ring.from + ring.to) + 0.5 * (ring.to - ring.from) * x;
  };
  double sum = 0.0;
  for (const auto& [x, wx] : points)
    for (const auto& [y, wy] : points)
      sum += wx * wy * kernel(point_on(a, along(a, x)), point_on(b, along(b, y)));
  return 0.25 * (a.to - a.from) * (b.to - b.from) * sum;
}

std::array<Ring, 2> halves(const Ring& ring) {
  std::array<Ring, 2> both{ring, ring};
  both[0].to = both[1].from = 0.5 * (ring.from + ring.to);
  return both;
}

constexpr int depth_max = 8;

/// `trusted`: below this depth two orders that agree are believed.  Where something stands between they may
/// agree by chance.
double integrate(Kernel& kernel, const Ring& a, const Ring& b, double tolerance, int trusted, int depth = 0) {
  if (depth >= trusted) {
    const double rough = gauss(kernel, a, b, two_points), fine = gauss(kernel, a, b, three_points);
    if (depth == depth_max || std::abs(fine - rough) <= tolerance) return fine;
  }
  const double length_a = a.to - a.from, length_b = b.to - b.from;
  double sum = 0.0;
  if (length_a > 2.0 * length_b) {
    for (const Ring& half : halves(a)) sum += integrate(kernel, half, b, 0.5 * tolerance, trusted, depth + 1);
  } else if (length_b > 2.0 * length_a) {
    for (const Ring& half : halves(b)) sum += integrate(kernel, a, half, 0.5 * tolerance, trusted, depth + 1);
  } else {
    for (const Ring& half_a : halves(a))
      for (const Ring& half_b : halves(b))
        sum += integrate(kernel, half_a, half_b, 0.5 * tolerance, trusted, depth + 1);
  }
  return sum;
}

/// Whether any point of b can lie in front of a.
bool before(const Ring& a, const Ring& b) {
  const auto reach = [](const Ring& ring, bool r) {
    return is_vertical(ring.looks) == r ? Interval{ring.at, ring.at} : Interval{ring.from, ring.to};
  };
  switch (a.looks) {
    case Side::outer:
      return reach(b, true).high > a.at;
    case Side::inner:
      return true;  // across the axis
    case Side::top:
      return reach(b, false).high > a.at;
    case Side::bottom:
      break;
  }
  return reach(b, false).low < a.at;
}

/// Solids that can cut a line between the two.
std::vector<const Block*> solids_between(const Ring& a, const Ring& b, std::span<const Block> solids) {
  double low = infinity, high = -infinity, widest = 0.0;
  for (const Ring* ring : {&a, &b})
    for (const double along : {ring->from, ring->to}) {
      const Point point = point_on(*ring, along);
      low = std::min(low, point.z);
      high = std::max(high, point.z);
      widest = std::max(widest, point.r);
    }
  std::vector<const Block*> some;
  for (const Block& solid : solids)
    if (solid.z_top > low && solid.z_bottom < high && solid.r_inner < widest) some.push_back(&solid);
  return some;
}

Ring image_of(const Ring& ring, double plane) {
  Ring image = ring;
  if (is_vertical(ring.looks)) {
    image.from = 2.0 * plane - ring.to;
    image.to = 2.0 * plane - ring.from;
  } else {
    image.looks = ring.looks == Side::top ? Side::bottom : Side::top;
    image.at = 2.0 * plane - ring.at;
  }
  return image;
}

Block image_of(const Block& block, double plane) {
  Block image = block;
  image.z_bottom = 2.0 * plane - block.z_top;
  image.z_top = 2.0 * plane - block.z_bottom;
  return image;
}

/// Walls of a cylinder around everything, seen from inside, in strips that no window of a stack slips
/// between. Any convex wall would do.
std::vector<Ring> chamber_around(std::span<const Block> solids) {
  double low = infinity, high = -infinity, widest = 0.0;
  for (const Block& solid : solids) {
    low = std::min(low, solid.z_bottom);
    high = std::max(high, solid.z_top);
    widest = std::max(widest, solid.r_outer);
  }
  const double radius = 1.5 * widest, bottom = low - 0.5 * widest, top = high + 0.5 * widest;
  std::vector<Ring> walls;
  const auto add = [&](Side looks, double at, double from, double to) {
    const int strips = static_cast<int>(std::ceil((to - from) / (0.2 * widest)));
    for (int k = 0; k < strips; ++k)
      walls.push_back({looks, at, from + (to - from) * k / strips, from + (to - from) * (k + 1) / strips});
  };
  add(Side::inner, radius, bottom, top);
  add(Side::top, bottom, 0.0, radius);
  add(Side::bottom, top, 0.0, radius);
  return walls;
}

/// `trusted`: see integrate; of rings that something stands between.
double exchange_past(const Ring& a, const Ring& b, std::span<const Block> solids, double tolerance,
                     int trusted) {
  if (!before(a, b) || !before(b, a)) return 0.0;
  const std::vector<const Block*> between = solids_between(a, b, solids);
  Kernel kernel(a.looks, b.looks, between);
  return integrate(kernel, a, b, tolerance * std::min(area_of(a), area_of(b)), between.empty() ? 0 : trusted);
}

/// Scales until the exchange areas of every ring sum to its area.
void close(std::span<const double> areas, ExchangeAreas& x) {
  constexpr int rounds_max = 1000;
  constexpr double closed = 1e-14;
  std::vector<double> scale(x.n);
  for (int round = 0; round < rounds_max; ++round) {
    double worst = 0.0;
    for (std::size_t i = 0; i < x.n; ++i) {
      double sum = x.outside[i];
      for (std::size_t j = 0; j < x.n; ++j) sum += x.between[i * x.n + j];
      scale[i] = sum > 0.0 ? std::sqrt(areas[i] / sum) : 1.0;
      if (sum > 0.0) worst = std::max(worst, std::abs(sum / areas[i] - 1.0));
    }
    if (worst <= closed) return;
    for (std::size_t i = 0; i < x.n; ++i) {
      x.outside[i] *= scale[i];
      for (std::size_t j = 0; j < x.n; ++j) x.between[i * x.n + j] *= scale[i] * scale[j];
    }
  }
}

}  // namespace

double area_of(const Ring& ring) {
  return is_vertical(ring.looks) ? 2.0 * pi * ring.at * (ring.to - ring.from)
                                 : pi * (ring.to - ring.from) * (ring.to + ring.from);
}

double exchange_area(const Ring& a, const Ring& b, std::span<const Block> solids, double tolerance) {
  return exchange_past(a, b, solids, tolerance, 1);
}

ExchangeAreas exchange_areas(std::span<const Ring> rings, std::span<const Block> solids,
                             std::optional<double> mid_plane) {
  std::vector<Block> all(solids.begin(), solids.end());
  if (mid_plane)
    for (const Block& solid : solids) all.push_back(image_of(solid, *mid_plane));
  const std::vector<Ring> chamber = chamber_around(all);
  constexpr double tolerance = 1e-4;
  ExchangeAreas x;
  x.n = rings.size();
  x.between.assign(x.n * x.n, 0.0);
  x.outside.assign(x.n, 0.0);
  std::vector<double> areas;
  for (std::size_t i = 0; i < x.n; ++i) {
    areas.push_back(area_of(rings[i]));
    for (const Ring& wall : chamber) x.outside[i] += exchange_past(rings[i], wall, all, tolerance, 2);
    for (std::size_t j = 0; j <= i; ++j) {
      double sum = exchange_area(rings[i], rings[j], all);
      if (mid_plane) sum += exchange_area(rings[i], image_of(rings[j], *mid_plane), all);
      x.between[i * x.n + j] = x.between[j * x.n + i] = sum;
    }
  }
  close(areas, x);
  return x;
}

}  // namespace joulepress::mesh
