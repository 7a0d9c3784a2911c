// From material or surface to what an instrument shows: the sensor takes the right place, law and lag.  The
// laws themselves: test_stem.cpp, test_radiometry.cpp.
#include <doctest/doctest.h>

#include <cmath>

#include "solver/sensor.hpp"

using namespace joulepress::solver;

namespace {

constexpr double ambient = 298.15;

Sensor couple() {
  Sensor s;
  s.stem.depth = 11e-3;
  s.stem.diameter = 1.5e-3;
  return s;
}

Sensor pyrometer() {
  Sensor s;
  s.kind = SensorKind::pyrometer;
  s.optics.wavelength = 0.9e-6;
  s.optics.emissivity = 0.72;
  s.optics.set_emissivity = 0.8;
  s.optics.lower_limit = 873.15;
  return s;
}

}  // namespace

TEST_CASE("a couple reads cells, a pyrometer reads outer surfaces") {
  Sensor in_wall = couple(), on_skin = pyrometer();
  in_wall.junction = {{0, 1}, {0.25, 0.75}};
  on_skin.spot = {{1, 2}, {0.5, 0.5}};
  const std::vector<double> cells{1000, 1200}, surfaces{300, 900, 1100};
  CHECK(material_at(in_wall, cells, surfaces, ambient) == 1150.0);
  CHECK(material_at(on_skin, cells, surfaces, ambient) == 1000.0);
  Sensor furnace;
  furnace.kind = SensorKind::furnace;
  furnace.exact = true;
  CHECK(material_at(furnace, cells, surfaces, 1432.1) == 1432.1);
  CHECK(settled_reading(furnace, 1432.1, 1432.1) == 1432.1);
  CHECK(material_for_reading(furnace, 1432.1, 300) == 1432.1);
  CHECK(is_in_sight(furnace, 300));
}

TEST_CASE("the settled reading is that of the fin, of the optics, or exact") {
  CHECK(settled_reading(couple(), 1300, ambient) == tip_temperature(couple().stem, 1300, ambient));
  CHECK(settled_reading(pyrometer(), 1300, ambient) == shown_temperature(pyrometer().optics, 1300));
  // facts of radiometry: 0.9 of the set emissivity at 0.9 um and 1000 degC reads 10.6 K low
  // (test_radiometry.cpp)
  CHECK(settled_reading(pyrometer(), 1273.15, ambient) - 1273.15 == doctest::Approx(-10.6).epsilon(0.005));
  CHECK(settled_reading(pyrometer(), 700, ambient) == 873.15);
  CHECK_FALSE(is_in_sight(pyrometer(), 700));
  CHECK(is_in_sight(pyrometer(), 1000));
  CHECK(is_in_sight(couple(), 300));
  Sensor exact = couple();
  exact.exact = true;
  CHECK(settled_reading(exact, 1234.5, ambient) == 1234.5);
  CHECK(error_bound(exact, 1234.5, ambient) == 0.0);
}

TEST_CASE("the error of a couple lies below its bound") {
  for (const double T : {400.0, 900.0, 1623.15, 2300.0}) {
    const double error = T - settled_reading(couple(), T, ambient);
    CHECK(error > 0.0);
    CHECK(error <= error_bound(couple(), T, ambient));
  }
}

TEST_CASE("the material temperature that gives a reading is its inverse") {
  for (const Sensor& sensor : {couple(), pyrometer()})
    for (const double T : {900.0, 1623.15, 2300.0})
      CHECK(settled_reading(sensor, material_for_reading(sensor, T, ambient), ambient) ==
            doctest::Approx(T).epsilon(1e-11));
}

TEST_CASE("a first-order instrument: step, steady ramp, and the same in one step or many") {
  // textbook: 1 - 1/e of a step after one response time; a ramp is followed late by the response time
  CHECK(lagged(300, 400, 400, 5.0, 5.0) == doctest::Approx(400 - 100 / std::exp(1.0)).epsilon(1e-14));
  CHECK(lagged(1000 - 2 * 3.0, 1000, 1020, 10.0, 3.0) == doctest::Approx(1020 - 2 * 3.0).epsilon(1e-14));
  double many = 500;
  for (int k = 0; k < 100; ++k) many = lagged(many, 500 + k, 501 + k, 0.5, 7.0);
  CHECK(many == doctest::Approx(lagged(500, 500, 600, 50.0, 7.0)).epsilon(1e-12));
  CHECK(lagged(300, 400, 450, 1.0, 0.0) == 450.0);  // no lag
  CHECK(lagged(300, 400, 450, 0.0, 2.0) == 300.0);  // no time
}

TEST_CASE("what an instrument reads too high is added to what it shows, and taken off on the way back") {
  Sensor exact = couple();
  exact.exact = true;
  for (Sensor s : {couple(), pyrometer(), exact}) {
    const double was = settled_reading(s, 1300, ambient), bound = error_bound(s, 1300, ambient);
    s.reads_high_by = 4.0;
    CHECK(settled_reading(s, 1300, ambient) - was == doctest::Approx(4.0).epsilon(1e-12));
    CHECK(material_for_reading(s, was + 4.0, ambient) == doctest::Approx(1300).epsilon(1e-12));
    if (s.kind != SensorKind::pyrometer) CHECK(error_bound(s, 1300, ambient) == bound);
    s.reads_high_by = 0.0;
    CHECK(settled_reading(s, 1300, ambient) == was);
  }
}

TEST_CASE("the lowest value of a pyrometer's display stays where it is, whatever it reads too high") {
  for (const double shift : {-30.0, 30.0}) {
    Sensor s = pyrometer();
    s.reads_high_by = shift;
    CHECK(settled_reading(s, 700, ambient) == doctest::Approx(873.15).epsilon(1e-12));
    // It sees from where its display leaves that value.
    const double edge = material_for_reading(s, 873.15, ambient);
    CHECK(edge == doctest::Approx(surface_for_reading(s.optics, 873.15 - shift)).epsilon(1e-12));
    CHECK(is_in_sight(s, edge + 0.01));
    CHECK_FALSE(is_in_sight(s, edge - 0.01));
    CHECK(settled_reading(s, edge + 1, ambient) > 873.15);
  }
}
