#include "materials/curve.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>

namespace joulepress::materials {

namespace {

constexpr double reference_temperature = 298.15;  // K, the zero of every integral
constexpr double join_gap = 1e-9;                 // K
constexpr double join_jump = 1e-3;                // relative
constexpr int scan_pieces = 8;                    // up to here a scan beats a bisection

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

double antiderivative_of(const std::vector<Term>& terms, double T) {
  double sum = 0;
  for (const Term& term : terms)
    sum += term.power == -1 ? term.coefficient * std::log(T)
                            : term.coefficient * std::pow(T, term.power + 1) / (term.power + 1);
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

// Cubics of equal width with the values and slopes of the terms, as many as it takes; none when it would take
// more than `most`, for a power that spans decades: then the terms themselves are evaluated.
std::vector<Curve::Cubic> Curve::cubics_through(const std::vector<Term>& terms, double from, double to) {
  constexpr double enough = 1e-9;  // of the value, in the middle between two nodes
  constexpr int most = 1 << 13;
  std::vector<Cubic> runs;
  for (int n = 16;; n *= 2) {
    runs.clear();
    const double width = (to - from) / n;
    bool agrees = true;
    for (int k = 0; k < n; ++k) {
      const double a = from + k * width, b = k + 1 == n ? to : a + width;
      const double low = sum_of(terms, a), high = sum_of(terms, b), middle = sum_of(terms, 0.5 * (a + b));
      const double chord = (high - low) / (b - a), left = slope_of(terms, a), right = slope_of(terms, b);
      const double c2 = (3 * chord - 2 * left - right) / (b - a);
      const double c3 = (left + right - 2 * chord) / ((b - a) * (b - a));
      const double x = 0.5 * (b - a);
      const double miss = low + x * (left + x * (c2 + x * c3)) - middle;
      agrees = agrees && std::abs(miss) <= enough * std::abs(middle);  // not a number never agrees
      runs.push_back({a, low, left, c2, c3, 0});
    }
    if (agrees) return runs;
    if (2 * n > most) return {};
  }
}

std::size_t Curve::Piece::run_at(double T) const {
  if (runs.size() == 1) return 0;
  const double index = (T - from) * runs_per_K;
  return index > 0 ? std::min(static_cast<std::size_t>(index), runs.size() - 1) : 0;
}

double Curve::Cubic::integral_to(double T) const {
  const double x = T - start;
  return before + x * (c0 + x * (c1 * (1.0 / 2) + x * (c2 * (1.0 / 3) + x * (c3 * (1.0 / 4)))));
}

double Curve::Piece::value(double T) const {
  if (runs.empty()) return sum_of(terms, T);
  const Cubic& run = runs[run_at(T)];
  const double x = T - run.start;
  return run.c0 + x * (run.c1 + x * (run.c2 + x * run.c3));
}

double Curve::Piece::slope(double T) const {
  if (runs.empty()) return slope_of(terms, T);
  const Cubic& run = runs[run_at(T)];
  const double x = T - run.start;
  return run.c1 + x * (2 * run.c2 + x * 3 * run.c3);
}

// From the start of the piece.
double Curve::Piece::antiderivative(double T) const {
  if (runs.empty()) return antiderivative_of(terms, T) - antiderivative_of(terms, from);
  return runs[run_at(T)].integral_to(T);
}

Curve::Curve(std::vector<Piece> pieces) : pieces_(std::move(pieces)) {
  double sum = 0;
  for (Piece& piece : pieces_) {
    if (!piece.terms.empty()) piece.runs = cubics_through(piece.terms, piece.from, piece.to);
    piece.runs_per_K = static_cast<double>(piece.runs.size()) / (piece.to - piece.from);
    for (std::size_t k = 1; k < piece.runs.size(); ++k)
      piece.runs[k].before = piece.runs[k - 1].integral_to(piece.runs[k].start);
    piece.before = sum;
    sum += piece.antiderivative(piece.to);
  }
  integral_at_reference_ = integral_from_start(reference_temperature);
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
  std::vector<Piece> pieces;
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    Piece piece;
    piece.from = points[i].first;
    piece.to = points[i + 1].first;
    const double h = piece.to - piece.from;
    const double chord = (points[i + 1].second - points[i].second) / h;
    piece.runs.push_back({piece.from, points[i].second, slopes[i],
                          (3 * chord - 2 * slopes[i] - slopes[i + 1]) / h,
                          (slopes[i] + slopes[i + 1] - 2 * chord) / (h * h), 0});
    pieces.push_back(piece);
  }
  return Curve(std::move(pieces));
}

Curve Curve::polynomial(std::vector<Term> terms, double t_min, double t_max) {
  if (!(0 < t_min && t_min < t_max && std::isfinite(t_max)))
    throw std::invalid_argument("a sum of terms needs a range with 0 K < from < to");
  if (terms.empty()) throw std::invalid_argument("a sum of terms needs at least one term");
  for (const Term& term : terms)
    if (!std::isfinite(term.coefficient) || !std::isfinite(term.power))
      throw std::invalid_argument("the terms of a property are finite numbers");
  Piece piece;
  piece.from = t_min;
  piece.to = t_max;
  piece.terms = std::move(terms);
  return Curve({std::move(piece)});
}

Curve Curve::joined(const std::vector<Curve>& parts) {
  if (parts.empty()) throw std::invalid_argument("there is no piece to join");
  std::vector<Piece> pieces;
  for (const Curve& part : parts) {
    if (part.pieces_.empty()) throw std::invalid_argument("a constant has no range and cannot be joined");
    if (!pieces.empty()) {
      Piece& last = pieces.back();
      const Piece& next = part.pieces_.front();
      const std::string place = std::to_string(last.to) + " K";
      if (!(std::abs(next.from - last.to) <= join_gap))
        throw std::invalid_argument("a piece ends at " + place + ", the next begins at " +
                                    std::to_string(next.from) + " K");
      const double low = last.value(last.to), high = next.value(next.from);
      if (!(std::abs(high - low) <= join_jump * std::max(std::abs(low), std::abs(high))))
        throw std::invalid_argument("the value jumps from " + std::to_string(low) + " to " +
                                    std::to_string(high) + " at " + place +
                                    "; write a true step as a short piece of stated width");
      last.to = next.from;
    }
    pieces.insert(pieces.end(), part.pieces_.begin(), part.pieces_.end());
  }
  return Curve(std::move(pieces));
}

Curve Curve::scaled(double factor) const {
  if (!std::isfinite(factor)) throw std::invalid_argument("a property is scaled by a finite number");
  if (pieces_.empty()) return constant(constant_ * factor);
  std::vector<Piece> pieces = pieces_;
  for (Piece& piece : pieces) {
    for (Term& term : piece.terms) term.coefficient *= factor;
    for (Cubic& run : piece.runs) {
      run.c0 *= factor;
      run.c1 *= factor;
      run.c2 *= factor;
      run.c3 *= factor;
    }
  }
  return Curve(std::move(pieces));
}

// A temperature that is not a number falls through to the last piece and comes out as not a number.
const Curve::Piece& Curve::piece_at(double T) const {
  if (pieces_.size() <= scan_pieces) {
    std::size_t i = 0;
    while (i + 1 < pieces_.size() && !(T < pieces_[i].to)) ++i;
    return pieces_[i];
  }
  const auto after = std::upper_bound(pieces_.begin(), pieces_.end(), T,
                                      [](double t, const Piece& piece) { return t < piece.to; });
  return after == pieces_.end() ? pieces_.back() : *after;
}

double Curve::value(double T) const {
  if (pieces_.empty()) return constant_;
  if (T < t_min()) T = t_min();
  if (T > t_max()) T = t_max();
  return piece_at(T).value(T);
}

double Curve::slope(double T) const {
  if (pieces_.empty() || T < t_min() || T > t_max()) return 0;
  return piece_at(T).slope(T);
}

Curve::Both Curve::both(double T) const {
  if (pieces_.empty()) return {constant_, constant_ * (T - reference_temperature)};
  const double inside = T < t_min() ? t_min() : T > t_max() ? t_max() : T;
  const Piece& piece = piece_at(inside);
  const double value = piece.value(inside);
  return {value, piece.before + piece.antiderivative(inside) + value * (T - inside) - integral_at_reference_};
}

double Curve::integral(double T) const {
  if (pieces_.empty()) return constant_ * (T - reference_temperature);
  return integral_from_start(T) - integral_at_reference_;
}

double Curve::integral_from_start(double T) const {
  const double inside = T < t_min() ? t_min() : T > t_max() ? t_max() : T;
  const Piece& piece = piece_at(inside);
  const double sum = piece.before + piece.antiderivative(inside);
  return inside == T ? sum : sum + piece.value(inside) * (T - inside);
}

double Curve::t_min() const {
  return pieces_.empty() ? -std::numeric_limits<double>::infinity() : pieces_.front().from;
}

double Curve::t_max() const {
  return pieces_.empty() ? std::numeric_limits<double>::infinity() : pieces_.back().to;
}

}  // namespace joulepress::materials
