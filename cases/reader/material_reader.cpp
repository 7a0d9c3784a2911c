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
  MapReader map(node, "uncertainty", errors);
  materials::Uncertainty u;
  if (const auto relative = map.amount_if_any("relative")) {
    u.kind = materials::Uncertainty::Kind::relative;
    u.size = *relative;
  }
  if (const auto factor = map.amount_if_any("factor")) {
    u.kind = materials::Uncertainty::Kind::factor;
    u.size = *factor;
  }
  u.group = map.text("group");
  map.finish();
  return u;
}

/// value, terms + range, or table at one place.
Curve read_simple_curve(MapReader& map, std::optional<double> unit, Kind kind) {
  ErrorList& errors = map.errors();
  const double factor = unit.value_or(1.0);
  if (const SourceNode* value = map.find("value"))
    return Curve::constant(unit ? factor * plain_number(*value, errors) : quantity_of(*value, kind, errors));
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
  const SourceNode* terms = map.find("terms");
  const SourceNode* range = map.find("range");
  if (!terms || !range) {
    if (map.node().type == SourceNode::Type::map)
      errors.add(map.node().place, map.node().path, "A curve is a value, a table, or terms with their range.",
                 "Write `value:`, `table: [[K, value], ...]` or `terms: [[c, p], ...]` and `range: [K, K]`.");
    return {};
  }
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
  std::optional<double> factor;
  if (const SourceNode* unit = map.find("unit")) {
    const auto known = unit_factor(unit->text, kind);
    factor = known.value_or(1.0);
    if (!known)
      errors.add(unit->place, unit->path,
                 fmt::format("\"{}\" is no unit of {}.", unit->text, kind_name(kind)),
                 fmt::format("Units: {}.", units_of(kind)));
  }
  const SourceNode* pieces = map.find("pieces");
  if (!pieces) return read_simple_curve(map, factor, kind);
  std::vector<Curve> curves;
  for (const SourceNode& piece : items_of(*pieces, errors)) {
    MapReader one(piece, "piece", errors, kind);
    curves.push_back(read_simple_curve(one, factor, kind));
    one.finish();
  }
  return Curve::joined(curves);
}

Property read_property(const SourceNode& node, Kind kind, ErrorList& errors,
                       std::optional<Property>* across = nullptr) {
  MapReader map(node, "property", errors, kind);
  Property property;
  try {
    property.curve = read_curve(map, kind);
  } catch (const std::invalid_argument& problem) {
    errors.add(node.place, node.path, fmt::format("The curve cannot be used: {}.", problem.what()),
               "Check its numbers and ranges.");
  }
  property.source = map.text("source");
  property.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) property.uncertainty = read_uncertainty(*u, errors);
  if (across)
    if (const SourceNode* other = map.find("across")) *across = read_property(*other, kind, errors);
  map.finish();
  return property;
}

/// Grades of graphite differ in resistivity and heat conductivity, but the product of the two hardly: one
/// measurement narrows both.
void scale_to_measured(materials::Material& m, double value, double at, const SourceNode& node,
                       ErrorList& errors) {
  const double known = m.resistivity.along.curve.value(at);
  const double factor = value / known;
  if (!(value > 0.0) || !(known > 0.0)) return;  // reported already
  if (factor < 0.5 || factor > 2.0) {
    errors.add(
        node.place, node.path,
        fmt::format("The measured resistivity is {:.3g} times that of the curve ({:.4g} uohm m).", factor,
                    1e6 * known),
        "A factor beyond 2 is another material, or a slip of the unit: check both, or give your own curve.");
    return;
  }
  Property& resistivity = m.resistivity.along;
  Property& conductivity = m.conductivity.along;
  resistivity.curve = resistivity.curve.scaled(factor);
  conductivity.curve = conductivity.curve.scaled(1.0 / factor);
  const std::string how =
      fmt::format("; scaled to {:.4g} uohm m measured at {:.0f} K, the heat conductivity by the inverse",
                  1e6 * value, at);
  resistivity.source += how;
  conductivity.source += how;
  // Hust 1978, Thermal Conductivity 15: conductivity follows from resistivity within 2 % cold; 10 % hot is
  // our margin, as is 5 % for the shape of the resistivity curve.
  resistivity.uncertainty = {materials::Uncertainty::Kind::relative, 0.05, m.name + " resistivity"};
  conductivity.uncertainty = {materials::Uncertainty::Kind::relative, 0.10, m.name + " heat conductivity"};
}

/// A parameter the law needs.
double parameter(MapReader& map, const char* key) {
  if (!map.find(key))
    map.refuse(key, fmt::format("The law \"{}\" needs \"{}\".", map.text("law"), key), "Add it.");
  return map.amount(key);
}

materials::PorousLaw read_porous_law(const SourceNode& node, ErrorList& errors) {
  using Law = materials::PorousLaw::Kind;
  MapReader map(node, "porous law", errors);
  materials::PorousLaw law;
  const std::string name = map.text("law");
  for (const Law kind : materials::porous_laws())
    if (name_of(kind) == name) law.kind = kind;
  if (law.kind == Law::argento_bouvard || law.kind == Law::montes)
    law.tap_density = parameter(map, "tap density");
  if (law.kind == Law::power || law.kind == Law::montes || law.kind == Law::mclachlan)
    law.exponent = parameter(map, "exponent");
  if (law.kind == Law::mclachlan) law.threshold = parameter(map, "threshold");
  map.finish();
  return law;
}

materials::Porous read_porous(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "porous", errors);
  materials::Porous porous;
  if (const SourceNode* law = map.find("heat")) porous.heat = read_porous_law(*law, errors);
  if (const SourceNode* law = map.find("current")) porous.current = read_porous_law(*law, errors);
  porous.reason = map.text("reason");
  map.finish();
  return porous;
}

materials::Creep read_creep(const SourceNode& node, const std::optional<double>& melting, ErrorList& errors) {
  MapReader map(node, "creep", errors);
  materials::Creep creep;
  creep.exponent = map.amount("exponent");
  creep.activation_energy = map.amount("activation energy");
  creep.of_dissipated_power = map.text("stress is") == "of dissipated power";
  const std::string law = map.text("law");
  if (law == "dislocation") {
    creep.law = materials::Creep::Law::dislocation;
    creep.factor = parameter(map, "factor");
    creep.diffusion = parameter(map, "diffusion");
    creep.burgers = parameter(map, "burgers vector");
    creep.shear_modulus = parameter(map, "shear modulus");
    creep.modulus_slope = parameter(map, "modulus slope");
    creep.melting = melting.value_or(0.0);
    if (!melting)
      map.refuse("law", "Dislocation creep needs the melting point of the material.", "Add `melting`.");
  } else if (law == "measured") {
    creep.rate = parameter(map, "rate");
    creep.stress = parameter(map, "at stress");
    creep.temperature = parameter(map, "at temperature");
    if (map.find("at grain size")) creep.grain = map.amount("at grain size");
    if (map.find("grain exponent")) creep.grain_exponent = map.amount("grain exponent");
  }
  creep.source = map.text("source");
  creep.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) creep.uncertainty = read_uncertainty(*u, errors);
  map.finish();
  return creep;
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

std::string base_of(const SourceNode& document) {
  for (std::size_t k = 0; k < document.keys.size(); ++k)
    if (document.keys[k] == "from") return document.children[k].text;
  return {};
}

materials::Material read_material(const SourceNode& document, ErrorList& errors,
                                  const materials::Material* base) {
  MapReader map(document, "material", errors);
  materials::Material m = base ? *base : materials::Material{};
  map.text("format");
  map.text("from");
  m.name = map.text("material");
  m.file = document.place.file;
  if (map.find("note")) m.note = map.text("note");
  if (map.find("insulator")) m.insulator = map.on("insulator");
  if (map.find("carbon")) m.carbon = map.on("carbon");
  if (map.find("melting")) m.melting_K = map.amount("melting");
  if (map.find("eutectic with carbon")) m.carbon_eutectic_K = map.amount("eutectic with carbon");
  if (const SourceNode* node = map.find("density")) m.density = read_property(*node, Kind::density, errors);
  if (const SourceNode* node = map.find("heat capacity"))
    m.heat_capacity = read_property(*node, Kind::heat_capacity, errors);
  if (const SourceNode* node = map.find("conductivity"))
    m.conductivity.along = read_property(*node, Kind::conductivity, errors, &m.conductivity.across);
  if (const SourceNode* node = map.find("resistivity"))
    m.resistivity.along = read_property(*node, Kind::resistivity, errors, &m.resistivity.across);
  if (const SourceNode* node = map.find("emissivity"))
    m.emissivity = read_property(*node, Kind::ratio, errors);
  if (const SourceNode* node = map.find("compressive strength"))
    m.compressive_strength = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("flexural strength"))
    m.flexural_strength = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("porous")) m.porous = read_porous(*node, errors);
  if (const SourceNode* node = map.find("creep")) m.creep = read_creep(*node, m.melting_K, errors);
  if (const SourceNode* node = map.find("measured resistivity")) {
    MapReader inner(*node, "measured resistivity", errors);
    const double value = inner.amount("value"), at = inner.amount("at");
    inner.finish();
    scale_to_measured(m, value, at, *node, errors);
  }
  map.finish(base == nullptr);
  return m;
}

materials::Material read_material(const std::filesystem::path& path) {
  ErrorList errors;
  materials::Material material, base;
  const auto document = load_document(path, {}, errors);
  const std::string from = document ? base_of(*document) : std::string();
  if (!from.empty()) base = read_material(shipped_material(from));
  if (document) material = read_material(*document, errors, from.empty() ? nullptr : &base);
  errors.throw_if_any();
  return material;
}

std::filesystem::path shipped_material(const std::string& name) {
  return share_folder() / "materials" / "data" / file_name_of(name);
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
