// What a heading of a log says: name, unit, quantity.  Only words that cannot mean anything else are taken.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "cases/reader/log_text.hpp"
#include "cases/reader/press_log.hpp"
#include "cases/reader/units.hpp"

namespace joulepress::cases {

/// A unit as logs spell it, in SI: value = number x factor + offset.
struct LogUnit {
  std::string plain;  ///< as written in a case: degC; of a clock "h:m:s"
  Kind kind = Kind::ratio;
  double factor = 1, offset = 0;
};

/// "°C", "deg C", "C" and the like are degC; "t", "kp" forces; nothing for what is no unit.
std::optional<LogUnit> log_unit(std::string_view spelled);

struct Heading {
  std::string text;  ///< as in the file
  std::string name;  ///< without its unit
  std::string unit;  ///< as spelled; empty: none
  Place place;
};

/// "T1 [°C]", "I (kA)", "Kraft / kN", "stroke, mm", "Zeit in s", "force_kN".
Heading heading_of(const std::string& text, const Place& place);

enum class TimeWord { none, time, clock_or_time, date, date_and_time };
/// Whether a name is one of a column of the time.
TimeWord time_word(const std::string& name);

/// What a column may be by its heading; `what` empty: nothing that is used here.
struct Meant {
  std::optional<Logged> what;
  std::optional<bool> mean;  ///< of current and voltage, where the heading says it
  std::string lacks_unit;    ///< the quantity that its name tells, without a unit
  std::string wrong_unit;    ///< the same, with a unit nobody knows
  bool pressure = false;     ///< a pressure, of which the heading does not say that it is that of the gauge
};
Meant meaning_of(const Heading& heading);

/// "mean" and "effective" in any of their words; nothing where there is none.
std::optional<bool> is_mean(const std::string& name);

/// Kind of the numbers of a quantity; a programme may be of several.
bool fits(Logged what, Kind kind);
std::string logged_name(Logged what);
std::optional<Logged> logged_called(std::string_view name);  ///< all but a reading
std::vector<std::string> logged_names();
/// Units for messages: "degC, K".
std::string log_units_of(Logged what);

}  // namespace joulepress::cases
