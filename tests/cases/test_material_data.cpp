// Every shipped material: identities that hold for all of them.  Values: test_material_values.cpp.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <filesystem>
#include <set>
#include <string>
#include <utility>
#include <vector>

#include "tests/cases/material_data.hpp"

using joulepress::materials::Curve;
using joulepress::materials::Material;
using joulepress::materials::Property;
using joulepress::materials::Uncertainty;
using namespace joulepress::test;

namespace {

struct NamedProperty {
  std::string name;
  const Property* property;
};

std::vector<NamedProperty> properties_of(const Material& material) {
  std::vector<NamedProperty> all = {{"density", &material.density},
                                    {"heat capacity", &material.heat_capacity},
                                    {"conductivity", &material.conductivity.along},
                                    {"resistivity", &material.resistivity.along}};
  if (material.conductivity.across) all.push_back({"conductivity across", &*material.conductivity.across});
  if (material.resistivity.across) all.push_back({"resistivity across", &*material.resistivity.across});
  if (material.emissivity) all.push_back({"emissivity", &*material.emissivity});
  if (material.compressive_strength) all.push_back({"compressive strength", &*material.compressive_strength});
  if (material.flexural_strength) all.push_back({"flexural strength", &*material.flexural_strength});
  if (material.tensile_strength) all.push_back({"tensile strength", &*material.tensile_strength});
  if (material.expansion) all.push_back({"expansion", &material.expansion->along});
  if (material.expansion && material.expansion->across)
    all.push_back({"expansion across", &*material.expansion->across});
  if (material.elastic_modulus) all.push_back({"elastic modulus", &*material.elastic_modulus});
  if (material.poisson_ratio) all.push_back({"poisson ratio", &*material.poisson_ratio});
  if (material.yield_strength) all.push_back({"yield strength", &*material.yield_strength});
  if (material.surface_energy) all.push_back({"surface energy", &*material.surface_energy});
  if (material.loose_touch) all.push_back({"loose touch", &*material.loose_touch});
  if (material.seebeck) all.push_back({"seebeck", &*material.seebeck});
  return all;
}

// Temperatures over the stated range and 200 K beyond both ends, off round numbers so that no sample falls on
// a junction, where the slope may break.
std::vector<double> temperatures_of(const Curve& curve) {
  const double low = std::isfinite(curve.t_min()) ? curve.t_min() : 300;
  const double high = std::isfinite(curve.t_max()) ? curve.t_max() : 3000;
  std::vector<double> all;
  for (double T = std::max(50.0, low - 200) + 0.137; T < high + 200; T += 7.913) all.push_back(T);
  return all;
}

double difference(double a, double b, double step) {
  return (a - b) / (2 * step);
}

// Three-point Gauss rule on half kelvins; junctions, where the slope may break, stand at whole kelvins.
double quadrature(const Curve& curve, double from, double to) {
  double sum = 0;
  while (from < to) {
    const double next = std::min(to, std::floor(2 * from + 1) / 2);
    const double middle = (from + next) / 2, width = next - from, node = std::sqrt(0.6) / 2;
    sum += width / 18 *
           (5 * curve.value(middle - node * width) + 8 * curve.value(middle) +
            5 * curve.value(middle + node * width));
    from = next;
  }
  return sum;
}

// Heat taken up in a transition stands as a peak of the heat capacity: these may rise high and steeply.
bool has_latent_heat(const Material& material, const std::string& property) {
  return material.name == "titanium" && property == "heat capacity";
}

}  // namespace

TEST_CASE("every shipped material is there once") {
  std::set<std::string> names;
  for (const Material& material : all_materials()) {
    CAPTURE(material.name);
    CHECK(names.insert(material.name).second);
    CHECK_FALSE(material.note.empty());
    std::string expected_file = material.name + ".yaml";
    std::replace(expected_file.begin(), expected_file.end(), ' ', '-');
    CHECK(std::filesystem::path(material.file).filename() == expected_file);
  }
  for (const char* name : {"isotropic graphite",
                           "graphite foil",
                           "carbon felt",
                           "alumina",
                           "nickel",
                           "nickel chromium ram alloy",
                           "copper",
                           "stainless steel",
                           "zirconia 3y",
                           "zirconia 8y",
                           "tungsten",
                           "titanium",
                           "molybdenum",
                           "aluminium",
                           "tungsten carbide",
                           "tungsten carbide cobalt",
                           "titanium nitride",
                           "titanium carbide",
                           "zirconium diboride",
                           "silicon carbide",
                           "silicon nitride",
                           "zirconia titanium nitride",
                           "carbon fibre composite"})
    CHECK_MESSAGE(names.count(name) == 1, name);
}

TEST_CASE("every property names its source and says how unsure it is") {
  for (const Material& material : all_materials()) {
    for (const auto& [name, property] : properties_of(material)) {
      CAPTURE(material.name);
      CAPTURE(name);
      CHECK(property->source.size() > 10);
      CHECK(property->uncertainty.kind != Uncertainty::Kind::none);
      if (property->uncertainty.kind == Uncertainty::Kind::relative) {
        CHECK(property->uncertainty.size > 0);
        CHECK(property->uncertainty.size < 0.5);
      } else {
        CHECK(property->uncertainty.size > 1);
        CHECK(property->uncertainty.size <= 10);
      }
    }
  }
}

// Bounds that a solid in a hot press cannot leave; a slipped unit or exponent does.
TEST_CASE("every property is sane over its whole range and beyond it") {
  struct Bounds {
    const char* name;
    double low, high;
  };
  const std::array<Bounds, 15> bounds = {{{"density", 50, 25000},
                                          {"heat capacity", 100, 2500},
                                          {"conductivity", 0.05, 450},
                                          {"resistivity", 1e-8, 1e9},
                                          {"emissivity", 0.02, 1},
                                          {"compressive strength", 1e7, 1e10},
                                          {"flexural strength", 1e7, 3e9},
                                          {"tensile strength", 1e7, 3e9},
                                          {"expansion", -1e-6, 4e-5},      // foil shrinks along the sheet
                                          {"elastic modulus", 1e8, 8e11},  // foil, through the sheet
                                          {"poisson ratio", 0.05, 0.4},
                                          {"yield strength", 1e6, 1e9},
                                          {"surface energy", 0.3, 4},
                                          {"loose touch", 1e-6, 1e-2},
                                          {"seebeck", -1e-3, 1e-3}}};
  for (const Material& material : all_materials()) {
    for (const auto& [name, property] : properties_of(material)) {
      const std::string kind = name.substr(0, name.find(" across"));
      const auto bound =
          std::find_if(bounds.begin(), bounds.end(), [&](const Bounds& b) { return kind == b.name; });
      REQUIRE(bound != bounds.end());
      bool inside = true;
      for (const double T : temperatures_of(property->curve)) {
        const double value = property->curve.value(T);
        const double high = has_latent_heat(material, name) ? 1e4 : bound->high;
        inside = inside && value >= bound->low && value <= high;
      }
      CHECK_MESSAGE(inside,
                    material.name << ": " << name << " leaves " << bound->low << " .. " << bound->high);
    }
    // Hot graphite has 1e-5 ohm m: an insulator shuts the current out by three decades at least, hot as cold
    // (zirconia by no more than that), and all others carry some (silicon carbide the least).
    const double cold = material.resistivity.along.curve.value(300);
    const double hot = material.resistivity.along.curve.value(1500);
    CHECK_MESSAGE((material.insulator ? std::min(cold, hot) > 1e-2 : hot < 1e-2), material.name);
    CHECK_MESSAGE((material.insulator || cold < 0.1), material.name);
  }
}

TEST_CASE("the slope of every property is its finite difference, its integral grows by its value") {
  constexpr double step = 1e-3;
  for (const Material& material : all_materials()) {
    for (const auto& [name, property] : properties_of(material)) {
      CAPTURE(material.name);
      CAPTURE(name);
      const Curve& curve = property->curve;
      double worst_slope = 0, worst_growth = 0, largest_slope = 0;
      for (const double T : temperatures_of(curve)) {
        const double slope = curve.slope(T);
        largest_slope = std::max(largest_slope, std::abs(slope));
        worst_slope = std::max(
            worst_slope, std::abs(slope - difference(curve.value(T + step), curve.value(T - step), step)) /
                             (std::abs(slope) + 1e-4 * curve.value(T)));
        const double growth = difference(curve.integral(T + step), curve.integral(T - step), step);
        worst_growth = std::max(worst_growth, std::abs(growth / curve.value(T) - 1));
      }
      CHECK(worst_slope < 1e-5);
      CHECK(worst_growth < 1e-6);
      // A property moves by less than 3 % of itself per kelvin anywhere (the insulators included).
      if (!has_latent_heat(material, name))
        CHECK(largest_slope <
              0.03 * std::max(std::abs(curve.value(curve.t_min())), std::abs(curve.value(curve.t_max()))));
    }
  }
}

TEST_CASE("the integral of every heat capacity is the area under it") {
  for (const Material& material : all_materials()) {
    CAPTURE(material.name);
    const Curve& curve = material.heat_capacity.curve;
    CHECK(std::abs(curve.integral(reference)) < 1e-6);
    for (const double T : {600.0, 690.0, 1000.0, 1300.0, 2400.0}) {
      CAPTURE(T);
      CHECK(curve.integral(T) == doctest::Approx(quadrature(curve, reference, T)).epsilon(1e-6));
    }
  }
}

// Pieces meet within 0.1 % by construction; a slope that breaks is named here or is a mistake.  Junctions and
// table points of the shipped files stand at whole kelvins.
TEST_CASE("slopes break at Curie points and phase transitions only") {
  const std::set<std::string> may_break = {"nickel: heat capacity", "nickel: conductivity",
                                           "nickel: resistivity", "titanium: heat capacity",
                                           "titanium: resistivity"};
  constexpr double side = 1e-3;    // K
  constexpr double smooth = 1e-4;  // 1/K, change of the slope over the value
  constexpr double curie_like = 1e-3;
  for (const Material& material : all_materials()) {
    for (const auto& [name, property] : properties_of(material)) {
      const Curve& curve = property->curve;
      if (!std::isfinite(curve.t_max())) continue;
      double largest_break = 0;
      for (double T = std::floor(curve.t_min()) + 1; T < curve.t_max(); ++T)
        largest_break =
            std::max(largest_break, std::abs(curve.slope(T + side) - curve.slope(T - side)) / curve.value(T));
      const std::string label = material.name + ": " + name;
      CAPTURE(largest_break);
      if (may_break.count(label) == 1)
        CHECK_MESSAGE(largest_break > curie_like, label << " has lost its Curie point or transition");
      else
        CHECK_MESSAGE(largest_break < smooth, label);
    }
  }
}

TEST_CASE("only sheets differ along and across") {
  const std::set<std::string> sheets = {"graphite foil", "carbon fibre composite"};
  for (const Material& material : all_materials()) {
    CAPTURE(material.name);
    CHECK(material.conductivity.across.has_value() == (sheets.count(material.name) == 1));
    CHECK(material.resistivity.across.has_value() == (sheets.count(material.name) == 1));
  }
}

TEST_CASE("carbon never raises the first liquid") {
  int seen = 0;
  for (const Material& material : all_materials()) {
    if (!material.carbon_eutectic_K) continue;
    ++seen;
    CAPTURE(material.name);
    REQUIRE(material.melting_K);
    CHECK(*material.carbon_eutectic_K < *material.melting_K);
    CHECK(*material.carbon_eutectic_K > 0.5 * *material.melting_K);
  }
  CHECK(seen >= 9);
}

TEST_CASE("brittle bodies bear more in compression than in bending, hot as cold") {
  int seen = 0;
  for (const Material& material : all_materials()) {
    if (!material.compressive_strength || !material.flexural_strength) continue;
    ++seen;
    CAPTURE(material.name);
    for (double T = 300; T < 2800; T += 50)
      CHECK(material.compressive_strength->curve.value(T) > material.flexural_strength->curve.value(T));
  }
  CHECK(seen >= 2);
}

// What is pressed as powder says by which laws it conducts, and why.  Tool materials need not.
TEST_CASE("every powder material states its porous laws with a reason") {
  const std::set<std::string> tools = {"isotropic graphite", "graphite foil", "carbon felt",
                                       "carbon fibre composite", "nickel chromium ram alloy"};
  for (const Material& material : all_materials()) {
    CAPTURE(material.name);
    CHECK((material.porous.reason.size() > 20) == (tools.count(material.name) == 0));
    for (const auto& law : {material.porous.heat, material.porous.current}) {
      CHECK(joulepress::materials::relative_conductivity(law, 1) == doctest::Approx(1).epsilon(1e-14));
      CHECK(joulepress::materials::relative_conductivity(law, 0.7) < 0.7);
    }
  }
}
