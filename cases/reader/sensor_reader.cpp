#include <fmt/format.h>

#include <array>

#include "cases/reader/group_readers.hpp"

namespace joulepress::cases {
namespace {

constexpr std::array couple_only{"in",         "bore from",   "depth",       "sheath", "sheath conductivity",
                                 "stem error", "tip contact", "gas in bore", "type",   "class"};
constexpr std::array pyrometer_only{"looks at",
                                    "spot",
                                    "spot size",
                                    "wavelength",
                                    "emissivity",
                                    "set emissivity",
                                    "second wavelength",
                                    "second emissivity",
                                    "set ratio",
                                    "window",
                                    "law",
                                    "sees from"};

void read_couple(MapReader& map, CaseSensor& sensor) {
  sensor.part = map.text("in");
  map.text("bore from");
  sensor.depth = map.amount_if_any("depth").value_or(0.0);
  sensor.sheath_diameter = map.amount("sheath");
  sensor.sheath_conductivity = map.amount("sheath conductivity");
  sensor.stem = map.on("stem error");
  sensor.tip_contact = map.amount("tip contact");
  sensor.gas = map.amount("gas in bore");
  sensor.type = map.text("type");
  sensor.tolerance_class = map.whole("class");
  if (!map.find("in")) map.refuse("in", "A thermocouple needs the part it is bored into.", "Add `in: die`.");
  if (!map.find("depth"))
    map.refuse("depth", "A thermocouple needs the depth of its bore.", "Add `depth: 11 mm`.");
}

void read_pyrometer(MapReader& map, CaseSensor& sensor) {
  sensor.part = map.text("looks at");
  sensor.in_bore = map.text("spot") == "bottom of its bore";
  sensor.spot = map.amount("spot size");
  sensor.wavelength = map.amount("wavelength");
  sensor.second_wavelength = map.amount_if_any("second wavelength");
  sensor.emissivity = map.amount_if_any("emissivity");
  sensor.second_emissivity = map.amount_if_any("second emissivity");
  sensor.set_emissivity = map.amount_if_any("set emissivity");
  sensor.set_ratio = map.amount("set ratio");
  sensor.window = map.amount("window");
  sensor.wien = map.text("law") == "Wien";
  sensor.sees_from = map.amount("sees from");
  if (!map.find("looks at"))
    map.refuse("looks at", "A pyrometer needs the part it looks at.", "Add `looks at: die`.");
  if (sensor.second_wavelength && *sensor.second_wavelength == sensor.wavelength)
    map.refuse("second wavelength", "Both wavelengths are the same.",
               "Give two that differ, or leave the second one out.");
  if (sensor.second_wavelength && sensor.set_emissivity)
    map.refuse("set emissivity", "Two colours are set to a ratio.", "Write `set ratio: 1`.");
}

}  // namespace

CaseSensor read_sensor(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "sensor", errors);
  CaseSensor sensor;
  sensor.written = written_at(node);
  sensor.name = map.text("name");
  sensor.pyrometer = map.text("kind") == "pyrometer";
  sensor.height = map.amount_if_any("height");
  sensor.response = map.amount("response time");
  sensor.noise = map.amount("noise");
  sensor.reads_high_by = map.amount("reads high by");
  const auto keep_out = [&](const auto& keys, const char* what) {
    for (const char* key : keys)
      if (map.find(key)) map.refuse(key, fmt::format("\"{}\" belongs to {}.", key, what), "Leave it out.");
  };
  if (sensor.pyrometer) {
    keep_out(couple_only, "a thermocouple");
    read_pyrometer(map, sensor);
  } else {
    keep_out(pyrometer_only, "a pyrometer");
    read_couple(map, sensor);
  }
  map.finish();
  return sensor;
}

}  // namespace joulepress::cases
