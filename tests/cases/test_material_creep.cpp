// Creep in material files: the shipped sets against their sources, and what is refused.
#include <doctest/doctest.h>

#include <string>

#include "tests/cases/material_data.hpp"

using joulepress::materials::creep_rate;
using namespace joulepress::test;

namespace {

std::string creep_complaint(const std::string& creep, const std::string& melting = "melting: 1000 degC\n") {
  return complaint(melting + "creep: " + creep);
}

}  // namespace

TEST_CASE("shipped creep: rates at 30 MPa (Frost and Ashby 1982), at 150 MPa (NIST SRD 150)") {
  struct Row {
    const char* material;
    double stress, T, rate;
  };
  for (const Row& row : {Row{"copper", 30e6, 800, 3.6e-6}, Row{"copper", 30e6, 1000, 1.6e-3},
                         Row{"nickel", 30e6, 1000, 6.5e-7}, Row{"nickel", 30e6, 1300, 2.4e-3},
                         Row{"tungsten", 30e6, 2000, 3.2e-7}, Row{"tungsten", 30e6, 2300, 3.1e-5},
                         Row{"alumina", 150e6, 1773.15, 2.46e-5}}) {
    INFO(row.material);
    const auto material = shipped(row.material);
    REQUIRE(material.creep.size() == 1);
    CHECK(creep_rate(material.creep[0], row.stress, row.T) == doctest::Approx(row.rate).epsilon(0.03));
    CHECK(material.creep[0].source.size() > 20);
    CHECK(material.creep[0].uncertainty.size >= 2);
  }
  CHECK(shipped("zirconia 3y").creep.empty());  // no sourced set: none is shipped
}

TEST_CASE("a creep group is read with its parameters, and its mistakes are named") {
  const std::string start = "{law: measured, exponent: 2, activation energy: 300 kJ/mol, source: invented";
  const std::string metal =
      "{law: dislocation, exponent: 4, activation energy: 200 kJ/mol, source: invented, ";
  const auto says = [](const std::string& text, const std::string& words) {
    CAPTURE(text);
    CHECK(text.find(words) != std::string::npos);
    CHECK(text.find("1 error;") != std::string::npos);
  };
  CHECK(creep_complaint(start + ", rate: 1e-5 1/s, at stress: 20 MPa, at temperature: 1000 degC}") ==
        "accepted");
  CHECK(creep_complaint(
            metal + "factor: 1e5, diffusion: 1e-5 m2/s, burgers vector: 2.5e-10 m, shear modulus: 40 GPa, "
                    "modulus slope: -0.5}") == "accepted");
  says(creep_complaint(start + ", at stress: 20 MPa, at temperature: 1000 degC}"),
       "The law \"measured\" needs \"rate\".");
  says(creep_complaint(start + ", rate: 1e-5 1/min, at stress: 20 MPa, at temperature: 1000 degC}"), "1/min");
  says(creep_complaint(start + ", rate: 1e-5 1/s, at stress: 20 kN, at temperature: 1000 degC}"), "pressure");
  says(creep_complaint(start + ", rate: 1e-5 1/s, at stress: 20 MPa, at temperature: 1000 degC, factor: 3}"),
       "factor");
  says(creep_complaint(
           metal + "factor: 1e5, diffusion: 1e-5 m2/s, burgers vector: 2.5e-10 m, shear modulus: 40 GPa, "
                   "modulus slope: -0.5}",
           ""),
       "needs the melting point");
  says(creep_complaint("{law: melting away, exponent: 1, activation energy: 1 kJ/mol, source: invented}"),
       "melting away");
}

TEST_CASE("creep by density: a list of sets, each but the last up to a density") {
  const auto set = [](const std::string& border) {
    return "{law: measured, exponent: 2, activation energy: 300 kJ/mol, source: invented, rate: 1e-5 1/s, "
           "at stress: 20 MPa, at temperature: 1000 degC" +
           border + "}";
  };
  const auto says = [](const std::string& text, const std::string& words) {
    CAPTURE(text);
    CHECK(text.find(words) != std::string::npos);
    CHECK(text.find("1 error;") != std::string::npos);
  };
  const auto sets = [&](const std::string& first, const std::string& second) {
    return creep_complaint("[" + set(first) + ", " + set(second) + "]");
  };
  CHECK(sets(", up to density: 0.8", "") == "accepted");
  CHECK(creep_complaint("[" + set("") + "]") == "accepted");
  says(sets("", ""), "this one says up to which density it holds");
  says(sets(", up to density: 0.8", ", up to density: 0.9"),
       "The last set of creep holds up to full density.");
  says(sets(", up to density: 0.98", ""), "is above 0.97");
  says(creep_complaint("[" + set(", up to density: 0.8") + ", " + set(", up to density: 0.83") + ", " +
                       set("") + "]"),
       "0.04 or more above the one before (0.8)");
  says(creep_complaint(set(", up to density: 0.8")), "One set of creep holds at every density.");
  says(creep_complaint("[]"), "The list of creep is empty.");
}
