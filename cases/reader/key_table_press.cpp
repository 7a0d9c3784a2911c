#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

void add_contact(KeyTable& table, std::string_view group, std::string_view electrical,
                 std::string_view thermal, std::string_view times) {
  const std::string_view source = "Zavaliangos and others 2004, Mater. Sci. Eng. A 379:218, from memory";
  table.add(group, {
                       amount("electrical", Kind::area_resistance,
                              "Electrical resistance of foil and both touches at 20 MPa.")
                           .standard(electrical)
                           .above("0 ohm m2")
                           .most("1 ohm m2")
                           .varies(within_factor(times, source)),
                       amount("thermal", Kind::film, "Heat conductance of foil and both touches at 20 MPa.")
                           .standard(thermal)
                           .above("0 W/m2K")
                           .most("10000 kW/m2K")
                           .varies(within_factor(times, source)),
                   });
}

}  // namespace

void add_press_keys(KeyTable& table) {
  const std::string_view source = "Zavaliangos and others 2004, Mater. Sci. Eng. A 379:218, from memory";
  table.add(
      "press",
      {
          text("name", "What the workshop calls this press.").standard("unnamed press"),
          text("note", "Anything worth knowing; not used.").otherwise("none"),
          keys_of("limits", "limits", "What the press can give at most.").otherwise("no limits"),
          amount("vacuum pull", Kind::force,
                 "Force of the outer air on the ram that the gauge does not show; the programme's pressure "
                 "is what the gauge shows.")
              .standard("0 kN")
              .least("0 kN")
              .most("1000 kN")
              .varies(),
          amount("moving weight", Kind::force,
                 "Weight of ram and column parts on the powder that the gauge does not show.")
              .standard("0 kN")
              .least("0 kN")
              .most("1000 kN")
              .varies(),
          amount("frame compliance", Kind::compliance,
                 "How far the press gives per force; part of the stroke it logs.")
              .standard("0 mm/kN")
              .least("0 mm/kN")
              .most("10 mm/kN")
              .example("0.01 mm/kN")
              .varies(),
          one_of("column ends", "insulated",
                 "Cooling of both ends of the column: ram, joint and water lumped.")
              .or_keys("column ends")
              .otherwise("the film below"),
      });
  table.add("limits",
            {
                amount("current", Kind::current, "Largest effective current.")
                    .otherwise("no limit")
                    .above("0 A")
                    .most("1000 kA")
                    .example("5 kA")
                    .varies(),
                amount("voltage", Kind::voltage, "Largest effective voltage between the column ends.")
                    .otherwise("no limit")
                    .above("0 V")
                    .most("1000 V")
                    .example("10 V")
                    .varies(),
                amount("power", Kind::power, "Largest mean power.")
                    .otherwise("no limit")
                    .above("0 W")
                    .most("10000 kW")
                    .example("40 kW")
                    .varies(),
                amount("force", Kind::force, "Largest force of the rams.")
                    .otherwise("no limit")
                    .above("0 N")
                    .most("100000 kN")
                    .example("30 kN")
                    .varies(),
            });
  table.add("column ends",
            {
                amount("film", Kind::film, "Heat conductance from an end of the column to the cooling water.")
                    .standard("880 W/m2K")
                    .above("0 W/m2K")
                    .most("1000 kW/m2K")
                    .varies(within_factor("2", source)),
                amount("water", Kind::temperature, "Temperature of the cooling water.")
                    .standard("20 degC")
                    .most("3000 degC")
                    .varies(deviation("3 K", "common practice, no source")),
                amount("temperature", Kind::temperature,
                       "Ends held at this temperature, instead of `film` and `water`.")
                    .otherwise("the film")
                    .most("3000 degC")
                    .example("25 degC")
                    .varies(),
            });
  table.add("contacts", {
                            keys_of("axial contact", "axial",
                                    "Joints that carry the force: punch to spacer, punch to powder.")
                                .otherwise("the published totals"),
                            keys_of("lateral contact", "lateral",
                                    "Joints along a bore: punch to die, powder to die. They decide the "
                                    "offset more than anything else.")
                                .otherwise("the published totals"),
                        });
  add_contact(table, "axial contact", "8e-8 ohm m2", "2.4 kW/m2K", "2");
  add_contact(table, "lateral contact", "1.3e-7 ohm m2", "1.32 kW/m2K", "3");
}

}  // namespace joulepress::cases
