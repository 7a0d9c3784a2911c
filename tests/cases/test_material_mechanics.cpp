// Expansion, elastic modulus, yield strength and surface energy of the shipped materials against outside
// values.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "tests/cases/material_data.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::test;

namespace {

/// Change of length from 20 degC to T.
double strain(const std::string& name, double T) {
  return shipped(name).expansion.value().along.curve.value(T) * (T - 293.15);
}

double modulus(const std::string& name, double T) {
  return shipped(name).elastic_modulus.value().curve.value(T);
}

}  // namespace

TEST_CASE("alumina: lengths belong to the densities of NIST SRD 150 (Munro 1997)") {
  const double rows[][2] = {
      {773.15, 3943}, {1273.15, 3891}, {1473.15, 3868}, {1673.15, 3845}, {1773.15, 3834}};
  for (const auto& [T, density] : rows) {
    CAPTURE(T);
    CHECK(1 + strain("alumina", T) == relative(std::cbrt(3984 / density), 2e-5));
  }
  CHECK(shipped("alumina").expansion->along.curve.value(1273.15) == relative(8.1e-6, 0.01));  // its own mean
  CHECK(modulus("alumina", 1473.15) == relative(354e9));
}

TEST_CASE("metals: changes of length to 1000 degC as the handbooks print them, in percent, from memory") {
  // Touloukian 1975, Thermophysical Properties of Matter 12 (1977 for alloys), from memory.
  const std::pair<const char*, double> rows[] = {
      {"copper", 1.99}, {"nickel", 1.64}, {"tungsten", 0.45}, {"titanium", 0.99}, {"stainless steel", 1.93}};
  for (const auto& [name, percent] : rows) {
    CAPTURE(std::string(name));
    CHECK(100 * strain(name, 1273.15) == relative(percent, 0.05));
  }
}

TEST_CASE("what shrinks onto the die and what frees itself: expansion beside that of graphite") {
  // Tungsten and silicon carbide are gripped by a cooling graphite die, metals and oxides shrink away from
  // it.
  const double graphite = strain("isotropic graphite", 1273.15);
  for (const char* name : {"tungsten", "silicon carbide", "silicon nitride"})
    CHECK(strain(name, 1273.15) < graphite);
  for (const char* name : {"copper", "nickel", "titanium", "alumina", "zirconia 3y", "titanium nitride"})
    CHECK(strain(name, 1273.15) > graphite);
  const auto foil = shipped("graphite foil").expansion.value();
  CHECK(foil.along.curve.value(300) < 0);  // Cermak and others 2020
  REQUIRE(foil.across);
  CHECK(foil.across->curve.value(300) <= 33e-6);  // their upper end
  CHECK(foil.across->curve.value(300) > 20e-6);
}

TEST_CASE("elastic modulus: 2 mu (1 + nu) with the shear modulus of Frost and Ashby 1982, nu from memory") {
  const std::pair<const char*, double> rows[] = {{"copper", 0.34}, {"nickel", 0.31}, {"tungsten", 0.28}};
  for (const auto& [name, poisson] : rows) {
    CAPTURE(std::string(name));
    CHECK(modulus(name, 300) == relative(2 * shipped(name).creep[0].shear_modulus * (1 + poisson), 0.07));
  }
  const double rise = modulus("isotropic graphite", 2273) / modulus("isotropic graphite", 293);
  CHECK(rise > 1.3);  // 30 to 40 % to 2000 degC
  CHECK(rise < 1.4);
}

TEST_CASE("yield strength: annealed metals soften; where none is known none is given") {
  for (const char* name : {"copper", "nickel"}) {
    const auto yield = shipped(name).yield_strength;
    REQUIRE(yield);
    CHECK(yield->source.find("from memory and unsure") != std::string::npos);
    for (double T = 300; T < 1200; T += 50) CHECK(yield->curve.value(T + 50) <= yield->curve.value(T));
    CHECK(yield->curve.value(1073.15) < 0.5 * yield->curve.value(293.15));
  }
  CHECK_FALSE(shipped("tungsten").yield_strength);
  CHECK_FALSE(shipped("alumina").yield_strength);
}

TEST_CASE("surface energy: higher the higher a metal melts, oxides below metals") {
  const auto energy = [](const char* name) { return shipped(name).surface_energy.value().curve.value(300); };
  CHECK(energy("alumina") < energy("copper"));
  CHECK(energy("copper") < energy("nickel"));
  CHECK(energy("nickel") < energy("tungsten"));
  CHECK(complaint("surface energy: {value: 2 J, source: invented}").find("J/m2") != std::string::npos);
  CHECK(complaint("expansion: {value: 8e-6 1/K, source: invented}") == "accepted");
  CHECK(
      complaint("expansion: {value: 8e-6 K, source: invented}").find("an expansion coefficient is wanted") !=
      std::string::npos);
}
