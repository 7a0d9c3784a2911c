// Whole curves times a factor: every property a material may have, and no other; what cannot be is refused.
#include "materials/scaling.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>
#include <stdexcept>
#include <string>

#include "materials/mixing.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::materials;
using joulepress::test::relative;

namespace {

Property curve(double at_300, double at_1500) {
  Property p;
  p.curve = Curve::table({{300, at_300}, {1500, at_1500}});
  p.source = "invented";
  return p;
}

/// A material that has everything, each with a value of its own.
Material of_everything() {
  Material m;
  m.name = "everything";
  m.density = curve(2000, 1900);
  m.heat_capacity = curve(700, 1900);
  m.conductivity = {curve(100, 40), curve(5, 3)};
  m.resistivity = {curve(1e-5, 9e-6), curve(4e-4, 3e-4)};
  m.emissivity = curve(0.6, 0.8);
  m.compressive_strength = curve(90e6, 120e6);
  m.flexural_strength = curve(40e6, 60e6);
  m.tensile_strength = curve(25e6, 35e6);
  m.expansion = DirectionalProperty{curve(4e-6, 6e-6), curve(20e-6, 25e-6)};
  m.elastic_modulus = curve(11e9, 12e9);
  m.poisson_ratio = curve(0.2, 0.25);
  m.yield_strength = curve(60e6, 30e6);
  m.surface_energy = curve(1.0, 0.8);
  m.loose_touch = curve(1e-6, 9e-7);
  m.seebeck = curve(-3e-6, 8e-6);
  Creep measured, dislocation;
  measured.exponent = 2;
  measured.activation_energy = 4e5;
  measured.rate = 1e-5;
  measured.stress = 50e6;
  measured.temperature = 1500;
  dislocation.law = Creep::Law::dislocation;  // nickel, roughly
  dislocation.exponent = 4.6;
  dislocation.activation_energy = 2.8e5;
  dislocation.factor = 3e6;
  dislocation.diffusion = 1.9e-4;
  dislocation.burgers = 2.5e-10;
  dislocation.shear_modulus = 79e9;
  dislocation.modulus_slope = -0.64;
  dislocation.melting = 1726;
  m.creep = {measured, dislocation};
  m.oxide_film.emplace().resistivity = 0.1;
  m.gas_in_pores.emplace().factor = 1.5;
  return m;
}

/// The values at 900 K of everything that can be scaled, by name.  Creep as the rate at 50 MPa: the strength
/// A is that of sigma = A rate^(1/n), so that the rate is (sigma / A)^n.
std::multimap<std::string, double> values_of(const Material& m) {
  const double T = 900.0;
  const auto at = [T](const Property& p) { return p.curve.value(T); };
  std::multimap<std::string, double> all{{"density", at(m.density)},
                                         {"heat capacity", at(m.heat_capacity)},
                                         {"conductivity", at(m.conductivity.along)},
                                         {"conductivity across", at(*m.conductivity.across)},
                                         {"resistivity", at(m.resistivity.along)},
                                         {"resistivity across", at(*m.resistivity.across)},
                                         {"emissivity", at(*m.emissivity)},
                                         {"compressive strength", at(*m.compressive_strength)},
                                         {"flexural strength", at(*m.flexural_strength)},
                                         {"tensile strength", at(*m.tensile_strength)},
                                         {"expansion", at(m.expansion->along)},
                                         {"expansion across", at(*m.expansion->across)},
                                         {"elastic modulus", at(*m.elastic_modulus)},
                                         {"poisson ratio", at(*m.poisson_ratio)},
                                         {"yield strength", at(*m.yield_strength)},
                                         {"surface energy", at(*m.surface_energy)},
                                         {"loose touch", at(*m.loose_touch)},
                                         {"seebeck", at(*m.seebeck)},
                                         {"oxide film", m.oxide_film->resistivity},
                                         {"gas in pores", m.gas_in_pores->factor}};
  for (const Creep& creep : m.creep)
    all.emplace("creep", std::pow(50e6 / uniaxial_strength(creep, T), creep.exponent));
  return all;
}

std::string refusal(Material m, const std::string& property, double factor) {
  try {
    scale(m, property, factor);
  } catch (const std::invalid_argument& problem) {
    return problem.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("scaling: every property by its name, at every temperature, and nothing else") {
  const Material plain = of_everything();
  const auto before = values_of(plain);
  const auto names = scalable();
  CHECK(names.size() == 21);
  for (const std::string& name : names) {
    CAPTURE(name);
    CHECK(before.contains(name));
    CHECK(has(plain, name));
    Material scaled = plain;
    scale(scaled, name, 0.8);
    const auto after = values_of(scaled);
    REQUIRE(after.size() == before.size());
    for (auto was = before.begin(), is = after.begin(); was != before.end(); ++was, ++is) {
      CAPTURE(was->first);
      CHECK(is->second == relative(was->first == name ? 0.8 * was->second : was->second, 1e-12));
    }
  }
}

TEST_CASE("scaling: factors multiply, the integral goes along, and the source tells of it") {
  Material m = of_everything();
  const double integral = m.heat_capacity.curve.integral(1200.0);
  scale(m, "heat capacity", 1.1);
  scale(m, "heat capacity", 0.5);
  CHECK(m.heat_capacity.curve.integral(1200.0) == relative(0.55 * integral));
  CHECK(m.heat_capacity.source == "invented; times 1.1, as the case says; times 0.5, as the case says");
  CHECK(m.density.source == "invented");
}

TEST_CASE("scaling: the resistivity of a mixture is that of both its solids, so also of what they make") {
  Material conducting = of_everything(), insulating = of_everything(), m;
  insulating.resistivity.along = curve(1e3, 1e-1);
  Mixture mixture;
  mixture.fraction = 0.3;
  mixture.threshold = 0.22;
  mixture.exponent = 1.8;
  mix(m, conducting, insulating, mixture);
  Material scaled = m;
  scale(scaled, "resistivity", 4.0);
  for (const double density : {0.6, 0.9, 1.0})
    for (const double T : {400.0, 1300.0})
      CHECK(mixture_resistivity(*scaled.mixture, T, density) ==
            relative(4.0 * mixture_resistivity(*m.mixture, T, density), 1e-12));
}

TEST_CASE("scaling: what cannot be") {
  const Material m = of_everything();
  CHECK(refusal(m, "resistivity", 0.0) == "a factor is above 0");
  CHECK(refusal(m, "resistivity", -1.0) == "a factor is above 0");
  CHECK(refusal(m, "resistivity", std::nan("")) == "a factor is above 0");
  CHECK(refusal(m, "colour", 2.0) == "everything has no colour to scale");
  Material plain;
  plain.name = "plain";
  for (const char* name : {"emissivity", "seebeck", "creep", "oxide film", "resistivity across"}) {
    CHECK(!has(plain, name));
    CHECK(refusal(plain, name, 2.0) == "plain has no " + std::string(name) + " to scale");
    CHECK(uncertainty_of(plain, name).kind == Uncertainty::Kind::none);
  }
  CHECK(has(plain, "resistivity"));
  // 0.8 where it is highest: up to a factor of 1.25.
  CHECK(largest_factor(m, "emissivity") == relative(1.25));
  CHECK(refusal(m, "emissivity", 1.25) == "accepted");
  CHECK(refusal(m, "emissivity", 1.26) == "the emissivity of everything would rise above 1");
  CHECK(largest_factor(m, "poisson ratio") == relative(1.8));
  CHECK(refusal(m, "poisson ratio", 1.81) == "the poisson ratio of everything would rise above 0.45");
  CHECK(largest_factor(m, "resistivity") == std::numeric_limits<double>::infinity());
  Material hill = m;  // highest in the midst
  hill.emissivity->curve = Curve::table({{300, 0.3}, {800, 0.5}, {1500, 0.4}});
  CHECK(largest_factor(hill, "emissivity") == relative(2.0, 1e-9));
  hill.emissivity->curve = Curve::constant(0.4);
  CHECK(largest_factor(hill, "emissivity") == relative(2.5));
}

TEST_CASE("scaling: of several sets of creep the least sure one counts") {
  Material m = of_everything();
  m.creep[0].uncertainty = {Uncertainty::Kind::factor, 3.0, "a"};
  m.creep[1].uncertainty = {Uncertainty::Kind::factor, 10.0, "b"};
  CHECK(uncertainty_of(m, "creep").size == 10.0);
  CHECK(uncertainty_of(m, "creep").group == "b");
  m.creep[0].uncertainty = {Uncertainty::Kind::relative, 5.0, "c"};  // two of it: a factor of 11
  CHECK(uncertainty_of(m, "creep").group == "c");
  CHECK(uncertainty_of(m, "density").kind == Uncertainty::Kind::none);
}
