// What a pyrometer shows against a table computed by hand, against the radiances themselves, and a bore
// against the integral equation of its walls.
#include "solver/radiometry.hpp"
#include "tests/support/record.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <vector>

using namespace joulepress::solver;

namespace {

constexpr double c2 = 6.62607015e-34 * 299792458.0 / 1.380649e-23;  // h c / k, exact in the SI

Pyrometer one_colour(double wavelength_um, bool wien) {
  Pyrometer p;
  p.wavelength = 1e-6 * wavelength_um;
  p.wien = wien;
  return p;
}

Pyrometer two_colours(double first_um, double second_um, bool wien) {
  Pyrometer p = one_colour(first_um, wien);
  p.second_wavelength = 1e-6 * second_um;
  return p;
}

/// Radiance but for the factor that temperature does not change.
double radiance(double wavelength, double T, bool wien) {
  return 1.0 / (std::exp(c2 / (wavelength * T)) - (wien ? 0.0 : 1.0));
}

/// Instruments of all kinds, some that show too little and some too much.
std::vector<Pyrometer> instruments() {
  std::vector<Pyrometer> all;
  for (const bool wien : {false, true})
    for (const double factor : {0.88, 1.0, 1.1})
      for (Pyrometer p : {one_colour(0.9, wien), one_colour(5.0, wien), two_colours(0.9, 1.05, wien),
                          two_colours(1.6, 1.3, wien)}) {
        p.emissivity = factor * 0.8;
        p.window = 0.97;
        p.set_ratio = 0.99;
        all.push_back(p);
      }
  return all;
}

constexpr double infinite = std::numeric_limits<double>::infinity();

}  // namespace

TEST_CASE("the second radiation constant is h c / k to the digits it is given with") {
  CHECK(std::abs(second_radiation_constant - c2) < 1e-11);
}

TEST_CASE("one colour with a wrong emissivity: by Wien's and by Planck's law") {
  // Readings less the surface, K, for a true emissivity 0.9, 0.8 and 0.7 times the set one.  Wien: a table
  // made for this without this code, to 0.1 K; Planck: the closed form evaluated separately, to 0.001 K.
  struct Row {
    double wavelength_um, celsius;
    double wien[3], planck[3];
  };
  const std::vector<Row> rows{
      {0.9, 1000, {-10.6, -22.2, -35.2}, {-10.594, -22.230, -35.165}},
      {0.9, 1500, {-20.5, -42.8, -67.5}, {-20.480, -42.821, -67.471}},
      {0.9, 2000, {-33.6, -69.9, -109.7}, {-33.525, -69.854, -109.644}},
      {1.6, 1000, {-18.7, -39.0, -61.2}, {-18.698, -38.962, -61.160}},
      {1.6, 1500, {-36.1, -74.7, -116.5}, {-35.878, -74.328, -115.937}},
      {1.6, 2000, {-59.0, -121.4, -188.0}, {-57.927, -119.400, -185.214}},
  };
  const double factors[] = {0.9, 0.8, 0.7};
  for (const Row& row : rows)
    for (int k = 0; k < 3; ++k) {
      CAPTURE(row.wavelength_um);
      CAPTURE(row.celsius);
      CAPTURE(factors[k]);
      const double T = row.celsius + 273.15;
      for (const bool wien : {true, false}) {
        Pyrometer p = one_colour(row.wavelength_um, wien);
        p.emissivity = factors[k] * p.set_emissivity;
        const double error = shown_temperature(p, T) - T;
        joulepress::test::compare(
            {fmt::format("pyrometer of {:g} um at {:g} degC, {:g} of the set emissivity, {}",
                         row.wavelength_um, row.celsius, factors[k], wien ? "Wien" : "Planck"),
             wien ? "1/T = 1/Tr + (lambda/c2) ln q, table to 0.1 K" : "Planck's law evaluated separately",
             wien ? row.wien[k] : row.planck[k], error, wien ? 0.05 : 0.001, "K", "reading of a pyrometer"});
        // A dirty window is a lower emissivity.
        Pyrometer dirty = one_colour(row.wavelength_um, wien);
        dirty.window = factors[k];
        CHECK(shown_temperature(dirty, T) == doctest::Approx(T + error).epsilon(1e-14));
      }
    }
}

TEST_CASE("what is shown is the temperature of equal signals") {
  for (const Pyrometer& p : instruments())
    for (const double T : {700.0, 1273.15, 2000.0, 2900.0}) {
      CAPTURE(T);
      CAPTURE(p.wavelength);
      CAPTURE(p.emissivity);
      const double shown = shown_temperature(p, T);
      double sent = p.emissivity * p.window * radiance(p.wavelength, T, p.wien);
      double expected = p.set_emissivity * radiance(p.wavelength, shown, p.wien);
      if (p.second_wavelength > 0) {
        sent /= p.second_emissivity * p.window * radiance(p.second_wavelength, T, p.wien);
        expected = p.set_ratio * radiance(p.wavelength, shown, p.wien) /
                   radiance(p.second_wavelength, shown, p.wien);
      }
      CHECK(std::abs(sent / expected - 1.0) < 5e-10);  // c2 has ten digits, c2 / (lambda T) goes up to 23
    }
}

TEST_CASE("two colours cancel what is grey and nothing else") {
  for (const bool wien : {true, false}) {
    const Pyrometer clean = two_colours(0.9, 1.05, wien);
    Pyrometer grey = clean;
    grey.window = 0.5;
    grey.emissivity = grey.second_emissivity = 0.3;
    grey.set_emissivity = 1;
    CHECK(shown_temperature(clean, 2000.0) == 2000.0);
    CHECK(shown_temperature(grey, 2000.0) == 2000.0);
  }
  // By hand, Wien: D = 14387.769 (1 / 0.9 - 1 / 1.05) = 2283.773 K, ln 1.05 = 0.0487902,
  // 1 / Tr = 1 / 2000 - 0.0487902 / 2283.773 = 4.786361e-4 / K.
  Pyrometer p = two_colours(0.9, 1.05, true);
  p.emissivity = 0.84;
  CHECK(std::abs(shown_temperature(p, 2000.0) - 2089.27) < 0.01);
  // Set right it is right again; named the other way round it is the same instrument.
  p.set_ratio = 1.05;
  CHECK(shown_temperature(p, 2000.0) == doctest::Approx(2000.0).epsilon(1e-12));
  for (const bool wien : {true, false}) {
    Pyrometer there = two_colours(0.9, 1.05, wien), back = two_colours(1.05, 0.9, wien);
    there.emissivity = back.second_emissivity = 0.7;
    CHECK(shown_temperature(there, 2000.0) < 1800.0);
    CHECK(shown_temperature(back, 2000.0) ==
          doctest::Approx(shown_temperature(there, 2000.0)).epsilon(1e-13));
  }
}

TEST_CASE("the surface behind a reading is its inverse, and both rise") {
  for (const Pyrometer& p : instruments()) {
    CAPTURE(p.wavelength);
    CAPTURE(p.second_wavelength);
    CAPTURE(p.emissivity);
    CAPTURE(p.wien);
    double shown_before = 0, surface_before = 0;
    for (int k = 0; k < 6600; ++k) {
      const double T = 200.0 + 0.5 * k;
      const double shown = shown_temperature(p, T), surface = surface_for_reading(p, T);
      if (!(shown > shown_before && surface > surface_before)) FAIL_CHECK("does not rise at " << T);
      shown_before = shown, surface_before = surface;
      if (!(std::abs(surface_for_reading(p, shown) - T) < 1e-9)) FAIL_CHECK("no inverse at " << T);
    }
  }
}

TEST_CASE("below its limit the reading stays, and is said to be out of sight") {
  Pyrometer p = one_colour(1.6, false);
  p.emissivity = 0.7 * p.set_emissivity;
  p.lower_limit = 723.15;
  const double first = surface_for_reading(p, p.lower_limit);
  CHECK(first > p.lower_limit + 10.0);
  CHECK(is_in_sight(p, first + 1e-6));
  CHECK(shown_temperature(p, first + 1e-6) == doctest::Approx(p.lower_limit).epsilon(1e-8));
  for (const double T : {first - 1e-6, 300.0, 0.0}) {
    CHECK_FALSE(is_in_sight(p, T));
    CHECK(shown_temperature(p, T) == p.lower_limit);
  }
  CHECK(surface_for_reading(p, 600.0) < first);
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK_FALSE(is_in_sight(p, nan));
  CHECK(std::isnan(shown_temperature(p, nan)));
}

TEST_CASE("from a thousandth of a kelvin to a thousand million") {
  for (Pyrometer p : instruments()) {
    p.emissivity = 0.7;  // shows less than the surface has: always finite
    p.second_emissivity = p.second_wavelength < p.wavelength ? 0.6 : 0.8;
    p.set_ratio = 1;
    CAPTURE(p.wavelength);
    CAPTURE(p.second_wavelength);
    CAPTURE(p.wien);
    for (const double T : {1e-3, 1.0, 20.0, 1e5, 1e7, 1e9}) {
      CAPTURE(T);
      const double shown = shown_temperature(p, T);
      CHECK(shown > 0.0);
      CHECK(shown < infinite);
    }
    CHECK(shown_temperature(p, 1e-3) == doctest::Approx(1e-3).epsilon(1e-6));
    CHECK(shown_temperature(p, 0.0) == 0.0);
  }
  // Rayleigh and Jeans: far above, one colour's signal goes with T.
  Pyrometer p = one_colour(0.9, false);
  p.emissivity = 0.6;
  CHECK(shown_temperature(p, 1e9) == doctest::Approx(0.75e9).epsilon(1e-5));
}

TEST_CASE("what no body as set would send is shown as infinite") {
  Pyrometer p = two_colours(0.95, 1.05, false);
  p.set_ratio = 1 / 1.1;
  const double bound = c2 * (1 / 0.95e-6 - 1 / 1.05e-6) / (2.0 * std::log(1.1));
  CHECK(shown_temperature(p, bound) < infinite);
  CHECK(shown_temperature(p, 2.0 * bound) == infinite);
  // The last surface of a finite reading is the one behind a reading without end, and no sooner.
  const double nearly = surface_for_reading(p, 1e8);
  CHECK(shown_temperature(p, nearly) == doctest::Approx(1e8).epsilon(1e-6));
  CHECK(shown_temperature(p, 1.0001 * nearly) == infinite);
  p = one_colour(0.9, true);
  p.set_emissivity = 0.4;
  const double last = c2 / (0.9e-6 * std::log(2.0));
  CHECK(shown_temperature(p, 0.999 * last) < infinite);
  CHECK(shown_temperature(p, 1.001 * last) == infinite);
  p.wien = false;
  CHECK(shown_temperature(p, 1.001 * last) < infinite);
}

TEST_CASE("the bottom of a bore is blacker than its wall") {
  for (const double e : {0.05, 0.3, 0.8, 0.95, 1.0}) {
    CAPTURE(e);
    CHECK(cavity_emissivity(e, 0.0) == doctest::Approx(e).epsilon(1e-14));
    CHECK(cavity_emissivity(e, 1e9) == doctest::Approx(1.0).epsilon(1e-7));
  }
  for (int i = 0; i < 200; ++i)
    for (int k = 1; k < 20; ++k) {
      const double x = 0.1 * i, e = 0.05 * k;
      const double here = cavity_emissivity(e, x);
      if (!(cavity_emissivity(e, x + 0.1) > here && cavity_emissivity(e + 0.04, x) > here && here < 1.0))
        FAIL_CHECK("does not rise at " << e << ", " << x);
    }
  // By hand: F = 1/5, f = 1/6; 0.2 (0.2 + 0.8 * (0.2 / 6) / (0.8 + 0.2 / 6)) = 0.0464.
  CHECK(cavity_emissivity(0.8, 2.0) == doctest::Approx(0.9536).epsilon(1e-13));
}

TEST_CASE("the bottom of a bore against the integral equation of its walls") {
  // Middle of the bottom; J = e + (1 - e) sum F J over 24 + 12 and 48 + 24 rings of wall and bottom, view
  // factors of coaxial discs, extrapolated to none; computed without this code, good to 1e-4.
  struct Row {
    double depth, e50, e70, e80;
  };
  const std::vector<Row> rows{
      {0.5, 0.56935, 0.75059, 0.83613}, {1, 0.68778, 0.83136, 0.89236}, {2, 0.83943, 0.92306, 0.95324},
      {3, 0.91019, 0.95968, 0.97601},   {4, 0.94603, 0.97639, 0.98599}, {6, 0.97681, 0.98973, 0.99381},
      {10, 0.99288, 0.99656, 0.99785},
  };
  for (const Row& row : rows) {
    CAPTURE(row.depth);
    const double miss50 = cavity_emissivity(0.5, row.depth) - row.e50;
    const double miss70 = cavity_emissivity(0.7, row.depth) - row.e70;
    const double miss80 = cavity_emissivity(0.8, row.depth) - row.e80;
    CHECK(std::abs(miss50) < 0.024);
    CHECK(std::abs(miss70) < 0.007);
    CHECK(std::abs(miss80) < 0.003);
    for (const double miss : {miss50, miss70, miss80}) CHECK((miss > 0.0) == (row.depth < 3.0));
  }
}
