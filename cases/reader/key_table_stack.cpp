#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

constexpr std::string_view length_max = "2 m";  // no die press takes a larger part; a slip of the unit

/// What a powder of the column and a filling have in common.
std::vector<Row> powder_rows() {
  return {
      on_off("densification",
             "Whether the powder densifies, where its kinetics, start density and pressure are known; "
             "off: it has its end density all the time.")
          .standard("on"),
      on_off("oxide film", "Whether the grains begin with their oxide film, where the material has one.")
          .standard("on"),
      amount("grain size", Kind::length, "Size of its grains; creep by diffusion depends on it.")
          .otherwise("that of the creep data")
          .above("0 mm")
          .most("10 mm")
          .example("0.5 um")
          .varies(within_factor("1.6", "common practice, no source")),
      amount("wall friction", Kind::ratio, "Coefficient of friction at the wall of its cavity.")
          .standard("0.15")
          .least("0")
          .most("1")
          .varies(deviation(
              "0.05", "graphite foil 0.13 to 0.22 cold, Nanomaterials 14:1499 (2024); ours is a choice")),
  };
}

/// Diameters that fit into each other, and foils between them, have no spread of their own: what a fit leaves
/// open is in the factors of the contacts.
Row dimension(std::string_view name, std::string_view means) {
  return amount(name, Kind::length, means).above("0 mm").most(length_max);
}

}  // namespace

void add_stack_keys(KeyTable& table) {
  table.add(
      "column",
      {
          text("name", "What you call the part.").needed().example("lower punch"),
          text("material", "What a tool is made of.")
              .otherwise("it is a powder or a cavity")
              .example("isotropic graphite")
              .varies(),
          text("powder", "What a powder is made of; then `material` is absent.")
              .otherwise("it is a tool")
              .example("alumina")
              .varies(),
          on_off("cavity", "A place for powder in a tool set; `fillings` say what fills it.").standard("off"),
          dimension("diameter", "Outer diameter, cold.").needed().example("20 mm").varies(),
          amount("bore", Kind::length, "Diameter of a hole along the axis: of a punch, or of a ring.")
              .standard("0 mm")
              .least("0 mm")
              .most(length_max)
              .varies(),
          keys_of("blind bore", "blind bore", "A hole along the axis that does not go through a tool.")
              .otherwise("none"),
          amount("worn by", Kind::length, "Wear of a tool: its outer diameter is smaller by this much.")
              .standard("0 mm")
              .least("0 mm")
              .most("50 mm")
              .varies(),
          dimension("height", "Height, cold; of a powder the height of the dense compact.")
              .otherwise("a powder: from its mass")
              .example("25 mm")
              .varies(deviation("0.05 mm", "common practice, no source")),
          amount("mass", Kind::mass, "Mass of the filled powder; its height follows.")
              .otherwise("the height is given")
              .above("0 g")
              .most("1000 kg")
              .example("6 g")
              .varies(deviation("0.5 %", "common practice, no source")),
          amount("relative density", Kind::ratio,
                 "Of the powder under the preload, in parts of full density.")
              .or_keys("start density")
              .otherwise("not known; the height before pressing cannot be shown")
              .above("0")
              .most("1")
              .example("0.55")
              .varies(deviation("0.02", "common practice, no source")),
          amount(
              "end density", Kind::ratio,
              "Relative density expected at the end; held through the run where the powder does not densify.")
              .standard("0.99")
              .above("0")
              .most("1")
              .varies(deviation("0.01", "common practice, no source")),
      });
  table.add("column", powder_rows());
  table.add("blind bore", {
                              dimension("diameter", "Its diameter.").needed().example("6 mm"),
                              dimension("leaves", "What it leaves of the part's height below its bottom.")
                                  .needed()
                                  .example("4 mm")
                                  .varies(deviation("0.2 mm", "common practice, no source")),
                              one_of("from", "top|bottom", "Which face it is drilled from.").standard("top"),
                          });
  table.add("start density",
            {
                amount("value", Kind::ratio, "Relative density under the preload.")
                    .needed()
                    .above("0")
                    .most("1")
                    .example("0.55")
                    .varies(),
                amount("at pressure", Kind::pressure, "Pressure under which it was measured.")
                    .otherwise("not recorded")
                    .above("0 MPa")
                    .most("10 GPa")
                    .example("16 MPa"),
            });
  table.add("filling", {
                           text("in", "The cavity it fills.").needed().example("sample"),
                           text("powder", "What the powder is made of.").needed().example("alumina").varies(),
                           dimension("height", "Height of the dense compact.")
                               .otherwise("from its mass")
                               .example("5 mm")
                               .varies(),
                           amount("mass", Kind::mass, "As `column.mass`.")
                               .otherwise("the height is given")
                               .above("0 g")
                               .most("1000 kg")
                               .example("6 g")
                               .varies(deviation("0.5 %", "common practice, no source")),
                           amount("relative density", Kind::ratio, "As `column.relative density`.")
                               .or_keys("start density")
                               .otherwise("not known")
                               .above("0")
                               .most("1")
                               .example("0.55")
                               .varies(),
                           amount("end density", Kind::ratio, "As `column.end density`.")
                               .standard("0.99")
                               .above("0")
                               .most("1")
                               .varies(),
                       });
  table.add("filling", powder_rows());
  table.add("sleeve",
            {
                text("name", "What you call the part.").needed().example("die"),
                text("material", "What it is made of.").needed().example("isotropic graphite").varies(),
                amount("inner diameter", Kind::length, "Its bore, cold.")
                    .otherwise("solid: a core rod")
                    .least("0 mm")
                    .most(length_max)
                    .example("20.4 mm")
                    .varies(),
                dimension("outer diameter", "Its outside, cold.")
                    .needed()
                    .example("50 mm")
                    .varies(deviation("0.05 mm", "common practice, no source")),
                dimension("height", "Its height, cold.")
                    .needed()
                    .example("36 mm")
                    .varies(deviation("0.05 mm", "common practice, no source")),
                amount("worn by", Kind::length, "Wear: a bore is wider, a core rod thinner by this much.")
                    .standard("0 mm")
                    .least("0 mm")
                    .most("50 mm")
                    .varies(),
                text("centre on", "Part of the column whose middle is at its own middle height.")
                    .otherwise("it stands on a part or hangs below one")
                    .example("powder"),
                text("stands on", "Sleeve or part of the column on whose upper face it stands: an end cap.")
                    .otherwise("it is centred on a part or hangs below one")
                    .example("die"),
                text("hangs below", "Sleeve or part of the column below whose lower face it hangs.")
                    .otherwise("it is centred on a part or stands on one")
                    .example("die"),
                text("moves with",
                     "Part of the column it follows while the powder shrinks: of a powder its middle.")
                    .otherwise("the part it is centred on, stands on or hangs below")
                    .example("powder"),
            });
  table.add("foil",
            {
                text("along", "`bore of` or `outside of` the sleeve or core rod that it lines.")
                    .otherwise("it lies between two parts")
                    .example("bore of die"),
                list_of("", "between", "Two neighbours of the column, the lower one first.")
                    .otherwise("it lines a bore or a rod")
                    .example("[lower punch, powder]"),
                dimension("thickness", "Thickness under pressure.").needed().example("0.2 mm").varies(),
                text("material", "What it is made of.").standard("graphite foil").varies(),
            });
}

}  // namespace joulepress::cases
