#include "tools/screen/stack_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <tuple>

#include "cases/build_problem.hpp"
#include "cases/calibrate.hpp"
#include "cases/reader/units.hpp"
#include "cases/stack.hpp"
#include "solver/march.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/screen/pressing_table.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

/// The column bottom to top, then what stands around it or in it.
std::string parts_table(const cases::Stack& stack, const solver::Problem& p) {
  std::vector<const mesh::Block*> blocks;
  std::size_t name = 4, material = 8;
  for (const mesh::Block& block : p.mesh.layout) {
    blocks.push_back(&block);
    name = std::max(name, p.parts[block.part].name.size());
    material = std::max(material, p.materials[p.parts[block.part].material].name.size());
  }
  const auto beside = [&](const mesh::Block* block) {
    const cases::Role role = stack.parts[static_cast<std::size_t>(block->part)].role;
    return role == cases::Role::sleeve || role == cases::Role::lining;
  };
  std::stable_sort(blocks.begin(), blocks.end(), [&beside](const mesh::Block* a, const mesh::Block* b) {
    return std::tuple(beside(a), beside(a) ? a->r_inner : 0.0, a->z_bottom) <
           std::tuple(beside(b), beside(b) ? b->r_inner : 0.0, b->z_bottom);
  });
  std::string text = fmt::format("{:<{}}  {:<{}} {:>7} {:>9} {:>8} {:>17}\n", "part", name, "material",
                                 material, "bore", "diameter", "height", "z from, to [mm]");
  for (const mesh::Block* block : blocks) {
    const solver::Part& part = p.parts[block->part];
    const std::string bore =
        block->r_inner > 0.0 ? fmt::format("{:.2f}", cases::in_mm(2 * block->r_inner)) : std::string();
    text += fmt::format("{:<{}}  {:<{}} {:>7} {:>9.2f} {:>8.2f} {:>8.2f} {:>8.2f}\n", part.name, name,
                        p.materials[part.material].name, material, bore, cases::in_mm(2 * block->r_outer),
                        cases::in_mm(block->z_top - block->z_bottom), cases::in_mm(block->z_bottom),
                        cases::in_mm(block->z_top));
  }
  return text;
}

std::string heat_word(double conductance) {
  return std::isinf(conductance) ? "perfect" : fmt::format("{:.2f}", 1e-3 * conductance);
}

/// In 1e-9 ohm m2, as the columns have room for it.
std::string resistance_word(double resistance) {
  return fmt::format("{:.{}f}", 1e9 * resistance, resistance < 1e-5 ? 1 : 0);
}

/// Joints whose numbers are the same share a row: touch, foil, and foil with both touches, as used in this
/// run; a bare touch is its own total.
struct ContactRow {
  std::string numbers;
  std::vector<std::string> joints;
};

ContactRow contact_row(const cases::ContactSeries& s) {
  const bool foil = s.foil_heat > 0.0;
  const double electric = foil ? 2.0 * s.electric_touch + s.foil_electric : s.electric_touch;
  const double heat = foil ? 1.0 / (2.0 / s.heat_touch + 1.0 / s.foil_heat) : s.heat_touch;
  const std::string kind = fmt::format("{}, {}", s.lateral ? "lateral" : "axial",
                                       s.loose ? "loose touch"
                                       : foil  ? "with foil"
                                               : "bare touch");
  return {fmt::format("{:<28}{:>8}{:>8}{:>8}   {:>8}{:>8}{:>8}\n", kind, resistance_word(s.electric_touch),
                      foil ? resistance_word(s.foil_electric) : "-", resistance_word(electric),
                      heat_word(s.heat_touch), foil ? heat_word(s.foil_heat) : "-", heat_word(heat)),
          {s.name}};
}

/// Joints side by side as far as they fit, each whole.
std::string joint_lines(const std::vector<std::string>& joints) {
  constexpr std::size_t indent = 4, width = 98;
  std::string text, line;
  for (const std::string& joint : joints) {
    if (!line.empty() && indent + line.size() + 2 + joint.size() > width) {
      text += std::string(indent, ' ') + line + "\n";
      line.clear();
    }
    line += (line.empty() ? "" : "; ") + joint;
  }
  return text + std::string(indent, ' ') + line + "\n";
}

std::string contacts_table(const cases::Case& c, const solver::Problem& p) {
  std::vector<ContactRow> rows;
  for (const cases::ContactSeries& s : cases::contact_series(c, p)) {
    const ContactRow row = contact_row(s);
    const auto same = std::find_if(rows.begin(), rows.end(),
                                   [&row](const ContactRow& other) { return other.numbers == row.numbers; });
    if (same == rows.end())
      rows.push_back(row);
    else
      same->joints.push_back(s.name);
  }
  if (rows.empty()) return {};
  std::string text = fmt::format("\n{:<28}{:>24}   {:>24}\n{:<28}{:>8}{:>8}{:>8}   {:>8}{:>8}{:>8}\n",
                                 "contacts", "resistance [1e-9 ohm m2]", "heat [kW/m2K]", "", "touch", "foil",
                                 "total", "touch", "foil", "total");
  for (const ContactRow& row : rows) text += row.numbers + joint_lines(row.joints);
  return text +
         wrapped(
             fmt::format("total = touch + foil + touch, or the bare touch. Published at 20 MPa, as "
                         "assumed here: axial "
                         "{:.0f}e-9 ohm m2 and {:.3g} kW/m2K, lateral {:.0f}e-9 ohm m2 and {:.3g} "
                         "kW/m2K; {}.",
                         1e9 * c.contacts.electric_axial, 1e-3 * c.contacts.heat_axial,
                         1e9 * c.contacts.electric_lateral, 1e-3 * c.contacts.heat_lateral,
                         c.contacts.follow ? "in the run touches follow pressure and temperature"
                                           : "axial touches are those of the programme's highest pressure"),
             98, 0) +
         "\n";
}

std::string limit_text(const solver::Drive& drive) {
  std::string text;
  const auto add = [&text](double value, double scale, const char* unit) {
    if (std::isinf(value)) return;
    text += fmt::format("{}{:.6g} {}", text.empty() ? "" : ", ", scale * value, unit);
  };
  add(drive.current_limit, 1.0, "A");
  add(drive.voltage_limit, 1.0, "V");
  add(drive.power_limit, 1e-3, "kW");
  return text.empty() ? "none" : text;
}

/// One column end: its pole and what cools it.
std::string end_text(const solver::Problem& p, solver::Electrode pole) {
  for (std::size_t k = 0; k < p.sides.size(); ++k) {
    for (const mesh::Side side : {mesh::Side::bottom, mesh::Side::top}) {
      const solver::SideCondition& end = p.sides[k][static_cast<std::size_t>(side)];
      if (end.electrode != pole) continue;
      std::string cooling = "no heat passes";
      if (end.fixed_temperature)
        cooling = fmt::format("held at {:.0f} degC", end.fixed_temperature(0, 0, 0) - solver::zero_celsius);
      else if (end.film > 0.0)
        cooling = fmt::format("cooled: {:.0f} W/m2K to {:.0f} degC", end.film,
                              end.film_temperature - solver::zero_celsius);
      return fmt::format("{} of {}, {}", side == mesh::Side::top ? "top" : "bottom", p.mesh.layout[k].name,
                         cooling);
    }
  }
  return "none";
}

std::string electrodes(const solver::Problem& p) {
  if (p.drive.kind == solver::DriveKind::furnace)
    return fmt::format(
        "\nheated by           the furnace: no current\nupper end           {}\nlower end           "
        "{}\nfurnace at start "
        "   {:.0f} degC\n",
        end_text(p, solver::Electrode::high), end_text(p, solver::Electrode::low),
        p.chamber_temperature - solver::zero_celsius);
  return fmt::format(
      "\nlimits              {}\ncurrent enters at   {}\ncurrent leaves at   {}\nchamber             {:.0f} "
      "degC{}\n",
      limit_text(p.drive), end_text(p, solver::Electrode::high), end_text(p, solver::Electrode::low),
      p.chamber_temperature - solver::zero_celsius,
      p.gas ? fmt::format(", {} at {:.3g} mbar", p.gas->name, 1e-2 * p.gas->pressure) : "");
}

std::string programme_table(const solver::Drive& drive) {
  if (drive.segments.empty()) return {};
  std::string text =
      drive.kind == solver::DriveKind::furnace ? "\nprogramme of the furnace\n" : "\nprogramme\n";
  const bool degrees = drive.kind == solver::DriveKind::furnace || drive.kind == solver::DriveKind::tracking;
  const char* unit = drive.kind == solver::DriveKind::current   ? "A"
                     : drive.kind == solver::DriveKind::voltage ? "V"
                     : drive.kind == solver::DriveKind::power   ? "W"
                                                                : "degC";
  const double shift = degrees ? solver::zero_celsius : 0.0;
  for (const solver::Segment& s : drive.segments) {
    text += fmt::format("  {:>7.0f} s to {:>7.0f} s   ", s.start, s.end);
    text += s.off            ? std::string("current off")
            : s.from == s.to ? fmt::format("{:.5g} {}", s.to - shift, unit)
                             : fmt::format("{:.5g} to {:.5g} {}", s.from - shift, s.to - shift, unit);
    text += (s.name.empty() ? "" : "   " + s.name) + "\n";
  }
  return text;
}

/// How the programme is followed and what ends it; empty where it is met exactly and nothing else is asked.
std::string following_lines(const cases::Case& c) {
  const cases::Programme& p = c.programme;
  std::vector<std::string> lines;
  if (p.by_controller)
    lines.push_back(fmt::format(
        "by the controller of the press: looks every {:g} s, sets the {}, gains {}",
        c.press.controller.period, c.press.controller.by_power ? "power" : "current",
        c.press.controller.proportional_band ? "of the press" : "from a step of the model when it runs"));
  if (p.start_power)
    lines.push_back(fmt::format(
        "starts with {:.3g} kW until {} {}", 1e-3 * *p.start_power, p.control,
        p.start_until ? fmt::format("reads {:.0f} degC", cases::in_celsius(*p.start_until)) : "sees"));
  if (!p.hand_over_to.empty())
    lines.push_back(
        fmt::format("{} takes over at {:.0f} degC", p.hand_over_to, cases::in_celsius(p.hand_over_at)));
  if (p.pulses)
    lines.push_back(c.press.pulse ? fmt::format("pulses of {:g} ms on, {:g} ms off", 1e3 * c.press.pulse->on,
                                                1e3 * c.press.pulse->off)
                                  : "pulses on, but this press has none");
  if (p.thermoelectric)
    lines.push_back(fmt::format("Peltier and Thomson heat count, the {} pole is the positive one",
                                c.press.positive_below ? "lower" : "upper"));
  for (const cases::CaseAbortRule& rule : p.aborts) {
    std::string what =
        rule.current   ? fmt::format("the current rises above {:g} A", *rule.current)
        : rule.voltage ? fmt::format("the voltage rises above {:g} V", *rule.voltage)
        : rule.power   ? fmt::format("the power rises above {:g} kW", 1e-3 * *rule.power)
                       : fmt::format("{} reads more than {:.0f} degC", rule.of.empty() ? p.control : rule.of,
                                     cases::in_celsius(*rule.reading));
    if (rule.until) what += fmt::format(" before {:.0f} degC", cases::in_celsius(*rule.until));
    lines.push_back("ends when " + what);
  }
  std::string text;
  for (const std::string& line : lines)
    text += (text.empty() ? "followed\n  " : "  ") + wrapped(line, 96, 4) + "\n";
  return text;
}

std::string pressure_lines(const cases::Case& c) {
  if (c.programme.pressure.empty()) return {};
  std::string text = "pressure on powder\n";
  double time = 0.0, pressure = 0.0;
  for (const cases::ProgrammeStep& step : c.programme.pressure) {
    const double end = time + step.duration.value_or(0.0);
    text += fmt::format("  {:>7.0f} s to {:>7.0f} s   ", time, end);
    text += step.kind == cases::ProgrammeStep::Kind::ramp
                ? fmt::format("{:.4g} to {:.4g} MPa\n", 1e-6 * pressure, 1e-6 * step.to)
                : fmt::format("{:.4g} MPa\n", 1e-6 * step.to);
    time = end;
    pressure = step.to;
  }
  return text;
}

std::string sensor_lines(const solver::Problem& p) {
  if (p.sensors.empty()) return {};
  std::string text = "\nsensors\n";
  for (std::size_t k = 0; k < p.sensors.size(); ++k) {
    const solver::Sensor& s = p.sensors[k];
    if (s.kind == solver::SensorKind::furnace) {
      text += fmt::format("  {}: its wall; controls\n", s.name);
      continue;
    }
    const std::string place = fmt::format("r {:.2f} mm, z {:.2f} mm", cases::in_mm(s.r), cases::in_mm(s.z));
    const std::string what =
        s.kind == solver::SensorKind::thermocouple
            ? fmt::format("in {}, junction at {}, inserted {:.1f} mm", p.parts[s.part].name, place,
                          cases::in_mm(s.stem.depth))
            : fmt::format("looks at {}, {}\n    emissivity {:.2f}, set to {:.2f}; sees from {:.0f} degC",
                          p.parts[s.part].name, place, s.optics.emissivity, s.optics.set_emissivity,
                          cases::in_celsius(s.optics.lower_limit));
    const std::string wrong = s.reads_high_by != 0.0
                                  ? fmt::format("; reads {:.1f} K too {}", std::abs(s.reads_high_by),
                                                s.reads_high_by > 0.0 ? "high" : "low")
                                  : "";
    text += fmt::format("  {}: {}{}{}\n", s.name, what, wrong,
                        p.drive.sensor == static_cast<int>(k) ? "; controls" : "");
  }
  return text;
}

std::string materials_used(const cases::Stack& stack, const solver::Problem& p) {
  std::vector<materials::Material> used;
  for (const materials::Material& m : p.materials)
    if (std::any_of(stack.parts.begin(), stack.parts.end(),
                    [&m](const cases::StackPart& part) { return part.material == m.name; }))
      used.push_back(m);
  return "\n" + material_lines(used);
}

/// The logs, then every input with what it moves.
std::string calibration_lines(const cases::Case& c) {
  if (!c.calibration) return {};
  std::string text =
      "\n" + wrapped(fmt::format("calibrated on {}", cases::logs_in_words(*c.calibration)), 98, 2) + "\n";
  for (const cases::CalibratedInput& input : c.calibration->inputs) {
    std::string values;
    for (const cases::CalibratedValue& value : input.values)
      values += (values.empty() ? "" : ", ") + value.address;
    text +=
        "  " +
        wrapped(fmt::format("{}, {:.0f} % of its spread left: {}", input.name, 100.0 * input.left, values),
                96, 4) +
        "\n";
  }
  return text;
}

std::string switches(const cases::Case& c, const solver::Problem& p) {
  const auto on = [](bool yes) { return yes ? "on" : "off"; };
  std::string text =
      fmt::format("\non or off   radiation {}, ranges of data strict {}", on(c.radiating), on(c.strict));
  for (const cases::CaseSensor& sensor : c.sensors)
    if (!sensor.pyrometer) text += fmt::format(", stem error of {} {}", sensor.name, on(sensor.stem));
  text += "\nnot modelled\n";
  for (const std::string& sentence : solver::not_modelled(p)) text += "- " + wrapped(sentence, 98, 2) + "\n";
  return text;
}

}  // namespace

std::string stack_table(const cases::Case& c, const solver::Problem& p) {
  double bottom = 0.0, top = 0.0;
  for (const mesh::Block& block : p.mesh.layout) {
    bottom = std::min(bottom, block.z_bottom);
    top = std::max(top, block.z_top);
  }
  const cases::Stack stack = cases::stack_of(c);
  const std::vector<cases::HoldForecast> holds = cases::forecast(c);
  std::string text =
      fmt::format("Is this your stack?   {}\npress: {}\n\n", c.title, c.press.name) + parts_table(stack, p);
  if (cases::anything_worn(c)) text += "Sizes are those after wear.\n";
  text += fmt::format("\ncolumn length {:.2f} mm, {} cells\n", cases::in_mm(top - bottom), p.mesh.n_cells());
  return text + pressing_lines(c) + forecast_lines(c, holds) + electrodes(p) + sensor_lines(p) +
         programme_table(p.drive) + following_lines(c) + pressure_lines(c) + contacts_table(c, p) +
         materials_used(stack, p) + calibration_lines(c) + switches(c, p) + doubt_lines(c, p, holds);
}

}  // namespace joulepress::tools
