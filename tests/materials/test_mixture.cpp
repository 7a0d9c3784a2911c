// A conducting solid in an insulating one, and what the two make together.
#include <doctest/doctest.h>

#include <cmath>

#include "materials/mixing.hpp"
#include "materials/powder.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::materials;
using joulepress::test::relative;

namespace {

Material nitride() {
  Material m;
  m.name = "nitride";
  m.density.curve = Curve::constant(5400);
  m.heat_capacity.curve = Curve::polynomial({{800, 0}, {0.06, 1}}, 300, 1500);
  m.conductivity.along.curve = Curve::table({{300, 27}, {1000, 38}});
  m.resistivity.along.curve = Curve::table({{300, 0.25e-6}, {1000, 0.6e-6}, {1500, 0.8e-6}});
  m.melting_K = 3223;
  return m;
}

Material oxide() {
  Material m;
  m.name = "oxide";
  m.insulator = true;
  m.density.curve = Curve::constant(6070);
  m.heat_capacity.curve = Curve::polynomial({{565, 0}, {0.06, 1}, {-1.14e7, -2}}, 298, 1478);
  m.conductivity.along.curve = Curve::table({{300, 2.8}, {1000, 2.4}, {1500, 2.3}});
  m.resistivity.along.curve = Curve::polynomial({{1e20, -6}}, 300, 1700);
  m.porous.current = {PorousLaw::Kind::bruggeman, 0, 0, 0};
  m.melting_K = 2973;
  return m;
}

Material mixed(double fraction) {
  Material m;
  m.name = "mixed";
  Mixture mixture;
  mixture.fraction = fraction;
  mixture.threshold = 0.22;
  mixture.exponent = 1.8;
  mix(m, nitride(), oxide(), mixture);
  return m;
}

double conductivity(double fraction, double D, double T = 1000) {
  return 1 / powder_resistivity(mixed(fraction), T, D, 0.0);
}

}  // namespace

TEST_CASE("mixture: the limits are the two powders alone") {
  const Material none = mixed(0), all = mixed(1);
  for (const double D : {0.5, 0.7, 0.9, 1.0}) {
    CAPTURE(D);
    CHECK(mixture_resistivity(*none.mixture, 1000, D) ==
          relative(powder_resistivity(oxide(), 1000, D, 0.0), 1e-9));
    // Only conducting grains: their skeleton by percolation, ((D - c) / (1 - c))^t, as the pores carry
    // nothing.
    CHECK(mixture_resistivity(*all.mixture, 1000, D) ==
          relative(0.6e-6 / std::pow((D - 0.22) / 0.78, 1.8), 1e-5));
  }
  CHECK(none.heat_capacity.curve.value(700) == relative(oxide().heat_capacity.curve.value(700), 1e-9));
  CHECK(all.conductivity.along.curve.value(700) ==
        relative(nitride().conductivity.along.curve.value(700), 1e-4));
  CHECK(all.density.curve.value(300) == relative(5400));
}

TEST_CASE("mixture: the general effective medium of the share of the whole volume, worked out directly") {
  const Material m = mixed(0.3);
  for (const double T : {400.0, 1000.0, 1400.0})
    for (const double D : {0.6, 0.8, 1.0}) {
      const double share = 0.3 * D, oxide_density = 0.7 * D / (1 - share);
      const double high = 1 / nitride().resistivity.along.curve.value(T);
      const double low = (1.5 * oxide_density - 0.5) / oxide().resistivity.along.curve.value(T);
      const double x = general_effective_medium(share, high, low, 0.22, 1.8);
      CHECK(mixture_resistivity(*m.mixture, T, D) == relative(1 / x, 1e-9));
      // from the dense table and the ratio: the same to the width of the table
      CHECK(powder_resistivity(m, T, D, 0.0) == relative(1 / x, 1e-4));
      // and it solves McLachlan's equation
      const double s = std::pow(x, 1 / 1.8), a = 0.78 / 0.22, h = std::pow(high, 1 / 1.8),
                   l = std::pow(low, 1 / 1.8);
      CHECK(share * (h - s) / (h + a * s) == relative((1 - share) * (s - l) / (l + a * s), 1e-6));
    }
}

TEST_CASE("mixture: it conducts better with more of the conductor and with less pores; it percolates") {
  for (double fraction = 0.05; fraction < 0.94; fraction += 0.05) {
    CHECK(conductivity(fraction + 0.05, 0.9) > conductivity(fraction, 0.9));
    for (double D = 0.5; D < 0.99; D += 0.03)
      CHECK(conductivity(fraction, D + 0.01) > conductivity(fraction, D));
  }
  CHECK(conductivity(0.3, 0.99) > 10 * conductivity(0.3, 0.6));
  CHECK(conductivity(0.3, 0.99) > 1e4);  // a poor metal
  CHECK(conductivity(0.3, 0.6) < 1e3);   // islands in the oxide
}

TEST_CASE("mixture: density by volume, heat capacity by mass, heat conductivity between the bounds") {
  const Material m = mixed(0.3);
  CHECK(m.density.curve.value(300) == relative(0.3 * 5400 + 0.7 * 6070));
  const double w = 0.3 * 5400 / (0.3 * 5400 + 0.7 * 6070);
  const Curve &a = nitride().heat_capacity.curve, &b = oxide().heat_capacity.curve;
  for (const double T : {310.0, 777.0, 1400.0}) {
    CHECK(m.heat_capacity.curve.value(T) == relative(w * a.value(T) + (1 - w) * b.value(T), 1e-9));
    CHECK(m.heat_capacity.curve.slope(T) == relative(w * a.slope(T) + (1 - w) * b.slope(T), 1e-9));
    if (T > 1000) continue;  // the data of the nitride's heat conductivity end there
    // Hashin and Shtrikman 1962: Maxwell's answers with either solid as the matrix
    const double k = m.conductivity.along.curve.value(T), high = nitride().conductivity.along.curve.value(T),
                 low = oxide().conductivity.along.curve.value(T);
    const double upper = high + 0.7 / (1 / (low - high) + 0.3 / (3 * high)),
                 lower = low + 0.3 / (1 / (high - low) + 0.7 / (3 * low));
    CHECK(k > lower);
    CHECK(k < upper);
    // Bruggeman: sum of fraction (k_i - k) / (k_i + 2 k) = 0
    CHECK(std::abs(0.3 * (high - k) / (high + 2 * k) + 0.7 * (low - k) / (low + 2 * k)) < 1e-5);
  }
  const double area = m.heat_capacity.curve.integral(1400) - m.heat_capacity.curve.integral(400);
  CHECK(area ==
        relative(w * (a.integral(1400) - a.integral(400)) + (1 - w) * (b.integral(1400) - b.integral(400)),
                 1e-9));
  CHECK(*m.melting_K == 2973);
  CHECK_FALSE(m.insulator);
  CHECK(mixed(0.1).insulator);
}

TEST_CASE("sum of curves: constants, tables and terms, over the temperatures both know") {
  const Curve table = Curve::table({{300, 1}, {500, 3}, {900, 4}}),
              power = Curve::polynomial({{2, 0.5}}, 400, 1000);
  const Curve sum = Curve::sum(table, 2, power, -1);
  CHECK(sum.t_min() == 400);
  CHECK(sum.t_max() == 900);
  for (const double T : {400.0, 450.0, 500.0, 640.0, 899.0})
    CHECK(sum.value(T) == relative(2 * table.value(T) - power.value(T), 1e-9));
  CHECK(Curve::sum(table, 1, Curve::constant(5), 2).value(700) == relative(table.value(700) + 10));
  CHECK(Curve::sum(Curve::constant(5), 2, table, 1).integral(700) ==
        relative(table.integral(700) + 10 * (700 - 298.15), 1e-12));
  CHECK(Curve::sum(Curve::constant(5), 2, Curve::constant(1), 3).value(1) == 13);
  CHECK_THROWS(Curve::sum(table, 1, Curve::table({{900, 1}, {1000, 2}}), 1));
}
