// Isostatic laws of densification against numbers worked out by hand from the published forms.
#include <doctest/doctest.h>

#include <cmath>

#include "materials/powder.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::materials;
using joulepress::test::relative;

namespace {

constexpr double strength = 1e9, pressure = 50e6, tap = 0.6;

}  // namespace

TEST_CASE("touches press harder than the punch: (1 - D0) / (D^2 (D - D0)) of Helle and others 1985") {
  const double rows[][2] = {{0.7, 8.16}, {0.8, 3.13}, {0.9, 1.65}, {0.95, 1.27}, {0.99, 1.05}};
  for (const auto& [D, ratio] : rows) CHECK(contact_pressure_ratio(D, tap) == relative(ratio, 0.005));
  CHECK(contact_pressure_ratio(1.0, tap) == relative(1));
}

TEST_CASE("contacts of spheres: both stages at a density where they are simple to work out") {
  // D = D0 + (1 - D0) / 3 = 0.733: x/R = 1/3; P1/P = 3 / D^2 = 5.579, so P1/3A = 0.09298.
  const double D = 0.6 + 0.4 / 3;
  CHECK(neck_stage_rate(1, strength, pressure, D, tap) == relative(0.15363, 1e-4));
  CHECK(neck_stage_rate(3, strength, pressure, D, tap) == relative(0.15363 * 0.09298 * 0.09298, 1e-3));
  // n = 1: 1 - (1 - D) = D, so D'/D = 1.5 (1 - D) / D 1.5 P / A.  n = 2, D = 0.96: (1 - 0.2)^2 = 0.64.
  CHECK(pore_stage_rate(1, strength, pressure, 0.95) == relative(1.5 * 0.05 / 0.95 * 0.075));
  CHECK(pore_stage_rate(2, strength, pressure, 0.96) == relative(1.5 * 0.04 / 0.64 * 0.0375 * 0.0375));
}

TEST_CASE("contacts of spheres: the stages differ by a factor of 1.5 to 5 at 0.9 and are joined smoothly") {
  for (const double n : {1.0, 2.0, 3.0, 4.6}) {
    CAPTURE(n);
    const double necks = neck_stage_rate(n, strength, pressure, 0.9, tap);
    const double pores = pore_stage_rate(n, strength, pressure, 0.9);
    CHECK(necks / pores > 1.5);
    CHECK(necks / pores < 5.5);
    const auto rate = [n](double D) { return contacts_of_spheres_rate(n, strength, pressure, D, tap); };
    CHECK(rate(0.9) == relative(std::sqrt(necks * pores)));
    CHECK(rate(0.87) == neck_stage_rate(n, strength, pressure, 0.87, tap));
    CHECK(rate(0.93) == pore_stage_rate(n, strength, pressure, 0.93));
    constexpr double side = 1e-5;
    for (const double edge : {0.88, 0.92}) {
      const double below = std::log(rate(edge) / rate(edge - side)) / side,
                   above = std::log(rate(edge + side) / rate(edge)) / side;
      CHECK(above == relative(below, 0.01));
    }
  }
}

TEST_CASE("effective stress: that of a linear solid is the contact pressure, the modulus vanishes at D0") {
  // Bernard-Granger and Guizard 2007: D'/(D mu) = C (sigma / mu)^n, mu = mu_dense (D - D0) / (1 - D0).
  CHECK(effective_stress_rate(1, strength, pressure, 0.8, tap) == relative(3.125 * 0.05));
  for (const double n : {2.0, 3.5}) {
    const double dense_modulus = 150e9, modulus = 0.5 * dense_modulus;
    const double constant = std::pow(dense_modulus / strength, n) / dense_modulus;
    CHECK(effective_stress_rate(n, strength, pressure, 0.8, tap) ==
          relative(modulus * constant * std::pow(3.125 * pressure / modulus, n), 1e-12));
    // dense: the solid's own creep
    CHECK(effective_stress_rate(n, strength, pressure, 1.0, tap) == relative(std::pow(0.05, n)));
  }
}

TEST_CASE("isostatic laws: held at the tap density, positive, falling with density, exponent kept") {
  Material m;
  Creep c;
  c.exponent = 2;
  c.rate = 1e-3;
  c.stress = 50e6;
  c.temperature = 1500;
  m.creep = {c};
  for (const auto law : {Densification::Law::contacts_of_spheres, Densification::Law::effective_stress}) {
    m.densification = {law, tap, "test"};
    const auto rate = [&m](double D, double stress) {
      return closing_rate(m, {stress, 1500, D, std::nullopt});
    };
    CHECK(std::isfinite(rate(tap, 50e6)));
    CHECK(rate(tap, 50e6) == relative(rate(tap + 0.5 * nearest_to_tap, 50e6), 0.05));
    for (double D = 0.62; D < 0.995; D += 0.01) {
      CHECK(rate(D, 50e6) > rate(D + 0.004, 50e6));
      CHECK(rate(D, 100e6) == relative(4 * rate(D, 50e6)));
    }
    CHECK(closing_time(m, {50e6, 1500, 0.62, std::nullopt}, 0.99) > 0);
  }
  m.densification = {};  // and the closed die is what holds when nothing is said
  CHECK(closing_rate(m, {50e6, 1500, 0.8, std::nullopt}) ==
        relative(closed_die_rate(2, 50e6 / std::sqrt(1e-3), 50e6, 0.8)));
}
