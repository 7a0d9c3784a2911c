#include "cases/reader/log_headings.hpp"

#include <algorithm>
#include <array>
#include <utility>

namespace joulepress::cases {
namespace {

struct Spelling {
  std::string_view spelled, plain;
};

/// What is not in the table of units, or spelled otherwise there.
constexpr std::array spellings{
    Spelling{"°C", "degC"},        Spelling{"℃", "degC"},
    Spelling{"ºC", "degC"},        Spelling{"° C", "degC"},
    Spelling{"C", "degC"},         Spelling{"deg C", "degC"},
    Spelling{"deg. C", "degC"},    Spelling{"DegC", "degC"},
    Spelling{"deg.C", "degC"},     Spelling{"Grad C", "degC"},
    Spelling{"grd C", "degC"},     Spelling{"Celsius", "degC"},
    Spelling{"celsius", "degC"},   Spelling{"Kelvin", "K"},
    Spelling{"KA", "kA"},          Spelling{"Ampere", "A"},
    Spelling{"Amp", "A"},          Spelling{"Amps", "A"},
    Spelling{"amps", "A"},         Spelling{"Volt", "V"},
    Spelling{"volt", "V"},         Spelling{"Volts", "V"},
    Spelling{"KW", "kW"},          Spelling{"Watt", "W"},
    Spelling{"KN", "kN"},          Spelling{"Newton", "N"},
    Spelling{"Bar", "bar"},        Spelling{"BAR", "bar"},
    Spelling{"bar(g)", "bar"},     Spelling{"barg", "bar"},
    Spelling{"mpa", "MPa"},        Spelling{"Mpa", "MPa"},
    Spelling{"MM", "mm"},          Spelling{"µm", "um"},
    Spelling{"μm", "um"},          Spelling{"sec", "s"},
    Spelling{"Sek", "s"},          Spelling{"Sek.", "s"},
    Spelling{"sec.", "s"},         Spelling{"seconds", "s"},
    Spelling{"Sekunden", "s"},     Spelling{"S", "s"},
    Spelling{"msec", "ms"},        Spelling{"Min", "min"},
    Spelling{"Min.", "min"},       Spelling{"min.", "min"},
    Spelling{"minutes", "min"},    Spelling{"Minuten", "min"},
    Spelling{"hours", "h"},        Spelling{"Std", "h"},
    Spelling{"Std.", "h"},         Spelling{"hh:mm:ss", "h:m:s"},
    Spelling{"HH:MM:SS", "h:m:s"}, Spelling{"h:min:s", "h:m:s"},
    Spelling{"h:m:s", "h:m:s"},    Spelling{"hh:mm", "h:m"},
    Spelling{"HH:MM", "h:m"},      Spelling{"h:min", "h:m"},
    Spelling{"h:m", "h:m"},        Spelling{"mm:ss", "m:s"},
    Spelling{"MM:SS", "m:s"},      Spelling{"min:s", "m:s"},
    Spelling{"m:s", "m:s"},        Spelling{"hh:mm:ss.ms", "h:m:s"},
};

struct Force {
  std::string_view spelled, plain;
  double factor;
};
/// Weights: standard gravity 9.80665 m/s2, 3rd CGPM 1901.
constexpr std::array weights{Force{"t", "t", 9806.65},    Force{"to", "t", 9806.65},
                             Force{"tf", "t", 9806.65},   Force{"kp", "kp", 9.80665},
                             Force{"kgf", "kp", 9.80665}, Force{"daN", "daN", 10.0}};

constexpr std::array kinds{Kind::temperature, Kind::current,  Kind::voltage, Kind::power,
                           Kind::force,       Kind::pressure, Kind::length,  Kind::time};

/// Small letters, umlauts too.
std::string lower(std::string_view text) {
  std::string out(text);
  for (std::size_t k = 0; k < out.size(); ++k) {
    if (out[k] >= 'A' && out[k] <= 'Z')
      out[k] = static_cast<char>(out[k] - 'A' + 'a');
    else if (k > 0 && out[k - 1] == '\xC3' && static_cast<unsigned char>(out[k]) >= 0x80 &&
             static_cast<unsigned char>(out[k]) <= 0x9E)
      out[k] = static_cast<char>(static_cast<unsigned char>(out[k]) + 0x20);
  }
  return out;
}

/// Letters and digits in small letters; everything else parts them.
std::vector<std::string> words_of(std::string_view name) {
  std::vector<std::string> words(1);
  for (const char c : lower(name)) {
    const bool part =
        (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (static_cast<unsigned char>(c) & 0x80u);
    if (part)
      words.back() += c;
    else if (!words.back().empty())
      words.emplace_back();
  }
  if (words.back().empty()) words.pop_back();
  return words;
}

/// German joins words: Presskraft ends as Kraft does.
struct Vocabulary {
  std::vector<std::string_view> whole, ends;
  bool in(const std::vector<std::string>& words) const {
    return std::any_of(words.begin(), words.end(), [this](const std::string& word) {
      return std::find(whole.begin(), whole.end(), word) != whole.end() ||
             std::any_of(ends.begin(), ends.end(),
                         [&word](std::string_view end) { return word.ends_with(end); });
    });
  }
};

const Vocabulary& programme_words() {
  static const Vocabulary words{{"programme", "program", "setpoint", "set", "sp", "target", "soll"},
                                {"sollwert", "vorgabe", "programm", "soll"}};
  return words;
}
/// A temperature with one of these is a difference or a rate.
const Vocabulary& difference_words() {
  static const Vocabulary words{{"deviation", "difference", "diff", "delta", "error", "offset", "rate", "dt"},
                                {"abweichung", "differenz"}};
  return words;
}
const Vocabulary& mean_words() {
  static const Vocabulary words{{"mean", "average", "avg", "imean", "umean", "vmean"},
                                {"mittelwert", "mittel"}};
  return words;
}
const Vocabulary& effective_words() {
  static const Vocabulary words{{"effective", "effektiv", "effektivwert", "rms", "trms"}, {"eff", "rms"}};
  return words;
}

/// Words of the quantities, and letters that stand alone as their symbols.
const Vocabulary& words_for(Logged what) {
  static const Vocabulary temperature{{"temperature", "temp", "pyrometer", "thermocouple", "couple", "tc"},
                                      {"temperatur", "thermoelement", "pyrometer"}};
  static const Vocabulary current{{"current", "amperage", "i", "ieff", "irms", "itrms", "imean"},
                                  {"strom", "stromstärke"}};
  static const Vocabulary voltage{
      {"voltage", "u", "v", "ueff", "urms", "utrms", "umean", "veff", "vrms", "vmean"}, {"spannung"}};
  static const Vocabulary power{{"power", "p"}, {"leistung"}};
  static const Vocabulary force{{"force", "load", "f"}, {"kraft"}};
  static const Vocabulary stroke{{"stroke", "travel", "displacement", "position"}, {"weg", "hub"}};
  static const Vocabulary gauge{{"gauge", "oil", "hydraulic", "hydraulik"},
                                {"öldruck", "oeldruck", "hydraulikdruck"}};
  static const Vocabulary none{};
  switch (what) {
    case Logged::reading:
      return temperature;
    case Logged::current:
      return current;
    case Logged::voltage:
      return voltage;
    case Logged::power:
      return power;
    case Logged::force:
      return force;
    case Logged::stroke:
      return stroke;
    case Logged::gauge_pressure:
      return gauge;
    case Logged::programme:
      break;
  }
  return none;
}

const Vocabulary& vacuum_words() {
  static const Vocabulary words{{"vacuum", "chamber", "gas"},
                                {"vakuum", "kammer", "kammerdruck", "vakuumdruck"}};
  return words;
}

/// T, T1, TC2: the symbol and a number.
bool is_temperature_symbol(const std::vector<std::string>& words) {
  if (words.empty()) return false;
  const std::string& word = words.front();
  const std::size_t digits = word.find_first_of("0123456789");
  const std::string letters = word.substr(0, digits);
  const bool number =
      digits == std::string::npos || word.find_first_not_of("0123456789", digits) == std::string::npos;
  return number && (letters == "t" || letters == "tc");
}

bool names(Logged what, const std::vector<std::string>& words) {
  return words_for(what).in(words) || (what == Logged::reading && is_temperature_symbol(words));
}

constexpr std::array named_quantities{
    std::pair{Logged::programme, "programme"}, std::pair{Logged::current, "current"},
    std::pair{Logged::voltage, "voltage"},     std::pair{Logged::power, "power"},
    std::pair{Logged::force, "force"},         std::pair{Logged::gauge_pressure, "gauge pressure"},
    std::pair{Logged::stroke, "stroke"}};

/// A unit at the end of a heading, behind one of the signs that part it; both without spaces.
bool split_at(std::string_view text, std::size_t sign, std::size_t width, Heading& heading) {
  if (sign == std::string_view::npos || sign == 0) return false;
  const std::string_view unit = trimmed(text.substr(sign + width));
  if (!log_unit(unit)) return false;
  heading.name = trimmed(text.substr(0, sign));
  heading.unit = unit;
  return true;
}

/// A unit in brackets, wherever they stand; square ones hold a unit even when nobody knows it.
bool split_brackets(std::string_view text, Heading& heading) {
  for (const auto& [open, close] : {std::pair{'[', ']'}, {'(', ')'}, {'<', '>'}}) {
    const std::size_t end = text.rfind(close), from = text.rfind(open, end);
    if (end == std::string_view::npos || from == std::string_view::npos || from > end) continue;
    const std::string_view inside = trimmed(text.substr(from + 1, end - from - 1));
    if (!log_unit(inside) && open != '[') continue;
    const std::string_view before = trimmed(text.substr(0, from)), behind = trimmed(text.substr(end + 1));
    heading.name = std::string(before) + (before.empty() || behind.empty() ? "" : " ") + std::string(behind);
    if (inside != "-" && inside != "1") heading.unit = inside;
    return true;
  }
  return false;
}

}  // namespace

std::optional<LogUnit> log_unit(std::string_view spelled) {
  if (spelled.size() >= 2 && ((spelled.front() == '[' && spelled.back() == ']') ||
                              (spelled.front() == '(' && spelled.back() == ')')))
    spelled = trimmed(spelled.substr(1, spelled.size() - 2));
  for (const Force& weight : weights)
    if (weight.spelled == spelled) return LogUnit{std::string(weight.plain), Kind::force, weight.factor, 0.0};
  std::string plain(spelled);
  for (const Spelling& spelling : spellings)
    if (spelling.spelled == spelled) plain = spelling.plain;
  if (plain.find(':') != std::string::npos) return LogUnit{plain, Kind::time, 1.0, 0.0};
  if (plain == "degC") return LogUnit{plain, Kind::temperature, 1.0, zero_celsius};
  for (const Kind kind : kinds)
    if (const auto factor = unit_factor(plain, kind)) return LogUnit{plain, kind, *factor, 0.0};
  return std::nullopt;
}

Heading heading_of(const std::string& text, const Place& place) {
  Heading heading;
  heading.text = text;
  heading.place = place;
  heading.name = text;
  if (split_brackets(text, heading) || split_at(text, text.rfind('/'), 1, heading) ||
      split_at(text, text.rfind(','), 1, heading) || split_at(text, text.rfind(" in "), 4, heading))
    return heading;
  // "force kN", "force_kN": the last word, unless it may be a name ("channel A")
  Heading last = heading;
  if (split_at(text, text.find_last_of(" _"), 1, last) && last.unit.size() > 1) return last;
  return heading;
}

TimeWord time_word(const std::string& name) {
  static const std::vector<std::string_view> time{
      "time",      "zeit",          "t",           "elapsed",      "elapsed time", "run time",
      "runtime",   "process time",  "laufzeit",    "messzeit",     "prozesszeit",  "rel time",
      "test time", "relative time", "relativzeit", "versuchszeit", "cycle time",   "programme time"};
  static const std::vector<std::string_view> clock{"uhrzeit", "clock", "time of day", "clock time"};
  static const std::vector<std::string_view> date{"date", "datum", "day", "tag"};
  static const std::vector<std::string_view> both{"timestamp",     "time stamp",   "zeitstempel",
                                                  "date time",     "datetime",     "datum zeit",
                                                  "datum uhrzeit", "date and time"};
  std::string plain;
  for (const std::string& word : words_of(name)) plain += (plain.empty() ? "" : " ") + word;
  const auto in = [&plain](const std::vector<std::string_view>& words) {
    return std::find(words.begin(), words.end(), plain) != words.end();
  };
  if (in(time)) return TimeWord::time;
  if (in(clock)) return TimeWord::clock_or_time;
  if (in(date)) return TimeWord::date;
  return in(both) ? TimeWord::date_and_time : TimeWord::none;
}

std::optional<bool> is_mean(const std::string& name) {
  const std::vector<std::string> words = words_of(name);
  const bool mean = mean_words().in(words), effective = effective_words().in(words);
  if (mean == effective) return std::nullopt;
  return mean;
}

bool fits(Logged what, Kind kind) {
  switch (what) {
    case Logged::reading:
      return kind == Kind::temperature;
    case Logged::programme:
      return kind == Kind::temperature || kind == Kind::current || kind == Kind::voltage ||
             kind == Kind::power;
    case Logged::current:
      return kind == Kind::current;
    case Logged::voltage:
      return kind == Kind::voltage;
    case Logged::power:
      return kind == Kind::power;
    case Logged::force:
      return kind == Kind::force;
    case Logged::gauge_pressure:
      return kind == Kind::pressure;
    case Logged::stroke:
      break;
  }
  return kind == Kind::length;
}

std::string logged_name(Logged what) {
  for (const auto& [quantity, name] : named_quantities)
    if (quantity == what) return name;
  return "reading";
}

std::optional<Logged> logged_called(std::string_view name) {
  for (const auto& [quantity, called] : named_quantities)
    if (name == called) return quantity;
  return std::nullopt;
}

std::vector<std::string> logged_names() {
  std::vector<std::string> all;
  for (const auto& [quantity, name] : named_quantities) all.emplace_back(name);
  return all;
}

std::string log_units_of(Logged what) {
  switch (what) {
    case Logged::reading:
      return units_of(Kind::temperature);
    case Logged::programme:
      return units_of(Kind::temperature) + ", " + units_of(Kind::current) + ", " + units_of(Kind::voltage) +
             ", " + units_of(Kind::power);
    case Logged::current:
      return units_of(Kind::current);
    case Logged::voltage:
      return units_of(Kind::voltage);
    case Logged::power:
      return units_of(Kind::power);
    case Logged::force:
      return units_of(Kind::force) + ", daN, kp, t";
    case Logged::gauge_pressure:
      return units_of(Kind::pressure);
    case Logged::stroke:
      break;
  }
  return units_of(Kind::length);
}

Meant meaning_of(const Heading& heading) {
  Meant meant;
  const std::vector<std::string> words = words_of(heading.name);
  const auto unit = log_unit(heading.unit);
  const bool programme = programme_words().in(words);
  std::vector<Logged> told;
  for (const Logged what : {Logged::reading, Logged::current, Logged::voltage, Logged::power, Logged::force,
                            Logged::gauge_pressure, Logged::stroke})
    if (names(what, words)) told.push_back(what);
  meant.mean = is_mean(heading.name);
  if (!unit) {
    const bool of_another = heading.unit.find_first_of("/%") != std::string::npos;  // K/min, % of the largest
    if (of_another || difference_words().in(words)) return meant;
    std::string what = programme && (told.empty() || told.front() == Logged::reading) ? "programme"
                       : told.empty() || programme                                    ? ""
                                                   : logged_name(told.front());
    (heading.unit.empty() ? meant.lacks_unit : meant.wrong_unit) = what;
    return meant;
  }
  if (unit->kind == Kind::temperature) {
    if (!difference_words().in(words)) meant.what = programme ? Logged::programme : Logged::reading;
  } else if (programme) {
    // Set values of force, stroke and the like are of no use; "programme [A]" is that of the run.
    if (words.front().starts_with("program") && fits(Logged::programme, unit->kind))
      meant.what = Logged::programme;
  } else if (unit->kind == Kind::pressure) {
    const bool vacuum = vacuum_words().in(words);
    if (names(Logged::gauge_pressure, words) && !vacuum)
      meant.what = Logged::gauge_pressure;
    else
      meant.pressure = !vacuum;
  } else {
    for (const Logged what : told)
      if (fits(what, unit->kind)) meant.what = what;
  }
  return meant;
}

}  // namespace joulepress::cases
