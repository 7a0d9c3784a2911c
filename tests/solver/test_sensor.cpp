// Stem error of a bore thermocouple against values computed by hand from two joined fins (textbook fin
// equations; the table was computed independently of this code, ambient 20 degC, and states its outside film
// only as "about a sixth" of the inside one: hence 0.6 % beside the rounding).
#include <doctest/doctest.h>

#include <cmath>
#include <vector>

#include "solver/sensor.hpp"

using namespace joulepress::solver;

namespace {
Sensor couple(double depth_mm, double sheath_mm, double k) {
  Sensor s;
  s.depth = 1e-3 * depth_mm;
  s.sheath_diameter = 1e-3 * sheath_mm;
  s.sheath_conductivity = k;
  return s;
}
constexpr double ambient = 293.15;
}  // namespace

TEST_CASE("stem error at 600, 1000 and 1400 degC over the inserted length") {
  struct Row {
    double celsius, sheath_mm, k, depth_mm, low_K, rounding;
  };
  const std::vector<Row> rows{
      {1000, 3, 10, 3, 346, 0.5},   {1000, 3, 10, 5, 212, 0.5},   {1000, 3, 10, 10, 71, 0.5},
      {1000, 3, 10, 15, 25, 0.5},   {1000, 3, 10, 20, 9, 0.5},    {1000, 3, 10, 30, 1, 0.5},
      {1000, 1.5, 15, 3, 307, 0.5}, {1000, 1.5, 15, 5, 177, 0.5}, {1000, 1.5, 15, 10, 51, 0.5},
      {1000, 1.5, 15, 15, 15, 0.5}, {1000, 1.5, 15, 20, 5, 0.5},  {1000, 1.5, 15, 30, 0.4, 0.05},
      {600, 3, 10, 3, 314, 0.5},    {600, 3, 10, 5, 229, 0.5},    {600, 3, 10, 10, 116, 0.5},
      {600, 3, 10, 20, 34, 0.5},    {1400, 3, 10, 3, 319, 0.5},   {1400, 3, 10, 5, 161, 0.5},
      {1400, 3, 10, 10, 33, 0.5},   {1400, 3, 10, 20, 1.4, 0.05},
  };
  for (const Row& row : rows) {
    CAPTURE(row.celsius);
    CAPTURE(row.sheath_mm);
    CAPTURE(row.depth_mm);
    const double error =
        stem_error(couple(row.depth_mm, row.sheath_mm, row.k), row.celsius + zero_celsius, ambient);
    CHECK(std::abs(error - row.low_K) <= row.rounding + 0.006 * row.low_K);
  }
}

TEST_CASE("the material temperature that gives a reading is its inverse") {
  const Sensor sensor = couple(11, 1.5, 15);
  for (const double T : {298.15, 400.0, 900.0, 1623.15, 2300.0}) {
    const double material = material_for_reading(sensor, T, 298.15);
    CHECK(reading(sensor, material, 298.15) == doctest::Approx(T).epsilon(1e-11));
    CHECK(material >= T - 1e-9);
  }
  Sensor exact = sensor;
  exact.stem = false;
  CHECK(material_for_reading(exact, 1234.5, 298.15) == 1234.5);
}

TEST_CASE("a reading that no material is cold enough for ends the search near absolute zero") {
  // A stem in a warm chamber keeps the junction warm: below some reading there is no answer, and no endless
  // search.
  Sensor sensor;
  sensor.depth = 11e-3;
  sensor.sheath_diameter = 1.5e-3;
  const double T = material_for_reading(sensor, 272.15, 298.15);
  CHECK(T > 0.0);
  CHECK(T < 272.15);
}
