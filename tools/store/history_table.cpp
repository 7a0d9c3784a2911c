#include "tools/store/history_table.hpp"

#include <cmath>
#include <limits>

#include "solver/density_summary.hpp"
#include "tools/store/summary_json.hpp"

namespace joulepress::tools {
namespace {

using solver::HistoryRow;
using solver::PowderValue;
using solver::SensorValue;
using Columns = std::vector<HistoryColumn>;

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// A column that is a member of the row.
HistoryColumn member(const char* name, const char* unit, double HistoryRow::*value) {
  return {name, unit, [value](const HistoryRow& row) { return row.*value; }, {}};
}

void add_drive(Columns& columns) {
  using solver::DriveMode, solver::Limit;
  HistoryColumn mode{"drive", "", [](const HistoryRow& row) { return static_cast<double>(row.mode); }, {}};
  for (const DriveMode m :
       {DriveMode::off, DriveMode::tracking, DriveMode::at_limit, DriveMode::driven, DriveMode::controlled})
    mode.words.push_back(mode_name(m));
  HistoryColumn limit{"limit", "", [](const HistoryRow& row) { return static_cast<double>(row.limit); }, {}};
  for (const Limit l : {Limit::none, Limit::current, Limit::voltage, Limit::power})
    limit.words.push_back(limit_name(l));
  columns.insert(columns.end(),
                 {mode, limit, member("programme", "SI", &HistoryRow::target),
                  member("current effective", "A", &HistoryRow::current_A),
                  member("voltage", "V", &HistoryRow::voltage_V), member("power", "W", &HistoryRow::power_W),
                  member("current mean", "A", &HistoryRow::current_mean_A),
                  member("voltage mean", "V", &HistoryRow::voltage_mean_V),
                  member("voltage at taps", "V", &HistoryRow::taps_V)});
}

void add_sensors(const std::vector<std::string>& names, Columns& columns) {
  for (std::size_t k = 0; k < names.size(); ++k) {
    const auto add = [&](const char* what, double SensorValue::*value) {
      columns.push_back(
          {names[k] + what, "K", [k, value](const HistoryRow& row) { return row.sensors[k].*value; }, {}});
    };
    add(" reading", &SensorValue::reading_K);
    add(" material", &SensorValue::material_K);
    add(" settled", &SensorValue::settled_K);
    add(" stem bound", &SensorValue::stem_bound_K);
    columns.push_back({names[k] + " sees",
                       "-",
                       [k](const HistoryRow& row) { return row.sensors[k].in_sight ? 1.0 : 0.0; },
                       {}});
  }
}

void add_powders(const std::vector<std::string>& names, bool furnace, Columns& columns) {
  if (names.empty()) return;
  const auto add = [&](const char* name, double PowderValue::*value, const char* unit = "K") {
    columns.push_back({name,
                       unit,
                       [value](const HistoryRow& row) { return row.powder ? (*row.powder).*value : nothing; },
                       {}});
  };
  add("powder mean", &PowderValue::mean_K);
  add("powder centre", &PowderValue::centre_K);
  add("powder edge", &PowderValue::edge_K);
  add("powder coldest", &PowderValue::min_K);
  add("powder hottest", &PowderValue::max_K);
  add("die wall", &PowderValue::wall_K);
  if (furnace) add("surface of the stack", &PowderValue::outside_K);
  add("relative density mean", &PowderValue::density_mean, "-");
  add("relative density lowest", &PowderValue::density_min, "-");
  add("relative density highest", &PowderValue::density_max, "-");
  add("relative density loosest layer", &PowderValue::layer_min, "-");
  add("relative density densest layer", &PowderValue::layer_max, "-");
  add("density spread bound", &PowderValue::apart_spread, "-");
  columns.push_back({"current share powder",
                     "-",
                     [](const HistoryRow& row) { return row.current_share_powder.value_or(nothing); },
                     {}});
  if (names.size() < 2) return;
  for (std::size_t k = 0; k < names.size(); ++k)
    columns.push_back(
        {names[k] + " mean", "K", [k](const HistoryRow& row) { return row.powders[k].mean_K; }, {}});
}

void add_press(Columns& columns) {
  const auto stroke = [](const char* name, double solver::Stroke::*part) {
    return HistoryColumn{name, "m", [part](const HistoryRow& row) { return row.stroke.*part; }, {}};
  };
  columns.insert(
      columns.end(),
      {member("force", "N", &HistoryRow::force_N), member("force in powder", "N", &HistoryRow::on_powder_N),
       member("side pressure", "Pa", &HistoryRow::side_pressure_Pa),
       member("press work", "W", &HistoryRow::press_W),
       HistoryColumn{"stroke", "m", [](const HistoryRow& row) { return row.stroke.total(); }, {}},
       stroke("stroke by densification", &solver::Stroke::densification),
       stroke("stroke elastic", &solver::Stroke::elastic), stroke("stroke of frame", &solver::Stroke::frame),
       stroke("stroke by thermal growth", &solver::Stroke::growth),
       stroke("stroke of foils", &solver::Stroke::foil)});
}

void add_hottest_tool(const std::vector<std::string>& parts, Columns& columns) {
  columns.push_back(member("hottest tool", "K", &HistoryRow::tool_max_K));
  columns.push_back({"hottest tool part", "",
                     [](const HistoryRow& row) { return static_cast<double>(row.tool_max_part); }, parts});
  columns.push_back(member("hottest tool r", "m", &HistoryRow::tool_max_r));
  columns.push_back(member("hottest tool z", "m", &HistoryRow::tool_max_z));
}

void add_by_part(const std::vector<std::string>& parts, const std::string& what,
                 std::vector<double> HistoryRow::*values, Columns& columns) {
  for (std::size_t k = 0; k < parts.size(); ++k)
    columns.push_back(
        {what + parts[k], "W", [k, values](const HistoryRow& row) { return (row.*values)[k]; }, {}});
}

}  // namespace

std::vector<HistoryColumn> history_columns(const solver::HistoryFrame& frame) {
  Columns columns{member("time", "s", &HistoryRow::time_s)};
  columns.push_back(member("programme time", "s", &HistoryRow::programme_s));
  add_drive(columns);
  add_sensors(frame.sensor_names, columns);
  add_powders(frame.powder_names, solver::heated_by_furnace(frame), columns);
  if (!frame.powder_names.empty()) add_press(columns);
  add_hottest_tool(frame.part_names, columns);
  columns.insert(
      columns.end(),
      {member("contact heat", "W", &HistoryRow::contact_heat_W),
       member("film low", "W", &HistoryRow::film_low_W), member("film high", "W", &HistoryRow::film_high_W),
       member("fixed surfaces", "W", &HistoryRow::fixed_W), member("stored", "W", &HistoryRow::stored_W)});
  if (frame.gas) columns.push_back(member("convection", "W", &HistoryRow::gas_W));
  if (frame.thermoelectric) {
    columns.push_back(member("seebeck voltage", "V", &HistoryRow::seebeck_V));
    columns.push_back(member("thermoelectric heat", "W", &HistoryRow::thermoelectric_W));
  }
  add_by_part(frame.part_names, "joule heat in ", &HistoryRow::joule_by_part_W, columns);
  add_by_part(frame.part_names, "radiation of ", &HistoryRow::radiation_by_part_W, columns);
  return columns;
}

std::string title_of(const HistoryColumn& column) {
  return column.unit.empty() ? column.name : column.name + " [" + column.unit + "]";
}

}  // namespace joulepress::tools
