#include "cases/process_faults.hpp"
#include "cases/reader/units.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace joulepress::cases {
namespace {

constexpr double room = 298.15;  // K

const FoilLayer* lining_of(const Case& c, const std::string& sleeve) {
  for (const FoilLayer& foil : c.foils)
    if (foil.along == sleeve && !foil.outside) return &foil;
  return nullptr;
}

bool is_carbon(const Case& c, const std::string& material) {
  return material_named(c, material).carbon;
}

/// Punches and powder wider than the bore they stand in leaves them.
bool report_entering(const Case& c, const Stack& stack, ErrorList& errors) {
  const std::size_t before = errors.size();
  for (std::size_t s = 0; s < stack.parts.size(); ++s) {
    if (stack.parts[s].role != Role::sleeve || stack.parts[s].soft || stack.layout[s].r_inner == 0.0)
      continue;
    const mesh::Block& around = stack.layout[s];
    const FoilLayer* foil = lining_of(c, around.name);
    const double clear = around.r_inner - (foil ? foil->thickness : 0.0);
    for (std::size_t k = 0; k < stack.parts.size(); ++k) {
      const bool powder = stack.parts[k].role == Role::powder;
      if (!powder && !(stack.parts[k].role == Role::column && is_punch(c, stack.parts[k].source))) continue;
      const mesh::Block& inside = stack.layout[k];
      const double shared = std::min(inside.z_top, around.z_top) - std::max(inside.z_bottom, around.z_bottom);
      if (shared < mesh::touch_tolerance || inside.r_outer < clear + mesh::touch_tolerance ||
          inside.r_inner > around.r_outer)
        continue;
      const Written& entry = c.column[stack.parts[k].source].written;
      errors.add(
          entry.at("diameter"), entry.path_of("diameter"),
          fmt::format("\"{}\" of {:.2f} mm does not enter \"{}\": its bore is {:.2f} mm{}.", inside.name,
                      in_mm(2 * inside.r_outer), around.name, in_mm(2 * around.r_inner),
                      foil ? fmt::format(", which {:.2f} mm of foil on either side narrow to {:.2f} mm",
                                         in_mm(foil->thickness), in_mm(2 * clear))
                           : ""),
          "Take a thinner foil, a wider bore or a narrower punch; punches are usually 0.4 to 0.8 mm under a "
          "bore with foil (common practice, no source).");
    }
  }
  return errors.size() > before;
}

/// Spacers that meet the die before the powder is dense.
bool report_free_punch(const Case& c, ErrorList& errors) {
  const std::size_t before = errors.size();
  for (const Entry& entry : entries_of(c, PowderState::dense)) {
    if (entry.free > -mesh::touch_tolerance || entry.stop < 0) continue;
    const Written& stop = c.column[entry.stop].written;
    errors.add(
        stop.place, "",
        fmt::format("No free punch is left: with the powder fully dense \"{}\" would stand {:.2f} mm inside "
                    "\"{}\".",
                    c.column[entry.stop].name, in_mm(-entry.free), c.sleeves[entry.sleeve].name),
        fmt::format("Lengthen \"{}\" by more than that, or shorten the sleeve by twice as much.",
                    c.column[entry.punch].name));
  }
  return errors.size() > before;
}

/// Powder that is taller under the preload than its die: one message a powder, for the worse of its ends.
bool report_fit(const Case& c, ErrorList& errors) {
  if (!start_is_known(c)) return false;
  std::vector<Entry> proud;
  for (const Entry& entry : entries_of(c, PowderState::preload)) {
    if (entry.guided > mesh::touch_tolerance) continue;
    if (!proud.empty() && proud.back().sleeve == entry.sleeve) {
      if (entry.guided < proud.back().guided - mesh::touch_tolerance) proud.back() = entry;
    } else {
      proud.push_back(entry);
    }
  }
  for (const Entry& entry : proud) {
    const ColumnPart& powder = c.column[entry.punch + (entry.upper ? -1 : 1)];
    const char* key = powder.mass ? "mass" : "height";
    errors.add(
        powder.written.at(key), powder.written.path_of(key),
        fmt::format(
            "\"{}\" does not fit: under the preload it reaches {:.2f} mm beyond the end of \"{}\", so "
            "that \"{}\" does not enter.",
            powder.name, in_mm(-entry.guided), c.sleeves[entry.sleeve].name, c.column[entry.punch].name),
        "Fill less, press it denser beforehand, or take a taller die.");
  }
  return !proud.empty();
}

const ProgrammeStep* step_of_highest(const std::vector<ProgrammeStep>& steps) {
  const auto highest = std::max_element(
      steps.begin(), steps.end(), [](const ProgrammeStep& a, const ProgrammeStep& b) { return a.to < b.to; });
  return highest == steps.end() ? nullptr : &*highest;
}

const char* key_of(const ProgrammeStep& step) {
  return step.kind == ProgrammeStep::Kind::ramp ? "ramp to" : "hold";
}

void report_force(const Case& c, ErrorList& errors) {
  const ProgrammeStep* step = step_of_highest(c.programme.pressure);
  if (!step) return;
  const double force = force_at(c, step->to);
  if (c.press.force_limit && force > *c.press.force_limit)
    errors.add(step->written.at(key_of(*step)), step->written.path_of(key_of(*step)),
               fmt::format("{:.4g} MPa on the powder takes {:.4g} kN; the press gives {:.4g} kN.",
                           1e-6 * step->to, 1e-3 * force, 1e-3 * *c.press.force_limit),
               fmt::format("Ask for at most {:.3g} MPa, or take another press.",
                           1e-6 * step->to * *c.press.force_limit / force));
  for (const ColumnPart& part : c.column) {
    const auto& strength = material_named(c, part.material).compressive_strength;
    if (part.powder || !strength) continue;
    const double stress = force / cross_section(part), cold = strength->curve.value(room);
    if (stress > cold)
      errors.add(part.written.at("diameter"), part.written.path_of("diameter"),
                 fmt::format("\"{}\" would carry {:.3g} MPa; \"{}\" crushes at about {:.3g} MPa cold.",
                             part.name, 1e-6 * stress, part.material, 1e-6 * cold),
                 "Lower the pressure, or take a wider or stronger part.");
  }
}

void report_melting(const Case& c, ErrorList& errors) {
  const auto highest = highest_temperature(c);
  if (!highest) return;
  const ProgrammeStep* step = step_of_highest(c.programme.steps);
  if (!step) return;
  const Place& place =
      step->kind == ProgrammeStep::Kind::ramp ? step->written.at("ramp to") : step->written.place;
  std::vector<std::string> said;
  const auto check = [&](const std::string& part, const std::string& material, bool powder) {
    const auto& melting = material_named(c, material).melting_K;
    if (!melting || *highest < *melting || std::find(said.begin(), said.end(), material) != said.end())
      return;
    said.push_back(material);
    errors.add(
        place, step->written.path_of("ramp to"),
        fmt::format("{:.0f} degC is not below {:.0f} degC, where \"{}\" of \"{}\" begins to melt.",
                    in_celsius(*highest), in_celsius(*melting), material, part),
        powder && !c.programme.by_furnace
            ? "Liquid runs out past the punches: stay below, and remember that the powder is mostly hotter "
              "than the sensor."
            : "Stay below, or take another material.");
  };
  // Spacers and rams stay colder than the sensor, but not in a furnace; what they come to is left to the
  // forecast.
  const auto controls = [&c](const ColumnPart& part) {
    return c.programme.by_furnace ||
           std::any_of(c.sensors.begin(), c.sensors.end(), [&](const CaseSensor& sensor) {
             return sensor.name == c.programme.control && sensor.part == part.name;
           });
  };
  for (std::size_t k = 0; k < c.column.size(); ++k)
    if (c.column[k].powder || is_punch(c, k) || controls(c.column[k]))
      check(c.column[k].name, c.column[k].material, c.column[k].powder);
  for (const Sleeve& sleeve : c.sleeves) check(sleeve.name, sleeve.material, false);
  for (const FoilLayer& foil : c.foils) check("a foil", foil.material, false);
}

/// An isostatic law of densification means nothing below the density at which the grains just touch.
void report_tap_density(const Case& c, ErrorList& errors) {
  for (const ColumnPart& part : c.column) {
    if (!part.powder || !part.relative_density) continue;
    const materials::Densification& law = material_named(c, part.material).densification;
    if (!(*part.relative_density > 0.0) || *part.relative_density > law.tap_density)
      continue;  // 0: was refused
    errors.add(
        part.written.at("relative density"), part.written.path_of("relative density"),
        fmt::format("A relative density of {:.4g} is not above the tap density {:.4g} of \"{}\", where "
                    "its law of densification ({}) begins.",
                    *part.relative_density, law.tap_density, part.material, name_of(law.law)),
        "Give the density the preload has reached, or another law.");
  }
}

void report_strict(const Case& c, ErrorList& errors) {
  const auto highest = highest_temperature(c);
  const ProgrammeStep* step = step_of_highest(c.programme.steps);
  if (!highest || !step) return;
  for (const std::string& sentence : beyond_data(c, *highest))
    errors.add(step->written.at("ramp to"), step->written.path_of("ramp to"), sentence,
               "The case is strict about ranges: lower the temperature, or give data that reach further.");
}

}  // namespace

std::optional<double> highest_temperature(const Case& c) {
  if (c.programme.driven != Programme::Driven::temperature) return std::nullopt;
  double highest = std::max(c.initial_temperature, start_of_programme(c));
  for (const ProgrammeStep& step : c.programme.steps)
    if (step.kind == ProgrammeStep::Kind::ramp) highest = std::max(highest, step.to);
  return highest;
}

bool touches_carbon(const Case& c) {
  for (const FoilLayer& foil : c.foils)
    if (is_carbon(c, foil.material)) return true;
  for (std::size_t k = 0; k < c.column.size(); ++k)
    if (is_punch(c, k) && is_carbon(c, c.column[k].material)) return true;
  // Felt holds no powder.
  return std::any_of(c.sleeves.begin(), c.sleeves.end(), [&c](const Sleeve& sleeve) {
    return is_carbon(c, sleeve.material) && !material_named(c, sleeve.material).loose_touch;
  });
}

bool report_pressing(const Case& c, ErrorList& errors) {
  bool any = report_entering(c, stack_of(c), errors);
  any = report_free_punch(c, errors) || any;
  return report_fit(c, errors) || any;
}

void report_limits(const Case& c, ErrorList& errors) {
  report_force(c, errors);
  report_tap_density(c, errors);
  report_melting(c, errors);
  if (c.strict) report_strict(c, errors);
}

std::string properties_ending_below(const materials::Material& m, double kelvin) {
  std::string properties;
  const auto check = [&](const char* name, const materials::Curve& curve) {
    if (curve.t_max() < kelvin - 0.5)
      properties +=
          fmt::format("{}{} to {:.0f} degC", properties.empty() ? "" : ", ", name, in_celsius(curve.t_max()));
  };
  check("heat capacity", m.heat_capacity.curve);
  check("heat conductivity", m.conductivity.along.curve);
  check("electrical resistivity", m.resistivity.along.curve);
  return properties;
}

std::vector<std::string> beyond_data(const Case& c, double kelvin) {
  std::vector<std::string> sentences;
  for (const materials::Material& m : c.materials) {
    if (!is_used(c, m)) continue;
    const std::string properties = properties_ending_below(m, kelvin);
    if (!properties.empty())
      sentences.push_back(
          fmt::format("\"{}\" is known less far than {:.0f} degC ({}): beyond, the end value is held.",
                      m.name, in_celsius(kelvin), properties));
  }
  return sentences;
}

}  // namespace joulepress::cases
