// One property as a function of temperature: value, slope, and exact integral.
//
// A curve is a sequence of pieces that abut in temperature; a piece is a sum of terms  c * T^p  (p any real
// number; this covers constants, polynomials, Shomate forms with negative powers, and power laws) or a table
// interpolated by a monotone C1 cubic (Fritsch-Carlson), so that slope and integral exist in closed form.
// Terms are evaluated through cubics that agree with them to 1e-9, so that a sweep over the cells never waits
// for a logarithm or a power, and value, slope and integral belong together to rounding. Outside its range a
// curve holds its end value: no polynomial is ever extrapolated.  Callers report it.
#pragma once

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
  /// Sum of terms on [t_min, t_max], 0 < t_min < t_max.  Throws std::invalid_argument.
  static Curve polynomial(std::vector<Term> terms, double t_min, double t_max);
  /// Curves one after the other: the range of each begins where the one before ends (to 1e-9 K), terms and
  /// tables in any order; the slope may break (a Curie point).  Published pieces rarely meet to the last
  /// digit: a jump of the value up to 1e-3 of it is kept as it is, and the integral runs on without a jump.
  /// A larger one is nearly always a mistyped coefficient and throws std::invalid_argument, as do gaps,
  /// overlaps and constants (which have no range).  A true step, such as a transition, is written as a short
  /// table of stated width; the width keeps the slope finite, which an implicit step needs.
  static Curve joined(const std::vector<Curve>& parts);
  /// The same curve times a factor.
  Curve scaled(double factor) const;

  double value(double T) const;
  double slope(double T) const;     ///< d value / dT; 0 outside the range
  double integral(double T) const;  ///< integral of the value from 298.15 K to T; linear outside the range
  struct Both {
    double value, integral;
  };
  Both both(double T) const;  ///< the two at the price of one
  double t_min() const;       ///< K; -infinity for a constant
  double t_max() const;

 private:
  /// c0 + c1 x + c2 x^2 + c3 x^3, x from its start; `before` is the integral from the start of its piece.
  struct Cubic {
    double start = 0, c0 = 0, c1 = 0, c2 = 0, c3 = 0, before = 0;
    double integral_to(double T) const;
  };
  static std::vector<Cubic> cubics_through(const std::vector<Term>& terms, double from, double to);
  struct Piece {
    double from = 0, to = 0;
    double before = 0;        ///< integral from the start of the first piece
    std::vector<Term> terms;  ///< empty for a cubic piece
    std::vector<Cubic> runs;  ///< what is evaluated: one, or for terms many of equal width
    double runs_per_K = 0;
    double value(double T) const;
    double slope(double T) const;
    double antiderivative(double T) const;
    std::size_t run_at(double T) const;
  };
  explicit Curve(std::vector<Piece> pieces);
  double integral_from_start(double T) const;
  const Piece& piece_at(double T) const;
  std::vector<Piece> pieces_;
  double constant_ = 0;
  double integral_at_reference_ = 0;
};

}  // namespace joulepress::materials
