#include "tools/store/summary_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}
Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json(nullptr);
}

Json body_json(const solver::BodySummary& body) {
  return {{"name", body.name},
          {"mean_K", number(body.value.mean_K)},
          {"centre_K", number(body.value.centre_K)},
          {"edge_K", number(body.value.edge_K)},
          {"inner_edge_K", number(body.value.inner_edge_K)},
          {"min_K", number(body.value.min_K)},
          {"max_K", number(body.value.max_K)},
          {"offset_mean_K", number(body.offset_mean_K)}};
}

Json hold_json(const solver::HoldSummary& hold, bool has_sensor) {
  Json j;
  const auto powder = [&](double solver::PowderValue::*member) {
    return hold.powder ? number((*hold.powder).*member) : Json(nullptr);
  };
  j["name"] = hold.name;
  j["start_s"] = hold.start_s;
  j["end_s"] = hold.end_s;
  j["settled_from_s"] = hold.settled_from_s;
  j["sensor_K"] = has_sensor ? number(hold.sensor_K) : Json(nullptr);
  j["sensor_material_K"] = has_sensor ? number(hold.sensor_material_K) : Json(nullptr);
  j["sample_mean_K"] = powder(&solver::PowderValue::mean_K);
  j["sample_centre_K"] = powder(&solver::PowderValue::centre_K);
  j["sample_edge_K"] = powder(&solver::PowderValue::edge_K);
  j["sample_min_K"] = powder(&solver::PowderValue::min_K);
  j["sample_max_K"] = powder(&solver::PowderValue::max_K);
  j["powders"] = Json::array();
  for (const solver::BodySummary& body : hold.powders) j["powders"].push_back(body_json(body));
  j["offset_mean_K"] = number(hold.offset_mean_K);
  j["offset_field_K"] = number(hold.offset_field_K);
  j["sensor_error_K"] = has_sensor ? number(hold.sensor_error_K) : Json(nullptr);
  j["offset_start_K"] = number(hold.offset_start_K);
  j["offset_end_K"] = number(hold.offset_end_K);
  if (hold.parts)
    j["offset_parts_K"] = {{"powder_gradient", hold.parts->powder_gradient_K},
                           {"lateral_contact", hold.parts->lateral_contact_K},
                           {"wall_drop", hold.parts->wall_drop_K},
                           {"stem", hold.parts->stem_K}};
  else
    j["offset_parts_K"] = nullptr;
  j["current_A"] = number(hold.current_A);
  j["voltage_V"] = number(hold.voltage_V);
  j["power_W"] = number(hold.power_W);
  j["current_share_powder"] = number(hold.current_share_powder);
  j["relative_density_mean"] = hold.powder ? number(hold.powder->density_mean) : Json(nullptr);
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
                         const solver::Summary& summary) {
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
  j["energy_J"] = {{"electric", result.ledger.electric},
                   {"radiation", result.ledger.radiation},
                   {"films", result.ledger.film},
                   {"fixed_surfaces", result.ledger.fixed},
                   {"stored", result.ledger.stored}};
  j["holds"] = Json::array();
  for (const solver::HoldSummary& hold : summary.holds)
    j["holds"].push_back(hold_json(hold, result.frame.control_sensor >= 0));
  return j.dump(2) + "\n";
}

}  // namespace joulepress::tools
