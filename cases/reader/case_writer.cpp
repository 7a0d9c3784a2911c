#include "cases/reader/case_writer.hpp"

#include <fmt/format.h>

#include <sstream>

#include "cases/reader/calibration_writer.hpp"
#include "solver/problem.hpp"

namespace joulepress::cases {
namespace {

/// `, key: value unit` when there is one.
std::string optional_entry(const char* key, const std::optional<double>& value, const char* unit) {
  return value ? fmt::format(", {}: {} {}", key, *value, unit) : std::string();
}

std::string controller_text(const CaseController& c) {
  return fmt::format(
             "{{period: {} s, output: {}, derivative time: {} s, least output: {}, largest output: "
             "{}, full sweep: {} s, arrival: {} K",
             c.period, c.by_power ? "power" : "current", c.derivative_time, c.least_output, c.largest_output,
             c.full_sweep, c.arrival) +
         optional_entry("proportional band", c.proportional_band, "K") +
         optional_entry("integral time", c.integral_time, "s") + "}";
}

std::string pulse_text(const CasePulse& pulse) {
  std::string text = fmt::format("  pulse: {{on: {} s, off: {} s", pulse.on, pulse.off);
  if (!pulse.ratio.empty()) {
    text += ", effective over mean: [";
    for (std::size_t k = 0; k < pulse.ratio.size(); ++k)
      text += fmt::format("{}[{}, {}]", k ? ", " : "", pulse.ratio[k].first, pulse.ratio[k].second);
    text += "]";
  }
  return text + optional_entry("largest mean current", pulse.largest_mean, "A") + "}\n";
}

std::string meters_text(const Meters& m) {
  std::string text = fmt::format(
      "  meters: {{current: {}, voltage: {}, every: {} s, rounds temperature to: {} K, rounds current to: {} "
      "A, rounds voltage to: {} V, rounds force to: {} N, rounds stroke to: {} m, noise: {}",
      m.mean_current ? "mean" : "effective", m.mean_voltage ? "mean" : "effective", m.every, m.temperature,
      m.current, m.voltage, m.force, m.stroke, m.noise);
  if (!m.taps.empty())
    text += fmt::format(", voltage taps: [{}, {}]", quoted(m.taps.front()), quoted(m.taps.back()));
  return text + "}\n";
}

std::string entry_text(const ProgrammeEntry& entry) {
  return fmt::format("  programme entry: {{steps: {}, rounds temperature to: {} K, rounds time to: {} s",
                     entry.steps, entry.temperature, entry.time) +
         optional_entry("fastest rate", entry.fastest_rate, "K/s") + "}\n";
}

std::string press_text(const Press& press) {
  std::string limits = optional_entry("current", press.current_limit, "A") +
                       optional_entry("voltage", press.voltage_limit, "V") +
                       optional_entry("power", press.power_limit, "W") +
                       optional_entry("force", press.force_limit, "N");
  if (!limits.empty()) limits.erase(0, 2);
  std::string ends = fmt::format("{{film: {} W/m2K, water: {} K}}", press.end_film, press.water_temperature);
  if (press.end_temperature) ends = fmt::format("{{temperature: {} K}}", *press.end_temperature);
  if (press.ends_insulated) ends = "insulated";
  return fmt::format(
             "press:\n  name: {}\n  limits: {{{}}}\n  column ends: {}\n  vacuum pull: {} N\n  moving weight: "
             "{} N\n"
             "  frame compliance: {} m/N\n  positive pole: {}\n  controller: {}\n",
             quoted(press.name), limits, ends, press.vacuum_pull, press.moving_weight, press.frame_compliance,
             press.positive_below ? "lower" : "upper", controller_text(press.controller)) +
         (press.gauge_area ? fmt::format("  gauge area: {} m2\n", *press.gauge_area) : "") +
         (press.entry.given ? entry_text(press.entry) : "") + (press.pulse ? pulse_text(*press.pulse) : "") +
         (press.meters ? meters_text(*press.meters) : "");
}

std::string column_text(const ColumnPart& part) {
  std::string text =
      fmt::format("  - {{name: {}, {}: {}, diameter: {} m, bore: {} m", quoted(part.name),
                  part.powder ? "powder" : "material", quoted(part.material), part.diameter, part.bore);
  text += optional_entry("height", part.height, "m") + optional_entry("mass", part.mass, "kg");
  if (part.relative_density) {
    text += fmt::format(", relative density: {{value: {}", *part.relative_density);
    text += optional_entry("at pressure", part.density_pressure, "Pa") + "}";
  }
  if (part.powder) {
    text += fmt::format(", end density: {}, densification: {}, oxide film: {}, wall friction: {}",
                        part.end_density, part.densification ? "on" : "off", part.oxide_film ? "on" : "off",
                        part.wall_friction);
    text += optional_entry("grain size", part.grain, "m");
  }
  if (part.worn_by > 0.0) text += fmt::format(", worn by: {} m", part.worn_by);
  if (part.blind_bore)
    text += fmt::format(", blind bore: {{diameter: {} m, leaves: {} m, from: {}}}", part.blind_bore->diameter,
                        part.blind_bore->leaves, part.blind_bore->from_top ? "top" : "bottom");
  return text + "}\n";
}

std::string sleeve_text(const Sleeve& s) {
  const auto named = [](const char* key, const std::string& part) {
    return part.empty() ? std::string() : fmt::format(", {}: {}", key, quoted(part));
  };
  return fmt::format("  - {{name: {}, material: {}, inner diameter: {} m, outer diameter: {} m, height: {} m",
                     quoted(s.name), quoted(s.material), s.inner_diameter, s.outer_diameter, s.height) +
         named("centre on", s.centre_on) + named("stands on", s.stands_on) +
         named("hangs below", s.hangs_below) + named("moves with", s.moves_with) +
         (s.worn_by > 0.0 ? fmt::format(", worn by: {} m", s.worn_by) : "") + "}\n";
}

std::string foil_text(const FoilLayer& f) {
  const std::string where =
      f.along.empty() ? fmt::format("between: [{}, {}]", quoted(f.between_low), quoted(f.between_high))
                      : fmt::format("along: {}", quoted((f.outside ? "outside of " : "bore of ") + f.along));
  return fmt::format("  - {{material: {}, {}, thickness: {} m}}\n", quoted(f.material), where, f.thickness);
}

std::string couple_text(const CaseSensor& s) {
  return fmt::format(
             "in: {}, bore from: outer surface, depth: {} m, sheath: {} m, sheath conductivity: {} W/mK, "
             "stem error: {}, tip contact: {} W/m2K, gas in bore: {} W/m2K, class: {}",
             quoted(s.part), s.depth, s.sheath_diameter, s.sheath_conductivity, s.stem ? "on" : "off",
             s.tip_contact, s.gas, s.tolerance_class) +
         (s.type.empty() ? "" : ", type: " + s.type);
}

std::string pyrometer_text(const CaseSensor& s) {
  return fmt::format(
             "looks at: {}, spot: {}, spot size: {} m, wavelength: {} m, set ratio: {}, window: {}, "
             "law: {}, sees from: {} K",
             quoted(s.part), s.in_bore ? "bottom of its bore" : "outer surface", s.spot, s.wavelength,
             s.set_ratio, s.window, s.wien ? "Wien" : "Planck", s.sees_from) +
         optional_entry("second wavelength", s.second_wavelength, "m") +
         optional_entry("emissivity", s.emissivity, "") +
         optional_entry("second emissivity", s.second_emissivity, "") +
         optional_entry("set emissivity", s.set_emissivity, "");
}

std::string sensor_text(const CaseSensor& s) {
  const std::string height = s.height ? fmt::format("{} m", *s.height) : "middle";
  return fmt::format(
      "  - {{name: {}, kind: {}, height: {}, response time: {} s, noise: {} K, reads high by: {} K, {}}}\n",
      quoted(s.name), s.pyrometer ? "pyrometer" : "thermocouple", height, s.response, s.noise,
      s.reads_high_by, s.pyrometer ? pyrometer_text(s) : couple_text(s));
}

std::string step_text(const ProgrammeStep& step, const char* unit, bool pressure) {
  std::string text = "    - {";
  switch (step.kind) {
    case ProgrammeStep::Kind::ramp:
      text += fmt::format("ramp to: {} {}", step.to, unit) + optional_entry("rate", step.rate, "K/s") +
              optional_entry("in", step.duration, "s");
      break;
    case ProgrammeStep::Kind::hold:
      text += pressure ? fmt::format("hold: {} {}, for: {} s", step.to, unit, *step.duration)
                       : fmt::format("hold: {} s", *step.duration);
      break;
    case ProgrammeStep::Kind::cool_free:
      text += fmt::format("cool: free, for: {} s", *step.duration);
      break;
  }
  if (!step.name.empty()) text += ", name: " + quoted(step.name);
  return text + "}\n";
}

std::string abort_text(const CaseAbortRule& rule) {
  std::string text =
      optional_entry("current above", rule.current, "A") +
      optional_entry("voltage above", rule.voltage, "V") + optional_entry("power above", rule.power, "W") +
      optional_entry("reading above", rule.reading, "K") + optional_entry("until", rule.until, "K");
  if (!rule.of.empty()) text += ", of: " + quoted(rule.of);
  return "    - {" + text.substr(2) + "}\n";
}

std::string programme_text(const Programme& p) {
  std::string text = "programme:\n";
  // Said only where it is so: cases without a furnace keep their hash.
  if (p.by_furnace) text += fmt::format("  heated by: {}\n", furnace_name);
  if (!p.control.empty()) text += fmt::format("  control: {}\n", quoted(p.control));
  text += fmt::format("  follow: {}\n  pulses: {}\n  thermoelectric: {}\n",
                      p.by_controller ? "by the controller" : "exactly", p.pulses ? "on" : "off",
                      p.thermoelectric ? "on" : "off");
  if (!p.hand_over_to.empty())
    text += fmt::format("  hand over: {{to: {}, at: {} K}}\n", quoted(p.hand_over_to), p.hand_over_at);
  if (p.start_power)
    text += fmt::format("  start: {{power: {} W{}}}\n", *p.start_power,
                        optional_entry("until", p.start_until, "K"));
  if (!p.aborts.empty()) {
    text += "  abort when:\n";
    for (const CaseAbortRule& rule : p.aborts) text += abort_text(rule);
  }
  const auto steps = [&](const char* key, const char* unit) {
    text += fmt::format("  {}:\n", key);
    for (const ProgrammeStep& step : p.steps) text += step_text(step, unit, false);
  };
  switch (p.driven) {
    case Programme::Driven::temperature:
      steps("temperature", "K");
      break;
    case Programme::Driven::current:
      steps("current", "A");
      break;
    case Programme::Driven::voltage:
      steps("voltage", "V");
      break;
    case Programme::Driven::power:
      steps("power", "W");
      break;
    case Programme::Driven::nothing:
      break;
  }
  if (!p.pressure.empty()) {
    text += "  pressure on powder:\n";
    for (const ProgrammeStep& step : p.pressure) text += step_text(step, "Pa", true);
  }
  return text;
}

/// Said only where it is not the usual: other cases keep their hash.
std::string strength_text(const Case& c) {
  const solver::StrengthRules usual;
  if (c.judge_strength == usual.wanted && c.safety_factor == usual.safety_factor &&
      c.ejection_friction == usual.ejection_friction)
    return {};
  return fmt::format("strength: {{judge: {}, safety factor: {}, ejection friction: {}}}\n",
                     c.judge_strength ? "on" : "off", c.safety_factor, c.ejection_friction);
}

std::string scale_text(const MaterialScale& scale) {
  return fmt::format("  - {{of: {}, property: {}, factor: {}}}\n", quoted(scale.material), scale.property,
                     scale.factor);
}

std::string materials_text(const Case& c) {
  std::string text = "materials:\n";
  for (const std::string& material : c.material_texts) {
    text += "  - |\n";
    std::istringstream lines(material);
    for (std::string line; std::getline(lines, line);) text += line.empty() ? "\n" : "    " + line + "\n";
  }
  return text;
}

template <class T, class Writer>
std::string list_text(const char* key, const std::vector<T>& items, Writer writer) {
  if (items.empty()) return {};
  std::string text = fmt::format("{}:\n", key);
  for (const T& item : items) text += writer(item);
  return text;
}

}  // namespace

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"' || c == '\\') out += '\\';
    if (c == '\n')
      out += "\\n";  // a line break inside quotes would be folded to a space
    else
      out += c;
  }
  return out + "\"";
}

std::string resolved_case(const Case& c) {
  std::string text = fmt::format(
      "# The case as it was run: defaults written out, press and materials inside.\nformat: {}\ntitle: {}\n",
      c.format, quoted(c.title));
  text += press_text(c.press);
  text += list_text("column", c.column, column_text) + list_text("sleeves", c.sleeves, sleeve_text) +
          list_text("foils", c.foils, foil_text);
  text += fmt::format(
      "contacts:\n  follow conditions: {}\n  ageing: {}\n  foil fit: {} Pa\n  foil stiffness: {} Pa\n"
      "  axial: {{electrical: {} ohm m2, thermal: {} W/m2K}}\n  lateral: {{electrical: {} ohm m2, "
      "thermal: {} W/m2K}}\n",
      c.contacts.follow ? "on" : "off", c.contacts.ageing, c.contacts.foil_fit, c.contacts.foil_stiffness,
      c.contacts.electric_axial, c.contacts.heat_axial, c.contacts.electric_lateral, c.contacts.heat_lateral);
  text += fmt::format(
      "surroundings: {{chamber: {} K, atmosphere: {}, radiation: {}{}}}\nstart temperature: {} K\n",
      c.chamber_temperature,
      c.gas ? fmt::format("{}, pressure: {} Pa", c.gas->name, c.gas->pressure) : "vacuum",
      c.radiating ? "on" : "off",
      // Said only where it is so: other cases keep their hash.
      c.walls_see_each_other ? "" : ", walls see: chamber only", c.initial_temperature);
  text += list_text("sensors", c.sensors, sensor_text) + programme_text(c.programme) + strength_text(c);
  text += fmt::format(
      "numerics: {{accuracy: {} K, fluxes: {}, refinement: {}, mirror symmetry: {}, strict: {}}}\n"
      "output: {{history every: {} s{}}}\n",
      c.accuracy, c.two_point_fluxes ? "two-point" : "cubic", c.refinement, c.mirror ? "on" : "off",
      c.strict ? "on" : "off", c.history_every, optional_entry("fields every", c.fields_every, "s"));
  // What a calibration did not find in the case is not said again: reading the text takes all it holds.
  return text + list_text("scales", c.scales, scale_text) +
         (c.calibration ? calibration_text(*c.calibration) : "") + materials_text(c);
}

}  // namespace joulepress::cases
