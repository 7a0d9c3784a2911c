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
