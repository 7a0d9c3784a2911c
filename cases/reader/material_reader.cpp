#include "cases/reader/material_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cstdlib>

#include "cases/reader/powder_reader.hpp"
#include "cases/reader/property_reader.hpp"

namespace joulepress::cases {
namespace {

using materials::Property;

std::string file_name_of(const std::string& name) {
  std::string file = name;
  std::replace(file.begin(), file.end(), ' ', '-');
  return file + ".yaml";
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
  return text_behind(document, "from");
}

std::vector<std::string> named_in(const SourceNode& document) {
  std::vector<std::string> names;
  if (const std::string from = base_of(document); !from.empty()) names.push_back(from);
  for (std::size_t k = 0; k < document.keys.size(); ++k) {
    if (document.keys[k] != "mixture") continue;
    const SourceNode& mixture = document.children[k];
    for (std::size_t n = 0; n < mixture.keys.size(); ++n)
      if (mixture.keys[n] == "of")
        for (const SourceNode& name : mixture.children[n].children) names.push_back(name.text);
  }
  return names;
}

materials::Material read_material(const SourceNode& document, ErrorList& errors,
                                  std::span<const materials::Material> known) {
  MapReader map(document, "material", errors);
  const std::string from = base_of(document);
  const auto base = std::find_if(known.begin(), known.end(),
                                 [&from](const materials::Material& other) { return other.name == from; });
  materials::Material m = base == known.end() ? materials::Material{} : *base;
  map.text("format");
  map.text("from");
  m.name = map.text("material");
  m.file = document.place.file;
  if (const SourceNode* node = map.find("mixture")) read_mixture(*node, known, m, errors);
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
  if (const SourceNode* node = map.find("tensile strength"))
    m.tensile_strength = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("weibull")) {
    m.weibull = read_weibull(*node, errors);
    const bool pulled = m.weibull->specimen.loading == materials::Specimen::Loading::tension;
    if (!(pulled ? m.tensile_strength : m.flexural_strength))
      errors.add(node->place, node->path,
                 fmt::format("The scatter is that of the {} strength, which the material does not have.",
                             pulled ? "tensile" : "flexural"),
                 "Give the mean strength of these specimens, or leave the scatter out.");
  }
  if (const SourceNode* node = map.find("expansion")) {
    materials::DirectionalProperty& expansion = m.expansion.emplace();
    expansion.along = read_property(*node, Kind::expansion, errors, &expansion.across);
  }
  if (const SourceNode* node = map.find("elastic modulus"))
    m.elastic_modulus = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("poisson ratio")) m.poisson_ratio = read_poisson_ratio(*node, errors);
  if (const SourceNode* node = map.find("yield strength"))
    m.yield_strength = read_property(*node, Kind::pressure, errors);
  if (const SourceNode* node = map.find("surface energy"))
    m.surface_energy = read_property(*node, Kind::surface_energy, errors);
  if (const SourceNode* node = map.find("loose touch"))
    m.loose_touch = read_property(*node, Kind::area_resistance, errors);
  if (const SourceNode* node = map.find("seebeck")) m.seebeck = read_property(*node, Kind::seebeck, errors);
  if (const SourceNode* node = map.find("porous"))
    m.porous = read_porous(*node, m.mixture.has_value(), errors);
  if (const SourceNode* node = map.find("oxide film")) m.oxide_film = read_oxide_film(*node, errors);
  if (const SourceNode* node = map.find("gas in pores")) m.gas_in_pores = read_gas_in_pores(*node, errors);
  if (const SourceNode* node = map.find("creep")) m.creep = read_creep(*node, m.melting_K, errors);
  if (const SourceNode* node = map.find("densification")) m.densification = read_densification(*node, errors);
  if (const SourceNode* node = map.find("measured resistivity")) {
    MapReader inner(*node, "measured resistivity", errors);
    const double value = inner.amount("value"), at = inner.amount("at");
    inner.finish();
    if (m.mixture)
      errors.add(node->place, node->path,
                 "The heat conductivity of a mixture does not follow from its resistivity.",
                 "Give `resistivity:` a curve of your own.");
    else
      scale_to_measured(m, value, at, *node, errors);
  }
  map.finish(base == known.end() && !map.find("mixture"));
  return m;
}

materials::Material read_material(const std::filesystem::path& path) {
  ErrorList errors;
  materials::Material material;
  std::vector<materials::Material> known;
  const auto document = load_document(path, {}, errors);
  for (const std::string& name : document ? named_in(*document) : std::vector<std::string>())
    if (const auto file = shipped_material(name);
        name == base_of(*document) || std::filesystem::is_regular_file(file))
      known.push_back(read_material(file));
  if (document) material = read_material(*document, errors, known);
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
