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
          text("usual sensor", "Name of the sensor that controls on this press unless the case says another.")
              .otherwise("the case says which")
              .example("die thermocouple"),
          keys_of("controller", "controller", "How the press follows a temperature programme.")
              .otherwise("the defaults below"),
          keys_of("programme entry", "programme entry",
                  "What can be typed in as a temperature programme; `correct` keeps to it.")
              .otherwise("the defaults below"),
          one_of("positive pole", "upper|lower",
                 "At which end the current enters; thermoelectric heat follows it.")
              .standard("upper"),
          keys_of("pulse", "pulse", "Form of its current where it pulses.").otherwise("continuous current"),
          keys_of("meters", "meters", "What its meters and its log show.")
              .otherwise("not known; a log cannot be written"),
          amount("gauge area", Kind::area, "Area on which the oil pressure of its gauge acts.")
              .otherwise("the force is shown")
              .above("0 cm2")
              .most("10 m2")
              .example("95 cm2"),
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
  table.add(
      "controller",
      {
          amount("period", Kind::time, "Time between two looks at the sensor.")
              .standard("1 s")
              .least("20 ms")
              .most("1 min"),
          one_of("output", "power|current", "What it sets; the other and the voltage follow.")
              .standard("power"),
          amount("proportional band", Kind::temperature_difference,
                 "Deviation that alone asks for the whole output.")
              .otherwise("from a step of the model")
              .above("0 K")
              .most("10000 K")
              .example("120 K"),
          amount("integral time", Kind::time, "Time in which a lasting deviation asks for as much again.")
              .otherwise("from a step of the model")
              .above("0 s")
              .most("1 h")
              .example("40 s"),
          amount("derivative time", Kind::time, "How far ahead the slope of the reading is looked along.")
              .standard("0 s")
              .least("0 s")
              .most("10 min"),
          amount("least output", Kind::ratio, "Of the full output.").standard("0 %").least("0").most("1"),
          amount("largest output", Kind::ratio, "Of the full output.").standard("100 %").above("0").most("1"),
          amount("full sweep", Kind::time, "Time the output needs from nothing to its full value.")
              .standard("0 s")
              .least("0 s")
              .most("10 min"),
          amount("arrival", Kind::temperature_difference,
                 "The timer of a hold starts when the reading has come this near.")
              .standard("3 K")
              .above("0 K")
              .most("100 K"),
      });
  table.add("programme entry",
            {
                whole_number("steps", "Most steps of a programme: ramps, holds and coolings together.")
                    .standard("8")
                    .least("2")
                    .most("99"),
                amount("fastest rate", Kind::temperature_rate, "Fastest ramp, up or down.")
                    .otherwise("no limit")
                    .above("0 K/min")
                    .most("100000 K/min")
                    .example("250 K/min"),
                amount("rounds temperature to", Kind::temperature_difference, "Last digit of a temperature.")
                    .standard("1 K")
                    .above("0 K")
                    .most("100 K"),
                amount("rounds time to", Kind::time, "Last digit of a time.")
                    .standard("1 s")
                    .above("0 s")
                    .most("10 min"),
            });
  table.add(
      "pulse",
      {
          amount("on", Kind::time, "Time with current.").needed().above("0 ms").most("10 s").example("40 ms"),
          amount("off", Kind::time, "Time without.").needed().least("0 ms").most("10 s").example("7 ms"),
          rows_of_numbers("effective over mean",
                          "[output, ratio] rows as measured, the output as share of the largest mean "
                          "current, joined by straight lines.")
              .otherwise("flat pulses"),
          amount("largest mean current", Kind::current, "Mean current at the full output.")
              .otherwise("needed with measured ratios only")
              .above("0 A")
              .most("1000 kA")
              .example("4 kA"),
      });
  table.add("meters",
            {
                one_of("current", "mean|effective", "Which current is shown.").needed().example("effective"),
                one_of("voltage", "mean|effective", "Which voltage is shown.").needed().example("effective"),
                list_of("", "voltage taps", "The two faces between which the voltage is taken, lower first.")
                    .otherwise("the ends of the column"),
                amount("every", Kind::time, "Time between two lines of the log.")
                    .standard("1 s")
                    .least("20 ms")
                    .most("10 min"),
                amount("rounds temperature to", Kind::temperature_difference, "Last digit shown.")
                    .standard("1 K")
                    .above("0 K")
                    .most("100 K"),
                amount("rounds current to", Kind::current, "Last digit shown.")
                    .standard("1 A")
                    .above("0 A")
                    .most("10 kA"),
                amount("rounds voltage to", Kind::voltage, "Last digit shown.")
                    .standard("10 mV")
                    .above("0 V")
                    .most("10 V"),
                amount("rounds force to", Kind::force, "Last digit shown.")
                    .standard("0.1 kN")
                    .above("0 N")
                    .most("100 kN"),
                amount("rounds stroke to", Kind::length, "Last digit shown.")
                    .standard("0.01 mm")
                    .above("0 mm")
                    .most("10 mm"),
                amount("noise", Kind::ratio, "Standard deviation of current and voltage as logged.")
                    .standard("0 %")
                    .least("0")
                    .most("20 %"),
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
                            on_off("follow conditions",
                                   "Whether touches follow pressure and temperature; off: as at the highest "
                                   "pressure of the programme, all the time.")
                                .standard("off"),
                            amount("ageing", Kind::ratio,
                                   "How many times more touches resist than those of new faces and foils.")
                                .standard("1")
                                .above("0")
                                .most("100")
                                .varies(within_factor("1.5", "common practice, no source")),
                            amount("foil fit", Kind::pressure,
                                   "Side pressure of a foil that fills the gap between punch and die, before "
                                   "they close on it.")
                                .standard("1 MPa")
                                .above("0 MPa")
                                .most("1 GPa")
                                .varies(within_factor("3", "own choice, no source")),
                            amount("foil stiffness", Kind::pressure,
                                   "Modulus of foil through its thickness, where punch and die close on it.")
                                .standard("100 MPa")
                                .above("0 MPa")
                                .most("100 GPa")
                                .varies(within_factor("3", "own choice, no source")),
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
