#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/group_readers.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/press_files.hpp"

namespace joulepress::cases {

void read_column_ends(const SourceNode& node, Press& press, ErrorList& errors) {
  press.end_temperature.reset();
  press.ends_insulated = node.type == SourceNode::Type::scalar && node.text == "insulated";
  if (node.type == SourceNode::Type::scalar) {
    if (!press.ends_insulated)
      errors.add(node.place, node.path, fmt::format("Column ends \"{}\" are not known.", node.text),
                 "Write `insulated`, `{film: 880 W/m2K, water: 20 degC}` or `{temperature: 25 degC}`.");
    return;
  }
  MapReader map(node, "column ends", errors);
  press.end_temperature = map.amount_if_any("temperature");
  if (press.end_temperature && (map.find("film") || map.find("water")))
    errors.add(node.place, node.path, "Column ends are held at a temperature or cooled by a film, not both.",
               "Keep `temperature`, or `film` and `water`.");
  press.end_film = map.amount("film");
  press.water_temperature = map.amount("water");
  map.finish();
}

Press read_press(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "press", errors);
  Press press;
  press.written = written_at(node);
  press.name = map.text("name");
  map.text("note");
  press.vacuum_pull = map.amount("vacuum pull");
  press.moving_weight = map.amount("moving weight");
  press.frame_compliance = map.amount("frame compliance");
  if (const SourceNode* limits = map.find("limits")) {
    MapReader inner(*limits, "limits", errors);
    press.current_limit = inner.amount_if_any("current");
    press.voltage_limit = inner.amount_if_any("voltage");
    press.power_limit = inner.amount_if_any("power");
    press.force_limit = inner.amount_if_any("force");
    inner.finish();
  }
  SourceNode defaults;
  defaults.type = SourceNode::Type::map;
  const SourceNode* ends = map.find("column ends");
  read_column_ends(ends ? *ends : defaults, press, errors);
  map.finish();
  return press;
}

std::filesystem::path included_file(const std::string& name, const std::filesystem::path& case_folder) {
  const std::filesystem::path beside = case_folder / name, shipped = share_folder() / "cases" / name;
  return !std::filesystem::is_regular_file(beside) && std::filesystem::is_regular_file(shipped) ? shipped
                                                                                                : beside;
}

std::vector<std::string> shipped_presses() {
  std::vector<std::string> names;
  std::error_code problem;
  for (const auto& entry : std::filesystem::directory_iterator(share_folder() / "cases" / "presses", problem))
    if (entry.path().extension() == ".yaml") names.push_back(entry.path().stem().string());
  std::sort(names.begin(), names.end());
  return names;
}

Press read_press(const std::filesystem::path& path) {
  ErrorList errors;
  Press press;
  if (const auto document = load_document(path, {}, errors, nullptr, "press"))
    press = read_press(*document, errors);
  errors.throw_if_any();
  return press;
}

}  // namespace joulepress::cases
