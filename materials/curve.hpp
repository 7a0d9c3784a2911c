// One property as a function of temperature: value, slope, and exact integral.
//
// A curve is a sequence of pieces that abut in temperature; a piece is a sum of terms  c * T^p  (p any real
// number; this covers constants, polynomials, Shomate forms with negative powers, and power laws) or a table
// interpolated by a monotone C1 cubic (Fritsch-Carlson), so that slope and integral exist in closed form.
// Outside its range a curve holds its end value: no polynomial is ever extrapolated.  Callers report it.
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
  /// Curves one after the other: the range of each begins where the one before ends (to 1e-9 K).
  static Curve joined(const std::vector<Curve>& pieces);
  /// The same curve times a factor.
  Curve scaled(double factor) const;

  double value(double T) const;
  double slope(double T) const;      ///< d value / dT; 0 outside the range
  double integral(double T) const;   ///< integral of the value from 298.15 K to T
  double t_min() const;              ///< -infinity for a constant
  double t_max() const;

 private:
  struct Piece {
    double from = 0, to = 0;
    double before = 0;               ///< integral from the start of the first piece to `from`
    std::vector<Term> terms;         ///< empty for a cubic piece
    double c0 = 0, c1 = 0, c2 = 0, c3 = 0;  ///< cubic in (T - from)
  };
  double integral_from_start(double T) const;
  const Piece& piece_at(double T) const;
  std::vector<Piece> pieces_;
  double constant_ = 0;
  double integral_at_reference_ = 0;
};

}  // namespace joulepress::materials
