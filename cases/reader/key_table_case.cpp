#include "cases/reader/key_table.hpp"

namespace joulepress::cases {

void add_case_keys(KeyTable& table) {
  table.add(
      "case",
      {
          one_of("format", "1", "Version of the layout of this file.").needed().example("1"),
          text("title", "One line that names the case in reports.")
              .otherwise("no title")
              .example("20 mm alumina disc, 1350 degC for 5 min"),
          text("press", "The press: a file (relative to the case, or a shipped one), or its keys.")
              .or_keys("press")
              .needed()
              .example("presses/workshop-30kN.yaml"),
          text("tooling",
               "A tool set kept in its own file: column, sleeves, foils, sensors and contacts; the case "
               "fills its cavities.")
              .or_keys("tooling")
              .otherwise("the case lists its own column")
              .example("tooling/graphite-20mm.yaml"),
          list_of("column", "column", "The parts that stand on each other, from bottom to top.")
              .otherwise("the column of the tooling"),
          list_of("filling", "fillings", "What fills the cavities of the column.").otherwise("none"),
          list_of("sleeve", "sleeves",
                  "Parts around or inside the column: die, liner, felt jacket, core rod.")
              .otherwise("none"),
          list_of("foil", "foils",
                  "Graphite foils: along a bore or a rod, and between neighbours of the column.")
              .otherwise("none"),
          keys_of("contacts", "contacts", "What a joint resists, foil and both touches together, at 20 MPa.")
              .otherwise("the published totals below"),
          keys_of("surroundings", "surroundings", "What the stack sees.")
              .otherwise("vacuum and a wall at 25 degC"),
          amount("start temperature", Kind::temperature, "Temperature of everything at the start.")
              .otherwise("that of the chamber")
              .most("3000 degC")
              .example("25 degC")
              .varies(),
          one_of("column ends", "insulated", "Cooling of both ends of the column; overrides the press.")
              .or_keys("column ends")
              .otherwise("that of the press"),
          list_of("sensor", "sensors", "Where temperature is measured.").otherwise("none"),
          keys_of("programme", "programme", "What is asked of the press over time.").needed(),
          keys_of("strength", "strength", "What the strength of the tools is judged by.")
              .otherwise("the defaults below"),
          keys_of("numerics", "numerics", "Grid, and how strictly ranges are kept.")
              .otherwise("the defaults below"),
          keys_of("output", "output", "What is written how often.").otherwise("the defaults below"),
          list_of("scale", "scales",
                  "Properties of materials times a factor, as a study or a calibration found them.")
              .otherwise("none"),
          text("calibration",
               "What measured runs taught: a file (relative to the case, or a shipped one), or its keys.")
              .or_keys("calibration")
              .otherwise("spreads are those of this table and of the material files"),
          list_of("", "materials",
                  "Material files as text; `resolved_case.yaml` carries them so that it stands alone.")
              .otherwise("files beside the case first, then the shipped ones"),
      });
  table.add("tooling",
            {
                text("name", "What the workshop calls this tool set.")
                    .otherwise("the file's name")
                    .example("graphite set, 20 mm"),
                text("note", "Anything worth knowing; not used.").otherwise("none"),
                list_of("column", "column", "As `column` of a case, cavities included.").needed(),
                list_of("sleeve", "sleeves", "As `sleeves` of a case.").otherwise("none"),
                list_of("foil", "foils", "As `foils` of a case.").otherwise("none"),
                keys_of("contacts", "contacts", "As `contacts` of a case, which win.")
                    .otherwise("those of the case"),
                list_of("sensor", "sensors", "Sensors that belong to the tools; the case may add others.")
                    .otherwise("none"),
            });
  table.add("surroundings",
            {
                amount("chamber", Kind::temperature, "Temperature of the chamber's wall.")
                    .standard("25 degC")
                    .most("3000 degC")
                    .varies(deviation("10 K", "common practice, no source")),
                one_of("atmosphere", "vacuum|argon|nitrogen",
                       "What fills the chamber; a gas rises from open walls and conducts across narrow gaps "
                       "and in felt.")
                    .standard("vacuum"),
                amount("pressure", Kind::pressure, "Absolute pressure of the gas, constant through the run.")
                    .otherwise("1 bar of a gas; vacuum has none")
                    .above("0 Pa")
                    .most("10 bar")
                    .example("1.2 bar"),
                on_off("radiation", "Whether walls radiate to each other, to the chamber and across gaps.")
                    .standard("on"),
                one_of("walls see", "each other|chamber only",
                       "Whether open walls radiate to each other, or as if nothing stood before the chamber; "
                       "for comparison.")
                    .standard("each other"),
            });
  table.add("scale",
            {
                text("of", "A material of the case.").needed().example("isotropic graphite"),
                one_of("property",
                       "density|heat capacity|conductivity|conductivity across|resistivity|resistivity "
                       "across|emissivity|compressive strength|flexural strength|tensile strength|expansion|"
                       "expansion across|elastic modulus|poisson ratio|yield strength|surface energy|loose "
                       "touch|seebeck|creep|oxide film|gas in pores",
                       "What of it; `creep` is its rate, `oxide film` the film's resistivity, `gas in pores` "
                       "what the gas adds. The resistivity of a mixture is that of both its solids.")
                    .needed()
                    .example("resistivity"),
                amount("factor", Kind::ratio, "Times this at every temperature.")
                    .needed()
                    .above("0")
                    .most("1e6")
                    .example("1.12")
                    .varies(),
            });
  table.add(
      "strength",
      {
          on_off("judge", "Whether the stresses in the tools are computed and held against their strength.")
              .standard("on"),
          amount("safety factor", Kind::ratio,
                 "Asked of every margin, strength over stress; 2 to 3 for brittle tools, common "
                 "practice, no source.")
              .standard("2")
              .least("1")
              .most("20"),
          amount("ejection friction", Kind::ratio,
                 "Coefficient of friction of compact and foil in the bore; of graphite foil 0.13 to "
                 "0.22, Morozov and others 2024, Nanomaterials 14:1499.")
              .standard("0.2")
              .least("0")
              .most("1")
              .varies(),
      });
  table.add(
      "numerics",
      {
          amount("accuracy", Kind::temperature_difference,
                 "Numerical error aimed at in the reported temperatures; sets grid, time and nonlinear "
                 "tolerances together.")
              .standard("0.1 K")
              .least("0.01 K")
              .most("2 K"),
          one_of(
              "fluxes", "cubic|two-point",
              "Discretisation: cubic polynomials along the rows of cells, or plain two-point fluxes, which "
              "need some twenty times the cells and hardly ever fail.")
              .standard("cubic"),
          whole_number("refinement",
                       "Divides every cell in both directions, on top of what the accuracy asks for.")
              .standard("1")
              .least("1")
              .most("16"),
          on_off("mirror symmetry",
                 "Whether a stack that is its own mirror image in height, contacts and column ends included, "
                 "is solved in its upper half; results are those of the whole.")
              .standard("on"),
          on_off("strict", "Whether leaving the range of a material's data is an error instead of a warning.")
              .standard("off"),
      });
  table.add(
      "output",
      {
          amount("history every", Kind::time, "Time between rows of history.csv; interpolated, never a stop.")
              .standard("5 s")
              .above("0 s")
              .most("1000 h"),
          amount("fields every", Kind::time,
                 "Time between fields in results.h5 and fields.pvd besides those at the start, at every "
                 "corner of the programme and at the end; interpolated, never a stop.")
              .otherwise("a twelfth of the programme")
              .above("0 s")
              .most("1000 h")
              .example("60 s"),
      });
}

}  // namespace joulepress::cases
