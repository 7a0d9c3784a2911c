// A powder as a whole: oxide film, kinetics that change with density, isostatic laws.
#include <doctest/doctest.h>

#include <cmath>

#include "materials/powder.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::materials;
using joulepress::test::relative;

namespace {

Material metal() {
  Material m;
  m.resistivity.along.curve = Curve::constant(4e-7);
  m.porous.current = {PorousLaw::Kind::koh_fortini, 0, 0, 0};
  return m;
}

/// Creep of the dense solid at every temperature alike: 1e-3 1/s at `stress`.
Creep creep_of(double exponent, double stress, double up_to = 1) {
  Creep c;
  c.exponent = exponent;
  c.rate = 1e-3;
  c.stress = stress;
  c.temperature = 1500;
  c.up_to_density = up_to;
  return c;
}

Pressed at(double relative_density, double stress = 50e6) {
  return {stress, 1500, relative_density, std::nullopt};
}

/// d ln(rate) / d ln(stress).
double apparent_exponent(const Material& m, double relative_density) {
  const double step = 1e-4;
  return std::log(closing_rate(m, at(relative_density, 50e6 * (1 + step))) /
                  closing_rate(m, at(relative_density, 50e6 * (1 - step)))) /
         std::log((1 + step) / (1 - step));
}

Material filmed_metal() {
  Material m = metal();
  m.oxide_film.emplace();
  m.oxide_film->resistivity = 1e-5;
  m.oxide_film->gone_from = 600;
  m.oxide_film->gone_to = 800;
  return m;
}

}  // namespace

TEST_CASE("oxide film: in series with the grains until it breaks, then gone for good") {
  const Material m = filmed_metal();
  // Two resistances in series add; Koh and Fortini 1973 give 0.352 at D = 0.7.
  const double bare = 4e-7 / 0.3518;
  CHECK(powder_resistivity(m, 500, 0.7, 1.0) == relative(1e-5 + bare, 1e-3));
  CHECK(powder_resistivity(m, 500, 0.7, 0.0) == relative(powder_resistivity(metal(), 500, 0.7, 0.0)));
  CHECK(powder_resistivity(metal(), 500, 0.7, 1.0) == powder_resistivity(metal(), 500, 0.7, 0.0));
  // Half of it: the geometric mean, between touches in parallel and touches in series.
  const double with = powder_resistivity(m, 500, 0.7, 1.0), without = powder_resistivity(m, 500, 0.7, 0.0);
  const double half = powder_resistivity(m, 500, 0.7, 0.5);
  CHECK(half == relative(std::sqrt(with * without)));
  CHECK(half > 2 / (1 / with + 1 / without));
  CHECK(half < (with + without) / 2);
}

TEST_CASE("oxide film: what is left falls from 1 to 0 through its window, without a kink") {
  const Material m = filmed_metal();
  CHECK(film_left(m, 300) == 1.0);
  CHECK(film_left(m, 600) == 1.0);
  CHECK(film_left(m, 700) == relative(0.5));
  CHECK(film_left(m, 800) == 0.0);
  CHECK(film_left(m, 2000) == 0.0);
  CHECK(film_left(metal(), 300) == 0.0);
  for (double T = 601; T < 800; T += 1) CHECK(film_left(m, T) < film_left(m, T - 1));
  for (const double edge : {600.0, 800.0})  // slopes on both sides within 1e-3 K of the edges, per kelvin
    CHECK(std::abs(film_left(m, edge + 1e-3) - film_left(m, edge - 1e-3)) / 2e-3 < 1e-6);
}

TEST_CASE("closing time of a linear powder: the closed form D + ln(1 - D) + 3 P t / 4 eta") {
  Material m;
  m.creep = {creep_of(1, 3e7)};  // A_u = 3 eta, eta = 1e10 Pa s
  const double times[][2] = {{0.80, 131.51}, {0.90, 289.68}, {0.95, 461.18}, {0.99, 879.70}};
  for (const auto& [to, seconds] : times) CHECK(closing_time(m, at(0.6), to) == relative(seconds, 1e-4));
}

TEST_CASE("sets of creep by density: each holds alone away from the border, the exponent slides between") {
  // Spinel pressed with current: exponent 4 and more while porous, near 1 when dense (abstract of 2010,
  // Scripta Mater 63:565).
  Material both, early, late;
  both.creep = {creep_of(4, 50e6, 0.8), creep_of(1, 50e6)};
  early.creep = {both.creep[0]};
  late.creep = {both.creep[1]};
  for (const double D : {0.6, 0.7, 0.779}) CHECK(closing_rate(both, at(D)) == closing_rate(early, at(D)));
  for (const double D : {0.821, 0.9, 0.99}) CHECK(closing_rate(both, at(D)) == closing_rate(late, at(D)));
  CHECK(closing_rate(both, at(0.8)) ==
        relative(std::sqrt(closing_rate(early, at(0.8)) * closing_rate(late, at(0.8)))));
  CHECK(apparent_exponent(both, 0.7) == relative(4, 1e-6));
  CHECK(apparent_exponent(both, 0.8) == relative(2.5, 1e-6));
  CHECK(apparent_exponent(both, 0.9) == relative(1, 1e-6));
  CHECK(closing_rate(both, at(0.8, 0.0)) == 0.0);
  // Three sets: the middle one rules alone between the two borders.
  Material three = both;
  three.creep = {creep_of(4, 50e6, 0.7), creep_of(2, 50e6, 0.85), creep_of(1, 50e6)};
  CHECK(apparent_exponent(three, 0.65) == relative(4, 1e-6));
  CHECK(apparent_exponent(three, 0.77) == relative(2, 1e-6));
  CHECK(apparent_exponent(three, 0.9) == relative(1, 1e-6));
}

TEST_CASE("sets of creep by density: value and slope run on at the edges of the blend") {
  Material m;
  m.creep = {creep_of(4, 20e6, 0.8), creep_of(1, 50e6)};
  const auto log_rate = [&](double D) { return std::log(closing_rate(m, at(D))); };
  constexpr double side = 1e-5;
  for (const double edge : {0.78, 0.82}) {
    const double below = (log_rate(edge) - log_rate(edge - side)) / side,
                 above = (log_rate(edge + side) - log_rate(edge)) / side;
    CHECK(above == relative(below, 0.02));
  }
}

TEST_CASE("sintering stress: 3 alpha D^2 / r, and nothing where the surface energy is not known") {
  Material m;
  CHECK(sintering_stress(m, 5e-6, 1200, 0.8) == 0.0);
  m.surface_energy.emplace().curve = Curve::constant(1.7);
  CHECK(sintering_stress(m, 5e-6, 1200, 0.8) == relative(0.6528e6));  // 5 um, copper: well under a megapascal
  CHECK(sintering_stress(m, 50e-9, 1200, 0.8) == relative(65.28e6));  // 50 nm: as much as a press gives
}
