#include "tools/store/summary_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/store/strength_json.hpp"

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}
Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json stroke_json(const solver::Stroke& stroke) {
  return {{"total_m", stroke.total()},   {"densification_m", stroke.densification},
          {"elastic_m", stroke.elastic}, {"frame_m", stroke.frame},
          {"growth_m", stroke.growth},   {"foil_m", stroke.foil}};
}

/// The way from the furnace is a term only where one heats, the error of an instrument only where it has one.
Json parts_json(const solver::OffsetParts& parts, bool furnace) {
  Json j;
  for (const solver::OffsetTerm& term : solver::offset_terms)
    if ((furnace || term.value != &solver::OffsetParts::surface_K) &&
        (term.value != &solver::OffsetParts::instrument_K || parts.*term.value != 0.0))
      j[term.key] = parts.*term.value;
  return j;
}

Json sensor_json(const solver::SensorSummary& sensor, bool furnace) {
  return {{"name", sensor.name},
          {"controls", sensor.controls},
          {"in_sight", sensor.in_sight},
          {"reading_K", number(sensor.reading_K)},
          {"material_K", number(sensor.material_K)},
          {"error_bound_K", number(sensor.bound_K)},
          {"tolerance_K", number(sensor.tolerance_K)},
          {"offset_mean_K", number(sensor.offset_mean_K)},
          {"offset_parts_K", sensor.parts ? parts_json(*sensor.parts, furnace) : Json(nullptr)}};
}

/// `last`: the body when the hold ends.
Json body_json(const solver::BodySummary& body, const solver::PowderValue& last) {
  return {{"name", body.name},
          {"mean_K", number(body.value.mean_K)},
          {"centre_K", number(body.value.centre_K)},
          {"edge_K", number(body.value.edge_K)},
          {"inner_edge_K", number(body.value.inner_edge_K)},
          {"min_K", number(body.value.min_K)},
          {"max_K", number(body.value.max_K)},
          {"offset_mean_K", number(body.offset_mean_K)},
          {"relative_density_mean", number(body.value.density_mean)},
          {"relative_density_end_mean", number(last.density_mean)},
          {"relative_density_end_min", number(last.density_min)},
          {"relative_density_end_max", number(last.density_max)},
          {"density_spread_bound", number(last.apart_spread)}};
}

Json hold_json(const solver::HoldSummary& hold, bool has_sensor, bool furnace) {
  Json j;
  const auto powder = [&](double solver::PowderValue::*member) {
    return hold.powder ? number((*hold.powder).*member) : Json(nullptr);
  };
  j["name"] = hold.name;
  j["start_s"] = hold.start_s;
  j["end_s"] = hold.end_s;
  j["settled_from_s"] = hold.settled_from_s;
  j["set_K"] = has_sensor ? number(hold.set_K) : Json(nullptr);
  j["control_sensor"] =
      has_sensor ? Json(hold.sensors[static_cast<std::size_t>(hold.control_sensor)].name) : Json(nullptr);
  j["sensor_K"] = has_sensor ? number(hold.sensor_K) : Json(nullptr);
  j["sensor_material_K"] = has_sensor ? number(hold.sensor_material_K) : Json(nullptr);
  j["sample_mean_K"] = powder(&solver::PowderValue::mean_K);
  j["sample_centre_K"] = powder(&solver::PowderValue::centre_K);
  j["sample_edge_K"] = powder(&solver::PowderValue::edge_K);
  j["sample_min_K"] = powder(&solver::PowderValue::min_K);
  j["sample_max_K"] = powder(&solver::PowderValue::max_K);
  j["sample_spread_K"] = hold.powder ? number(hold.powder->max_K - hold.powder->min_K) : Json(nullptr);
  j["sensors"] = Json::array();
  for (const solver::SensorSummary& sensor : hold.sensors)
    j["sensors"].push_back(sensor_json(sensor, furnace));
  j["powders"] = Json::array();
  for (std::size_t k = 0; k < hold.powders.size(); ++k)
    j["powders"].push_back(body_json(hold.powders[k], hold.last.powders[k]));
  j["offset_mean_K"] = number(hold.offset_mean_K);
  j["offset_field_K"] = number(hold.offset_field_K);
  j["sensor_error_K"] = has_sensor ? number(hold.sensor_error_K) : Json(nullptr);
  j["offset_start_K"] = number(hold.offset_start_K);
  j["offset_end_K"] = number(hold.offset_end_K);
  j["offset_parts_K"] = hold.parts ? parts_json(*hold.parts, furnace) : Json(nullptr);
  j["offset_parts_change_K"] = hold.drift ? parts_json(hold.drift->change, furnace) : Json(nullptr);
  j["current_A"] = number(hold.current_A);
  j["voltage_V"] = number(hold.voltage_V);
  j["power_W"] = number(hold.power_W);
  if (furnace)
    j["heat_from_furnace_W"] = {
        {"mean", hold.taken_up_W}, {"start", hold.taken_up_start_W}, {"end", hold.taken_up_end_W}};
  j["current_share_powder"] = number(hold.current_share_powder);
  j["relative_density_mean"] = powder(&solver::PowderValue::density_mean);
  const auto end = [&](double solver::PowderValue::*member) {
    return hold.last.powder ? number((*hold.last.powder).*member) : Json(nullptr);
  };
  j["relative_density_end_mean"] = end(&solver::PowderValue::density_mean);
  j["relative_density_end_min"] = end(&solver::PowderValue::density_min);
  j["relative_density_end_max"] = end(&solver::PowderValue::density_max);
  j["density_spread_bound"] = end(&solver::PowderValue::apart_spread);
  j["stroke"] = hold.last.powder ? stroke_json(hold.last.stroke) : Json(nullptr);
  return j;
}

Json peak_json(const solver::Peak& peak) {
  Json j;
  j["powder_max_K"] = number(peak.powder_max_K);
  j["powder_time_s"] = peak.powder_max_K ? number(peak.powder_time_s) : Json(nullptr);
  j["tool_max_K"] = number(peak.tool_max_K);
  j["tool_time_s"] = peak.tool_time_s;
  j["tool_part"] = peak.tool_part;
  j["tool_r_m"] = peak.tool_r;
  j["tool_z_m"] = peak.tool_z;
  j["current_A"] = peak.current_A;
  j["current_time_s"] = peak.current_time_s;
  j["voltage_V"] = peak.voltage_V;
  j["power_W"] = peak.power_W;
  j["power_time_s"] = peak.power_time_s;
  return j;
}

Json reached_json(const std::optional<solver::Reached>& reached) {
  return {{"time_s", reached ? number(reached->time_s) : Json(nullptr)},
          {"powder_mean_K", reached ? number(reached->powder_K) : Json(nullptr)},
          {"sensor_K", reached ? number(reached->sensor_K) : Json(nullptr)}};
}

Json text_or_null(const std::string& text) {
  return text.empty() ? Json(nullptr) : Json(text);
}

/// One powder over the whole run.
Json body_json(const solver::BodyDensification& body, const std::string& held) {
  Json j{{"name", body.name},
         {"held_reason", text_or_null(held)},
         {"start_density", number(body.start)},
         {"end_density", number(body.end)},
         {"end_density_min", number(body.end_min)},
         {"end_density_max", number(body.end_max)},
         {"end_density_loosest_layer", number(body.end_layer_min)},
         {"end_density_densest_layer", number(body.end_layer_max)},
         {"radial_difference_bound", number(body.end_spread_bound)},
         {"radial_difference_bound_largest", number(body.largest_spread_bound)},
         {"reached", Json::array()},
         {"dense", reached_json(body.dense)}};
  for (std::size_t k = 0; k < body.reached.size(); ++k) {
    Json at;
    at["density"] = solver::reported_densities[k];
    at.update(reached_json(body.reached[k]));
    j["reached"].push_back(at);
  }
  return j;
}

Json moved_in_json(const std::optional<solver::CurrentMovedIn>& moved) {
  if (!moved) return nullptr;
  return {{"time_s", moved->time_s},
          {"density", moved->density},
          {"powder_mean_K", moved->powder_K},
          {"least_share", moved->least},
          {"largest_share", moved->largest}};
}

Json late_json(const std::optional<solver::OffsetDrift>& late, bool furnace) {
  if (!late) return nullptr;
  return {{"from_s", late->from_s},
          {"to_s", late->to_s},
          {"offset_from_K", late->from_K},
          {"offset_to_K", late->to_K},
          {"parts_change_K", parts_json(late->change, furnace)}};
}

Json densification_json(const std::vector<std::string>& held, const solver::Summary& summary) {
  const solver::Densification& all = summary.densification;
  const auto reason = [&held](std::size_t k) { return k < held.size() ? held[k] : std::string(); };
  bool modelled = false;
  for (std::size_t k = 0; k < all.bodies.size(); ++k) modelled = modelled || reason(k).empty();
  Json j{{"modelled", modelled},
         {"held_reason", modelled ? Json(nullptr) : text_or_null(reason(0))},
         {"bodies", Json::array()},
         {"radial_difference_bound",
          modelled && summary.end.powder ? number(summary.end.powder->apart_spread) : Json(nullptr)},
         {"current_share_at_density", Json::array()},
         {"current_moved_in", moved_in_json(all.moved_in)},
         {"late_offset", late_json(all.late, summary.furnace.has_value())}};
  for (std::size_t k = 0; k < all.bodies.size(); ++k)
    j["bodies"].push_back(body_json(all.bodies[k], reason(k)));
  for (const solver::ShareAtDensity& at : all.shares)
    j["current_share_at_density"].push_back(
        {{"density", at.density}, {"time_s", at.time_s}, {"share", at.share}});
  return j;
}

}  // namespace

std::string status_name(solver::RunStatus status) {
  switch (status) {
    case solver::RunStatus::completed:
      return "completed";
    case solver::RunStatus::stopped:
      return "stopped";
    case solver::RunStatus::failed:
      return "failed";
    case solver::RunStatus::interrupted:
      break;
  }
  return "interrupted";
}

std::string mode_name(solver::DriveMode mode) {
  switch (mode) {
    case solver::DriveMode::off:
      return "off";
    case solver::DriveMode::tracking:
      return "tracking";
    case solver::DriveMode::controlled:
      return "controlled";
    case solver::DriveMode::at_limit:
      return "at limit";
    case solver::DriveMode::driven:
      break;
  }
  return "driven";
}

std::string limit_name(solver::Limit limit) {
  switch (limit) {
    case solver::Limit::none:
      return "none";
    case solver::Limit::current:
      return "current";
    case solver::Limit::voltage:
      return "voltage";
    case solver::Limit::power:
      break;
  }
  return "power";
}

std::string summary_json(const SummaryHead& head, const solver::RunResult& result,
                         const solver::Summary& summary, const std::optional<solid::Strength>& strength) {
  Json j;
  j["schema"] = "joulepress.summary/1";
  j["status"] = status_name(result.status);
  j["reason"] = result.reason.empty() ? Json(nullptr) : Json(result.reason);
  j["version"] = head.version;
  j["title"] = head.title;
  j["case_sha256"] = head.case_sha256;
  j["included"] = Json::array();
  for (const IncludedHash& file : head.included)
    j["included"].push_back({{"name", file.name}, {"sha256", file.sha256}});
  const int control = result.frame.control_sensor;
  j["control_sensor"] =
      control >= 0 ? Json(result.frame.sensor_names[static_cast<std::size_t>(control)]) : Json(nullptr);
  j["cells"] = head.cells;
  j["cells_solved"] = head.cells_solved;
  j["accuracy_K"] = head.accuracy;
  j["steps"] = result.counts.steps;
  j["charge_balance_relative"] = result.ledger.charge_balance_relative();
  j["energy_balance_relative"] = result.ledger.energy_balance_relative();
  j["warnings"] = head.warnings;
  j["not_modelled"] = head.not_modelled;
  j["drive_limited"] = Json::array();
  for (const solver::LimitedInterval& interval : result.limited)
    j["drive_limited"].push_back({{"start_s", interval.start_s},
                                  {"end_s", interval.end_s},
                                  {"mode", mode_name(interval.mode)},
                                  {"limit", limit_name(interval.limit)}});
  j["end"] = {{"time_s", summary.end.time_s},
              {"sample_mean_K", summary.end.powder ? number(summary.end.powder->mean_K) : Json(nullptr)},
              {"sensor_K", result.frame.control_sensor >= 0
                               ? number(summary.end.sensors[result.frame.control_sensor].reading_K)
                               : Json(nullptr)},
              {"tool_max_K", summary.end.tool_max_K}};
  j["peak"] = peak_json(summary.peak);
  j["energy_J"] = {{"electric", result.ledger.electric},    {"radiation", result.ledger.radiation},
                   {"films", result.ledger.film},           {"convection", result.ledger.gas},
                   {"fixed_surfaces", result.ledger.fixed}, {"press", result.ledger.press},
                   {"stored", result.ledger.stored},        {"thermoelectric", result.ledger.thermoelectric}};
  if (summary.furnace)
    j["furnace"] = {{"given_J", summary.furnace->given_J},
                    {"taken_back_J", summary.furnace->taken_back_J},
                    {"largest_W", summary.furnace->largest_W},
                    {"largest_s", summary.furnace->largest_s}};
  j["press_work_J"] = result.ledger.press;
  j["densification"] = densification_json(head.held, summary);
  j["stroke"] = summary.end.powder ? stroke_json(summary.end.stroke) : Json(nullptr);
  j["holds"] = Json::array();
  for (const solver::HoldSummary& hold : summary.holds)
    j["holds"].push_back(hold_json(hold, hold.control_sensor >= 0, summary.furnace.has_value()));
  j["strength"] = strength ? strength_json(*strength, result.frame) : Json(nullptr);
  return j.dump(2) + "\n";
}

}  // namespace joulepress::tools
