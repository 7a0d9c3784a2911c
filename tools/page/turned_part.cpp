#include "tools/page/turned_part.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <stdexcept>

#include "cases/stack.hpp"
#include "tools/page/dimensions.hpp"

namespace joulepress::tools::page {
namespace {

constexpr double widest_fit = 1e-3;  // m of radius; what lies farther apart is no fit

struct Heights {
  double low = std::numeric_limits<double>::infinity(), high = -std::numeric_limits<double>::infinity();
};

/// In the stack, with the floor of a blind bore.
Heights heights_of(const solver::Problem& p, const std::string& name) {
  Heights h;
  for (const mesh::Block& b : p.mesh.layout)
    if (b.name == name || b.name == cases::floor_name(name))
      h = {std::min(h.low, b.z_bottom), std::max(h.high, b.z_top)};
  return h;
}

std::string file_of(const cases::Written& written) {
  return std::filesystem::path(written.place.file).filename().string();
}

/// Every tool, the column's first, without the bores of sensors.
std::vector<TurnedPart> tools_of(const cases::Case& c) {
  std::vector<TurnedPart> list;
  const auto add = [&](const auto& source, bool sleeve, double outer, double bore,
                       double height) -> TurnedPart& {
    TurnedPart part;
    part.name = source.name;
    part.material = source.material;
    part.file = file_of(source.written);
    part.sleeve = sleeve;
    part.outer = outer;
    part.bore = bore;
    part.height = height;
    part.worn_by = source.worn_by;
    return list.emplace_back(std::move(part));
  };
  for (const cases::ColumnPart& tool : c.column)
    if (!tool.powder && !tool.cavity && tool.height)
      add(tool, false, tool.diameter, tool.bore, *tool.height).blind_bore = tool.blind_bore;
  for (const cases::Sleeve& sleeve : c.sleeves)
    if (!cases::material_named(c, sleeve.material).loose_touch)
      add(sleeve, true, sleeve.outer_diameter, sleeve.inner_diameter, sleeve.height);
  return list;
}

bool lie_beside(const solver::Problem& p, const TurnedPart& a, const TurnedPart& b) {
  const Heights x = heights_of(p, a.name), y = heights_of(p, b.name);
  return std::min(x.high, y.high) - std::max(x.low, y.low) > mesh::touch_tolerance;
}

bool stands_in(const TurnedPart& inner, const TurnedPart& outer) {
  return outer.bore > 0.0 && inner.outer <= outer.bore + mesh::touch_tolerance;
}

/// Tools in the bore (inside) or around the part, next to it and close enough to be a fit.
std::vector<TurnedPart> fits_of(const cases::Case& c, const solver::Problem& p, const TurnedPart& part,
                                bool inside) {
  std::vector<TurnedPart> found;
  for (TurnedPart& tool : tools_of(c))
    if (tool.name != part.name && (inside ? stands_in(tool, part) : stands_in(part, tool)) &&
        lie_beside(p, tool, part))
      found.push_back(std::move(tool));
  std::vector<TurnedPart> next;
  for (const TurnedPart& tool : found) {
    const double apart = 0.5 * (inside ? part.bore - tool.outer : tool.bore - part.outer);
    const bool hidden = std::any_of(found.begin(), found.end(), [&](const TurnedPart& other) {
      return inside ? stands_in(tool, other) : stands_in(other, tool);
    });
    if (!hidden && apart <= widest_fit) next.push_back(tool);
  }
  return next;
}

std::string clearance_text(double clearance, double foil) {
  if (clearance < mesh::touch_tolerance) return "no nominal clearance";
  const std::string text = fmt::format("nominal radial clearance {} mm", millimetres(clearance));
  if (foil <= 0.0) return text + ", no foil";
  if (std::abs(clearance - foil) < mesh::touch_tolerance) return text + " = thickness of the foil";
  return text + fmt::format(", of which the foil takes {}", millimetres(foil));
}

/// "bore Ø20.4 over lower punch and upper punch Ø20: ...", one for each size that stands there.
std::vector<std::string> fit_texts(const cases::Case& c, const solver::Problem& p, const TurnedPart& part,
                                   bool inside) {
  std::vector<std::string> texts;
  std::vector<TurnedPart> fits = fits_of(c, p, part, inside);
  while (!fits.empty()) {
    const auto size = [&](const TurnedPart& tool) { return inside ? tool.outer : tool.bore; };
    const TurnedPart first = fits.front();
    std::vector<std::string> names;
    std::erase_if(fits, [&](const TurnedPart& tool) {
      const bool same = std::abs(size(tool) - size(first)) < mesh::touch_tolerance;
      if (same) names.push_back(tool.name);
      return same;
    });
    const std::string &hole = inside ? part.name : first.name, &pin = inside ? first.name : part.name;
    const double foil = cases::lining_thickness(c, hole, false) + cases::lining_thickness(c, pin, true);
    const double clearance = 0.5 * std::abs(size(first) - (inside ? part.bore : part.outer));
    texts.push_back(fmt::format("{} {} {} {} {}: {}", inside ? "bore" : "outside",
                                diameter(inside ? part.bore : part.outer), inside ? "over" : "in the bore of",
                                fmt::join(names, " and "), diameter(size(first)),
                                clearance_text(clearance, foil)));
  }
  return texts;
}

bool meets_powder(const cases::Case& c, const TurnedPart& part) {
  for (std::size_t k = 0; k + 1 < c.column.size(); ++k) {
    const cases::ColumnPart &low = c.column[k], &high = c.column[k + 1];
    if ((low.powder && high.name == part.name) || (high.powder && low.name == part.name)) return true;
  }
  return false;
}

std::string edges_note(const cases::Case& c, const TurnedPart& part) {
  const char* sharp = part.sleeve && part.bore > 0.0 ? ", none at the mouth of the bore"
                      : meets_powder(c, part)        ? ", none at the rim of the face to the powder"
                                                     : "";
  return fmt::format("Edges unmarked: break 0.2 to 0.5 mm{} (common practice, no source).", sharp);
}

std::string bores_note(const TurnedPart& part) {
  const bool several = part.sensor_bores.size() > 1;
  const bool through =
      std::any_of(part.sensor_bores.begin(), part.sensor_bores.end(),
                  [](const SensorBore& b) { return b.left && *b.left < mesh::touch_tolerance; });
  return fmt::format(
      "{}: the case has the sheath, not the hole; drill to suit the sheath. Depth from the outer face to the "
      "deepest "
      "point of the drill{}.{}",
      several ? "Sensor bores" : "Sensor bore", through ? "" : "; do not drill through",
      several ? " Each is turned into the plane of the section; the angles between them are free." : "");
}

}  // namespace

double TurnedPart::hole_radius(double z) const {
  if (!blind_bore) return 0.5 * bore;
  const bool inside = blind_bore->from_top ? z > blind_bore->leaves : z < height - blind_bore->leaves;
  return inside ? 0.5 * blind_bore->diameter : 0.0;
}

bool TurnedPart::opens(bool upward) const {
  return blind_bore ? blind_bore->from_top == upward : bore > 0.0;
}

TurnedPart turned_part(const cases::Case& c, const solver::Problem& p, const std::string& name) {
  std::vector<TurnedPart> tools = tools_of(c);
  const auto found =
      std::find_if(tools.begin(), tools.end(), [&](const TurnedPart& tool) { return tool.name == name; });
  if (found == tools.end()) {
    std::vector<std::string> names;
    for (const TurnedPart& tool : tools) names.push_back(tool.name);
    throw std::invalid_argument(
        fmt::format("\"{}\" is no tool of the case. Its tools: {}.", name, fmt::join(names, ", ")));
  }
  TurnedPart part = std::move(*found);
  const double low = heights_of(p, name).low;
  for (const solver::Sensor& sensor : p.sensors) {
    if (sensor.kind != solver::SensorKind::thermocouple || p.parts[sensor.part].name != name) continue;
    SensorBore bore{sensor.name, sensor.stem.diameter, sensor.stem.depth, sensor.z - low, std::nullopt};
    const double hole = part.hole_radius(bore.height);
    if (hole > 0.0) bore.left = std::max(0.0, 0.5 * part.outer - bore.depth - hole);
    part.sensor_bores.push_back(std::move(bore));
  }
  std::stable_sort(part.sensor_bores.begin(), part.sensor_bores.end(),
                   [](const SensorBore& a, const SensorBore& b) { return a.height < b.height; });
  return part;
}

std::vector<std::string> part_notes(const cases::Case& c, const solver::Problem& p, const TurnedPart& part) {
  std::vector<std::string> notes{edges_note(c, part)};
  std::vector<std::string> surfaces = fit_texts(c, p, part, true);
  for (std::string& text : fit_texts(c, p, part, false)) surfaces.push_back(std::move(text));
  if (!part.sleeve)
    surfaces.push_back(
        "both end faces, flat and square to the axis: force and current pass (common practice, no source)");
  notes.push_back(
      "Sizes are cold. Tolerances and surface are the workshop's." +
      (surfaces.empty() ? std::string() : fmt::format(" These matter: {}.", fmt::join(surfaces, "; "))));
  if (!part.sensor_bores.empty()) notes.push_back(bores_note(part));
  for (const cases::CaseSensor& sensor : c.sensors)
    if (sensor.in_bore && sensor.part == part.name)
      notes.push_back(fmt::format(
          "Blind bore: \"{}\" looks into it; bottom flat, bored dry (common practice, no source).",
          sensor.name));
  if (part.worn_by > 0.0)
    notes.push_back(fmt::format("Drawn as new. The case computes with this part worn: {} {} by {} mm.",
                                part.sleeve && part.bore > 0.0 ? "bore" : "outside",
                                part.sleeve && part.bore > 0.0 ? "wider" : "thinner",
                                millimetres(part.worn_by)));
  return notes;
}

std::string sheet_caution() {
  return "Caution: joulepress estimates; it does not protect. The press maker's limits, local codes and "
         "licensed "
         "practice come first. Brittle tools break without warning and pieces fly: guards closed, nobody in "
         "line.";
}

}  // namespace joulepress::tools::page
