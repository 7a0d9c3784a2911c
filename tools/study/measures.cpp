#include "tools/study/measures.hpp"

#include <fmt/format.h>

#include <array>
#include <cmath>

namespace joulepress::tools {
namespace {

using cases::Kind;

const char* const last_hold = "holds[-1].";

/// The kind that the ending of an address tells.
Kind kind_of(const std::string& address) {
  struct Ending {
    std::string_view text;
    Kind kind;
  };
  constexpr std::array endings{Ending{"_W", Kind::power},   Ending{"_A", Kind::current},
                               Ending{"_V", Kind::voltage}, Ending{"_s", Kind::time},
                               Ending{"_J", Kind::energy},  Ending{"_m", Kind::length},
                               Ending{"_N", Kind::force},   Ending{"_Pa", Kind::pressure}};
  for (const Ending& ending : endings)
    if (address.ends_with(ending.text)) return ending.kind;
  const bool kelvin = address.ends_with("_K") || address.find("_K.") != std::string::npos;
  if (!kelvin) return Kind::ratio;
  for (const char* difference : {"offset", "error", "spread", "bound", "tolerance", "parts", "change"})
    if (address.find(difference) != std::string::npos) return Kind::temperature_difference;
  return Kind::temperature;
}

}  // namespace

Shown shown_as(Kind kind) {
  switch (kind) {
    case Kind::temperature:
      return in_degC;
    case Kind::temperature_difference:
      return in_kelvin;
    case Kind::power:
      return in_kW;
    case Kind::current:
      return in_ampere;
    case Kind::voltage:
      return in_volt;
    case Kind::time:
      return in_seconds;
    case Kind::energy:
      return in_kJ;
    case Kind::length:
      return in_mm;
    case Kind::force:
      return in_kN;
    case Kind::pressure:
      return in_MPa;
    default:
      return {1, 0, 4, "", "", false};
  }
}

const std::vector<Measure>& named_measures() {
  static const std::vector<Measure> measures = [] {
    std::vector<Measure> list;
    const auto hold = [&list](const char* name, const std::string& key, const char* means) {
      const std::string address = last_hold + key;
      list.push_back({name, address, kind_of(address), shown_as(kind_of(address)), means});
    };
    const auto run = [&list](const char* name, const char* address, const char* means) {
      list.push_back({name, address, kind_of(address), shown_as(kind_of(address)), means});
    };
    hold("offset", "offset_mean_K", "Powder mean minus sensor reading.");
    hold("powder mean", "sample_mean_K", "Mean over the volume of the powder.");
    hold("powder centre", "sample_centre_K", "On the axis at mid-height.");
    hold("powder edge", "sample_edge_K", "At the wall at mid-height.");
    hold("coldest in the powder", "sample_min_K", "Coldest place.");
    hold("hottest in the powder", "sample_max_K", "Hottest place.");
    hold("spread in the powder", "sample_spread_K", "Hottest minus coldest place.");
    hold("reading", "sensor_K", "What the control sensor shows.");
    hold("sensor error", "sensor_error_K", "Material at the sensor minus its reading.");
    hold("current", "current_A", "Effective current.");
    hold("voltage", "voltage_V", "Effective voltage between the column ends.");
    hold("power", "power_W", "Mean electrical power.");
    hold("current through the powder", "current_share_powder", "Share of the current at mid-height.");
    hold("density", "relative_density_end_mean", "Relative density at the end of the hold.");
    list.back().shown = in_density;
    run("largest current", "peak.current_A", "Largest effective current of the run.");
    run("largest voltage", "peak.voltage_V", "Largest effective voltage of the run.");
    run("largest power", "peak.power_W", "Largest mean power of the run.");
    run("hottest powder", "peak.powder_max_K", "Hottest place in the powder at any time.");
    run("hottest tool", "peak.tool_max_K", "Hottest place in a tool at any time.");
    run("time", "end.time_s", "From the start to the end of the run.");
    run("energy", "energy_J.electric", "Electrical energy of the run.");
    run("stroke", "stroke.total_m", "How far the punches came together, at the end.");
    list.back().shown = in_fine_mm;
    run("margin", "strength.margin", "Least strength over stress of all tools at any time.");
    list.back().shown = in_margin;
    run("largest force", "strength.largest_force_hot.force_N",
        "Force at which the margin asked for is just left while the powder is hot.");
    run("grip", "strength.grip.cold_Pa", "Pressure with which the cold die holds the compact.");
    return list;
  }();
  return measures;
}

std::optional<Measure> measure_of(const std::string& text) {
  const std::size_t at = text.find(" at ");
  const std::string name = text.substr(0, at);
  for (const Measure& measure : named_measures()) {
    if (measure.name != name) continue;
    if (at == std::string::npos) return measure;
    if (!measure.address.starts_with(last_hold)) return std::nullopt;
    Measure of_hold = measure;
    of_hold.name = text;
    of_hold.address = fmt::format("holds[{}].{}", text.substr(at + 4),
                                  measure.address.substr(std::string(last_hold).size()));
    return of_hold;
  }
  if (text.find('.') == std::string::npos) return std::nullopt;
  return Measure{text, text, kind_of(text), shown_as(kind_of(text)), "As summary.json has it."};
}

std::vector<std::string> measure_names() {
  std::vector<std::string> names;
  for (const Measure& measure : named_measures()) names.push_back(measure.name);
  return names;
}

double value_of(const Measure& measure, const SummaryNode& summary) {
  return number_at(summary, measure.address).value_or(std::nan(""));
}

std::string with_unit(const Measure& measure, double si) {
  const std::string number = number_text(si, measure.shown);
  return number == "-" || !*measure.shown.unit ? number : number + " " + measure.shown.unit;
}

std::string in_files(const Measure& measure) {
  const std::string unit = cases::si_unit(measure.kind);
  return fmt::format("{} [{}]", measure.name, unit.empty() ? "1" : unit);
}

}  // namespace joulepress::tools
