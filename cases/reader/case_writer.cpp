#include "cases/reader/case_writer.hpp"

#include <fmt/format.h>

#include <sstream>

namespace joulepress::cases {
namespace {

/// `, key: value unit` when there is one.
std::string optional_entry(const char* key, const std::optional<double>& value, const char* unit) {
  return value ? fmt::format(", {}: {} {}", key, *value, unit) : std::string();
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
      "press:\n  name: {}\n  limits: {{{}}}\n  column ends: {}\n  vacuum pull: {} N\n  moving weight: {} N\n"
      "  frame compliance: {} m/N\n",
      quoted(press.name), limits, ends, press.vacuum_pull, press.moving_weight, press.frame_compliance);
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
  return text + "}\n";
}

std::string sleeve_text(const Sleeve& s) {
  return fmt::format(
      "  - {{name: {}, material: {}, inner diameter: {} m, outer diameter: {} m, height: {} m, centre on: "
      "{}{}{}}}\n",
      quoted(s.name), quoted(s.material), s.inner_diameter, s.outer_diameter, s.height, quoted(s.centre_on),
      s.moves_with.empty() ? "" : ", moves with: " + quoted(s.moves_with),
      s.worn_by > 0.0 ? fmt::format(", worn by: {} m", s.worn_by) : "");
}

std::string foil_text(const FoilLayer& f) {
  const std::string where =
      f.along.empty() ? fmt::format("between: [{}, {}]", quoted(f.between_low), quoted(f.between_high))
                      : fmt::format("along: {}", quoted((f.outside ? "outside of " : "bore of ") + f.along));
  return fmt::format("  - {{material: {}, {}, thickness: {} m}}\n", quoted(f.material), where, f.thickness);
}

std::string sensor_text(const CaseSensor& s) {
  const std::string height = s.height ? fmt::format("{} m", *s.height) : "middle";
  return fmt::format(
      "  - {{name: {}, kind: thermocouple, in: {}, bore from: outer surface, depth: {} m, height: {}, "
      "sheath: {} m, "
      "sheath conductivity: {} W/mK, stem error: {}}}\n",
      quoted(s.name), quoted(s.part), s.depth, height, s.sheath_diameter, s.sheath_conductivity,
      s.stem ? "on" : "off");
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

std::string programme_text(const Programme& p) {
  std::string text = "programme:\n";
  if (!p.control.empty()) text += fmt::format("  control: {}\n", quoted(p.control));
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
      "contacts:\n  axial: {{electrical: {} ohm m2, thermal: {} W/m2K}}\n  lateral: {{electrical: {} ohm m2, "
      "thermal: {} W/m2K}}\n",
      c.contacts.electric_axial, c.contacts.heat_axial, c.contacts.electric_lateral, c.contacts.heat_lateral);
  text += fmt::format(
      "surroundings: {{chamber: {} K, atmosphere: vacuum, radiation: {}}}\nstart temperature: {} K\n",
      c.chamber_temperature, c.radiating ? "on" : "off", c.initial_temperature);
  text += list_text("sensors", c.sensors, sensor_text) + programme_text(c.programme);
  text += fmt::format(
      "numerics: {{accuracy: {} K, fluxes: {}, refinement: {}, mirror symmetry: {}, strict: {}}}\n"
      "output: {{history every: {} s{}}}\n",
      c.accuracy, c.two_point_fluxes ? "two-point" : "cubic", c.refinement, c.mirror ? "on" : "off",
      c.strict ? "on" : "off", c.history_every, optional_entry("fields every", c.fields_every, "s"));
  return text + materials_text(c);
}

}  // namespace joulepress::cases
