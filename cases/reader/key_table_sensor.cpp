#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

constexpr std::string_view couple = "a thermocouple only";
constexpr std::string_view practice = "common practice, no source";
constexpr std::string_view type_k =
    "half of the 7.5 K that class 2 allows a type K couple at 1000 degC, IEC 60584-1, from memory";

}  // namespace

void add_sensor_keys(KeyTable& table) {
  table.add(
      "sensor",
      {
          text("name", "What you call the sensor.").needed().example("die thermocouple"),
          one_of("kind", "thermocouple|pyrometer", "What it is.").needed().example("thermocouple"),
          text("in", "The part a thermocouple is bored into.")
              .otherwise("a pyrometer has `looks at`")
              .example("die"),
          text("looks at", "The part a pyrometer is pointed at.")
              .otherwise("a thermocouple has `in`")
              .example("die"),
          one_of("spot", "outer surface|bottom of its bore", "What of that part the pyrometer sees.")
              .standard("outer surface"),
          amount("spot size", Kind::length, "Diameter of what the pyrometer sees.")
              .standard("2 mm")
              .above("0 mm")
              .most("100 mm"),
          one_of("bore from", "outer surface", "Where the bore of a thermocouple starts.")
              .standard("outer surface"),
          amount("depth", Kind::length, "Depth of that bore; the junction is at its bottom.")
              .otherwise(couple)
              .above("0 mm")
              .most("2 m")
              .example("11 mm")
              .varies(deviation("0.5 mm", practice)),
          amount("height", Kind::length, "Height of bore or spot above the bottom of the part.")
              .or_word("middle")
              .standard("middle")
              .least("0 mm")
              .most("2 m")
              .varies(deviation("0.5 mm", practice)),
          amount("sheath", Kind::length, "Diameter of the sheath of a thermocouple.")
              .standard("1.5 mm")
              .above("0 mm")
              .most("50 mm")
              .varies(),
          amount("sheath conductivity", Kind::conductivity,
                 "Heat conductivity along the sheath, wires and filling included.")
              .standard("15 W/mK")
              .above("0 W/mK")
              .most("500 W/mK")
              .varies(within_factor("1.6", practice)),
          on_off("stem error", "Whether the heat lost along the sheath lowers the reading.").standard("on"),
          amount("tip contact", Kind::film,
                 "Heat conductance of a tip that a spring presses onto the bottom of its bore.")
              .standard("0 W/m2K")
              .least("0 W/m2K")
              .most("1000 kW/m2K")
              .varies(within_factor("3", practice)),
          amount("gas in bore", Kind::film,
                 "Heat conductance of gas between sheath and bore, beside radiation.")
              .standard("0 W/m2K")
              .least("0 W/m2K")
              .most("100 kW/m2K")
              .varies(),
          one_of("type", "B|C|J|K|N|R|S", "Letter of a thermocouple by IEC 60584; gives its tolerance.")
              .otherwise("no tolerance is told"),
          whole_number("class", "Tolerance class of a thermocouple by IEC 60584.")
              .standard("2")
              .least("1")
              .most("3"),
          amount("response time", Kind::time, "Time in which it follows a step to 63 %.")
              .standard("0 s")
              .least("0 s")
              .most("10 min")
              .varies(),
          amount("noise", Kind::temperature_difference,
                 "Standard deviation of what is logged and controlled on.")
              .standard("0 K")
              .least("0 K")
              .most("100 K"),
          amount("reads high by", Kind::temperature_difference,
                 "What it shows above the truth at every temperature, by its certificate or a fit.")
              .standard("0 K")
              .least("-200 K")
              .most("200 K")
              .varies(deviation("4 K", type_k)),
          amount("wavelength", Kind::length, "Effective wavelength of a pyrometer.")
              .standard("0.9 um")
              .least("0.3 um")
              .most("20 um"),
          amount("second wavelength", Kind::length, "Of a pyrometer that compares two colours.")
              .otherwise("one colour")
              .least("0.3 um")
              .most("20 um")
              .example("1.05 um"),
          amount("emissivity", Kind::ratio, "True emissivity of what the pyrometer sees.")
              .otherwise("that of the material; in a bore that of the cavity")
              .above("0")
              .most("1")
              .example("0.8")
              .varies(deviation("0.05", practice)),
          amount("second emissivity", Kind::ratio, "The same at the second wavelength.")
              .otherwise("that at the first")
              .above("0")
              .most("1")
              .example("0.8")
              .varies(),
          amount("set emissivity", Kind::ratio,
                 "What a pyrometer of one colour is set to, for surface and window in one number.")
              .otherwise("the true one: it errs by the window only")
              .above("0")
              .most("1")
              .example("0.8"),
          amount("set ratio", Kind::ratio,
                 "Ratio of emissivities, first over second, that two colours are set to.")
              .standard("1")
              .above("0")
              .most("10"),
          amount("window", Kind::ratio, "Share of the light that the window lets through.")
              .standard("1")
              .above("0")
              .most("1")
              .varies(deviation("0.05", practice)),
          one_of("law", "Planck|Wien", "Law of radiation in the pyrometer's arithmetic.").standard("Planck"),
          amount("sees from", Kind::temperature, "Lowest temperature a pyrometer can show.")
              .standard("400 degC")
              .most("3000 degC"),
      });
}

}  // namespace joulepress::cases
