// Side pressure of punch and die against examples worked by hand, and Lame's wall against its equation.
#include "solver/closure.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <initializer_list>
#include <limits>
#include <utility>

#include "tests/support/relative.hpp"

using namespace joulepress::solver;
using joulepress::test::relative;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

/// Graphite, 20 mm across, in a die of 50 mm, 0.2 mm of foil (100 MPa: an invented round number).
///   foil   2e-4 m / 1e8 Pa                               = 2         um/MPa
///   punch  0.01 m / 1e10 Pa x (1 - 0.18)                 = 0.82
///   die    0.01 m / 1e10 Pa x (7.25/5.25 + 0.18)         = 1.560952     7.25/5.25 = 29/21
///   sum    2 + 0.82 + 0.18 + 29/21 = 92/21               = 4.380952
Fit lined() {
  return {.radius = 0.010,
          .die_ratio = 2.5,
          .punch_modulus = 10e9,
          .punch_poisson = 0.18,
          .die_modulus = 10e9,
          .die_poisson = 0.18,
          .foil_thickness = 0.2e-3,
          .foil_modulus = 100e6,
          .fit_pressure = 2e6};
}

Fit bare() {
  Fit fit = lined();
  fit.foil_thickness = fit.foil_modulus = fit.fit_pressure = 0;
  return fit;
}

/// The die's compliance over r/E_d, read off the pressure: a punch that neither yields nor swells, no foil.
double wall(double die_ratio, double poisson) {
  Fit fit = bare();
  fit.punch_modulus = infinite;
  fit.die_ratio = die_ratio;
  fit.die_poisson = poisson;
  const double delta = 1e-4 * fit.radius;
  return delta / lateral_pressure(fit, 50e6, 1e-4, 0) / (fit.radius / fit.die_modulus);
}

/// The same from equilibrium, r s' = h - s, and compatibility, (u/r)' = (s - h)(1 + nu)/(E r) with
/// s = radial, h = hoop stress: Runge-Kutta from bore (s = -1) to skin, the hoop stress at the bore chosen
/// such that the skin is free.  Linear: two shots do.
double wall_by_shooting(double die_ratio, double poisson) {
  const auto skin = [&](double hoop_at_bore) {
    constexpr int steps = 4000;
    const double d = (die_ratio - 1) / steps;
    double s = -1, h = hoop_at_bore;
    // E e_hoop = h - nu s and E e_r = s - nu h with e_r = (r e_hoop)' give h' = nu s' + (1 + nu)(s - h)/r.
    const auto slope = [&](double r, double radial, double hoop) {
      const double ds = (hoop - radial) / r;
      return std::pair{ds, poisson * ds + (1 + poisson) * (radial - hoop) / r};
    };
    for (int i = 0; i < steps; ++i) {
      const double r = 1 + i * d;
      const auto [s1, h1] = slope(r, s, h);
      const auto [s2, h2] = slope(r + d / 2, s + d / 2 * s1, h + d / 2 * h1);
      const auto [s3, h3] = slope(r + d / 2, s + d / 2 * s2, h + d / 2 * h2);
      const auto [s4, h4] = slope(r + d, s + d * s3, h + d * h3);
      s += d / 6 * (s1 + 2 * s2 + 2 * s3 + s4);
      h += d / 6 * (h1 + 2 * h2 + 2 * h3 + h4);
    }
    return s;
  };
  const double hoop = skin(0) / (skin(0) - skin(1));
  return hoop + poisson;  // E u/(p r) at the bore
}

}  // namespace

TEST_CASE("a punch swells by nu P r/E; a gap wider than that stays open") {
  // 0.18 x 50 MPa x 10 mm / 10 GPa = 0.18 x 0.005 x 10 mm = 0.009 mm.
  CHECK(closing(bare(), 50e6, 0, 0) == relative(9e-6));
  Fit fit = bare();
  fit.gap = 20e-6;
  CHECK(lateral_pressure(fit, 50e6, 0, 0) == 0.0);
  // Closed by 20 um at 20/9 x 50 = 111.1 MPa, not before: no jump there.
  CHECK(lateral_pressure(fit, 111.1e6, 0, 0) == 0.0);
  CHECK(lateral_pressure(fit, 111.2e6, 0, 0) > 0.0);
  CHECK(lateral_pressure(fit, 111.2e6, 0, 0) < 0.01e6);  // 16 nm over 2.38 um/MPa = 0.0067 MPa
}

TEST_CASE("bare: the closing over the compliance of punch and die") {
  // 9 um / (0.82 + 1.560952) um/MPa = 9 x 21/50 MPa = 3.78 MPa.
  CHECK(lateral_pressure(bare(), 50e6, 0, 0) == relative(3.78e6));
  Fit fit = bare();
  fit.fit_pressure = 2e6;  // of no foil: it does not act
  CHECK(lateral_pressure(fit, 50e6, 0, 0) == relative(3.78e6));
  fit.foil_thickness = 0.2e-3;  // nor of one without stiffness, which is none
  CHECK(lateral_pressure(fit, 50e6, 0, 0) == relative(3.78e6));
}

TEST_CASE("lined: fitting pressure, swelling, a hotter punch, a hotter die") {
  const Fit fit = lined();
  CHECK(lateral_pressure(fit, 0, 0, 0) == relative(2e6));
  CHECK(lateral_pressure(fit, 0, 6e-3, 6e-3) == relative(2e6));  // all equally hot, alike in expansion
  // 2 + 9/4.380952 = 2 + 2.054 = 4.05 MPa; exactly 2 + 9 x 21/92.
  CHECK(lateral_pressure(fit, 50e6, 0, 0) == relative(4.05e6, 1.3e-3));
  CHECK(lateral_pressure(fit, 50e6, 0, 0) == relative(2e6 + 189e6 / 92));
  // Punch 100 K hotter, 5e-6/K: 5 um more, 14 um in all; 2 + 14/4.380952 = 5.20 MPa.
  CHECK(closing(fit, 50e6, 6.0e-3, 5.5e-3) == relative(14e-6, 1e-11));
  CHECK(lateral_pressure(fit, 50e6, 6.0e-3, 5.5e-3) == relative(2e6 + 294e6 / 92, 1e-11));
  // Die 200 K hotter: 10 um less, they part by 1 um; 2 - 1/4.380952 = 1.77 MPa.
  CHECK(closing(fit, 50e6, 5.0e-3, 6.0e-3) == relative(-1e-6, 1e-11));
  CHECK(lateral_pressure(fit, 50e6, 5.0e-3, 6.0e-3) == relative(2e6 - 21e6 / 92, 1e-11));
  // Die 400 K hotter: they part by 11 um, 2 - 2.51 < 0, the foil has let go.
  CHECK(closing(fit, 50e6, 5.0e-3, 7.0e-3) == relative(-11e-6, 1e-11));
  CHECK(lateral_pressure(fit, 50e6, 5.0e-3, 7.0e-3) == 0.0);
  Fit held = fit;
  held.floor_pressure = 0.1e6;
  CHECK(lateral_pressure(held, 50e6, 5.0e-3, 7.0e-3) == 0.1e6);
  CHECK(lateral_pressure(held, 50e6, 0, 0) == lateral_pressure(fit, 50e6, 0, 0));
}

TEST_CASE("foil that does not fill: no fitting pressure, before it closes or after") {
  Fit fit = lined();
  fit.gap = 5e-6;
  CHECK(lateral_pressure(fit, 0, 0, 0) == 0.0);
  CHECK(lateral_pressure(fit, 25e6, 0, 0) == 0.0);                  // 4.5 um
  CHECK(lateral_pressure(fit, 50e6, 0, 0) == relative(84e6 / 92));  // (9 - 5) um x 21/92 MPa/um
}

TEST_CASE("the wall of a die: Lame's equation integrated, walls without end and without thickness") {
  // (K^2 + 1)/(K^2 - 1): 2.25 + 1 over 1.25 = 2.6, 5/3, 7.25/5.25, 10/8.
  CHECK(wall(1.5, 0) == relative(2.6));
  CHECK(wall(2.0, 0) == relative(5.0 / 3));
  CHECK(wall(2.5, 0) == relative(29.0 / 21));
  CHECK(wall(3.0, 0) == relative(1.25));
  for (const double ratio : {1.2, 2.0, 3.0})
    for (const double poisson : {0.0, 0.18, 0.3})
      CHECK(wall(ratio, poisson) == relative(wall_by_shooting(ratio, poisson), 1e-11));
  CHECK(wall(infinite, 0.18) == relative(1.18));  // (1 + nu) r/E
  CHECK(wall(1e4, 0.18) == relative(1.18, 1e-7));
  // A thin ring, wall e r: hoop stress p/e, so u = p r/(e E); (K^2 + 1)/(K^2 - 1) at K = 1 + e is
  // 1/e + 1/2 + e/4 and smaller.
  const double e = 1e-3;
  CHECK(std::abs(wall(1 + e, 0.18) - (1 / e + 0.5 + 0.18)) <= e / 2);
}

TEST_CASE("a touch at its reference pressure, at twice that, and at none") {
  CHECK(touch_factor(20e6, 20e6) == 1.0);
  CHECK(touch_factor(40e6, 20e6) == relative(1.9318726578497));  // 2 / 2^0.05 = 2 / 1.0352649238414
  CHECK(touch_factor(40e6, 20e6) == relative(std::exp2(0.95)));
  CHECK(touch_factor(0, 20e6) == least_touch_factor);
  CHECK(touch_factor(-1e6, 20e6) == least_touch_factor);
  CHECK(touch_factor(100, 20e6) == relative(std::pow(5e-6, 0.95)));  // 9.2e-6: still the law
}

TEST_CASE("conductance of rough faces: heat and current by the same law") {
  // A form with one coefficient a for 1.25 m/sigma, a = 2.2e4 1/m for heat, H = 3.5 GPa, P = 20 MPa:
  // P/H = 5.714e-3, ln = -5.1648, x 0.95 = -4.9066, exp = 7.397e-3; x 2.2e4 x 80 W/(m K) = 1.302e4 W/(m2 K).
  CHECK(touch_conductance(80, 80, 2.2e4 / 1.25, 20e6, 3.5e9) == relative(1.302e4, 5e-4));
  // For current a = 2.4e4 1/m (corrected by analogy): x 1e5 S/m = 1.775e7 S/m2, 5.63e-8 ohm m2.
  CHECK(1 / touch_conductance(1e5, 1e5, 2.4e4 / 1.25, 20e6, 3.5e9) == relative(5.63e-8, 1e-3));
  // Harmonic mean of 20 and 80: 2 x 1600 / 100 = 32, whichever is which.
  const double equal = touch_conductance(32, 32, 1e4, 20e6, 3.5e9);
  CHECK(touch_conductance(20, 80, 1e4, 20e6, 3.5e9) == relative(equal));
  CHECK(touch_conductance(80, 20, 1e4, 20e6, 3.5e9) == relative(equal));
  CHECK(touch_conductance(80, 80, 1e4, 0, 3.5e9) == 0.0);
  // With pressure it goes as the factor does.
  CHECK(touch_conductance(80, 20, 1e4, 7e6, 3.5e9) == relative(equal * touch_factor(7e6, 20e6)));
}

TEST_CASE("what is not a number does not pass for an open gap or a touch that bears nothing") {
  CHECK(std::isnan(lateral_pressure(lined(), no_number, 0, 0)));
  CHECK(std::isnan(lateral_pressure(lined(), 50e6, 0, no_number)));
  CHECK(std::isnan(touch_factor(no_number, 20e6)));
  CHECK(std::isnan(touch_conductance(80, 80, 1e4, no_number, 3.5e9)));
}
