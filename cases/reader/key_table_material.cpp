#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

/// The forms a curve may take, of a property and of each of its pieces.
void add_curve(KeyTable& table, std::string_view group) {
  table.add(
      group,
      {
          amount("value", std::nullopt, "The same at every temperature.")
              .otherwise("terms or a table")
              .example("1850 kg/m3"),
          rows_of_numbers("terms", "[coefficient, power] of each term of a sum of powers of T in kelvin.")
              .otherwise("a value or a table")
              .example("[[123, 0], [-0.0699, 1]]"),
          list_of("", "range", "Temperatures between which the terms hold.")
              .otherwise("a table brings its own")
              .example("[273 K, 1500 K]"),
          rows_of_numbers("table", "[K, value] rows, joined by a smooth curve without overshoot.")
              .otherwise("a value or terms")
              .example("[[300, 91], [600, 66]]"),
      });
}

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
          text("source", "Where the numbers come from; says `from memory` where they do.")
              .needed()
              .example("\"creep test of the lot\""),
          text("note", "What a user should know.").otherwise("none"),
          keys_of("uncertainty", "uncertainty", "How unsure the rate is.").otherwise("not known"),
      });
}

}  // namespace

void add_material_keys(KeyTable& table) {
  table.add(
      "material",
      {
          one_of("format", "1", "Version of the layout of this file.").standard("1"),
          text("material", "The name cases use.").needed().example("isotropic graphite"),
          text("from", "A shipped material this one starts from; what is written here replaces its values.")
              .otherwise("every property is written here")
              .example("isotropic graphite"),
          keys_of("measured resistivity", "measured resistivity",
                  "One resistivity measured on your own stock; the curve is scaled to it, and the heat "
                  "conductivity the other way.")
              .otherwise("the curves as they are"),
          text("note", "What a user should know.").otherwise("none"),
          on_off("insulator", "Whether it carries no current worth the name beside graphite.")
              .standard("off"),
          on_off("carbon", "Whether it is a carbon, with which a powder may form a eutectic.")
              .standard("off"),
          amount("melting", Kind::temperature, "Where the first liquid appears in the material by itself.")
              .otherwise("not known")
              .most("5000 K")
              .example("1455 degC"),
          amount("eutectic with carbon", Kind::temperature,
                 "Where the first liquid appears when it touches graphite.")
              .otherwise("not known")
              .most("5000 K")
              .example("1329 degC"),
          keys_of("property", "density", "Density of the dense solid, cold.")
              .kind(Kind::density)
              .needed()
              .varies(),
          keys_of("property", "heat capacity", "Specific heat capacity.")
              .kind(Kind::heat_capacity)
              .needed()
              .varies(),
          keys_of("property", "conductivity",
                  "Heat conductivity of the dense solid; `across` the layers of a sheet.")
              .kind(Kind::conductivity)
              .needed()
              .varies(),
          keys_of("property", "resistivity",
                  "Electrical resistivity of the dense solid; `across` the layers of a sheet.")
              .kind(Kind::resistivity)
              .needed()
              .varies(),
          keys_of("property", "emissivity", "Total hemispherical emissivity.")
              .kind(Kind::ratio)
              .otherwise("not known")
              .varies(),
          keys_of("property", "compressive strength", "Strength under pressure.")
              .kind(Kind::pressure)
              .otherwise("not known")
              .varies(),
          keys_of("porous", "porous", "How the conductivities of a powder follow its density.")
              .otherwise("Maxwell-Eucken for both"),
          keys_of("creep", "creep", "How fast the dense solid creeps, and with it a powder densifies.")
              .otherwise("not known"),
          keys_of("property", "flexural strength", "Strength in bending.")
              .kind(Kind::pressure)
              .otherwise("not known")
              .varies(),
      });
  table.add("measured resistivity", {
                                        amount("value", Kind::resistivity, "The measured value.")
                                            .needed()
                                            .above("0 uohm m")
                                            .most("1e6 ohm m")
                                            .example("14.2 uohm m")
                                            .varies(deviation("2 %", "common practice, no source")),
                                        amount("at", Kind::temperature, "Temperature of the measurement.")
                                            .standard("20 degC")
                                            .most("3000 degC"),
                                    });
  table.add(
      "property",
      {
          text("unit", "Unit of the numbers in value, terms and table.")
              .otherwise("the value carries its own")
              .example("uohm m"),
          list_of("piece", "pieces", "Curves that follow each other in temperature.").otherwise("one curve"),
          text("source", "Where the numbers come from; says `from memory` where they do.")
              .needed()
              .example("\"data sheet of the supplier\""),
          text("note", "What a user should know.").otherwise("none"),
          keys_of("uncertainty", "uncertainty", "How unsure the property is.").otherwise("not known"),
          keys_of("property", "across", "The same property through the thickness of a sheet or plate.")
              .otherwise("alike in every direction"),
      });
  table.add("uncertainty",
            {
                amount("relative", Kind::ratio, "One standard deviation as a part of the value.")
                    .otherwise("a factor")
                    .above("0")
                    .most("1")
                    .example("10 %"),
                amount("factor", Kind::ratio, "Two standard deviations either way, log-normal.")
                    .otherwise("relative")
                    .above("1")
                    .most("1000")
                    .example("3"),
                text("group", "Properties of the same group move together.")
                    .otherwise("independent")
                    .example("graphite resistivity"),
            });
  table.add("porous",
            {
                keys_of("porous law", "heat", "How heat conduction falls with porosity.").needed(),
                keys_of("porous law", "current", "How electric conduction falls with porosity.").needed(),
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
  add_creep(table);
  add_curve(table, "property");
  add_curve(table, "piece");
}

}  // namespace joulepress::cases
