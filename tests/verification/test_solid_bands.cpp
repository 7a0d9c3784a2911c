// Cylinders pressed on a band only: what finite elements make of them against Fourier series.
//
// The band reaches from z = 0 to h, sides z = 0 and z = H cannot move across: the pressure is even and
// periodic,
//   p(z) = p h/H + sum p_n cos(k z),   p_n = 2 p sin(k h)/(k H),   k = n pi/H.
// Its mean is Lame's cylinder in plane strain.  Each harmonic is Love's strain function
//   phi = f(k r) sin(k z)/k^3,   f = A I0(x) + B x I1(x) + C K0(x) + D x K1(x),   lap phi = q(k r) sin(k
//   z)/k, rr = (nu q - f'') cos,  tt = (nu q - f'/x) cos,  zz = ((2 - nu) q + f) cos,  rz = ((1 - nu) q' +
//   f') sin, 2 G k u_r = -f' cos,    q = 2 B I0 - 2 D K0
// with the four constants from rr and rz on both surfaces (Timoshenko and Goodier, Theory of Elasticity, 3rd
// ed., chapter 12; Filon 1902, Phil Trans A 198:147, for solid cylinders; from memory, derived again).
// Printed tables (Barton 1941, Rankin 1944) were not at hand: the series itself is held against its limits.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <Eigen/LU>
#include <array>
#include <cmath>
#include <numbers>
#include <vector>

#include "solver/solid/body.hpp"
#include "tests/support/record.hpp"

namespace {

using namespace joulepress::solid;
using joulepress::mesh::Side;
using joulepress::test::compare;
using std::numbers::pi;

/// I_n(x) exp(-x), or K_n(x) exp(x): Hankel's expansion where the standard functions would overflow.
double scaled_bessel(bool first_kind, int order, double x) {
  if (x < 50.0)
    return first_kind ? std::cyl_bessel_i(order, x) * std::exp(-x)
                      : std::cyl_bessel_k(order, x) * std::exp(x);
  double term = 1.0, sum = 1.0;
  for (int k = 1; k <= 12; ++k) {
    term *= (first_kind ? -1.0 : 1.0) * (4.0 * order * order - (2.0 * k - 1) * (2.0 * k - 1)) / (8.0 * k * x);
    sum += term;
  }
  return sum * std::sqrt(first_kind ? 1.0 / (2.0 * pi * x) : pi / (2.0 * x));
}

/// A wall between two radii, a = 0: solid.
struct Wall {
  double a = 0, b = 0, H = 0;  ///< m
  Elastic elastic;
};

struct Band {
  double p = 0, h = 0;  ///< Pa, m
  bool inside = true;   ///< on the bore, else on the skin
};

/// What a harmonic, or the sum, has at a radius: stresses [Pa], displacement outward [m].
struct Field {
  double rr = 0, tt = 0, zz = 0, rz = 0, u = 0;
  void add(double factor, const Field& other) {
    rr += factor * other.rr;
    tt += factor * other.tt;
    zz += factor * other.zz;
    rz += factor * other.rz;
    u += factor * other.u;
  }
};

/// The four functions (two of a solid cylinder), those that grow scaled to one at the skin, the others at the
/// bore.
std::vector<Field> harmonic_functions(const Wall& wall, double k, double r) {
  const double nu = wall.elastic.poisson, G = wall.elastic.modulus / (2.0 * (1.0 + nu)), x = k * r;
  const auto field = [&](double f, double df_by_x, double df, double ddf, double q, double dq) {
    return Field{nu * q - ddf, nu * q - df_by_x, (2.0 - nu) * q + f, (1.0 - nu) * dq + df,
                 -df / (2.0 * G * k)};
  };
  const double grows = std::exp(x - k * wall.b);
  const double i0 = grows * scaled_bessel(true, 0, x), i1 = grows * scaled_bessel(true, 1, x);
  const double i1_by_x = x > 0.0 ? i1 / x : 0.5 * grows;
  std::vector<Field> functions{field(i0, i1_by_x, i1, i0 - i1_by_x, 0.0, 0.0),
                               field(x * i1, i0, x * i0, i0 + x * i1, 2.0 * i0, 2.0 * i1)};
  if (wall.a == 0.0) return functions;
  const double falls = std::exp(k * wall.a - x);
  const double k0 = falls * scaled_bessel(false, 0, x), k1 = falls * scaled_bessel(false, 1, x);
  functions.push_back(field(k0, -k1 / x, -k1, k0 + k1 / x, 0.0, 0.0));
  functions.push_back(field(x * k1, -k0, -x * k0, x * k1 - k0, -2.0 * k0, 2.0 * k1));
  return functions;
}

/// Amplitudes at radius r of a pressure of 1 Pa cos(k z).
Field harmonic(const Wall& wall, bool inside, double k, double r) {
  const Eigen::Index n = wall.a == 0.0 ? 2 : 4;
  Eigen::MatrixXd matrix(n, n);
  Eigen::VectorXd right = Eigen::VectorXd::Zero(n);
  for (Eigen::Index surface = 0; surface < n / 2; ++surface) {
    const std::vector<Field> at = harmonic_functions(wall, k, surface == 0 ? wall.b : wall.a);
    for (Eigen::Index c = 0; c < n; ++c) {
      matrix(2 * surface, c) = at[c].rr;
      matrix(2 * surface + 1, c) = at[c].rz;
    }
    if ((surface == 1) == inside) right(2 * surface) = -1.0;
  }
  const Eigen::VectorXd constants = matrix.partialPivLu().solve(right);
  const std::vector<Field> at = harmonic_functions(wall, k, r);
  Field sum;
  for (Eigen::Index c = 0; c < n; ++c) sum.add(constants(c), at[c]);
  return sum;
}

/// Lame's cylinder in plane strain under 1 Pa.
Field lame(const Wall& wall, bool inside, double r) {
  const double nu = wall.elastic.poisson, E = wall.elastic.modulus;
  const double a2 = wall.a * wall.a, b2 = wall.b * wall.b;
  const double even = (inside ? a2 : -b2) / (b2 - a2);
  const double bent = wall.a == 0.0 ? 0.0 : (inside ? 1.0 : -1.0) * a2 * b2 / (b2 - a2) / (r * r);
  return {even - bent, even + bent, 2.0 * nu * even, 0.0,
          (1.0 + nu) / E * r * ((1.0 - 2.0 * nu) * even + bent)};
}

/// The series at (r, z).  Terms are damped by exp(-36 (n/N)^8), which away from the edge of the band leaves
/// errors far below what N terms cut off would (Gottlieb and Shu 1997, SIAM Review 39:644, from memory).
Field series(const Wall& wall, const Band& band, double r, double z, int terms = 1200) {
  Field sum;
  sum.add(band.p * band.h / wall.H, lame(wall, band.inside, r));
  for (int n = 1; n <= terms; ++n) {
    const double k = n * pi / wall.H;
    const double amplitude = 2.0 * band.p * std::sin(k * band.h) / (k * wall.H) *
                             std::exp(-36.0 * std::pow(static_cast<double>(n) / terms, 8));
    Field at = harmonic(wall, band.inside, k, r);
    const double shear = sum.rz + amplitude * std::sin(k * z) * at.rz;
    sum.add(amplitude * std::cos(k * z), at);
    sum.rz = shear;
  }
  return sum;
}

constexpr Elastic graphite{11e9, 0.2};

constexpr double pressure = 50e6;  // Pa
constexpr Wall thick{0.010, 0.020, 0.040, graphite}, thicker{0.010, 0.025, 0.040, graphite},
    rod{0.0, 0.010, 0.040, graphite};
constexpr Band on_bore{pressure, 0.010, true}, on_skin{pressure, 0.010, false};

/// The same by finite elements: n cells across, narrower towards the band, and 2 n of one height along.
class Pressed {
 public:
  Pressed(const Wall& wall, const Band& band, int n) : n_(n) {
    std::vector<double> r_lines, z_lines;
    for (int k = 0; k <= n; ++k) {
      const double from_band = static_cast<double>(band.inside ? k : n - k) / n;
      const double share = from_band * (0.3 + 0.7 * from_band) * (wall.b - wall.a);
      r_lines.push_back(band.inside ? wall.a + share : wall.b - share);
    }
    for (int k = 0; k <= 2 * n; ++k) z_lines.push_back(wall.H * k / (2 * n));
    SolidBlock block{r_lines, z_lines, {}, {}};
    block.elastic.assign(static_cast<std::size_t>(n) * 2 * n, wall.elastic);
    body_.blocks.push_back(block);
    body_.held = {{0, Side::bottom}, {0, Side::top}};
    body_.pressures.push_back(
        {0, band.inside ? Side::inner : Side::outer, [band](double z) { return z < band.h ? band.p : 0.0; }});
    deformed_ = deform(body_);
    REQUIRE(deformed_.solved);
  }

  /// On the skin or the bore (the axis of a rod), in the middle of the cell in row j.
  Stress stress(bool skin, int j, double eta = 0.0) const {
    return stress_at(body_, deformed_, 0, skin ? n_ - 1 : 0, j, skin ? 1.0 : -1.0, eta);
  }
  double outward(bool skin, int j) const {
    return displacement_at(body_, deformed_, 0, skin ? 2 * n_ : 0, 2 * j + 1)[0];
  }

 private:
  int n_;
  Body body_;
  Deformed deformed_;
};

/// Every stress and the displacement on both surfaces, all along but for `beside` on both sides of the edge.
void hold_against_series(const Wall& wall, const Band& band, double stress_limit, double way_limit) {
  constexpr int n = 32;
  constexpr double beside = 0.0025;  // m
  const Pressed pressed(wall, band, n);
  const double largest = std::abs(series(wall, band, band.inside ? wall.a : wall.b, 0.0).u);
  int compared = 0;
  for (int j = 0; j < 2 * n; ++j) {
    const double z = wall.H * (j + 0.5) / (2 * n);
    if (std::abs(z - band.h) < beside) continue;
    for (const bool skin : {false, true}) {
      const Field exact = series(wall, band, skin ? wall.b : wall.a, z);
      const Stress found = pressed.stress(skin, j);
      CAPTURE(z);
      CAPTURE(skin);
      CHECK(std::abs(found.tt - exact.tt) < stress_limit * band.p);
      CHECK(std::abs(found.zz - exact.zz) < stress_limit * band.p);
      CHECK(std::abs(found.rr - exact.rr) < stress_limit * band.p);
      CHECK(std::abs(pressed.outward(skin, j) - exact.u) < way_limit * largest);
      ++compared;
    }
  }
  CHECK(compared == 112);
}

}  // namespace

TEST_CASE("series of a pressed band: obeys equilibrium and Hooke's law, inside the wall") {
  // Of one harmonic: d(rr)/dr + k rz + (rr - tt)/r = 0,  (1/r) d(r rz)/dr = k zz,  E u/r = tt - nu (rr + zz),
  // E du/dr = rr - nu (tt + zz), and with u_z = w sin(k z), E k w = zz - nu (rr + tt):  rz = G (dw/dr - k u).
  for (const Wall& wall : {thick, thicker, rod})
    for (const double k : {3 * pi / 0.04, 40 * pi / 0.04, 400 * pi / 0.04}) {
      const bool inside = wall.a > 0.0;
      const double E = wall.elastic.modulus, nu = wall.elastic.poisson, G = E / (2.0 * (1.0 + nu));
      const double r = inside ? wall.a + 0.4 / k : wall.b - 0.4 / k, step = 1e-3 / k;
      const auto at = [&](double radius) { return harmonic(wall, inside, k, radius); };
      const auto slope = [&](auto of) {  // order 4
        return (8.0 * (of(r + step) - of(r - step)) - of(r + 2 * step) + of(r - 2 * step)) / (12.0 * step);
      };
      const auto w = [&](double radius) {
        const Field f = at(radius);
        return (f.zz - nu * (f.rr + f.tt)) / (E * k);
      };
      const Field f = at(r);
      const double radial = slope([&](double x) { return at(x).rr; }) + k * f.rz + (f.rr - f.tt) / r;
      const double axial = slope([&](double x) { return x * at(x).rz; }) / r - k * f.zz;
      CAPTURE(k);
      CHECK(std::abs(f.zz) > 0.1);  // what the residuals are small against
      CHECK(std::abs(radial) < 1e-9 * k);
      CHECK(std::abs(axial) < 1e-9 * k);
      CHECK(std::abs(E * f.u / r - (f.tt - nu * (f.rr + f.zz))) < 1e-9);
      CHECK(std::abs(E * slope([&](double x) { return at(x).u; }) - (f.rr - nu * (f.tt + f.zz))) < 1e-9);
      CHECK(std::abs(G * (slope(w) - k * f.u) - f.rz) < 1e-9);
    }
}

TEST_CASE("series of a pressed band: the pressure it was made for, and its limits") {
  for (const auto& [wall, band] : {std::pair{thick, on_bore}, {thicker, on_bore}, {rod, on_skin}}) {
    const double r = band.inside ? wall.a : wall.b;
    for (const double z : {0.0, 0.004, 0.008, 0.012, 0.03}) {
      const Field surface = series(wall, band, r, z);
      CHECK(std::abs(surface.rr + (z < band.h ? pressure : 0.0)) < 1e-8 * pressure);
      CHECK(std::abs(surface.rz) < 1e-8 * pressure);
    }
    Band everywhere = band;
    everywhere.h = wall.H;
    CHECK(series(wall, everywhere, r, 0.01).tt == doctest::Approx(pressure * lame(wall, band.inside, r).tt));
  }
  // A strip on a half-space has -p along the surface too, whatever Poisson's ratio (Timoshenko and Goodier,
  // from memory), so hoop -2 nu p in plane strain: the narrower the band, the less it feels the curvature.
  const auto beside_plane = [](double h, int terms) {
    const Field narrow = series(rod, {pressure, h, false}, rod.b, 0.0, terms);
    return std::hypot(narrow.zz + pressure, narrow.tt + 2.0 * graphite.poisson * pressure) / pressure;
  };
  const double wide = beside_plane(1e-4, 4000), narrow = beside_plane(1e-5, 40000);
  CHECK(narrow < 0.012);
  CHECK(narrow < 0.2 * wide);  // as h ln(b/h): 0.15
}

TEST_CASE("solid: cylinders pressed on a band of their bore, and a rod on one of its skin, Fourier series") {
  hold_against_series(thick, on_bore, 5e-4, 2e-5);
  hold_against_series(thicker, on_bore, 5e-4, 2e-5);
  hold_against_series(rod, on_skin, 5e-4, 2e-5);
  // Rubber-like, and another width of the band.
  hold_against_series({0.010, 0.020, 0.040, {11e9, 0.49}}, {pressure, 0.005, true}, 1e-3, 1e-4);
}

TEST_CASE("solid: stresses beside a band approach the series with order 2") {
  const auto error = [](int n) {
    return Pressed(thick, on_bore, n).stress(false, 0, -1.0).tt - series(thick, on_bore, thick.a, 0.0).tt;
  };
  const double order = std::log2(error(16) / error(32));
  CHECK(order > 1.7);
  CHECK(order < 2.3);
}

TEST_CASE("solid: how much of Lame's hoop stress is left under a band of a quarter of the height") {
  const std::string source =
      "Fourier series of the elastic cylinder, each harmonic by Love's function (derived)";
  for (const auto& [wall, name] : {std::pair{thick, "K = 2"}, {thicker, "K = 2.5"}}) {
    const double infinite = pressure * lame(wall, true, wall.a).tt;  // (K^2 + 1)/(K^2 - 1) p
    const Pressed pressed(wall, on_bore, 32);
    const Field bore = series(wall, on_bore, wall.a, 0.0), skin = series(wall, on_bore, wall.b, 0.0);
    compare({fmt::format("bore pressed on a quarter of its height, {}: hoop there over Lame's", name), source,
             bore.tt / infinite, pressed.stress(false, 0, -1.0).tt / infinite, 2e-4, "1", "solid: stress"});
    compare(
        {fmt::format("bore pressed on a quarter of its height, {}: hoop on the skin over Lame's at the bore",
                     name),
         source, skin.tt / infinite, pressed.stress(true, 0, -1.0).tt / infinite, 3e-4, "1",
         "solid: stress"});
    CHECK(bore.tt < 0.85 * infinite);
    CHECK(bore.tt > 0.7 * infinite);
  }
  compare({"rod pressed on a band as wide as itself: hoop on the skin over the pressure", source,
           series(rod, on_skin, rod.b, 0.0).tt / pressure,
           Pressed(rod, on_skin, 32).stress(true, 0, -1.0).tt / pressure, 2e-4, "1", "solid: stress"});
}
