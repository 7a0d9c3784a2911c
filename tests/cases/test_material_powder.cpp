// What material files say about powders: oxide film, densification, mixtures; and what is refused.
#include <doctest/doctest.h>

#include <string>

#include "materials/powder.hpp"
#include "tests/cases/material_data.hpp"

using namespace joulepress::test;

namespace {

void says(const std::string& text, const std::string& words) {
  CAPTURE(text);
  CHECK(text.find(words) != std::string::npos);
  CHECK(text.find("1 error;") != std::string::npos);
}

}  // namespace

TEST_CASE("oxide films: shipped for three metals, unsure by a decade, gone when the metal is hot") {
  // Even low-density copper compacts conduct orders of magnitude better than graphite (2021, J Manuf Mater
  // Process 5(4):119); graphite has 1.25e-5 ohm m cold.
  CHECK(joulepress::materials::powder_resistivity(shipped("copper"), 300, 0.6, 1.0) < 0.1 * 1.25e-5);
  for (const char* name : {"copper", "nickel", "tungsten"}) {
    CAPTURE(name);
    const auto material = shipped(name);
    REQUIRE(material.oxide_film);
    CHECK(material.oxide_film->source.find("from memory and unsure by a decade") != std::string::npos);
    CHECK(material.oxide_film->uncertainty.size == 10);
    CHECK(joulepress::materials::film_left(material, 293.15) == 1.0);
    CHECK(joulepress::materials::film_left(material, 0.7 * material.melting_K.value()) == 0.0);
    CHECK(material.oxide_film->resistivity > 2 * material.resistivity.along.curve.value(300));
  }
  CHECK_FALSE(shipped("titanium").oxide_film);  // no resistivity known that could be defended
  CHECK_FALSE(shipped("alumina").oxide_film);
}

TEST_CASE("an oxide film is read, and its mistakes are named") {
  const auto film = [](const std::string& text) { return complaint("oxide film: {" + text + "}"); };
  CHECK(film("resistivity: 10 uohm m, gone between: [300 degC, 500 degC], source: invented") == "accepted");
  says(film("gone between: [300 degC, 500 degC], source: invented"), "The key \"resistivity\" is missing.");
  says(film("resistivity: 1e-5 ohm m, source: invented"), "The key \"gone between\" is missing.");
  says(film("resistivity: 1e-5 ohm m, gone between: [500 degC, 300 degC], source: invented"),
       "the lower one first");
  says(film("resistivity: 1e-5 ohm m, gone between: [300 degC], source: invented"), "the lower one first");
  says(film("resistivity: 1e-5 ohm m, gone between: 300 degC, source: invented"), "a list is wanted");
  says(film("resistivity: 1e-5 ohm m2, gone between: [300 degC, 500 degC], source: invented"), "ohm m2");
}

TEST_CASE("a law of densification is read, and its mistakes are named") {
  const auto law = [](const std::string& text) { return complaint("densification: {" + text + "}"); };
  CHECK(law("law: closed die, reason: invented") == "accepted");
  CHECK(law("law: contacts of spheres, tap density: 0.6, reason: invented") == "accepted");
  CHECK(law("law: effective stress, tap density: 0.6, reason: invented") == "accepted");
  says(law("law: contacts of spheres, reason: invented"),
       "The law \"contacts of spheres\" needs \"tap density\".");
  says(law("law: closed die, tap density: 0.6, reason: invented"), "has no effect");
  says(law("law: closed dye, reason: invented"), "Did you mean \"closed die\"?");
  says(law("law: effective stress, tap density: 0.9, reason: invented"), "is above 0.8");
  says(law("law: closed die"), "The key \"reason\" is missing.");
}

TEST_CASE("zirconia with titanium nitride: percolates between loose and dense powder") {
  const auto m = shipped("zirconia titanium nitride");
  REQUIRE(m.mixture);
  CHECK(m.mixture->fraction == doctest::Approx(0.3));
  CHECK(m.creep.empty());  // no kinetics of the mixture are known
  CHECK(m.density.curve.value(300) == doctest::Approx(0.7 * 6070 + 0.3 * 5400));
  const auto resistivity = [&m](double D) {
    return joulepress::materials::powder_resistivity(m, 1273.15, D, 0.0);
  };
  CHECK(resistivity(0.6) > 10 * resistivity(0.99));
  CHECK(resistivity(0.99) > 5 * 0.7e-6);  // far above the nitride alone
  CHECK(resistivity(0.99) < 1e-3);        // far below the zirconia, which has 0.2 ohm m
}

TEST_CASE("a mixture is read, and its mistakes are named") {
  const std::vector<joulepress::materials::Material> known = {shipped("alumina"), shipped("titanium carbide"),
                                                              shipped("nickel")};
  const auto read = [&known](const std::string& mixture, const std::string& more = "") {
    joulepress::cases::ErrorList errors;
    const auto document = joulepress::cases::parse_document(
        "mud.yaml",
        "material: mud\nmixture: {" + mixture + ", threshold: 0.25, exponent: 2, source: invented}\n" + more,
        errors);
    const auto m = joulepress::cases::read_material(document, errors, known);
    try {
      errors.throw_if_any();
    } catch (const joulepress::cases::InputErrors& problem) {
      return std::string(problem.what());
    }
    return std::string(m.insulator ? "accepted, insulates" : "accepted");
  };
  const std::string of = "of: [titanium carbide, alumina], volume fractions: ";
  CHECK(read(of + "[0.3, 0.7]") == "accepted");
  CHECK(read(of + "[20 %, 80 %]") == "accepted, insulates");
  CHECK(read(of + "[0.3, 0.7]", "density: {value: 4 g/cm3, source: weighed}") == "accepted");
  says(read(of + "[0.3, 0.6]"), "volume fractions make 1");
  says(read(of + "[1, 0]"), "volume fractions make 1");
  says(read(of + "[0.3, 0.3, 0.4]"), "volume fractions make 1");
  says(read(of + "0.3"), "a list is wanted");
  says(read("of: [titanium carbide, alumin], volume fractions: [0.3, 0.7]"), "Did you mean \"alumina\"?");
  says(read("of: [titanium carbide, nickel], volume fractions: [0.3, 0.7]"), "here neither is");
  says(read("of: [alumina, alumina], volume fractions: [0.3, 0.7]"), "here each is");
  says(read(of + "[0.3, 0.7]",
            "porous: {heat: {law: bruggeman}, current: {law: bruggeman}, reason: invented}"),
       "\"current\" has no effect");
  says(read(of + "[0.3, 0.7]", "measured resistivity: {value: 10 uohm m}"),
       "does not follow from its resistivity");
  says(complaint("porous: {heat: {law: bruggeman}, reason: invented}"), "The key \"current\" is missing.");
}
