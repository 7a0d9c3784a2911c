#include "cases/reader/key_table.hpp"

namespace joulepress::cases {

void add_programme_keys(KeyTable& table) {
  table.add(
      "programme",
      {
          one_of("heated by", "current|furnace",
                 "Current through the stack, or the wall of the chamber: then no current flows, and the "
                 "programme "
                 "is the temperature of that wall.")
              .standard("current"),
          text("control", "The sensor a temperature programme runs on.")
              .otherwise("the usual sensor of the press; none: no temperature is controlled")
              .example("die thermocouple"),
          one_of("follow", "exactly|by the controller",
                 "Exactly, as an estimate wants it, or as the press's controller manages to.")
              .standard("exactly"),
          keys_of("hand over", "hand over", "A second sensor takes over control.").otherwise("none does"),
          keys_of("start", "start", "Constant power until the control sensor sees.")
              .otherwise("the programme begins at once"),
          list_of("abort rule", "abort when", "What ends the run.").otherwise("nothing"),
          on_off("pulses", "Whether the press pulses its current, in the form its file gives.")
              .standard("off"),
          on_off("thermoelectric", "Whether Peltier and Thomson heat count; for semiconducting powders.")
              .standard("off"),
          list_of("step", "temperature",
                  "Steps of the reading of the control sensor; of a furnace, of its wall.")
              .otherwise("another quantity is driven"),
          list_of("step", "current", "Steps of the effective current.")
              .otherwise("another quantity is driven"),
          list_of("step", "voltage", "Steps of the effective voltage between the column ends.")
              .otherwise("another quantity is driven"),
          list_of("step", "power", "Steps of the mean power.").otherwise("another quantity is driven"),
          list_of("pressure step", "pressure on powder",
                  "Steps of the pressure on the (first) powder, after which it stays; its highest value "
                  "sets the axial touches "
                  "through the run.")
              .otherwise("touches as at 20 MPa"),
      });
  table.add(
      "step",
      {
          amount("ramp to", std::nullopt, "Goes in a straight line to this value of the driven quantity.")
              .otherwise("it is no ramp")
              .example("1350 degC")
              .varies(),
          amount("rate", Kind::temperature_rate, "Heating or cooling rate of a ramp.")
              .otherwise("the time of the ramp is given")
              .above("0 K/min")
              .most("100000 K/min")
              .example("100 degC/min")
              .varies(),
          amount("in", Kind::time, "Time of a ramp.")
              .otherwise("the rate of the ramp is given")
              .above("0 s")
              .most("1000 h")
              .example("10 min")
              .varies(),
          amount("hold", Kind::time, "Stays where it is for this time.")
              .otherwise("it is no hold")
              .above("0 s")
              .most("1000 h")
              .example("5 min")
              .varies(),
          one_of("cool", "free", "Current off.").otherwise("it is no cooling").example("free"),
          amount("for", Kind::time, "Time of a free cooling.")
              .otherwise("it is no cooling")
              .above("0 s")
              .most("1000 h")
              .example("5 min")
              .varies(),
          text("name", "Name of the step in reports.").otherwise("holds are numbered").example("sinter"),
      });
  table.add("hand over",
            {
                text("to", "The sensor that takes over, once it sees.").needed().example("pyrometer"),
                amount("at", Kind::temperature, "When the first one reads this.")
                    .needed()
                    .most("3000 degC")
                    .example("650 degC"),
            });
  table.add(
      "start",
      {
          amount("power", Kind::power, "Mean power.").needed().above("0 W").most("10000 kW").example("2 kW"),
          amount("until", Kind::temperature, "And until the sensor reads this.")
              .otherwise("as soon as it sees")
              .most("3000 degC")
              .example("450 degC"),
      });
  table.add(
      "abort rule",
      {
          amount("current above", Kind::current, "Effective current.")
              .otherwise("another quantity is watched")
              .above("0 A")
              .most("1000 kA")
              .example("2 kA"),
          amount("voltage above", Kind::voltage, "Effective voltage between the column ends.")
              .otherwise("another quantity is watched")
              .above("0 V")
              .most("1000 V")
              .example("8 V"),
          amount("power above", Kind::power, "Mean power.")
              .otherwise("another quantity is watched")
              .above("0 W")
              .most("10000 kW")
              .example("20 kW"),
          amount("reading above", Kind::temperature, "Reading of a sensor.")
              .otherwise("another quantity is watched")
              .most("3500 degC")
              .example("1500 degC"),
          text("of", "The sensor whose reading is watched.")
              .otherwise("the one that controls at the start")
              .example("die thermocouple"),
          amount("until", Kind::temperature, "The rule holds only until the control sensor first reads this.")
              .otherwise("it holds all the time")
              .most("3500 degC")
              .example("600 degC"),
      });
  table.add("pressure step",
            {
                amount("hold", Kind::pressure, "Stays at this pressure.")
                    .otherwise("it is no hold")
                    .least("0 MPa")
                    .most("10 GPa")
                    .example("16 MPa")
                    .varies(),
                amount("until", Kind::temperature,
                       "Ends the hold when the temperature programme first reaches this.")
                    .otherwise("something else ends the hold")
                    .most("3500 degC")
                    .example("600 degC")
                    .varies(),
                text("until start of", "Ends the hold when this step of the programme begins, by its name.")
                    .otherwise("something else ends the hold")
                    .example("sinter"),
                amount("for", Kind::time, "Time of the hold.")
                    .otherwise("it is no hold, or something else ends it")
                    .above("0 s")
                    .most("1000 h")
                    .example("2 min"),
                amount("ramp to", Kind::pressure, "Goes in a straight line to this pressure.")
                    .otherwise("it is no ramp")
                    .least("0 MPa")
                    .most("10 GPa")
                    .example("50 MPa")
                    .varies(),
                amount("in", Kind::time, "Time of the ramp.")
                    .otherwise("it is no ramp")
                    .above("0 s")
                    .most("1000 h")
                    .example("2 min"),
                text("name", "Name of the step; not used.").otherwise("none"),
            });
}

const std::vector<KeyGroup>& all_groups() {
  static const std::vector<KeyGroup> groups{
      {"case", "top of a case file", "The whole job: press, tools, powder, programme and sensors."},
      {"press", "`press:`, or the top of a press file",
       "What one press can do; kept in a file, it serves many cases."},
      {"limits", "`limits:` of a press", "Where the press stops following the programme. Effective values."},
      {"controller", "`controller:` of a press",
       "A PID; its full output is the limit of power, or of current."},
      {"programme entry", "`programme entry:` of a press", "How a programme is typed in."},
      {"pulse", "`pulse:` of a press", "Rectangular pulses, or what was measured of other ones."},
      {"meters", "`meters:` of a press", "What the panel and the log show; `run --log` writes one."},
      {"column ends", "`column ends:` of a press or a case", "What cools the two ends of the column."},
      {"tooling", "`tooling:`, or the top of a tooling file",
       "A tool set; kept in a file, it serves many cases."},
      {"column", "an entry of `column:`",
       "A solid of revolution on the axis; foils between parts are added to its length."},
      {"start density", "`relative density:` of a powder", "The powder as the preload leaves it."},
      {"filling", "an entry of `fillings:`", "The powder in one cavity of the column."},
      {"sleeve", "an entry of `sleeves:`",
       "A part that shares the axis but not the column: around it, or inside bored punches."},
      {"foil", "an entry of `foils:`", "A thin sheet with its own cells: what runs along it matters."},
      {"contacts", "`contacts:`", "Totals of a joint; the touch follows from the total and the foil."},
      {"axial contact", "`axial:` of the contacts", "Known to a factor of two."},
      {"lateral contact", "`lateral:` of the contacts", "Known to a factor of three."},
      {"surroundings", "`surroundings:`", "Chamber and gas."},
      {"blind bore", "`blind bore:` of a part of the column", "A hole to look down, to near the powder."},
      {"sensor", "an entry of `sensors:`",
       "A thermocouple in a radial bore, or a pyrometer on an outer surface or down a bore."},
      {"programme", "`programme:`",
       "One of temperature, current, voltage or power, step after step, and the pressure."},
      {"hand over", "`hand over:` of the programme", "From a couple to a pyrometer, as the ramp passes."},
      {"start", "`start:` of the programme", "For a controller whose sensor does not see from the start."},
      {"abort rule", "an entry of `abort when:`",
       "One quantity and its limit; the run ends, with what was computed kept."},
      {"step", "a step of the programme", "A ramp, a hold or a free cooling."},
      {"pressure step", "a step of the pressure", "A hold or a ramp."},
      {"scale", "an entry of `scales:`",
       "The curve keeps its form; a material without that property cannot be scaled."},
      {"calibration", "`calibration:`, or the top of a calibration file",
       "Values a fit found, how unsure they still are and how they hang together; kept in a file, it serves "
       "every case on the same press."},
      {"calibration log", "an entry of `logs:`", "One measured run."},
      {"calibration input", "an entry of `inputs:` of a calibration",
       "One unknown of the fit, whose values have one standard score."},
      {"calibration value", "an entry of `values:` of these", "One value and how unsure it still is."},
      {"strength", "`strength:`", "Whether a run judges its tools by their strength, and what it asks."},
      {"numerics", "`numerics:`", "How finely and how strictly."},
      {"output", "`output:`", "What is written."},
      {"material", "top of a material file", "One material: curves with sources, ranges and uncertainty."},
      {"property", "a property of a material",
       "A number, a sum of powers of T, or a table, with its source."},
      {"piece", "an entry of `pieces:`", "One stretch of a curve."},
      {"uncertainty", "`uncertainty:` of a property",
       "What a person who has not measured the part does not know."},
      {"weibull", "`weibull:` of a material",
       "How the strength of a brittle material scatters, and with which specimen it was measured: a larger "
       "one is weaker."},
      {"specimen", "`specimen:` of these", "A bar in bending or a rod in tension."},
      {"porous", "`porous:` of a material",
       "Laws with their reason; the dense solid is what the curves describe."},
      {"porous law", "`heat:` or `current:` of these", "One law and its parameters."},
      {"mixture", "`mixture:` of a material", "A conducting solid in an insulating one."},
      {"oxide film", "`oxide film:` of a material",
       "Gone irreversibly as the hottest temperature met rises through its window."},
      {"gas in pores", "`gas in pores:` of a material",
       "Argon or nitrogen in a felt, in parallel to its fibres."},
      {"creep", "`creep:` of a material",
       "How fast the dense solid creeps: one law and its parameters, or several sets by the density of the "
       "powder."},
      {"densification", "`densification:` of a material",
       "One law; `creep` gives the strength of the solid it needs."},
      {"measured resistivity", "`measured resistivity:` of a material",
       "One measurement that narrows a grade."},
      {"plan", "top of a plan", "One case with some of its values varied, what to look at, what must hold."},
      {"variation", "an entry of `vary:`", "One key and the values it takes."},
      {"in step", "an entry of `with:`", "A key that takes a value of its own for each of the variation's."},
      {"listed member", "an entry of `members:`", "One named variant of the case."},
      {"setting", "an entry of `set:`", "One key and its value in this variant."},
      {"requirement", "an entry of `require:`", "A value of the results and what it may be."},
      {"recommendation", "`recommend:`", "What decides among the good variants."},
      {"stock", "top of a file of stock sizes", "What the supplier has."},
      {"log", "top of the map of a log", "What the headings of a press's log do not say, and what melted."},
      {"log time", "`time:` of a map", "How the log tells the time."},
      {"log column", "an entry of `columns:` of a map",
       "One column of the log: what it shows, in which unit."},
      {"log column range", "`valid:` of a column",
       "For a sensor that changes its range, or two that take turns."},
      {"melt event", "an entry of `events:` of a map",
       "Something that melted at a known temperature: a reading without a sensor."},
  };
  return groups;
}

}  // namespace joulepress::cases
