#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

void add_creep(KeyTable& table) {
  table.add(
      "creep",
      {
          one_of("law", "measured|dislocation",
                 "A measured rate carried to other stresses and temperatures, or dislocation creep from its "
                 "constants.")
              .needed()
              .example("measured"),
          amount("exponent", Kind::ratio, "Exponent of the stress.")
              .needed()
              .least("1")
              .most("10")
              .example("1.08")
              .varies(),
          amount("activation energy", Kind::molar_energy, "How fast the rate grows with temperature.")
              .needed()
              .above("0 kJ/mol")
              .most("2000 kJ/mol")
              .example("325 kJ/mol")
              .varies(),
          one_of(
              "stress is", "uniaxial|of dissipated power",
              "What the stress of the measurement means: the load of a creep test, or the equivalent stress "
              "of the dissipated power.")
              .standard("uniaxial"),
          amount("rate", Kind::strain_rate, "Measured: the rate.")
              .otherwise("the law has none")
              .above("0 1/s")
              .most("1e6 1/s")
              .example("2.46e-5 1/s")
              .varies(),
          amount("at stress", Kind::pressure, "Measured: the stress of that rate.")
              .otherwise("the law has none")
              .above("0 MPa")
              .most("10 GPa")
              .example("150 MPa"),
          amount("at temperature", Kind::temperature, "Measured: the temperature of that rate.")
              .otherwise("the law has none")
              .most("5000 K")
              .example("1500 degC"),
          amount("at grain size", Kind::length, "Measured: the grain size of that rate.")
              .otherwise("the rate does not depend on it")
              .above("0 um")
              .most("1 mm")
              .example("5 um"),
          amount("grain exponent", Kind::ratio, "Power of the grain size that the rate falls with.")
              .otherwise("the rate does not depend on it")
              .least("0")
              .most("4")
              .example("3")
              .varies(),
          amount("factor", Kind::ratio, "Dislocation: the factor before the rate.")
              .otherwise("the law has none")
              .above("0")
              .most("1e15")
              .example("7.4e5"),
          amount("diffusion", Kind::diffusivity, "Dislocation: the diffusivity before its exponential.")
              .otherwise("the law has none")
              .above("0 m2/s")
              .most("1 m2/s")
              .example("2.0e-5 m2/s"),
          amount("burgers vector", Kind::length, "Dislocation: the length of a step of slip.")
              .otherwise("the law has none")
              .above("0 m")
              .most("1e-8 m")
              .example("2.56e-10 m"),
          amount("shear modulus", Kind::pressure, "Dislocation: the shear modulus at 300 K.")
              .otherwise("the law has none")
              .above("0 GPa")
              .most("1000 GPa")
              .example("42.1 GPa"),
          amount("modulus slope", Kind::ratio,
                 "Dislocation: change of the shear modulus with temperature, over the modulus, times the "
                 "melting point.")
              .otherwise("the law has none")
              .least("-1")
              .most("0")
              .example("-0.54"),
          amount(
              "up to density", Kind::ratio,
              "In a list: the relative density of the powder at which the next set takes over, within 0.02 "
              "either way.")
              .otherwise("up to full density")
              .above("0")
              .most("0.97")
              .example("0.85")
              .varies(),
          text("source", "Where the numbers come from; says `from memory` where they do.")
              .needed()
              .example("\"creep test of the lot\""),
          text("note", "What a user should know.").otherwise("none"),
          keys_of("uncertainty", "uncertainty", "How unsure the rate is.").otherwise("not known"),
      });
}

void add_oxide_film(KeyTable& table) {
  table.add("oxide film",
            {
                amount("resistivity", Kind::resistivity, "In series with the powder, before the film breaks.")
                    .needed()
                    .above("0 ohm m")
                    .most("1e6 ohm m")
                    .example("1e-5 ohm m")
                    .varies(),
                list_of("", "gone between",
                        "The hottest temperature met at which the film begins to break, and at which it is "
                        "gone for good.")
                    .needed()
                    .example("[300 degC, 500 degC]"),
                text("source", "Where the numbers come from; says `from memory` where they do.")
                    .needed()
                    .example("\"resistance of the powder in the press, first ramp\""),
                text("note", "What a user should know.").otherwise("none"),
                keys_of("uncertainty", "uncertainty", "How unsure the resistivity of the film is.")
                    .otherwise("not known"),
            });
}

void add_densification(KeyTable& table) {
  table.add(
      "densification",
      {
          one_of("law", "closed die|contacts of spheres|effective stress",
                 "Closed die: axial load, no strain in r. The other two are isostatic: spheres that grow "
                 "necks and then close pores, or one law with an effective stress.")
              .needed()
              .example("contacts of spheres"),
          amount("tap density", Kind::ratio,
                 "Isostatic laws: relative density at which particles just touch; the powder starts "
                 "above it.")
              .otherwise("the law has none")
              .least("0.2")
              .most("0.8")
              .example("0.55")
              .varies(),
          text("reason", "Why this law fits this powder.").needed(),
      });
}

void add_mixture(KeyTable& table) {
  table.add(
      "mixture",
      {
          list_of("", "of", "Names of the two shipped materials, in any order.")
              .needed()
              .example("[zirconia 3y, titanium nitride]"),
          rows_of_numbers("volume fractions", "Volume of each over that of both, in the same order.")
              .needed()
              .example("[0.7, 0.3]"),
          amount("threshold", Kind::ratio,
                 "Share of the whole volume, pores included, from which the conducting grains hang together.")
              .needed()
              .least("0.02")
              .most("0.6")
              .example("0.22")
              .varies(),
          amount("exponent", Kind::ratio, "How the conductivity rises beyond the threshold.")
              .needed()
              .least("1")
              .most("4")
              .example("1.8")
              .varies(),
          text("source", "Where threshold and exponent come from; says `from memory` where they do.")
              .needed(),
          keys_of("uncertainty", "uncertainty", "How unsure the resistivity of the mixture is.")
              .otherwise("that of the less sure of the two solids"),
      });
}

}  // namespace

void add_powder_keys(KeyTable& table) {
  table.add("porous", {
                          keys_of("porous law", "heat", "How heat conduction falls with porosity.").needed(),
                          keys_of("porous law", "current", "How electric conduction falls with porosity.")
                              .otherwise("an error, except in a mixture, which has a law of its own"),
                          text("reason", "Why these laws fit this material.").needed(),
                      });
  table.add("porous law",
            {
                one_of("law", "maxwell eucken|bruggeman|koh fortini|argento bouvard|power|montes|mclachlan",
                       "Conductivity of the porous over that of the dense solid, against relative density.")
                    .needed()
                    .example("bruggeman"),
                amount("tap density", Kind::ratio, "Relative density at which particles just touch.")
                    .otherwise("the law has none")
                    .above("0")
                    .most("0.99")
                    .varies(),
                amount("exponent", Kind::ratio, "Exponent of the law.")
                    .otherwise("the law has none")
                    .above("0")
                    .most("10")
                    .varies(),
                amount("threshold", Kind::ratio, "Relative density below which nothing conducts.")
                    .otherwise("the law has none")
                    .above("0")
                    .most("0.99")
                    .varies(),
            });
  add_oxide_film(table);
  add_creep(table);
  add_densification(table);
  add_mixture(table);
}

}  // namespace joulepress::cases
