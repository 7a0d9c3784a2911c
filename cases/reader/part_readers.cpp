#include "cases/reader/group_readers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace joulepress::cases {
namespace {

/// An error unless the value of `key` is positive; a value that could not be read is reported already.
void require_positive(MapReader& map, const std::string& key, Kind kind, double value) {
  const SourceNode* node = map.find(key);
  if (!node || value > 0.0 || !is_quantity(*node, kind)) return;
  map.errors().add(node->place, node->path, fmt::format("\"{}\" is not above zero.", node->text),
                   "Write a positive value.");
}

double fraction(MapReader& map, const std::string& key, double value) {
  if (value > 0.0 && value <= 1.0) return value;
  if (const SourceNode* node = map.find(key); node && is_quantity(*node, Kind::ratio))
    map.errors().add(node->place, node->path, fmt::format("\"{}\" is not between 0 and 1.", node->text),
                     "Write a relative density, e.g. 0.55 or 55 %.");
  return value;
}

void read_powder_density(MapReader& map, ColumnPart& part) {
  const SourceNode* node = map.find("relative density");
  if (!node) return;
  if (node->type == SourceNode::Type::map) {
    MapReader inner(*node, map.errors());
    part.relative_density = fraction(inner, "value", inner.need_quantity("value", Kind::ratio));
    part.density_pressure = positive_if_any(inner, "at pressure", Kind::pressure);
    inner.finish();
  } else {
    part.relative_density = fraction(map, "relative density", quantity_of(*node, Kind::ratio, map.errors()));
  }
}

}  // namespace

double positive(MapReader& map, const std::string& key, Kind kind) {
  const double value = map.need_quantity(key, kind);
  require_positive(map, key, kind, value);
  return value;
}

/// An error when a driven quantity or a pressure is below zero.
void require_not_negative(const SourceNode& node, double value, ErrorList& errors) {
  if (value < 0.0)
    errors.add(node.place, node.path, fmt::format("\"{}\" is below zero.", node.text),
               "Write zero or a positive value.");
}

std::optional<double> positive_if_any(MapReader& map, const std::string& key, Kind kind) {
  const auto value = map.quantity(key, kind);
  if (value) require_positive(map, key, kind, *value);
  return value;
}

ColumnPart read_column_part(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  ColumnPart part;
  part.place = node.place;
  part.name = map.need_text("name");
  const SourceNode* powder = map.find("powder");
  part.powder = powder != nullptr;
  part.material = powder ? text_of(*powder, errors) : map.need_text("material");
  part.diameter = positive(map, "diameter", Kind::length);
  part.bore = map.quantity("bore", Kind::length).value_or(0.0);
  if (const SourceNode* bore = map.find("bore")) require_not_negative(*bore, part.bore, errors);
  if (part.bore >= part.diameter && part.diameter > 0.0)
    errors.add(map.find("bore")->place, map.path_of("bore"), "The bore is not smaller than the diameter.",
               "Check both.");
  part.height = positive_if_any(map, "height", Kind::length);
  if (part.powder) {
    part.mass = positive_if_any(map, "mass", Kind::mass);
    read_powder_density(map, part);
    if (const auto end = map.quantity("end density", Kind::ratio))
      part.end_density = fraction(map, "end density", *end);
    if (part.mass.has_value() == part.height.has_value() && node.type == SourceNode::Type::map)
      errors.add(
          node.place, map.path_of("mass"),
          fmt::format("\"{}\" has {}.", part.name,
                      part.mass ? "both a mass and a height; one follows from the other"
                                : "neither a mass nor a height"),
          "Give the mass of the filled powder (its height follows), or the height of the dense compact.");
  } else if (!part.height && !map.find("height") && node.type == SourceNode::Type::map) {
    errors.add(node.place, map.path_of("height"), fmt::format("\"{}\" has no height.", part.name),
               "Add `height: 25 mm`.");
  }
  map.finish();
  return part;
}

Sleeve read_sleeve(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  Sleeve sleeve;
  sleeve.place = node.place;
  sleeve.name = map.need_text("name");
  sleeve.material = map.need_text("material");
  sleeve.inner_diameter = positive(map, "inner diameter", Kind::length);
  sleeve.outer_diameter = positive(map, "outer diameter", Kind::length);
  sleeve.height = positive(map, "height", Kind::length);
  sleeve.centre_on = map.need_text("centre on");
  sleeve.moves_with = map.text("moves with").value_or("");
  if (sleeve.inner_diameter > 0.0 && sleeve.outer_diameter > 0.0 &&
      sleeve.inner_diameter >= sleeve.outer_diameter)
    errors.add(node.place, map.path_of("outer diameter"),
               "The outer diameter is not larger than the inner one.", "Check both.");
  map.finish();
  return sleeve;
}

FoilLayer read_foil(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  FoilLayer foil;
  foil.place = node.place;
  foil.material = map.text("material").value_or("graphite foil");
  foil.thickness = positive(map, "thickness", Kind::length);
  const SourceNode* along = map.find("along");
  const SourceNode* between = map.find("between");
  if (!along == !between) {
    errors.add(node.place, node.path, "A foil lies either along a bore or between two parts.",
               "Write `along: bore of die` or `between: [lower punch, powder]`.");
  } else if (along) {
    foil.along = text_of(*along, errors);
    const std::string prefix = "bore of ";
    if (foil.along.rfind(prefix, 0) == 0) foil.along.erase(0, prefix.size());
  } else {
    const auto& pair = items_of(*between, errors);
    if (pair.size() == 2) {
      foil.between_low = text_of(pair[0], errors);
      foil.between_high = text_of(pair[1], errors);
    } else if (between->type == SourceNode::Type::sequence) {
      errors.add(between->place, between->path, "A foil lies between two parts.",
                 "Name two neighbours of the column.");
    }
  }
  map.finish();
  return foil;
}

ContactTotals read_contacts(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  ContactTotals totals;
  totals.place = node.place;
  const auto read = [&](const std::string& key, double& electric, double& heat) {
    const SourceNode* child = map.find(key);
    if (!child) return;
    MapReader inner(*child, errors);
    electric = positive_if_any(inner, "electrical", Kind::area_resistance).value_or(electric);
    heat = positive_if_any(inner, "thermal", Kind::film).value_or(heat);
    inner.finish();
  };
  read("axial", totals.electric_axial, totals.heat_axial);
  read("lateral", totals.electric_lateral, totals.heat_lateral);
  map.finish();
  return totals;
}

CaseSensor read_sensor(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  CaseSensor sensor;
  sensor.place = node.place;
  sensor.name = map.need_text("name");
  const std::string kind = map.need_text("kind");
  if (!kind.empty() && kind != "thermocouple")
    errors.add(map.find("kind")->place, map.path_of("kind"),
               fmt::format("There is no sensor \"{}\" in this version.", kind), "Known: thermocouple.");
  sensor.part = map.need_text("in");
  if (const auto from = map.text("bore from"); from && *from != "outer surface")
    errors.add(map.find("bore from")->place, map.path_of("bore from"),
               fmt::format("A bore from \"{}\" is not known.", *from), "Known: outer surface.");
  sensor.depth = positive(map, "depth", Kind::length);
  if (const SourceNode* height = map.find("height"); height && height->text != "middle")
    sensor.height = quantity_of(*height, Kind::length, errors);
  sensor.sheath_diameter = positive_if_any(map, "sheath", Kind::length).value_or(sensor.sheath_diameter);
  sensor.sheath_conductivity =
      positive_if_any(map, "sheath conductivity", Kind::conductivity).value_or(sensor.sheath_conductivity);
  sensor.stem = map.flag("stem error").value_or(true);
  map.finish();
  return sensor;
}

}  // namespace joulepress::cases
