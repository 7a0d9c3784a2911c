#include "cases/reader/case_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "cases/calibrate.hpp"
#include "cases/reader/calibration_reader.hpp"
#include "cases/reader/group_readers.hpp"
#include "cases/reader/included.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/press_files.hpp"
#include "cases/reader/source_node.hpp"
#include "cases/stack.hpp"
#include "materials/scaling.hpp"

namespace joulepress::cases {
namespace {

void refuse(const Written& entry, const char* key, std::string problem, std::string remedy,
            ErrorList& errors) {
  errors.add(entry.at(key), entry.path_of(key), std::move(problem), std::move(remedy));
}

/// One name that must exist among others.  A mistyped one is taken for the nearest, so that checks go on.
void require_name(std::string& name, const std::vector<std::string>& known, const char* what,
                  const Written& entry, const char* key, ErrorList& errors) {
  if (name.empty() || std::find(known.begin(), known.end(), name) != known.end()) return;
  if (known.empty() && !errors.empty()) return;  // the list itself could not be read
  refuse(entry, key, fmt::format("There is no {} \"{}\".", what, name), suggestion(name, known), errors);
  name = nearest(name, known);
}

void check_foils(Case& c, const std::vector<std::string>& column, const std::vector<std::string>& sleeves,
                 ErrorList& errors) {
  for (FoilLayer& foil : c.foils) {
    require_name(foil.along, sleeves, "sleeve", foil.written, "along", errors);
    require_name(foil.between_low, column, "part of the column", foil.written, "between", errors);
    require_name(foil.between_high, column, "part of the column", foil.written, "between", errors);
    const auto low = std::find(column.begin(), column.end(), foil.between_low);
    const auto high = std::find(column.begin(), column.end(), foil.between_high);
    if (foil.along.empty() && low != column.end() && high != column.end() && high - low != 1)
      refuse(foil.written, "between",
             fmt::format("\"{}\" and \"{}\" are not neighbours, the lower one first.", foil.between_low,
                         foil.between_high),
             "Name two parts that follow each other from bottom to top.", errors);
    for (const FoilLayer* other = c.foils.data(); other != &foil; ++other)
      if (foil.along.empty() && other->between_low == foil.between_low &&
          other->between_high == foil.between_high)
        refuse(foil.written, "between",
               fmt::format("Between \"{}\" and \"{}\" lies a foil already.", foil.between_low,
                           foil.between_high),
               "Give one foil with the thickness of all.", errors);
  }
}

/// Sleeves that stand on each other in a circle: one message for each circle.
void check_supports(const Case& c, ErrorList& errors) {
  std::vector<std::string> said;
  for (const Sleeve& sleeve : c.sleeves) {
    std::vector<std::string> way;  // from the sleeve to what it rests on at last
    for (const Sleeve* at = &sleeve; at; at = sleeve_named(c, support_of(*at))) {
      if (std::find(way.begin(), way.end(), at->name) != way.end()) break;
      way.push_back(at->name);
    }
    const Sleeve* last = sleeve_named(c, way.back());
    if (support_of(sleeve).empty() || support_of(*last) != sleeve.name ||
        std::find(said.begin(), said.end(), sleeve.name) != said.end())
      continue;
    said.insert(said.end(), way.begin(), way.end());
    const std::string through = way.size() == 1 ? "" : ", by way of " + listed(std::span(way).subspan(1));
    refuse(sleeve.written, sleeve.stands_on.empty() ? "hangs below" : "stands on",
           fmt::format("\"{}\" rests on itself{}.", sleeve.name, through),
           "Let one of them be `centre on:` a part of the column.", errors);
  }
}

void check_names(Case& c, ErrorList& errors) {
  std::vector<std::string> column, sleeves, all, sensors;
  for (const ColumnPart& part : c.column) column.push_back(part.name);
  for (const Sleeve& sleeve : c.sleeves) sleeves.push_back(sleeve.name);
  all = column;
  all.insert(all.end(), sleeves.begin(), sleeves.end());
  for (std::size_t k = 0; k < all.size(); ++k)
    for (std::size_t m = 0; m < k; ++m)
      if (!all[k].empty() && all[k] == all[m])
        refuse(k < column.size() ? c.column[k].written : c.sleeves[k - column.size()].written, "name",
               fmt::format("Two parts are called \"{}\".", all[k]), "Give each part its own name.", errors);
  for (Sleeve& sleeve : c.sleeves) {
    require_name(sleeve.centre_on, column, "part of the column", sleeve.written, "centre on", errors);
    require_name(sleeve.stands_on, all, "part", sleeve.written, "stands on", errors);
    require_name(sleeve.hangs_below, all, "part", sleeve.written, "hangs below", errors);
    require_name(sleeve.moves_with, column, "part of the column", sleeve.written, "moves with", errors);
  }
  check_supports(c, errors);
  check_foils(c, column, sleeves, errors);
  for (CaseSensor& sensor : c.sensors) {
    require_name(sensor.part, all, "part", sensor.written, sensor.pyrometer ? "looks at" : "in", errors);
    if (!sensor.name.empty() && std::find(sensors.begin(), sensors.end(), sensor.name) != sensors.end())
      refuse(sensor.written, "name", fmt::format("Two sensors are called \"{}\".", sensor.name),
             "Give each sensor its own name.", errors);
    sensors.push_back(sensor.name);
  }
  if (c.programme.by_furnace) sensors.emplace_back(furnace_name);
  const char* controls =
      c.programme.written.has("control") ? "sensor" : "sensor (the usual one of the press)";
  require_name(c.programme.control, sensors, controls, c.programme.written, "control", errors);
  require_name(c.programme.hand_over_to, sensors, "sensor", c.programme.written, "hand over", errors);
  for (CaseAbortRule& rule : c.programme.aborts)
    require_name(rule.of, sensors, "sensor", rule.written, "of", errors);
}

/// Reads every material the case names, once each: inline ones first, then files.
class MaterialGatherer {
 public:
  MaterialGatherer(Case& c, std::filesystem::path folder, ErrorList& errors)
      : case_(c), folder_(std::move(folder)), errors_(errors) {}

  void read_inline(const SourceNode& list) {
    for (const SourceNode& item : items_of(list, errors_)) {
      const std::string text = text_of(item, errors_);
      add(parse_document(item.place.file + " (materials)", text, errors_), text);
    }
  }

  /// A mistyped name becomes the nearest known one.
  void need(std::string& name, const Written& entry, const char* key) {
    if (name.empty() || std::find(tried_.begin(), tried_.end(), name) != tried_.end()) return;
    tried_.push_back(name);
    if (known(name)) return;
    const std::filesystem::path file = find_material(name, folder_);
    if (file.empty()) {
      const std::vector<std::string> names = material_names();
      errors_.add(entry.at(key), entry.path_of(key), fmt::format("There is no material \"{}\".", name),
                  suggestion(name, names) + " A private material may stand in a file beside the case.");
      name = nearest(name, names);
      if (!name.empty()) need(name, entry, key);
      return;
    }
    std::string text;
    if (const auto document = load_document(file, entry.at(key), errors_, &text)) {
      add(*document, text);
      if (case_.materials.back().name != name)
        errors_.add(entry.at(key), entry.path_of(key),
                    fmt::format("The file \"{}\" holds \"{}\", not \"{}\".", file.filename().string(),
                                case_.materials.back().name, name),
                    "Name the file after its material, with hyphens for spaces.");
    }
  }

 private:
  const materials::Material* known(const std::string& name) const {
    for (const materials::Material& m : case_.materials)
      if (m.name == name) return &m;
    return nullptr;
  }

  /// Reads a shipped material a document names, unless it is there already.
  void need_named(const SourceNode& document, const std::string& name) {
    if (name.empty() || known(name)) return;
    const std::filesystem::path file = shipped_material(name);
    std::string text;
    if (std::filesystem::is_regular_file(file)) {
      if (const auto named = load_document(file, document.place, errors_, &text)) add(*named, text);
    } else if (name == base_of(document)) {
      errors_.add(written_at(document).at("from"), "from",
                  fmt::format("There is no shipped material \"{}\".", name),
                  suggestion(name, material_names()));
    }  // of a mixture: told by the reader of the material
  }

  void add(const SourceNode& document, const std::string& text) {
    for (const std::string& name : named_in(document)) need_named(document, name);
    case_.materials.push_back(read_material(document, errors_, case_.materials));
    case_.material_texts.push_back(text);
  }
  Case& case_;
  std::filesystem::path folder_;
  ErrorList& errors_;
  std::vector<std::string> tried_;
};

void read_surroundings(const SourceNode& node, Case& c, ErrorList& errors) {
  MapReader map(node, "surroundings", errors);
  c.chamber_temperature = map.amount("chamber");
  c.gas = materials::gas_named(map.text("atmosphere"));
  const auto pressure = map.amount_if_any("pressure");
  if (c.gas)
    c.gas->pressure = pressure.value_or(c.gas->pressure);
  else if (pressure)
    map.refuse("pressure", "In vacuum no gas conducts, so that it has no pressure.",
               "Leave it out, or name the gas that is left: `{atmosphere: nitrogen, pressure: 10 Pa}`.");
  c.radiating = map.on("radiation");
  c.walls_see_each_other = map.text("walls see") != "chamber only";
  if (c.gas && !c.walls_see_each_other)
    map.refuse("walls see", "With a gas in the chamber walls see each other.", "Leave it out.");
  map.finish();
}

void read_small_groups(MapReader& map, Case& c, ErrorList& errors) {
  SourceNode defaults;
  defaults.type = SourceNode::Type::map;
  const auto keys = [&](const char* name) -> const SourceNode& {
    const SourceNode* node = map.find(name);
    return node ? *node : defaults;
  };
  read_surroundings(keys("surroundings"), c, errors);
  const auto start = map.amount_if_any("start temperature");
  c.starts_as_chamber = !start;
  c.initial_temperature = start.value_or(c.chamber_temperature);
  if (const SourceNode* node = map.find("column ends")) read_column_ends(*node, c.press, errors);
  MapReader strength(keys("strength"), "strength", errors);
  c.judge_strength = strength.on("judge");
  c.safety_factor = strength.amount("safety factor");
  c.ejection_friction = strength.amount("ejection friction");
  strength.finish();
  MapReader numerics(keys("numerics"), "numerics", errors);
  c.accuracy = numerics.amount("accuracy");
  if (!(c.accuracy >= 0.01)) c.accuracy = 0.1;  // reported above; the other checks go on
  c.two_point_fluxes = numerics.text("fluxes") == "two-point";
  c.refinement = numerics.whole("refinement");
  c.mirror = numerics.on("mirror symmetry");
  c.strict = numerics.on("strict");
  numerics.finish();
  MapReader output(keys("output"), "output", errors);
  c.history_every = output.amount("history every");
  c.fields_every = output.amount_if_any("fields every");
  output.finish();
}

template <class T, class Reader>
void read_list(const SourceNode* node, std::vector<T>& out, Reader reader, ErrorList& errors) {
  if (!node) return;
  for (const SourceNode& item : items_of(*node, errors)) out.push_back(reader(item, errors));
}

/// What a case and a tool set have in common; a case adds to what its tool set brings.
void read_stack(MapReader& map, Case& c, ErrorList& errors) {
  if (const SourceNode* column = map.find("column"); c.column.empty())
    read_list(column, c.column, read_column_part, errors);
  read_list(map.find("sleeves"), c.sleeves, read_sleeve, errors);
  read_list(map.find("foils"), c.foils, read_foil, errors);
  read_list(map.find("sensors"), c.sensors, read_sensor, errors);
}

/// Null when there is no tooling, or none that can be read.
const SourceNode* read_tooling(const SourceNode* node, Case& c, ErrorList& errors) {
  if (!node) return nullptr;
  MapReader map(*node, "tooling", errors);
  map.text("name");
  map.text("note");
  read_stack(map, c, errors);
  const SourceNode* contacts = map.find("contacts");
  map.finish();
  return contacts;
}

/// Puts the fillings into the cavities.
void fill_cavities(const SourceNode* list, Case& c, ErrorList& errors) {
  std::vector<Filling> fillings;
  read_list(list, fillings, read_filling, errors);
  std::vector<std::string> cavities;
  for (const ColumnPart& part : c.column)
    if (part.cavity) cavities.push_back(part.name);
  for (Filling& filling : fillings) {
    require_name(filling.in, cavities, "cavity", filling.powder.written, "in", errors);
    for (ColumnPart& part : c.column) {
      if (!part.cavity || part.name != filling.in) continue;
      const ColumnPart cavity = part;
      part = filling.powder;
      part.name = cavity.name;
      part.diameter = cavity.diameter;
      part.bore = cavity.bore;
    }
  }
  for (const ColumnPart& part : c.column)
    if (part.cavity)
      refuse(part.written, "cavity", fmt::format("The cavity \"{}\" is not filled.", part.name),
             "Add to the case: `fillings: [{in: " + part.name + ", powder: alumina, mass: 6 g}]`.", errors);
}

void gather_materials(const SourceNode* list, const std::filesystem::path& folder, Case& c,
                      ErrorList& errors) {
  MaterialGatherer gatherer(c, folder, errors);
  if (list) gatherer.read_inline(*list);
  for (ColumnPart& part : c.column)
    gatherer.need(part.material, part.written, part.powder ? "powder" : "material");
  for (Sleeve& sleeve : c.sleeves) gatherer.need(sleeve.material, sleeve.written, "material");
  for (FoilLayer& foil : c.foils) gatherer.need(foil.material, foil.written, "material");
}

MaterialScale read_scale(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "scale", errors);
  MaterialScale scale;
  scale.written = written_at(node);
  scale.material = map.text("of");
  scale.property = map.text("property");
  scale.factor = map.amount("factor");
  map.finish();
  return scale;
}

/// Two factors of the same property multiply.
void apply_scales(Case& c, ErrorList& errors) {
  std::vector<std::string> names;
  for (const materials::Material& m : c.materials) names.push_back(m.name);
  const std::vector<std::string> known = materials::scalable();
  for (MaterialScale& scale : c.scales) {
    require_name(scale.material, names, "material of this case", scale.written, "of", errors);
    const auto found = std::find(names.begin(), names.end(), scale.material);
    if (found == names.end() || std::find(known.begin(), known.end(), scale.property) == known.end())
      continue;
    try {
      materials::scale(c.materials[static_cast<std::size_t>(found - names.begin())], scale.property,
                       scale.factor);
    } catch (const std::invalid_argument& problem) {
      refuse(scale.written, "factor", fmt::format("This cannot be: {}.", problem.what()),
             "Leave the entry out, or choose another factor.", errors);
    }
  }
}

/// What a furnace heats with, and what its reading is called.
void check_furnace(const Case& c, const SourceNode* surroundings, ErrorList& errors) {
  if (!c.radiating && surroundings)
    errors.add(surroundings->place, surroundings->path, "A furnace heats by radiation, which is off here.",
               "Leave `radiation: off` out.");
  for (const CaseSensor& sensor : c.sensors)
    if (sensor.name == furnace_name)
      refuse(sensor.written, "name", "The furnace's own reading is called that.",
             "Name the sensor by its place.", errors);
}

/// The calibration of a case, or the one to use instead of it; nothing where there is none.
std::optional<ReadCalibration> read_calibration_of(const SourceNode* own, const std::filesystem::path& folder,
                                                   const std::string& instead, Case& c, ErrorList& errors) {
  if (!own && instead.empty()) return std::nullopt;
  if (!instead.empty() && own && own->type == SourceNode::Type::map)
    errors.add(
        own->place, own->path,
        "The case carries a calibration, whose values stand at its keys; another cannot take its place.",
        "Give the case as it was before, or leave `--calibration` out.");
  const Included file =
      instead.empty() ? include(*own, folder, c, errors) : include_calibration(instead, c, errors);
  const SourceNode* keys = keys_of(file);
  if (!keys) return std::nullopt;
  ReadCalibration read = read_calibration(*keys, errors);
  read.from_file = file.document.has_value();
  return read;
}

std::optional<ReadCalibration> read_body(const SourceNode& document, const std::filesystem::path& folder,
                                         const Instead& instead, Case& c, ErrorList& errors) {
  MapReader map(document, "case", errors);
  map.text("format");
  c.title = map.text("title");
  bool press_read = false;
  if (const SourceNode* node = map.find("press")) {
    const Included press =
        instead.press.empty() ? include(*node, folder, c, errors) : include_press(instead.press, c, errors);
    const SourceNode* keys = keys_of(press);
    press_read = keys != nullptr;
    if (press_read) c.press = read_press(*keys, errors);
  }
  Included tooling;
  if (const SourceNode* node = map.find("tooling")) tooling = include(*node, folder, c, errors);
  const SourceNode* tool_contacts = read_tooling(keys_of(tooling), c, errors);
  if (map.find("tooling") && map.find("column"))
    map.refuse("column", "The tooling brings its own column.", "Leave one of the two out.");
  else if (!map.find("tooling") && !map.find("column"))
    map.refuse("column", "The key \"column\" is missing.",
               "List the parts from bottom to top, or name a tool set with `tooling:`.");
  read_stack(map, c, errors);
  fill_cavities(map.find("fillings"), c, errors);
  c.contacts = read_contacts(map.find("contacts") ? map.find("contacts") : tool_contacts, errors);
  read_small_groups(map, c, errors);
  // Without its press nobody knows which sensor controls; reported, the other checks go on.
  if (!press_read && !c.sensors.empty()) c.press.usual_sensor = c.sensors.front().name;
  if (const SourceNode* programme = map.find("programme"))
    c.programme = read_programme(*programme, c.press.usual_sensor, errors);
  settle_pressure(c.programme, start_of_programme(c), errors);
  if (c.programme.by_furnace) check_furnace(c, map.find("surroundings"), errors);
  const SourceNode* inline_materials = map.find("materials");
  read_list(map.find("scales"), c.scales, read_scale, errors);
  auto calibration = read_calibration_of(map.find("calibration"), folder, instead.calibration, c, errors);
  map.finish();
  gather_materials(inline_materials, folder, c, errors);
  apply_scales(c, errors);
  check_names(c, errors);
  return calibration;
}

/// A document with all it names; a calibration is applied when there is no mistake.
void read_all(const SourceNode& document, const std::filesystem::path& folder, const Instead& instead,
              Case& c, ErrorList& errors) {
  const auto calibration = read_body(document, folder, instead, c, errors);
  if (calibration && errors.empty())
    calibrate(c, *calibration, {document, folder, !instead.press.empty(), !instead.calibration.empty()},
              errors);
}

}  // namespace

Case read_case(const std::filesystem::path& path, ErrorList& errors, const Instead& instead) {
  Case c;
  c.file = path.string();
  if (const auto document = load_document(path, {}, errors, &c.text))
    read_all(*document, path.parent_path(), instead, c, errors);
  return c;
}

Case read_case(const std::filesystem::path& path) {
  ErrorList errors;
  Case c = read_case(path, errors);
  errors.throw_if_any();
  return c;
}

Case read_case(const SourceNode& document, const std::filesystem::path& folder, ErrorList& errors) {
  Case c;
  c.file = document.place.file;
  read_all(document, folder, {}, c, errors);
  return c;
}

Case read_case(const std::filesystem::path& path, const std::string& text) {
  ErrorList errors;
  Case c = read_case(parse_document(path.string(), text, errors), path.parent_path(), errors);
  c.text = text;
  errors.throw_if_any();
  return c;
}

}  // namespace joulepress::cases
