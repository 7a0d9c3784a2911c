#include "materials/curve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

namespace joulepress::materials {

namespace {

constexpr double join_gap = 1e-9;   // K
constexpr double join_jump = 1e-3;  // relative

double sum_of(const std::vector<Term>& terms, double T) {
  double sum = 0;
  for (const Term& term : terms) sum += term.coefficient * std::pow(T, term.power);
  return sum;
}

double slope_of(const std::vector<Term>& terms, double T) {
  double sum = 0;
  for (const Term& term : terms)
    if (term.power != 0) sum += term.coefficient * term.power * std::pow(T, term.power - 1);
  return sum;
}

using Points = std::vector<std::pair<double, double>>;

void require_table(const Points& points) {
  if (points.size() < 2) throw std::invalid_argument("a table needs at least two points");
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (!std::isfinite(points[i].first) || !std::isfinite(points[i].second))
      throw std::invalid_argument("a table holds finite numbers only");
    if (i > 0 && !(points[i].first > points[i - 1].first))
      throw std::invalid_argument("the temperatures of a table ascend; " + std::to_string(points[i].first) +
                                  " K follows " + std::to_string(points[i - 1].first) + " K");
  }
}

// Slope at an end from the parabola through three points, kept to the sign of the first chord.
double end_slope(double h0, double h1, double d0, double d1) {
  const double slope = ((2 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
  return slope * d0 > 0 ? slope : 0;
}

// Slopes of the monotone cubic: parabola through three points, then limited to the circle of radius 3
// (F. N. Fritsch and R. E. Carlson, SIAM J. Numer. Anal. 17 (1980) 238).
std::vector<double> monotone_slopes(const Points& points) {
  const std::size_t n = points.size();
  std::vector<double> h(n - 1), d(n - 1), slopes(n);
  for (std::size_t i = 0; i + 1 < n; ++i) {
    h[i] = points[i + 1].first - points[i].first;
    d[i] = (points[i + 1].second - points[i].second) / h[i];
  }
  if (n == 2) return {d[0], d[0]};
  slopes[0] = end_slope(h[0], h[1], d[0], d[1]);
  slopes[n - 1] = end_slope(h[n - 2], h[n - 3], d[n - 2], d[n - 3]);
  for (std::size_t i = 1; i + 1 < n; ++i)
    slopes[i] = d[i - 1] * d[i] > 0 ? (h[i] * d[i - 1] + h[i - 1] * d[i]) / (h[i - 1] + h[i]) : 0;
  for (std::size_t i = 0; i + 1 < n; ++i) {
    if (d[i] == 0) {
      slopes[i] = slopes[i + 1] = 0;
      continue;
    }
    const double radius = std::hypot(slopes[i] / d[i], slopes[i + 1] / d[i]);
    if (radius <= 3) continue;
    slopes[i] *= 3 / radius;
    slopes[i + 1] *= 3 / radius;
  }
  return slopes;
}

}  // namespace

Curve::Cubic Curve::through(double from, double to, double low, double high, double slope_low,
                            double slope_high) {
  const double h = to - from, chord = (high - low) / h;
  return {from,
          low,
          slope_low,
          (3 * chord - 2 * slope_low - slope_high) / h,
          (slope_low + slope_high - 2 * chord) / (h * h),
          0};
}

// Cubics with the values and slopes of the terms, halved until they agree at the quarter points.
void Curve::follow(const std::vector<Term>& terms, double from, double to, std::vector<Cubic>& cubics) {
  constexpr double enough = 1e-9;                // of the value
  constexpr std::size_t most = 1 << 14;          // a power that spans decades takes thousands
  constexpr double narrowest = 1.0 / (1 << 26);  // of the range
  const double least = narrowest * (to - from);
  std::vector<double> ends{to};  // of what is still to be covered, the nearest last
  double a = from, low = sum_of(terms, a), left = slope_of(terms, a);
  while (!ends.empty()) {
    const double b = ends.back(), high = sum_of(terms, b), right = slope_of(terms, b);
    const Cubic cubic = through(a, b, low, high, left, right);
    const double scale = std::max(std::abs(low), std::abs(high));
    bool agrees = true;
    for (const double share : {0.25, 0.5, 0.75}) {
      const double T = a + share * (b - a);
      agrees = agrees && std::abs(cubic.value(T) - sum_of(terms, T)) <= enough * scale;
    }
    if (agrees) {
      cubics.push_back(cubic);
      ends.pop_back();
      a = b;
      low = high;
      left = right;
    } else if (b - a > least && cubics.size() < most) {
      ends.push_back(0.5 * (a + b));
    } else {
      throw std::invalid_argument("the terms are not finite or too steep near " + std::to_string(a) + " K");
    }
  }
}

Curve::Curve(std::vector<Cubic> cubics, double end) : cubics_(std::move(cubics)), end_(end) {
  double sum = 0;
  for (std::size_t k = 0; k < cubics_.size(); ++k) {
    cubics_[k].before = sum;
    sum = cubics_[k].integral(k + 1 < cubics_.size() ? cubics_[k + 1].start : end_);
  }
  const std::size_t bins = std::min<std::size_t>(4 * cubics_.size(), 1 << 14);
  const double from = cubics_.front().start;
  last_bin_ = bins - 1;
  bins_per_K_ = static_cast<double>(bins) / (end_ - from);
  std::size_t k = 0;
  for (std::size_t bin = 0; bin < bins; ++bin) {
    // A shade early: what rounding puts into the bin before must find its cubic by stepping forward.
    const double start = from + (static_cast<double>(bin) - 1e-6) / bins_per_K_;
    while (k + 1 < cubics_.size() && cubics_[k + 1].start <= start) ++k;
    first_in_bin_.push_back(k);
  }
  integral_at_reference_ = integral(reference_temperature);
}

Curve Curve::constant(double value) {
  if (!std::isfinite(value)) throw std::invalid_argument("a constant property must be a finite number");
  Curve curve;
  curve.constant_ = value;
  return curve;
}

Curve Curve::table(std::vector<std::pair<double, double>> points) {
  require_table(points);
  const std::vector<double> slopes = monotone_slopes(points);
  std::vector<Cubic> cubics;
  for (std::size_t i = 0; i + 1 < points.size(); ++i)
    cubics.push_back(through(points[i].first, points[i + 1].first, points[i].second, points[i + 1].second,
                             slopes[i], slopes[i + 1]));
  return Curve(std::move(cubics), points.back().first);
}

Curve Curve::polynomial(const std::vector<Term>& terms, double t_min, double t_max) {
  if (!(0 < t_min && t_min < t_max && std::isfinite(t_max)))
    throw std::invalid_argument("a sum of terms needs a range with 0 K < from < to");
  if (terms.empty()) throw std::invalid_argument("a sum of terms needs at least one term");
  for (const Term& term : terms)
    if (!std::isfinite(term.coefficient) || !std::isfinite(term.power))
      throw std::invalid_argument("the terms of a property are finite numbers");
  std::vector<Cubic> cubics;
  follow(terms, t_min, t_max, cubics);
  return Curve(std::move(cubics), t_max);
}

Curve Curve::joined(const std::vector<Curve>& parts) {
  if (parts.empty()) throw std::invalid_argument("there is no piece to join");
  std::vector<Cubic> cubics;
  double end = 0;
  for (const Curve& part : parts) {
    if (part.cubics_.empty()) throw std::invalid_argument("a constant has no range and cannot be joined");
    if (!cubics.empty()) {
      const Cubic& next = part.cubics_.front();
      const std::string place = std::to_string(end) + " K";
      if (!(std::abs(next.start - end) <= join_gap))
        throw std::invalid_argument("a piece ends at " + place + ", the next begins at " +
                                    std::to_string(next.start) + " K");
      const double low = cubics.back().value(end), high = next.value(next.start);
      if (!(std::abs(high - low) <= join_jump * std::max(std::abs(low), std::abs(high))))
        throw std::invalid_argument("the value jumps from " + std::to_string(low) + " to " +
                                    std::to_string(high) + " at " + place +
                                    "; write a true step as a short piece of stated width");
    }
    cubics.insert(cubics.end(), part.cubics_.begin(), part.cubics_.end());
    end = part.end_;
  }
  return Curve(std::move(cubics), end);
}

Curve::Cubic Curve::from(double start, const Cubic& cubic) {
  const double x = start - cubic.start;
  return {start,
          cubic.value(start),
          cubic.c1 + x * (2 * cubic.c2 + x * 3 * cubic.c3),
          cubic.c2 + 3 * cubic.c3 * x,
          cubic.c3,
          0};
}

Curve Curve::sum(const Curve& a, double factor_a, const Curve& b, double factor_b) {
  const Curve p = a.scaled(factor_a), q = b.scaled(factor_b);
  if (p.cubics_.empty() && q.cubics_.empty()) return constant(p.constant_ + q.constant_);
  if (p.cubics_.empty() || q.cubics_.empty()) {
    const Curve& curve = p.cubics_.empty() ? q : p;
    std::vector<Cubic> cubics = curve.cubics_;
    for (Cubic& cubic : cubics) cubic.c0 += p.cubics_.empty() ? p.constant_ : q.constant_;
    return Curve(std::move(cubics), curve.end_);
  }
  const double first = std::max(p.t_min(), q.t_min()), last = std::min(p.t_max(), q.t_max());
  if (!(first < last)) throw std::invalid_argument("the two curves have no temperature in common");
  std::vector<double> starts{first};
  for (const Curve* curve : {&p, &q})
    for (const Cubic& cubic : curve->cubics_)
      if (cubic.start > first + join_gap && cubic.start < last - join_gap) starts.push_back(cubic.start);
  std::sort(starts.begin(), starts.end());
  std::vector<Cubic> cubics;
  for (const double start : starts) {
    if (!cubics.empty() && start - cubics.back().start <= join_gap) continue;
    Cubic both = from(start, p.cubics_[p.at(start + join_gap)]);
    const Cubic other = from(start, q.cubics_[q.at(start + join_gap)]);
    both.c0 += other.c0;
    both.c1 += other.c1;
    both.c2 += other.c2;
    both.c3 += other.c3;
    cubics.push_back(both);
  }
  return Curve(std::move(cubics), last);
}

Curve Curve::scaled(double factor) const {
  if (!std::isfinite(factor)) throw std::invalid_argument("a property is scaled by a finite number");
  if (cubics_.empty()) return constant(constant_ * factor);
  std::vector<Cubic> cubics = cubics_;
  for (Cubic& cubic : cubics) {
    cubic.c0 *= factor;
    cubic.c1 *= factor;
    cubic.c2 *= factor;
    cubic.c3 *= factor;
  }
  return Curve(std::move(cubics), end_);
}

double Curve::slope(double T) const {
  if (cubics_.empty() || T < t_min() || T > t_max()) return 0;
  const Cubic& cubic = cubics_[at(T)];
  const double x = T - cubic.start;
  return cubic.c1 + x * (2 * cubic.c2 + x * 3 * cubic.c3);
}

double Curve::integral(double T) const {
  return both(T).integral;
}

double Curve::t_min() const {
  return cubics_.empty() ? -std::numeric_limits<double>::infinity() : cubics_.front().start;
}

double Curve::t_max() const {
  return cubics_.empty() ? std::numeric_limits<double>::infinity() : end_;
}

std::pair<double, double> Curve::extremes() const {
  if (cubics_.empty()) return {constant_, constant_};
  std::pair<double, double> found{value(end_), value(end_)};
  const int kelvins = static_cast<int>(end_ - t_min());
  for (int k = 0; k <= kelvins; ++k) {
    const double here = value(t_min() + k);
    found = {std::min(found.first, here), std::max(found.second, here)};
  }
  return found;
}

}  // namespace joulepress::materials
