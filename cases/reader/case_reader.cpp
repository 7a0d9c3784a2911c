#include "cases/reader/case_reader.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/group_readers.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {
namespace {

void read_column_ends(const SourceNode& node, Press& press, ErrorList& errors) {
  press.end_temperature.reset();
  press.ends_insulated = false;
  if (node.type == SourceNode::Type::scalar) {
    press.ends_insulated = node.text == "insulated";
    if (!press.ends_insulated)
      errors.add(node.place, node.path, fmt::format("Column ends \"{}\" are not known.", node.text),
                 "Write `insulated`, `{film: 880 W/m2K, water: 20 degC}` or `{temperature: 25 degC}`.");
    return;
  }
  MapReader map(node, errors);
  press.end_temperature = map.quantity("temperature", Kind::temperature);
  press.end_film = positive_if_any(map, "film", Kind::film).value_or(press.end_film);
  press.water_temperature = map.quantity("water", Kind::temperature).value_or(press.water_temperature);
  if (press.end_temperature && (map.find("film") || map.find("water")))
    errors.add(node.place, node.path, "Column ends are held at a temperature or cooled by a film, not both.",
               "Keep `temperature`, or `film` and `water`.");
  map.finish();
}

Press read_press(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  Press press;
  press.place = node.place;
  press.name = map.text("name").value_or(press.name);
  map.text("note");
  if (const SourceNode* limits = map.find("limits")) {
    MapReader inner(*limits, errors);
    press.current_limit = positive_if_any(inner, "current", Kind::current);
    press.voltage_limit = positive_if_any(inner, "voltage", Kind::voltage);
    press.power_limit = positive_if_any(inner, "power", Kind::power);
    press.force_limit = positive_if_any(inner, "force", Kind::force);
    inner.finish();
  }
  if (const SourceNode* ends = map.find("column ends")) read_column_ends(*ends, press, errors);
  map.finish();
  return press;
}

Press read_press_by_name(const SourceNode& node, const std::filesystem::path& folder, ErrorList& errors) {
  if (node.type == SourceNode::Type::map) return read_press(node, errors);
  std::filesystem::path file = folder / text_of(node, errors);
  if (!std::filesystem::is_regular_file(file)) {
    const std::filesystem::path shipped = share_folder() / "cases" / node.text;
    if (std::filesystem::is_regular_file(shipped)) file = shipped;
  }
  const auto document = load_document(file, node.place, errors);
  return document ? read_press(*document, errors) : Press{};
}

/// One name that must exist among others.
void require_name(const std::string& name, const std::vector<std::string>& known, const char* what,
                  const Place& place, const std::string& key, ErrorList& errors) {
  if (name.empty() || std::find(known.begin(), known.end(), name) != known.end()) return;
  errors.add(place, key, fmt::format("There is no {} \"{}\".", what, name), suggestion(name, known));
}

void check_names(const Case& c, ErrorList& errors) {
  std::vector<std::string> column, sleeves, all, sensors;
  for (const ColumnPart& part : c.column) column.push_back(part.name);
  for (const Sleeve& sleeve : c.sleeves) sleeves.push_back(sleeve.name);
  all = column;
  all.insert(all.end(), sleeves.begin(), sleeves.end());
  for (std::size_t k = 0; k < all.size(); ++k)
    for (std::size_t m = 0; m < k; ++m)
      if (!all[k].empty() && all[k] == all[m])
        errors.add(k < column.size() ? c.column[k].place : c.sleeves[k - column.size()].place,
                   k < column.size() ? fmt::format("column[{}].name", k)
                                     : fmt::format("sleeves[{}].name", k - column.size()),
                   fmt::format("Two parts are called \"{}\".", all[k]), "Give each part its own name.");
  for (std::size_t k = 0; k < c.sleeves.size(); ++k)
    require_name(c.sleeves[k].centre_on, column, "part of the column", c.sleeves[k].place,
                 fmt::format("sleeves[{}].centre on", k), errors);
  for (std::size_t k = 0; k < c.foils.size(); ++k) {
    const FoilLayer& foil = c.foils[k];
    const std::string between = fmt::format("foils[{}].between", k);
    require_name(foil.along, sleeves, "sleeve", foil.place, fmt::format("foils[{}].along", k), errors);
    require_name(foil.between_low, column, "part of the column", foil.place, between, errors);
    require_name(foil.between_high, column, "part of the column", foil.place, between, errors);
    const auto low = std::find(column.begin(), column.end(), foil.between_low);
    const auto high = std::find(column.begin(), column.end(), foil.between_high);
    if (foil.along.empty() && low != column.end() && high != column.end() && high - low != 1)
      errors.add(foil.place, between,
                 fmt::format("\"{}\" and \"{}\" are not neighbours, the lower one first.", foil.between_low,
                             foil.between_high),
                 "Name two parts that follow each other from bottom to top.");
    for (const FoilLayer* other = c.foils.data(); other != &foil; ++other)
      if (foil.along.empty() && other->between_low == foil.between_low &&
          other->between_high == foil.between_high)
        errors.add(foil.place, between,
                   fmt::format("Between \"{}\" and \"{}\" lies a foil already.", foil.between_low,
                               foil.between_high),
                   "Give one foil with the thickness of all.");
  }
  for (std::size_t k = 0; k < c.sensors.size(); ++k) {
    const CaseSensor& sensor = c.sensors[k];
    require_name(sensor.part, all, "part", sensor.place, fmt::format("sensors[{}].in", k), errors);
    if (!sensor.name.empty() && std::find(sensors.begin(), sensors.end(), sensor.name) != sensors.end())
      errors.add(sensor.place, fmt::format("sensors[{}].name", k),
                 fmt::format("Two sensors are called \"{}\".", sensor.name),
                 "Give each sensor its own name.");
    sensors.push_back(sensor.name);
  }
  require_name(c.programme.control, sensors, "sensor", c.programme.place, "programme.control", errors);
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

  void need(const std::string& name, const Place& place, const std::string& key) {
    if (name.empty() || std::find(tried_.begin(), tried_.end(), name) != tried_.end()) return;
    tried_.push_back(name);
    for (const materials::Material& m : case_.materials)
      if (m.name == name) return;
    const std::filesystem::path file = find_material(name, folder_);
    if (file.empty()) {
      const std::vector<std::string> known = material_names();
      errors_.add(place, key, fmt::format("There is no material \"{}\".", name),
                  suggestion(name, known) + " A private material may stand in a file beside the case.");
      return;
    }
    std::string text;
    if (const auto document = load_document(file, place, errors_, &text)) {
      add(*document, text);
      if (case_.materials.back().name != name)
        errors_.add(place, key,
                    fmt::format("The file \"{}\" holds \"{}\", not \"{}\".", file.filename().string(),
                                case_.materials.back().name, name),
                    "Name the file after its material, with hyphens for spaces.");
    }
  }

 private:
  void add(const SourceNode& document, const std::string& text) {
    case_.materials.push_back(read_material(document, errors_));
    case_.material_texts.push_back(text);
  }
  Case& case_;
  std::filesystem::path folder_;
  ErrorList& errors_;
  std::vector<std::string> tried_;
};

void read_surroundings(const SourceNode& node, Case& c, ErrorList& errors) {
  MapReader map(node, errors);
  c.chamber_temperature = map.quantity("chamber", Kind::temperature).value_or(c.chamber_temperature);
  if (const auto atmosphere = map.text("atmosphere"); atmosphere && *atmosphere != "vacuum")
    errors.add(map.find("atmosphere")->place, map.path_of("atmosphere"),
               fmt::format("The atmosphere \"{}\" is not in this version.", *atmosphere), "Known: vacuum.");
  c.radiating = map.flag("radiation").value_or(true);
  map.finish();
}

void read_small_groups(MapReader& map, Case& c, ErrorList& errors) {
  if (const SourceNode* node = map.find("surroundings")) read_surroundings(*node, c, errors);
  c.initial_temperature =
      map.quantity("start temperature", Kind::temperature).value_or(c.chamber_temperature);
  if (const SourceNode* node = map.find("column ends")) read_column_ends(*node, c.press, errors);
  if (const SourceNode* node = map.find("contacts")) c.contacts = read_contacts(*node, errors);
  if (const SourceNode* node = map.find("numerics")) {
    MapReader inner(*node, errors);
    c.refinement = inner.whole_number("refinement").value_or(1);
    if (c.refinement < 1 || c.refinement > 16)
      errors.add(node->place, inner.path_of("refinement"),
                 fmt::format("A refinement of {} is not possible.", c.refinement),
                 "Write a whole number from 1 to 16.");
    inner.finish();
  }
  if (const SourceNode* node = map.find("output")) {
    MapReader inner(*node, errors);
    c.history_every = positive_if_any(inner, "history every", Kind::time).value_or(c.history_every);
    inner.finish();
  }
}

template <class T, class Reader>
void read_list(const SourceNode* node, std::vector<T>& out, Reader reader, ErrorList& errors) {
  if (!node) return;
  for (const SourceNode& item : items_of(*node, errors)) out.push_back(reader(item, errors));
}

void read_body(const SourceNode& document, const std::filesystem::path& folder, Case& c, ErrorList& errors) {
  MapReader map(document, errors);
  const SourceNode* format = map.find("format");
  if (!format || format->text != "1")
    errors.add(format ? format->place : document.place, "format", "The case does not say `format: 1`.",
               "This version reads format 1.");
  c.title = map.text("title").value_or("");
  if (const SourceNode* press = map.need("press")) c.press = read_press_by_name(*press, folder, errors);
  read_list(map.need("column"), c.column, read_column_part, errors);
  read_list(map.find("sleeves"), c.sleeves, read_sleeve, errors);
  read_list(map.find("foils"), c.foils, read_foil, errors);
  read_list(map.find("sensors"), c.sensors, read_sensor, errors);
  read_small_groups(map, c, errors);
  if (const SourceNode* programme = map.need("programme")) c.programme = read_programme(*programme, errors);
  MaterialGatherer gatherer(c, folder, errors);
  if (const SourceNode* list = map.find("materials")) gatherer.read_inline(*list);
  map.finish();
  for (std::size_t k = 0; k < c.column.size(); ++k)
    gatherer.need(c.column[k].material, c.column[k].place,
                  fmt::format("column[{}].{}", k, c.column[k].powder ? "powder" : "material"));
  for (std::size_t k = 0; k < c.sleeves.size(); ++k)
    gatherer.need(c.sleeves[k].material, c.sleeves[k].place, fmt::format("sleeves[{}].material", k));
  for (std::size_t k = 0; k < c.foils.size(); ++k)
    gatherer.need(c.foils[k].material, c.foils[k].place, fmt::format("foils[{}].material", k));
  check_names(c, errors);
}

}  // namespace

Case read_case(const std::filesystem::path& path) {
  ErrorList errors;
  Case c;
  c.file = path.string();
  if (const auto document = load_document(path, {}, errors, &c.text))
    read_body(*document, path.parent_path(), c, errors);
  errors.throw_if_any();
  return c;
}

}  // namespace joulepress::cases
