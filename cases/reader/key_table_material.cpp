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

void add_weibull(KeyTable& table) {
  const auto size = [](std::string_view name, std::string_view means, std::string_view otherwise,
                       std::string_view example) {
    return amount(name, Kind::length, means).otherwise(otherwise).above("0 mm").most("1 m").example(example);
  };
  table.add("weibull",
            {
                amount("modulus", Kind::ratio, "Weibull's modulus m; the higher, the less scatter.")
                    .needed()
                    .above("1")
                    .most("100")
                    .example("10"),
                keys_of("specimen", "specimen", "What was broken to measure the strength.").needed(),
                text("source", "Where the numbers come from; says `from memory` where they do.")
                    .needed()
                    .example("\"data sheet of the supplier\""),
            });
  table.add(
      "specimen",
      {
          one_of("loading", "four points|three points|tension", "A bar bent, or a round rod pulled.")
              .needed()
              .example("four points"),
          size("width", "Width of the bar.", "needed in bending", "4 mm"),
          size("height", "Height of the bar, in the direction of the load.", "needed in bending", "3 mm"),
          size("span", "Between the outer supports.", "needed in bending", "40 mm"),
          size("inner span", "Between the inner rollers.", "needed with four points", "20 mm"),
          size("diameter", "Diameter of the rod.", "needed in tension", "10 mm"),
          size("length", "Gauge length of the rod.", "needed in tension", "40 mm"),
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
          keys_of(
              "mixture", "mixture",
              "Two solids, one of them an insulator, mixed grain by grain: density, heat capacity, "
              "conductivities and emissivity then follow from theirs; what is written here replaces them.")
              .otherwise("one solid"),
          keys_of("porous", "porous", "How the conductivities of a powder follow its density.")
              .otherwise("Maxwell-Eucken for both"),
          keys_of("oxide film", "oxide film",
                  "The oxide between the grains of a metal powder, which blocks the current until it breaks.")
              .otherwise("none"),
          keys_of(
              "gas in pores", "gas in pores",
              "What a gas in the chamber adds to the heat conductivity of a felt, which is that in vacuum.")
              .otherwise("nothing"),
          list_of("creep", "creep",
                  "How fast the dense solid creeps, and with it a powder densifies; a list of sets where the "
                  "mechanism changes with the density of the powder.")
              .or_keys("creep")
              .otherwise("not known"),
          keys_of("densification", "densification",
                  "How the densification of a powder follows from the creep of its solid.")
              .otherwise("that of a closed die"),
          keys_of("property", "flexural strength", "Strength in bending.")
              .kind(Kind::pressure)
              .otherwise("not known")
              .varies(),
          keys_of("property", "tensile strength",
                  "Strength in tension; of a brittle material the mean, of a metal where it tears.")
              .kind(Kind::pressure)
              .otherwise("not known")
              .varies(),
          keys_of(
              "weibull", "weibull",
              "Scatter of the flexural strength, or of the tensile strength where its specimen was pulled.")
              .otherwise("not known"),
          keys_of("property", "expansion",
                  "Mean linear thermal expansion from 20 degC to the temperature; `across` the layers of a "
                  "sheet.")
              .kind(Kind::expansion)
              .otherwise("not known")
              .varies(),
          keys_of("property", "elastic modulus", "Young's modulus; of a sheet that through it.")
              .kind(Kind::pressure)
              .otherwise("not known")
              .varies(),
          keys_of("property", "poisson ratio", "Lateral over axial strain, from 0 to 0.45.")
              .kind(Kind::ratio)
              .otherwise("not known, 0.2 is taken")
              .varies(),
          keys_of("property", "yield strength", "Stress at which the annealed metal yields.")
              .kind(Kind::pressure)
              .otherwise("not known")
              .varies(),
          keys_of("property", "surface energy", "Of the solid against vacuum; it drives sintering.")
              .kind(Kind::surface_energy)
              .otherwise("not known")
              .varies(),
          keys_of("property", "loose touch",
                  "Electrical resistance of a touch where nothing presses, of a soft material such as felt. "
                  "Heat passes its touches freely, and it holds no powder.")
              .kind(Kind::area_resistance)
              .otherwise("a solid, whose touches are those of `contacts`")
              .varies(),
          keys_of("property", "seebeck",
                  "Seebeck coefficient, above 0 of p-type; used by `thermoelectric` of the programme.")
              .kind(Kind::seebeck)
              .otherwise("not known, counts as 0")
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
                amount("relative", Kind::ratio,
                       "One standard deviation as a part of the value; drawn log-normal, two of them a "
                       "factor of 1 + twice that.")
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
  table.add(
      "gas in pores",
      {
          amount("factor", Kind::ratio,
                 "How many times the conductivity of the free gas is added; above 1 where gas bridges the "
                 "touches of fibres.")
              .needed()
              .above("0")
              .most("20")
              .example("2.5")
              .varies(),
          amount("pore", Kind::length, "Width of a pore; narrow pores and thin gas add less.")
              .needed()
              .above("0 um")
              .most("10 mm")
              .example("0.1 mm"),
          text("source", "Where the numbers come from; says `from memory` where they do.")
              .needed()
              .example("\"data sheet of the felt, vacuum against argon\""),
          text("note", "What a user should know.").otherwise("none"),
          keys_of("uncertainty", "uncertainty", "How unsure the factor is.").otherwise("not known"),
      });
  add_curve(table, "property");
  add_curve(table, "piece");
  add_weibull(table);
}

}  // namespace joulepress::cases
