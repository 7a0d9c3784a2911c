#include "cases/reader/material_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

namespace joulepress::cases {
namespace {

using materials::Curve;
using materials::Property;

std::string file_name_of(const std::string& name) {
  std::string file = name;
  std::replace(file.begin(), file.end(), ' ', '-');
  return file + ".yaml";
}

double plain_number(const SourceNode& node, ErrorList& errors) {
  return quantity_of(node, Kind::ratio, errors);
}

materials::Uncertainty read_uncertainty(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  materials::Uncertainty u;
  if (const auto relative = map.quantity("relative", Kind::ratio)) {
    u.kind = materials::Uncertainty::Kind::relative;
    u.size = *relative;
  }
  if (const auto factor = map.quantity("factor", Kind::ratio)) {
    u.kind = materials::Uncertainty::Kind::factor;
    u.size = *factor;
  }
  u.group = map.text("group").value_or("");
  map.finish();
  return u;
}

/// value, terms + range, or table at one place.
Curve read_simple_curve(MapReader& map, double factor, Kind kind) {
  ErrorList& errors = map.errors();
  if (const SourceNode* value = map.find("value"))
    return Curve::constant(map.find("unit") ? factor * plain_number(*value, errors)
                                            : quantity_of(*value, kind, errors));
  if (const SourceNode* table = map.find("table")) {
    std::vector<std::pair<double, double>> points;
    for (const SourceNode& row : items_of(*table, errors)) {
      if (row.children.size() == 2)
        points.emplace_back(plain_number(row.children[0], errors),
                            factor * plain_number(row.children[1], errors));
      else
        errors.add(row.place, row.path, "A row of a table is [K, value].", "Write two numbers.");
    }
    return Curve::table(points);
  }
  const SourceNode* terms = map.need("terms");
  const SourceNode* range = map.need("range");
  if (!terms || !range) return {};
  std::vector<materials::Term> sum;
  for (const SourceNode& row : items_of(*terms, errors)) {
    if (row.children.size() == 2)
      sum.push_back({factor * plain_number(row.children[0], errors), plain_number(row.children[1], errors)});
    else
      errors.add(row.place, row.path, "A term is [coefficient, power].", "Write two numbers.");
  }
  if (range->children.size() != 2) {
    errors.add(range->place, range->path, "A range is [from, to].", "Write two temperatures.");
    return {};
  }
  return Curve::polynomial(sum, quantity_of(range->children[0], Kind::temperature, errors),
                           quantity_of(range->children[1], Kind::temperature, errors));
}

Curve read_curve(MapReader& map, Kind kind) {
  ErrorList& errors = map.errors();
  double factor = 1.0;
  if (const SourceNode* unit = map.find("unit")) {
    const auto known = unit_factor(unit->text, kind);
    if (known)
      factor = *known;
    else
      errors.add(unit->place, unit->path,
                 fmt::format("\"{}\" is no unit of {}.", unit->text, kind_name(kind)),
                 fmt::format("Units: {}.", units_of(kind)));
  }
  const SourceNode* pieces = map.find("pieces");
  if (!pieces) return read_simple_curve(map, factor, kind);
  std::vector<Curve> curves;
  for (const SourceNode& piece : items_of(*pieces, errors)) {
    MapReader one(piece, errors);
    curves.push_back(read_simple_curve(one, factor, kind));
    one.finish();
  }
  return Curve::joined(curves);
}

Property read_property(const SourceNode& node, Kind kind, ErrorList& errors,
                       std::optional<Property>* across = nullptr) {
  MapReader map(node, errors);
  Property property;
  try {
    property.curve = read_curve(map, kind);
  } catch (const std::invalid_argument& problem) {
    errors.add(node.place, node.path, fmt::format("The curve cannot be used: {}.", problem.what()),
               "Check its numbers and ranges.");
  }
  property.source = map.need_text("source");
  property.note = map.text("note").value_or("");
  if (const SourceNode* u = map.find("uncertainty")) property.uncertainty = read_uncertainty(*u, errors);
  if (across)
    if (const SourceNode* other = map.find("across")) *across = read_property(*other, kind, errors);
  map.finish();
  return property;
}

/// A parameter that must lie between the limits, both excluded.
double read_parameter(MapReader& map, const std::string& key, double low, double high) {
  const double value = map.need_quantity(key, Kind::ratio);
  if (const SourceNode* node = map.find(key);
      node && is_quantity(*node, Kind::ratio) && !(value > low && value < high))
    map.errors().add(node->place, node->path, fmt::format("{} is outside {} ... {}.", value, low, high),
                     "Write a number between the two.");
  return value;
}

materials::PorousLaw read_porous_law(const SourceNode& node, ErrorList& errors) {
  using Law = materials::PorousLaw::Kind;
  MapReader map(node, errors);
  materials::PorousLaw law;
  const std::string name = map.need_text("law");
  const auto laws = materials::porous_laws();
  const auto found = std::find_if(laws.begin(), laws.end(), [&](Law kind) { return name_of(kind) == name; });
  if (found == laws.end()) {
    std::vector<std::string> known;
    for (const Law kind : laws) known.push_back(name_of(kind));
    if (const SourceNode* text = map.find("law"))
      errors.add(text->place, text->path, fmt::format("There is no law \"{}\" of porous conduction.", name),
                 suggestion(name, known));
    return law;
  }
  law.kind = *found;
  if (law.kind == Law::argento_bouvard || law.kind == Law::montes)
    law.tap_density = read_parameter(map, "tap density", 0, 1);
  if (law.kind == Law::power || law.kind == Law::montes || law.kind == Law::mclachlan)
    law.exponent = read_parameter(map, "exponent", 0, 10);
  if (law.kind == Law::mclachlan) law.threshold = read_parameter(map, "threshold", 0, 1);
  map.finish();
  return law;
}

materials::Porous read_porous(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  materials::Porous porous;
  if (const SourceNode* law = map.need("heat")) porous.heat = read_porous_law(*law, errors);
  if (const SourceNode* law = map.need("current")) porous.current = read_porous_law(*law, errors);
  porous.reason = map.need_text("reason");
  map.finish();
  return porous;
}

}  // namespace

std::filesystem::path share_folder() {
  if (const char* folder = std::getenv("JOULEPRESS_SHARE")) return folder;
  return JOULEPRESS_SOURCE_DIR;
}

std::vector<std::filesystem::path> shipped_materials() {
  std::vector<std::filesystem::path> files;
  std::error_code problem;
  for (const auto& entry :
       std::filesystem::directory_iterator(share_folder() / "materials" / "data", problem))
    if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

materials::Material read_material(const SourceNode& document, ErrorList& errors) {
  MapReader map(document, errors);
  materials::Material m;
  const auto format = map.whole_number("format");
  if (format && *format != 1)
    errors.add(map.find("format")->place, "format", fmt::format("Format {} is not known.", *format),
               "This version reads format 1.");
  m.name = map.need_text("material");
  m.file = document.place.file;
  m.note = map.text("note").value_or("");
  m.insulator = map.flag("insulator").value_or(false);
  m.melting_K = map.quantity("melting", Kind::temperature);
  m.carbon_eutectic_K = map.quantity("eutectic with carbon", Kind::temperature);
  if (const SourceNode* node = map.need("density")) m.density = read_property(*node, Kind::density, errors);
  if (const SourceNode* node = map.need("heat capacity"))
    m.heat_capacity = read_property(*node, Kind::heat_capacity, errors);
  if (const SourceNode* node = map.need("conductivity"))
    m.conductivity.along = read_property(*node, Kind::conductivity, errors, &m.conductivity.across);
  if (const SourceNode* node = map.need("resistivity"))
    m.resistivity.along = read_property(*node, Kind::resistivity, errors, &m.resistivity.across);
  if (const SourceNode* node = map.find("emissivity"))
    m.emissivity = read_property(*node, Kind::ratio, errors);
  if (const SourceNode* node = map.find("compressive strength"))
    m.compressive_strength = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("flexural strength"))
    m.flexural_strength = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("porous")) m.porous = read_porous(*node, errors);
  map.finish();
  return m;
}

materials::Material read_material(const std::filesystem::path& path) {
  ErrorList errors;
  materials::Material material;
  if (const auto document = load_document(path, {}, errors)) material = read_material(*document, errors);
  errors.throw_if_any();
  return material;
}

std::filesystem::path find_material(const std::string& name, const std::filesystem::path& case_folder) {
  const std::string file = file_name_of(name);
  for (const std::filesystem::path& folder : {case_folder, share_folder() / "materials" / "data"})
    if (std::filesystem::is_regular_file(folder / file)) return folder / file;
  return {};
}

std::vector<std::string> material_names() {
  std::vector<std::string> names;
  for (const std::filesystem::path& file : shipped_materials()) {
    std::string name = file.stem().string();
    std::replace(name.begin(), name.end(), '-', ' ');
    names.push_back(name);
  }
  std::sort(names.begin(),
            names.end());  // not in the order of file names: "nickel" before "nickel chromium ..."
  return names;
}

}  // namespace joulepress::cases
