#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/group_readers.hpp"

namespace joulepress::cases {
namespace {

/// An empty map, for a group that is absent: every key has its default.
const SourceNode& no_keys() {
  static const SourceNode node = [] {
    SourceNode empty;
    empty.type = SourceNode::Type::map;
    return empty;
  }();
  return node;
}

void read_start_density(MapReader& map, ColumnPart& part) {
  const SourceNode* node = map.find("relative density");
  if (node && node->type == SourceNode::Type::map) {
    MapReader inner(*node, "start density", map.errors());
    part.relative_density = inner.amount("value");
    part.density_pressure = inner.amount_if_any("at pressure");
    inner.finish();
  } else {
    part.relative_density = map.amount_if_any("relative density");
  }
}

/// What a powder and the filling of a cavity have in common.
void read_amount_of_powder(MapReader& map, ColumnPart& part, const std::string& name) {
  part.powder = true;
  part.height = map.amount_if_any("height");
  part.mass = map.amount_if_any("mass");
  part.end_density = map.amount("end density");
  part.densification = map.on("densification");
  part.oxide_film = map.on("oxide film");
  part.grain = map.amount_if_any("grain size");
  part.wall_friction = map.amount("wall friction");
  read_start_density(map, part);
  if (part.mass.has_value() == part.height.has_value() && map.node().type == SourceNode::Type::map)
    map.refuse(
        "mass",
        fmt::format("\"{}\" has {}.", name,
                    part.mass ? "both a mass and a height; one follows from the other"
                              : "neither a mass nor a height"),
        "Give the mass of the filled powder (its height follows), or the height of the dense compact.");
}

void refuse_powder_keys(MapReader& map, const char* what) {
  for (const char* key : {"mass", "relative density", "end density", "densification", "oxide film",
                          "grain size", "wall friction"})
    if (map.find(key))
      map.refuse(key, fmt::format("{} has no {}.", what, key),
                 "It belongs to a powder: write it there, or here `powder:` instead of `material:`.");
}

}  // namespace

namespace {

BlindBore read_blind_bore(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "blind bore", errors);
  BlindBore hole;
  hole.diameter = map.amount("diameter");
  hole.leaves = map.amount("leaves");
  hole.from_top = map.text("from") == "top";
  map.finish();
  return hole;
}

/// A hole that does not lie inside the tool it is drilled into is refused and left out, so that other checks
/// go on.
void check_blind_bore(MapReader& map, ColumnPart& part) {
  if (!part.blind_bore) return;
  const std::size_t before = map.errors().size();
  if (part.powder || part.cavity)
    map.refuse("blind bore", "Only a tool can be drilled.", "Leave it out.");
  else if (part.bore > 0.0)
    map.refuse("blind bore", fmt::format("\"{}\" has a bore through already.", part.name),
               "Keep one of the two.");
  else if (part.blind_bore->diameter >= part.diameter)
    map.refuse("blind bore", "The hole is not narrower than the part.", "Check both diameters.");
  else if (part.height && part.blind_bore->leaves >= *part.height)
    map.refuse("blind bore", "The hole leaves more than the part is high.", "Check height and `leaves`.");
  if (map.errors().size() > before) part.blind_bore.reset();
}

}  // namespace

ColumnPart read_column_part(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "column", errors);
  ColumnPart part;
  part.written = written_at(node);
  part.name = map.text("name");
  part.diameter = map.amount("diameter");
  part.bore = map.amount("bore");
  part.worn_by = map.amount("worn by");
  if (const SourceNode* hole = map.find("blind bore")) part.blind_bore = read_blind_bore(*hole, map.errors());
  if (part.bore >= part.diameter && part.diameter > 0.0)
    map.refuse("bore", "The bore is not smaller than the diameter.", "Check both.");
  part.cavity = map.on("cavity");
  const std::string tool = map.text("material"), powder = map.text("powder");
  part.material = powder.empty() ? tool : powder;
  if (part.worn_by > 0.0 && (!powder.empty() || part.cavity))
    map.refuse(
        "worn by", fmt::format("\"{}\" is no tool: powder does not wear.", part.name),
        "Give the wear to the sleeve or the core rod around it; the powder then fills the wider cavity.");
  const int kinds = !tool.empty() + !powder.empty() + part.cavity;
  if (kinds != 1 && node.type == SourceNode::Type::map)
    map.refuse(
        kinds == 0        ? "material"
        : !powder.empty() ? "powder"
                          : "cavity",
        fmt::format("\"{}\" is {}.", part.name, kinds == 0 ? "made of nothing" : "several things at once"),
        "Write one of: `material:` (a tool), `powder:` (a powder), `cavity: on` (filled by `fillings`).");
  if (!powder.empty()) {
    read_amount_of_powder(map, part, part.name);
  } else {
    part.height = map.amount_if_any("height");
    refuse_powder_keys(map, part.cavity ? "A cavity" : "A tool");
    if (part.cavity && part.height)
      map.refuse("height", "A cavity has no height of its own.", "Its filling decides: leave it out.");
    if (!part.cavity && !map.find("height") && node.type == SourceNode::Type::map)
      map.refuse("height", fmt::format("\"{}\" has no height.", part.name), "Add `height: 25 mm`.");
  }
  check_blind_bore(map, part);
  map.finish();
  return part;
}

Filling read_filling(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "filling", errors);
  Filling filling;
  filling.in = map.text("in");
  filling.powder.written = written_at(node);
  filling.powder.material = map.text("powder");
  read_amount_of_powder(map, filling.powder, filling.in);
  map.finish();
  return filling;
}

namespace {

/// A sleeve has one place in height.
void check_place(MapReader& map, const Sleeve& sleeve) {
  std::vector<const char*> places;
  for (const char* key : {"centre on", "stands on", "hangs below"})
    if (map.find(key)) places.push_back(key);
  if (places.size() == 1 || map.node().type != SourceNode::Type::map) return;
  map.refuse(
      places.empty() ? "centre on" : places[1],
      places.empty()
          ? fmt::format("Nothing says at which height \"{}\" lies.", sleeve.name)
          : fmt::format("\"{}\" has two places: `{}` and `{}`.", sleeve.name, places[0], places[1]),
      "Write one of: `centre on:` a part of the column, `stands on:` or `hangs below:` any other part.");
}

}  // namespace

Sleeve read_sleeve(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "sleeve", errors);
  Sleeve sleeve;
  sleeve.written = written_at(node);
  sleeve.name = map.text("name");
  sleeve.material = map.text("material");
  sleeve.inner_diameter = map.amount("inner diameter");
  sleeve.outer_diameter = map.amount("outer diameter");
  sleeve.height = map.amount("height");
  sleeve.worn_by = map.amount("worn by");
  sleeve.centre_on = map.text("centre on");
  sleeve.stands_on = map.text("stands on");
  sleeve.hangs_below = map.text("hangs below");
  check_place(map, sleeve);
  sleeve.moves_with = map.text("moves with");
  if (sleeve.inner_diameter > 0.0 && sleeve.outer_diameter > 0.0 &&
      sleeve.inner_diameter >= sleeve.outer_diameter)
    map.refuse("outer diameter", "The outer diameter is not larger than the inner one.", "Check both.");
  map.finish();
  return sleeve;
}

FoilLayer read_foil(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "foil", errors);
  FoilLayer foil;
  foil.written = written_at(node);
  foil.material = map.text("material");
  foil.thickness = map.amount("thickness");
  const SourceNode* between = map.find("between");
  foil.along = map.text("along");
  if (!map.find("along") == !between) {
    errors.add(node.place, node.path, "A foil lies either along a bore or between two parts.",
               "Write `along: bore of die` or `between: [lower punch, powder]`.");
  } else if (!between) {
    const std::string bore = "bore of ", outside = "outside of ";
    foil.outside = foil.along.starts_with(outside);
    if (foil.outside)
      foil.along.erase(0, outside.size());
    else if (foil.along.starts_with(bore))
      foil.along.erase(0, bore.size());
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

ContactTotals read_contacts(const SourceNode* node, ErrorList& errors) {
  MapReader map(node ? *node : no_keys(), "contacts", errors);
  const auto read = [&](const char* key, const char* group, double& electric, double& heat) {
    const SourceNode* child = map.find(key);
    MapReader inner(child ? *child : no_keys(), group, errors);
    electric = inner.amount("electrical");
    heat = inner.amount("thermal");
    inner.finish();
  };
  ContactTotals totals;
  totals.follow = map.on("follow conditions");
  totals.ageing = map.amount("ageing");
  totals.foil_fit = map.amount("foil fit");
  totals.foil_stiffness = map.amount("foil stiffness");
  read("axial", "axial contact", totals.electric_axial, totals.heat_axial);
  read("lateral", "lateral contact", totals.electric_lateral, totals.heat_lateral);
  map.finish();
  return totals;
}

}  // namespace joulepress::cases
