// Strengths, their scatter and Poisson ratios of the shipped materials against outside values; how they are
// read.
#include <doctest/doctest.h>

#include <cmath>
#include <set>
#include <string>

#include "tests/cases/material_data.hpp"
#include "tests/support/relative.hpp"

using joulepress::materials::Curve;
using joulepress::materials::Material;
using joulepress::materials::Specimen;
using namespace joulepress::test;

namespace {

constexpr double psi = 6894.757;  // Pa

double poisson(const Material& m, double T) {
  return m.poisson_ratio.value().curve.value(T);
}

double shear_modulus(const Material& m, double T) {
  return m.elastic_modulus.value().curve.value(T) / (2 * (1 + poisson(m, T)));
}

/// Of a Weibull distribution: standard deviation over mean.
double spread(double modulus) {
  const double mean = std::tgamma(1 + 1 / modulus);
  return std::sqrt(std::tgamma(1 + 2 / modulus) / (mean * mean) - 1);
}

}  // namespace

TEST_CASE("graphite: strengths in the ratios a maker names, all doubled hot") {
  // A graphite maker's public page on mechanical properties: compressive over flexural 1.61 to 2.90, tensile
  // over flexural 0.47 to 0.60.
  const Material graphite = shipped("isotropic graphite");
  for (const double T : {293.15, 1273.15, 2273.15}) {
    CAPTURE(T);
    const double bent = graphite.flexural_strength->curve.value(T);
    const double pulled = graphite.tensile_strength.value().curve.value(T) / bent;
    const double crushed = graphite.compressive_strength->curve.value(T) / bent;
    CHECK(pulled > 0.47);
    CHECK(pulled < 0.60);
    CHECK(crushed > 1.61);
    CHECK(crushed < 2.90);
  }
  const Curve& tensile = graphite.tensile_strength->curve;
  CHECK(tensile.value(293.15) >= 25e6);  // data sheets, from memory
  CHECK(tensile.value(293.15) <= 45e6);
  CHECK(tensile.value(2773.15) == relative(2 * tensile.value(293.15)));  // the same public page, 2500 degC
}

TEST_CASE("alumina: moduli belong together, Munro 1997 (NIST SRD 150)") {
  // Shear moduli from memory; the Poisson ratio is made of the elastic and the bulk modulus.
  const double rows[][3] = {{293.15, 169, 257},  {773.15, 158, 247},  {1273.15, 146, 237},
                            {1473.15, 142, 233}, {1673.15, 137, 229}, {1773.15, 135, 227}};
  const Material alumina = shipped("alumina");
  for (const auto& row : rows) {
    const double T = row[0], shear = row[1], bulk = row[2];
    CAPTURE(T);
    CHECK(shear_modulus(alumina, T) == relative(1e9 * shear, 4e-3));
    CHECK(alumina.elastic_modulus->curve.value(T) / (3 * (1 - 2 * poisson(alumina, T))) ==
          relative(1e9 * bulk, 5e-3));
  }
  check_points(alumina.tensile_strength.value().curve, {{293.15, 267e6}, {1273.15, 243e6}, {1473.15, 140e6}},
               1);
}

TEST_CASE("the size effect joins bending and tension: bars of EN 843-1 against pulled rods") {
  // Strengths and moduli of Munro 1997, from memory, are of different specimens: by Weibull's law the pulled
  // rod then had the volume where both break as often, and rods for such tests have 0.1 to 2 cm3 (6 to 10 mm
  // across, 5 to 25 mm long; common practice, no source).
  for (const char* name : {"alumina", "silicon carbide"}) {
    CAPTURE(std::string(name));
    const Material m = shipped(name);
    const double scale = scale_of(m.weibull.value(), m.flexural_strength->curve.value(293.15));
    const double mean = m.tensile_strength->curve.value(293.15) / std::tgamma(1 + 1 / m.weibull->modulus);
    const double volume = std::pow(scale / mean, m.weibull->modulus);
    CHECK(volume > 0.1e-6);
    CHECK(volume < 2e-6);
  }
}

TEST_CASE("ceramics: strengths of the named abstracts") {
  // Murchie and others 2021, Int J Appl Ceram Technol 18:1235; Kosanovic and others 2024: 476 +- 41 MPa.
  const Material boride = shipped("zirconium diboride");
  check_points(boride.flexural_strength.value().curve, {{293.15, 447e6}, {2073.15, 196e6}, {2573.15, 360e6}},
               1);
  CHECK(spread(boride.weibull.value().modulus) == relative(41.0 / 476.0, 0.03));
  // Hot pressed, ASME GT1972-79818: 110 000 psi at room temperature, 60 000 psi at 1200 degC.
  check_points(shipped("silicon nitride").flexural_strength.value().curve,
               {{293.15, 110e3 * psi}, {1473.15, 60e3 * psi}}, 5e6);
  // Weibull characterization of the flexural strength of hydrothermally degraded 3Y-TZP zirconia: as
  // received.
  const Material zirconia = shipped("zirconia 3y");
  CHECK(zirconia.flexural_strength.value().curve.value(293.15) == relative(960e6));
  CHECK(zirconia.weibull.value().modulus == 10.9);
  CHECK(zirconia.flexural_strength->curve.value(1073.15) < 0.5 * 960e6);  // ADA217723: significantly lower
}

TEST_CASE("metals: strengths of the named tables") {
  // Public table of high-temperature properties of stainless steels, after the Metals Handbook.
  const Material steel = shipped("stainless steel");
  check_points(steel.tensile_strength.value().curve,
               {{297.15, 87e3 * psi}, {813.15, 55e3 * psi}, {923.15, 44e3 * psi}}, 3e6);
  for (const double T : {423.0, 1088.0}) {
    CHECK(poisson(steel, T) >= 0.25);
    CHECK(poisson(steel, T) <= 0.32);
  }
  // J Eng Mater Technol 97 (1975) 343, annealed again: 172 to 186 MPa at 24 degC, 65.1 to 80.7 at 593 degC.
  check_points(steel.yield_strength.value().curve, {{297.15, 179e6}}, 7e6);
  check_points(steel.yield_strength->curve, {{866.15, 73e6}}, 7.7e6);
  // A maker's public page on molybdenum rods.
  const Curve molybdenum = shipped("molybdenum").tensile_strength.value().curve;
  check_points(molybdenum, {{1473.15, 97.5e6}, {1673.15, 77.5e6}}, 2.5e6);
  check_points(molybdenum, {{1873.15, 50e6}, {2073.15, 40e6}}, 2e6);
  // Annealed copper, a public page on strength against temperature.
  check_points(shipped("copper").tensile_strength.value().curve, {{293.15, 220e6}, {373.15, 209e6}}, 1e5);
}

TEST_CASE("Poisson ratios: the shear moduli of Frost and Ashby 1982 come back, from memory") {
  for (const char* name : {"copper", "nickel", "tungsten"}) {
    CAPTURE(std::string(name));
    const Material m = shipped(name);
    CHECK(shear_modulus(m, 300) == relative(m.creep[0].shear_modulus, 0.07));
  }
}

TEST_CASE("what is pulled bears less than what is bent, and a metal tears above its yield strength") {
  int brittle = 0, ductile = 0;
  for (const Material& m : all_materials()) {
    CAPTURE(m.name);
    if (!m.tensile_strength) continue;
    for (double T = 300; T < 2800; T += 50) {
      CAPTURE(T);
      const double pulled = m.tensile_strength->curve.value(T);
      if (m.flexural_strength) CHECK(pulled < m.flexural_strength->curve.value(T));
      if (m.yield_strength) CHECK(pulled > m.yield_strength->curve.value(T));
      if (!m.flexural_strength) CHECK(m.tensile_strength->curve.value(T + 50) <= pulled);
    }
    brittle += m.flexural_strength.has_value();
    ductile += m.yield_strength.has_value();
  }
  CHECK(brittle >= 4);
  CHECK(ductile >= 5);
}

TEST_CASE("every solid has a Poisson ratio, every scatter a strength and a specimen of a laboratory's size") {
  const std::set<std::string> soft = {"carbon felt", "graphite foil"};
  int seen = 0;
  for (const Material& m : all_materials()) {
    CAPTURE(m.name);
    CHECK(m.poisson_ratio.has_value() == (soft.count(m.name) == 0));
    CHECK((m.elastic_modulus.has_value() && m.expansion.has_value()) == (m.name != "carbon felt"));
    if (!m.weibull) continue;
    ++seen;
    CHECK(m.weibull->modulus > 5);  // engineering ceramics 5 to 20, from memory
    CHECK(m.weibull->modulus < 20);
    CHECK(m.weibull->source.size() > 20);
    const double volume = effective_volume(m.weibull->specimen, m.weibull->modulus);
    CHECK(volume > 0.5e-9);  // m3
    CHECK(volume < 500e-9);
    CHECK(m.flexural_strength.has_value());  // of which the shipped ones are the scatter
    CHECK(m.weibull->specimen.loading != Specimen::Loading::tension);
  }
  CHECK(seen >= 8);
}

TEST_CASE("graphite foil: a tenth of its thickness comes back, within the factor it is unsure by") {
  // A maker's public page on flexible graphite: elastic recovery of about 10 % in volume; that it is from 30
  // to 40 MPa, from memory.
  const Material foil = shipped("graphite foil");
  const double back = 35e6 / foil.elastic_modulus.value().curve.value(300);
  CHECK(back > 0.1 / 2);
  CHECK(back < 0.1 * 2);
  CHECK(foil.elastic_modulus->uncertainty.size == 2);
}

TEST_CASE("a grade of one's own: strengths, scatter and Poisson ratio are inherited and replaced") {
  using namespace joulepress;
  cases::ErrorList errors;
  const auto document = cases::parse_document("lot.yaml",
                                              "format: 1\nmaterial: lot\nfrom: isotropic graphite\n"
                                              "tensile strength: {value: 48 MPa, source: sheet}\n"
                                              "weibull: {modulus: 14, source: sheet, specimen: {loading: "
                                              "tension, diameter: 8 mm, length: 50 mm}}\n",
                                              errors);
  const Material graphite = shipped("isotropic graphite");
  const Material lot = cases::read_material(document, errors, std::span(&graphite, 1));
  errors.throw_if_any();
  CHECK(lot.tensile_strength->curve.value(300) == 48e6);
  CHECK(lot.weibull->modulus == 14);
  CHECK(lot.weibull->source == "sheet");
  CHECK(effective_volume(lot.weibull->specimen, 14) == relative(std::acos(-1.0) * 16e-6 * 50e-3, 1e-12));
  CHECK(lot.flexural_strength->curve.value(300) == graphite.flexural_strength->curve.value(300));
  CHECK(poisson(lot, 300) == poisson(graphite, 300));
}

TEST_CASE("a scatter is read with its specimen, and its mistakes are named") {
  const std::string strengths =
      "flexural strength: {value: 50 MPa, source: invented}\ntensile strength: {value: 30 MPa, source: "
      "invented}\n";
  const auto with = [](const std::string& specimen) {
    return "weibull: {modulus: 10, source: invented, specimen: {" + specimen + "}}";
  };
  const auto says = [&](const std::string& lines, const std::string& words) {
    const std::string text = complaint(strengths + lines);
    CAPTURE(text);
    CHECK(text.find(words) != std::string::npos);
    CHECK(text.find("1 error;") != std::string::npos);
  };
  const std::string bar = "width: 10 mm, height: 10 mm, span: 40 mm";
  CHECK(complaint(strengths + with("loading: four points, " + bar + ", inner span: 20 mm")) == "accepted");
  CHECK(complaint(strengths + with("loading: three points, " + bar)) == "accepted");
  CHECK(complaint(strengths + with("loading: tension, diameter: 8 mm, length: 40 mm")) == "accepted");
  says(with("loading: four points, " + bar), "The loading \"four points\" needs \"inner span\".");
  says(with("loading: three points, " + bar + ", inner span: 20 mm"), "\"inner span\" has no effect");
  says(with("loading: four points, " + bar + ", inner span: 40 mm"), "do not stand within the outer ones");
  says(with("loading: tension, diameter: 8 mm"), "The loading \"tension\" needs \"length\".");
  says(with("loading: tension, diameter: 8 mm, length: 40 mm, width: 3 mm"), "\"width\" has no effect");
  says(with("loading: five points, " + bar + ", inner span: 20 mm"), "Did you mean");
  says(with(bar + ", inner span: 20 mm, diameter: 8 mm, length: 40 mm"), "\"loading\" is missing");
  says("weibull: {modulus: 1, source: invented, specimen: {loading: three points, " + bar + "}}",
       "\"1\" is not above 1.");
  says("poisson ratio: {value: 0.5, source: invented}", "from 0 to 0.45");
  says("poisson ratio: {value: -0.1, source: invented}", "from 0 to 0.45");
  const std::string alone = complaint(with("loading: three points, " + bar));
  CHECK(alone.find("The scatter is that of the flexural strength, which the material does not have.") !=
        std::string::npos);
  CHECK(complaint("flexural strength: {value: 50 MPa, source: invented}\n" +
                  with("loading: tension, diameter: 8 mm, length: 40 mm"))
            .find("that of the tensile strength") != std::string::npos);
}
