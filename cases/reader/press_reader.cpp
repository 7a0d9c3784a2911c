#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/group_readers.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/press_files.hpp"
#include "solver/pulse.hpp"

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

namespace {

CaseController read_controller(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "controller", errors);
  CaseController c;
  c.period = map.amount("period");
  c.by_power = map.text("output") == "power";
  c.proportional_band = map.amount_if_any("proportional band");
  c.integral_time = map.amount_if_any("integral time");
  c.derivative_time = map.amount("derivative time");
  c.least_output = map.amount("least output");
  c.largest_output = map.amount("largest output");
  c.full_sweep = map.amount("full sweep");
  c.arrival = map.amount("arrival");
  if (c.proportional_band.has_value() != c.integral_time.has_value() && node.type == SourceNode::Type::map)
    map.refuse(c.proportional_band ? "integral time" : "proportional band",
               "Band and integral time belong together.",
               "Give both, or none: then they follow from a step of the model.");
  if (!(c.least_output < c.largest_output))
    map.refuse("least output", "The least output is not below the largest.", "Check both.");
  map.finish();
  return c;
}

ProgrammeEntry read_entry(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "programme entry", errors);
  ProgrammeEntry entry;
  entry.steps = map.whole("steps");
  entry.fastest_rate = map.amount_if_any("fastest rate");
  entry.temperature = map.amount("rounds temperature to");
  entry.time = map.amount("rounds time to");
  map.finish();
  return entry;
}

CasePulse read_pulse(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "pulse", errors);
  const std::size_t before = errors.size();
  CasePulse pulse;
  pulse.on = map.amount("on");
  pulse.off = map.amount("off");
  pulse.largest_mean = map.amount_if_any("largest mean current");
  if (const SourceNode* table = map.find("effective over mean")) {
    for (const SourceNode& row : items_of(*table, errors)) {
      if (row.type != SourceNode::Type::sequence || row.children.size() != 2) {
        errors.add(row.place, row.path, "A row is [output, ratio].", "Write two numbers, as in [0.5, 1.2].");
        continue;
      }
      pulse.ratio.emplace_back(quantity_of(row.children[0], Kind::ratio, errors),
                               quantity_of(row.children[1], Kind::ratio, errors));
    }
    if (!pulse.largest_mean)
      map.refuse("largest mean current", "Measured ratios need the mean current at the full output.",
                 "Add `largest mean current: 4 kA`.");
  }
  const std::string wrong = solver::why_not({pulse.on, pulse.off, pulse.ratio});
  if (!wrong.empty() && errors.size() == before)
    map.refuse(pulse.ratio.empty() ? "on" : "effective over mean", "Not a pulse: " + wrong + ".",
               "Check times and rows.");
  map.finish();
  return pulse;
}

Meters read_meters(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "meters", errors);
  Meters meters;
  meters.mean_current = map.text("current") == "mean";
  meters.mean_voltage = map.text("voltage") == "mean";
  if (const SourceNode* taps = map.find("voltage taps")) {
    for (const SourceNode& face : items_of(*taps, errors)) meters.taps.push_back(text_of(face, errors));
    if (meters.taps.size() != 2)
      map.refuse("voltage taps", "A voltage is taken between two faces.",
                 "Write `[bottom of lower punch, top of upper punch]`.");
  }
  meters.every = map.amount("every");
  meters.temperature = map.amount("rounds temperature to");
  meters.current = map.amount("rounds current to");
  meters.voltage = map.amount("rounds voltage to");
  meters.force = map.amount("rounds force to");
  meters.stroke = map.amount("rounds stroke to");
  meters.noise = map.amount("noise");
  map.finish();
  return meters;
}

}  // namespace

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
  press.usual_sensor = map.text("usual sensor");
  press.gauge_area = map.amount_if_any("gauge area");
  const SourceNode* controller = map.find("controller");
  press.controller = read_controller(controller ? *controller : defaults, errors);
  const SourceNode* entry = map.find("programme entry");
  press.entry = read_entry(entry ? *entry : defaults, errors);
  press.entry.given = entry != nullptr;
  press.positive_below = map.text("positive pole") == "lower";
  if (const SourceNode* pulse = map.find("pulse")) press.pulse = read_pulse(*pulse, errors);
  if (const SourceNode* meters = map.find("meters")) press.meters = read_meters(*meters, errors);
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

std::vector<std::string> shipped_presses_with_current() {
  std::vector<std::string> names = shipped_presses();
  std::erase_if(names, [](const std::string& name) {
    const Press press = read_press(included_file(fmt::format("presses/{}.yaml", name), {}));
    return !press.current_limit && !press.voltage_limit && !press.power_limit;
  });
  return names;
}

std::optional<std::filesystem::path> press_named(const std::string& name, ErrorList& errors) {
  const std::vector<std::string> shipped = shipped_presses();
  const bool alone = std::find(shipped.begin(), shipped.end(), name) != shipped.end();
  for (const std::string& tried : {name, alone ? fmt::format("presses/{}.yaml", name) : name}) {
    std::filesystem::path file = included_file(tried, {});
    if (std::filesystem::is_regular_file(file)) return file;
  }
  errors.add({name, 0, 0}, "press", fmt::format("There is no press \"{}\" to use instead.", name),
             fmt::format("Give a file relative to the working folder, or a shipped one. {}",
                         suggestion(name, shipped)));
  return std::nullopt;
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
