// One property as a function of temperature: value, slope, and exact integral.
//
// A curve is a sequence of cubics that abut in temperature.  It is written as sums of terms  c * T^p  (p any
// real number; this covers constants, polynomials, Shomate forms with negative powers, and power laws), which
// cubics follow to 1e-9 of the value, or as tables, interpolated by monotone C1 cubics (Fritsch-Carlson). So
// a sweep over the cells never waits for a logarithm or a power, and value, slope and integral belong
// together to rounding.  Outside its range a curve holds its end value: no polynomial is ever extrapolated.
// Callers report it.
#pragma once

#include <algorithm>
#include <cstddef>
#include <limits>
#include <utility>
#include <vector>

namespace joulepress::materials {

struct Term {
  double coefficient = 0;
  double power = 0;
};

class Curve {
 public:
  Curve() = default;  ///< the constant 0

  static Curve constant(double value);
  /// Monotone cubic through (T, value), at least two points, T ascending.  Throws std::invalid_argument.
  static Curve table(std::vector<std::pair<double, double>> points);
  /// Sum of terms on [t_min, t_max], 0 < t_min < t_max.  Throws std::invalid_argument, also where the sum is
  /// not finite or so steep that no reasonable number of cubics follows it.
  static Curve polynomial(const std::vector<Term>& terms, double t_min, double t_max);
  /// Curves one after the other: the range of each begins where the one before ends (to 1e-9 K), terms and
  /// tables in any order; the slope may break (a Curie point).  Published pieces rarely meet to the last
  /// digit: a jump of the value up to 1e-3 of it is kept as it is, and the integral runs on without a jump.
  /// A larger one is nearly always a mistyped coefficient and throws std::invalid_argument, as do gaps,
  /// overlaps and constants (which have no range).  A true step, such as a transition, is written as a short
  /// table of stated width; the width keeps the slope finite, which an implicit step needs.
  static Curve joined(const std::vector<Curve>& parts);
  /// Two curves, each times a factor, over the temperatures both know; exact, integral included.  Throws
  /// std::invalid_argument where these are none.
  static Curve sum(const Curve& a, double factor_a, const Curve& b, double factor_b);
  /// The same curve times a factor.
  Curve scaled(double factor) const;

  double value(double T) const {
    if (cubics_.empty()) return constant_;
    const double inside = held(T);
    return cubics_[at(inside)].value(inside);
  }
  double slope(double T) const;     ///< d value / dT; 0 outside the range
  double integral(double T) const;  ///< integral of the value from 298.15 K to T; linear outside the range
  struct Both {
    double value, integral;
  };
  /// The two at the price of one.
  Both both(double T) const {
    if (cubics_.empty()) return {constant_, constant_ * (T - reference_temperature)};
    const double inside = held(T);
    const Cubic& cubic = cubics_[at(inside)];
    const double value = cubic.value(inside);
    return {value, cubic.integral(inside) + value * (T - inside) - integral_at_reference_};
  }
  double t_min() const;  ///< K; -infinity for a constant
  double t_max() const;
  /// Lowest and highest value within its range; between kelvins closer than its data.
  std::pair<double, double> extremes() const;

 private:
  static constexpr double reference_temperature = 298.15;  // K, the zero of every integral

  /// c0 + c1 x + c2 x^2 + c3 x^3, x from its start; `before` is the integral from the start of the curve.
  struct Cubic {
    double start = 0, c0 = 0, c1 = 0, c2 = 0, c3 = 0, before = 0;
    double value(double T) const {
      const double x = T - start;
      return c0 + x * (c1 + x * (c2 + x * c3));
    }
    double integral(double T) const {
      const double x = T - start;
      return before + x * (c0 + x * (c1 * (1.0 / 2) + x * (c2 * (1.0 / 3) + x * (c3 * (1.0 / 4)))));
    }
  };
  /// The same cubic counted from another temperature.
  static Cubic from(double start, const Cubic& cubic);
  static Cubic through(double from, double to, double low, double high, double slope_low, double slope_high);
  static void follow(const std::vector<Term>& terms, double from, double to, std::vector<Cubic>& cubics);

  Curve(std::vector<Cubic> cubics, double end);
  /// A temperature inside the range; one that is not a number stays so.
  double held(double T) const {
    const double from = cubics_.front().start;
    return T < from ? from : T > end_ ? end_ : T;
  }
  /// Number of the cubic at a temperature inside the range: a guess from bins of equal width, then steps.
  std::size_t at(double T) const {
    const double bin = (T - cubics_.front().start) * bins_per_K_;
    std::size_t k = first_in_bin_[bin > 0 ? std::min(static_cast<std::size_t>(bin), last_bin_) : 0];
    while (k + 1 < cubics_.size() && T >= cubics_[k + 1].start) ++k;
    return k;
  }

  std::vector<Cubic> cubics_;  ///< empty: a constant
  double end_ = 0;             ///< K, of the last cubic
  std::vector<std::size_t> first_in_bin_;
  std::size_t last_bin_ = 0;
  double bins_per_K_ = 0;
  double constant_ = 0;
  double integral_at_reference_ = 0;
};

}  // namespace joulepress::materials
