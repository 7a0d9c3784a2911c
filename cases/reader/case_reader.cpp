#include "cases/reader/case_reader.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/material_reader.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {
namespace {

/// An error unless the value of `key` is positive; a value that could not be read is reported already.
void require_positive(MapReader& map, const std::string& key, Kind kind, double value) {
  const SourceNode* node = map.find(key);
  if (!node || value > 0.0 || !is_quantity(*node, kind)) return;
  map.errors().add(node->place, node->path, fmt::format("\"{}\" is not above zero.", node->text),
                   "Write a positive value.");
}

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

ProgrammeStep read_step(const SourceNode& node, Kind kind, bool pressure, ErrorList& errors) {
  MapReader map(node, errors);
  ProgrammeStep step;
  step.place = node.place;
  step.name = map.text("name").value_or("");
  if (map.find("ramp to")) {
    step.kind = ProgrammeStep::Kind::ramp;
    step.to = map.need_quantity("ramp to", kind);
    require_not_negative(*map.find("ramp to"), step.to, errors);
    if (kind == Kind::temperature) step.rate = positive_if_any(map, "rate", Kind::temperature_rate);
    step.duration = positive_if_any(map, "in", Kind::time);
    if (step.rate.has_value() == step.duration.has_value())
      errors.add(
          node.place, node.path, "A ramp needs its rate or its time, one of them.",
          kind == Kind::temperature ? "Write `rate: 100 degC/min` or `in: 10 min`." : "Write `in: 2 min`.");
  } else if (map.find("hold")) {
    step.kind = ProgrammeStep::Kind::hold;
    if (pressure) {
      step.to = map.need_quantity("hold", kind);
      require_not_negative(*map.find("hold"), step.to, errors);
      step.duration = positive(map, "for", Kind::time);
    } else {
      step.duration = positive(map, "hold", Kind::time);
    }
  } else if (map.find("cool") && !pressure) {
    step.kind = ProgrammeStep::Kind::cool_free;
    const std::string how = map.need_text("cool");
    if (how != "free")
      errors.add(map.find("cool")->place, map.path_of("cool"),
                 fmt::format("Cooling \"{}\" is not known.", how),
                 "Write `cool: free` (current off), or a ramp.");
    step.duration = positive(map, "for", Kind::time);
  } else if (node.type == SourceNode::Type::map) {
    errors.add(
        node.place, node.path, "A step is a ramp, a hold or a free cooling.",
        "Write `{ramp to: 1350 degC, rate: 100 degC/min}`, `{hold: 5 min}` or `{cool: free, for: 5 min}`.");
    return step;
  }
  map.finish();
  return step;
}

/// The temperature after a free cooling is not known, so no ramp or hold of a temperature can follow.
void check_after_cooling(const std::vector<ProgrammeStep>& steps, const std::string& path,
                         ErrorList& errors) {
  for (std::size_t k = 1; k < steps.size(); ++k)
    if (steps[k - 1].kind == ProgrammeStep::Kind::cool_free &&
        steps[k].kind != ProgrammeStep::Kind::cool_free)
      errors.add(steps[k].place, path, "After a free cooling the temperature is not known.",
                 "Let the free cooling be the last step, or write a ramp down instead of it.");
}

Programme read_programme(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, errors);
  Programme programme;
  programme.place = node.place;
  programme.control = map.text("control").value_or("");
  struct Way {
    const char* key;
    Programme::Driven driven;
    Kind kind;
  };
  int ways = 0;
  for (const Way& way : {Way{"temperature", Programme::Driven::temperature, Kind::temperature},
                         Way{"current", Programme::Driven::current, Kind::current},
                         Way{"voltage", Programme::Driven::voltage, Kind::voltage},
                         Way{"power", Programme::Driven::power, Kind::power}}) {
    const SourceNode* steps = map.find(way.key);
    if (!steps) continue;
    ++ways;
    programme.driven = way.driven;
    for (const SourceNode& step : items_of(*steps, errors))
      programme.steps.push_back(read_step(step, way.kind, false, errors));
    if (steps->type == SourceNode::Type::sequence && steps->children.empty())
      errors.add(steps->place, steps->path, "The programme has no steps.",
                 "Write at least one ramp, hold or cooling.");
    if (way.driven == Programme::Driven::temperature)
      check_after_cooling(programme.steps, steps->path, errors);
  }
  if (ways != 1)
    errors.add(
        node.place, node.path,
        ways == 0 ? "The programme drives nothing." : "The programme drives several quantities at once.",
        "Give one of: temperature, current, voltage, power.");
  if (programme.driven == Programme::Driven::temperature && programme.control.empty())
    errors.add(node.place, map.path_of("control"), "A temperature programme needs the sensor it runs on.",
               "Add `control: <sensor>`.");
  if (const SourceNode* pressure = map.find("pressure on powder"))
    for (const SourceNode& step : items_of(*pressure, errors))
      programme.pressure.push_back(read_step(step, Kind::pressure, true, errors));
  map.finish();
  return programme;
}

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
    if (const auto document = load_document(file, place, errors_, &text)) add(*document, text);
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
