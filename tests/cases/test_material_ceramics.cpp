// Hard metals, ceramics, fibre composite and the refractory metals: check values of the named sources.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "tests/cases/material_data.hpp"
#include "tests/support/relative.hpp"

using joulepress::materials::Curve;
using joulepress::materials::Material;
using namespace joulepress::test;

namespace {

/// Shomate form of the NIST-JANAF tables, t = T/1000.
struct Shomate {
  double a, b, c, d, e;
  double capacity(double T) const {  // J/(mol K)
    const double t = T / 1000;
    return a + b * t + c * t * t + d * t * t * t + e / (t * t);
  }
  double enthalpy(double T) const {  // J/mol
    const double t = T / 1000;
    return 1000 * (a * t + b * t * t / 2 + c * t * t * t / 3 + d * t * t * t * t / 4 - e / t);
  }
};

}  // namespace

// Heat capacity: NIST-JANAF, Chase 1998, from memory. Conductivity and resistivity: White and Minges 1997,
// from memory. Melting: Bedford 1996, Metrologia 33:133, from memory.
TEST_CASE("tungsten") {
  const Material tungsten = shipped("tungsten");
  const Curve& heat = tungsten.heat_capacity.curve;
  check_points(heat, {{300, 132}, {600, 140}, {1000, 150}, {1300, 157}}, 0.6);
  const Shomate hot{-22.57640, 90.27980, -44.27150, 7.176630, -24.09740};
  for (const double T : {2000.0, 2500.0, 3000.0, 3500.0})
    CHECK(heat.value(T) * 0.18384 == doctest::Approx(hot.capacity(T)).epsilon(1e-5));
  // The lower piece carried on would give 165 J/kgK at 3000 K and fall.
  CHECK(heat.value(3000) > 220);
  for (double T = 301; T < 3600; T += 7.3) CHECK(heat.slope(T) > 0);
  check_points(tungsten.conductivity.along.curve, {{300, 174}, {600, 137}, {1000, 118}, {1300, 110}}, 0.1);
  check_points(tungsten.resistivity.along.curve,
               {{300, 0.056 * micro}, {600, 0.136 * micro}, {1000, 0.245 * micro}, {1300, 0.33 * micro}},
               1e-10);
  CHECK(*tungsten.melting_K == doctest::Approx(3414 + 273.15));
}

// Heat capacity: NIST-JANAF, Chase 1998, from memory. Transition: Cezairliyan and Miiller 1978, J Res NBS
// 83:127: 4170 J/mol, the resistivity falls about 9 %. Conductivity and resistivity elsewhere: CINDAS, from
// memory.
TEST_CASE("titanium takes up its latent heat at 1155 K and loses 9 % of its resistivity there") {
  const Material titanium = shipped("titanium");
  const Curve& heat = titanium.heat_capacity.curve;
  check_points(heat, {{1000, 670}, {1300, 633}}, 0.6);
  constexpr double molar_mass = 0.047867;
  const Shomate low{22.61942, 18.98795, -18.18735, 7.080792, -0.143457};
  const Shomate alpha{44.37174, -44.09225, 31.70602, 0.052209, 0.036168};
  const Shomate beta{23.05660, 5.541331, -2.055881, 1.611745, -0.056075};
  const double to_700 = low.enthalpy(700) - low.enthalpy(reference);
  CHECK(heat.integral(700) * molar_mass == doctest::Approx(to_700).epsilon(1e-5));
  // The heat between 1100 and 1200 K, less that of alpha up to 1155 K and of beta from there.
  const double taken_up = (heat.integral(1200) - heat.integral(1100)) * molar_mass -
                          (alpha.enthalpy(1155) - alpha.enthalpy(1100)) -
                          (beta.enthalpy(1200) - beta.enthalpy(1155));
  CHECK(taken_up == doctest::Approx(4170).epsilon(2e-3));
  // All of it lies in the stated width.
  for (const double T : {1100.0, 1144.9})
    CHECK(heat.value(T) * molar_mass == doctest::Approx(alpha.capacity(T)).epsilon(1e-3));
  for (const double T : {1165.1, 1500.0, 1900.0})
    CHECK(heat.value(T) * molar_mass == doctest::Approx(beta.capacity(T)).epsilon(1e-3));

  const Curve& resistivity = titanium.resistivity.along.curve;
  check_points(resistivity,
               {{300, 0.43 * micro}, {600, 0.93 * micro}, {1000, 1.44 * micro}, {1300, 1.48 * micro}}, 1e-10);
  CHECK(1 - resistivity.value(1165) / resistivity.value(1145) == doctest::Approx(0.09).epsilon(0.02));
  // Alpha rises to the transition: a line from 1000 to 1300 K would miss it by 0.13 uohm m.
  CHECK(resistivity.value(1145) > 1.55 * micro);
  for (double T = 301; T < 1145; T += 3) CHECK(resistivity.slope(T) > 0);
  check_points(titanium.conductivity.along.curve, {{300, 21.9}, {600, 19.4}, {1000, 20.7}, {1300, 22}}, 0.05);
  CHECK(*titanium.melting_K == doctest::Approx(1668 + 273.15));
}

// CINDAS, from memory; melting Bedford 1996, Metrologia 33:133, from memory, and ITS-90 (Preston-Thomas
// 1990). Aluminium: NIST-JANAF, from memory.
TEST_CASE("molybdenum and aluminium") {
  const Material molybdenum = shipped("molybdenum");
  check_points(molybdenum.heat_capacity.curve, {{300, 251}, {600, 275}, {1000, 292}, {1300, 305}}, 0.6);
  check_points(molybdenum.conductivity.along.curve, {{300, 138}, {600, 126}, {1000, 112}, {1300, 105}}, 0.1);
  check_points(molybdenum.resistivity.along.curve,
               {{300, 0.055 * micro}, {600, 0.13 * micro}, {1000, 0.24 * micro}, {1300, 0.33 * micro}},
               1e-10);
  CHECK(*molybdenum.melting_K == doctest::Approx(2622 + 273.15));

  const Material aluminium = shipped("aluminium");
  check_points(aluminium.heat_capacity.curve, {{300, 899}, {600, 1034}}, 0.6);
  check_points(aluminium.conductivity.along.curve, {{300, 237}, {600, 231}}, 0.1);
  check_points(aluminium.resistivity.along.curve, {{300, 0.0273 * micro}, {600, 0.0613 * micro}}, 1e-11);
  CHECK(*aluminium.melting_K == doctest::Approx(933.473));
  CHECK_FALSE(aluminium.carbon_eutectic_K);  // its melting point stays a fixed point in graphite
}

// Conductivity: Schlichting 2001, Hasselman 1987. Heat capacity: Kubaschewski. Conduction: reviews of yttria
// zirconia. All from memory.
TEST_CASE("zirconia conducts heat badly and current three decades worse than graphite") {
  const Material zirconia = shipped("zirconia 3y");
  check_points(zirconia.heat_capacity.curve, {{300, 457}, {600, 570}, {1000, 615}, {1300, 638}}, 0.6);
  // No drop to 604 J/kgK at 1478 K: that is undoped zirconia turning tetragonal.
  CHECK(zirconia.heat_capacity.curve.value(1600) > 640);
  check_points(zirconia.conductivity.along.curve, {{300, 2.8}, {1000, 2.4}, {1500, 2.3}}, 0.1);
  const Curve& resistivity = zirconia.resistivity.along.curve;
  CHECK(1 / resistivity.value(1273.15) > 3);  // S/m
  CHECK(1 / resistivity.value(1273.15) < 5);
  CHECK(1 / resistivity.value(1673.15) > 30);
  CHECK(1 / resistivity.value(1673.15) < 60);
  const Curve& graphite = shipped("isotropic graphite").resistivity.along.curve;
  for (double T = 700; T <= 1700; T += 10) {
    CHECK(resistivity.value(T) > 2e3 * graphite.value(T));
    CHECK(resistivity.slope(T) < 0);
  }
  const Material cubic = shipped("zirconia 8y");
  CHECK(1 / cubic.resistivity.along.curve.value(1273.15) == doctest::Approx(10).epsilon(0.01));
  for (double T = 300; T <= 1500; T += 100) {
    CHECK(cubic.conductivity.along.curve.value(T) > 1.9);
    CHECK(cubic.conductivity.along.curve.value(T) < 2.2);
  }
}

// Tungsten carbide: Kubaschewski, Pierson 1996; hard metal: handbooks. From memory.
TEST_CASE("tungsten carbide and hard metal") {
  const Material carbide = shipped("tungsten carbide");
  check_points(carbide.heat_capacity.curve, {{300, 181}, {1000, 256}, {1500, 274}}, 0.6);
  check_points(carbide.conductivity.along.curve, {{300, 115}, {1000, 65}, {1500, 50}}, 5);
  check_points(carbide.resistivity.along.curve,
               {{300, 0.21 * micro}, {1000, 0.5 * micro}, {1500, 0.65 * micro}}, 1e-8);
  const Material hard_metal = shipped("tungsten carbide cobalt");
  check_points(hard_metal.heat_capacity.curve, {{300, 215}, {1000, 300}}, 15);
  check_points(hard_metal.conductivity.along.curve, {{300, 90}, {1000, 60}}, 10);
  check_points(hard_metal.resistivity.along.curve, {{300, 0.2 * micro}, {1000, 0.5 * micro}}, 1e-9);
  CHECK(hard_metal.density.curve.value(300) < carbide.density.curve.value(300));
  CHECK(*hard_metal.carbon_eutectic_K == doctest::Approx(1280 + 273.15));
  CHECK(*hard_metal.melting_K == doctest::Approx(1320 + 273.15));
}

// Tables of thermochemical data and handbook ranges; zirconium diboride Zimmermann 2008. From memory.
TEST_CASE("titanium nitride, titanium carbide and zirconium diboride") {
  const Material nitride = shipped("titanium nitride");
  check_points(nitride.heat_capacity.curve, {{300, 602}, {1000, 849}, {1500, 892}}, 0.6);
  check_points(nitride.resistivity.along.curve,
               {{300, 0.25 * micro}, {1000, 0.6 * micro}, {1500, 0.8 * micro}}, 1e-9);
  const Curve& conductivity = nitride.conductivity.along.curve;
  check_points(conductivity, {{300, 24}}, 5);
  check_points(conductivity, {{1000, 32.5}}, 7.5);
  // A conductor by electrons: the Lorenz number of a metal (Sommerfeld 2.44e-8 W ohm/K2) within the scatter.
  for (double T = 300; T <= 1000; T += 50) {
    const double lorenz = conductivity.value(T) * nitride.resistivity.along.curve.value(T) / T;
    CHECK(lorenz > 2.0e-8);
    CHECK(lorenz < 3.6e-8);
  }
  const Material carbide = shipped("titanium carbide");
  check_points(carbide.heat_capacity.curve, {{300, 566}, {1000, 858}, {1500, 900}}, 0.6);
  check_points(carbide.conductivity.along.curve, {{300, 19}, {1000, 31.5}, {1500, 40}}, 3.5);
  check_points(carbide.resistivity.along.curve,
               {{300, 0.6 * micro}, {1000, 1.2 * micro}, {1500, 1.6 * micro}}, 0.1 * micro);
  CHECK(*carbide.carbon_eutectic_K == doctest::Approx(2761 + 273.15));  // Yamada, Machin 2013
  const Material boride = shipped("zirconium diboride");
  check_points(boride.heat_capacity.curve, {{300, 430}, {1000, 620}, {1500, 660}}, 0.6);
  check_points(boride.conductivity.along.curve, {{300, 80}, {1000, 67.5}, {1500, 65}}, 5);
  check_points(boride.resistivity.along.curve,
               {{300, 0.09 * micro}, {1000, 0.3 * micro}, {1500, 0.45 * micro}}, 0.01 * micro);
}

// Silicon carbide: Munro 1997, J Phys Chem Ref Data 26:1195, from memory. Others: handbook values, from
// memory.
TEST_CASE("silicon carbide and silicon nitride") {
  const Material carbide = shipped("silicon carbide");
  check_points(carbide.heat_capacity.curve, {{300, 675}, {1000, 1213}, {1500, 1291}}, 0.6);
  check_points(carbide.conductivity.along.curve, {{300, 119.5}, {1000, 47.5}, {1500, 33}}, 5.5);
  const Curve& resistivity = carbide.resistivity.along.curve;
  CHECK(resistivity.value(300) > 1e3 * micro);
  CHECK(resistivity.value(300) < 1e6 * micro);
  CHECK(resistivity.value(1500) > 1e3 * micro);
  CHECK(resistivity.value(1500) < 1e4 * micro);
  CHECK_FALSE(carbide.melting_K);
  const Material nitride = shipped("silicon nitride");
  check_points(nitride.heat_capacity.curve, {{300, 708}, {1000, 1124}, {1500, 1274}}, 0.6);
  check_points(nitride.conductivity.along.curve, {{300, 50}, {1000, 21.5}, {1500, 15}}, 3.5);
  CHECK(nitride.insulator);
  CHECK_FALSE(nitride.melting_K);
  CHECK(nitride.note.find("decomposes") != std::string::npos);
}

// Data sheets of carbon-carbon plate, from memory.
TEST_CASE("a fibre composite holds heat back across its fibres") {
  const Material plate = shipped("carbon fibre composite");
  const double along = plate.conductivity.along.curve.value(1000),
               across = plate.conductivity.across->curve.value(1000);
  CHECK(along >= 30);
  CHECK(along <= 60);
  CHECK(across >= 4);
  CHECK(across <= 8);
  check_points(plate.resistivity.along.curve, {{300, 22.5 * micro}}, 7.5 * micro);
  check_points(plate.resistivity.across->curve, {{300, 90 * micro}}, 30 * micro);
  check_points(plate.flexural_strength->curve, {{300, 125e6}}, 25e6);
  CHECK(plate.heat_capacity.curve.value(1500) ==
        shipped("isotropic graphite").heat_capacity.curve.value(1500));
}

TEST_CASE("a porous group is read with its parameters, and its mistakes are named") {
  const auto says = [](const std::string& group, const std::string& words) {
    const std::string text = complaint("porous: " + group);
    CAPTURE(text);
    CHECK(text.find(words) != std::string::npos);
    CHECK(text.find("1 error;") != std::string::npos);
  };
  CHECK(complaint(
            "porous: {heat: {law: maxwell eucken}, current: {law: montes, tap density: 0.4, exponent: 1.5}, "
            "reason: trial}") == "accepted");
  CHECK(complaint("porous: {heat: {law: power, exponent: 2}, current: {law: mclachlan, threshold: 20 %, "
                  "exponent: 1.8}, "
                  "reason: trial}") == "accepted");
  says("{heat: {law: brugeman}, current: {law: bruggeman}, reason: trial}", "Did you mean \"bruggeman\"?");
  says("{heat: {law: bruggeman}, current: {law: argento bouvard}, reason: trial}", "tap density");
  says("{heat: {law: bruggeman, exponent: 2}, current: {law: bruggeman}, reason: trial}", "exponent");
  says("{heat: {law: bruggeman}, current: {law: montes, tap density: 1.2, exponent: 2}, reason: trial}",
       "\"1.2\" is above 0.99.");
  says("{heat: {law: power, exponent: 0}, current: {law: bruggeman}, reason: trial}",
       "\"0\" is not above 0.");
  says("{heat: {law: bruggeman}, current: {law: bruggeman}}", "reason");
  says("{heat: {law: bruggeman}, reason: trial}", "current");
}
