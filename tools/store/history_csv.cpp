#include "tools/store/history_csv.hpp"

#include <fmt/format.h>

#include <cmath>

#include "tools/store/summary_json.hpp"

namespace joulepress::tools {
namespace {

/// A field, quoted when it holds a comma or a quote (RFC 4180).
std::string field(const std::string& text) {
  if (text.find_first_of(",\"\n") == std::string::npos) return text;
  std::string out = "\"";
  for (const char c : text) {
    if (c == '"') out += '"';
    out += c;
  }
  return out + "\"";
}

std::string number(double value) {
  return std::isfinite(value) ? fmt::format("{}", value) : std::string();
}

}  // namespace

std::string history_csv(const solver::HistoryFrame& frame, const std::vector<solver::HistoryRow>& rows) {
  std::string head = "time [s],drive,limit,programme [SI],current effective [A],voltage [V],power [W]";
  for (const std::string& name : frame.sensor_names)
    head += "," + field(name + " reading [K]") + "," + field(name + " material [K]") + "," +
            field(name + " stem bound [K]");
  const bool powder = !rows.empty() && rows.front().powder.has_value();
  if (powder)
    head +=
        ",powder mean [K],powder centre [K],powder edge [K],powder coldest [K],powder hottest [K],die wall "
        "[K],current share powder [-]";
  const bool several = frame.powder_names.size() > 1;
  if (several)
    for (const std::string& name : frame.powder_names) head += "," + field(name + " mean [K]");
  head +=
      ",hottest tool [K],hottest tool part,hottest tool r [m],hottest tool z [m],contact heat [W],film low "
      "[W],film high [W],fixed surfaces [W],stored [W]";
  for (const std::string& name : frame.part_names) head += "," + field("joule heat in " + name + " [W]");
  for (const std::string& name : frame.part_names) head += "," + field("radiation of " + name + " [W]");
  std::string text = head + "\n";
  for (const solver::HistoryRow& row : rows) {
    text += fmt::format("{},{},{},{},{},{},{}", row.time_s, mode_name(row.mode), limit_name(row.limit),
                        number(row.target), row.current_A, row.voltage_V, row.power_W);
    for (const solver::SensorValue& s : row.sensors)
      text += fmt::format(",{},{},{}", s.reading_K, s.material_K, s.stem_bound_K);
    if (powder)
      text += fmt::format(",{},{},{},{},{},{},{}", row.powder->mean_K, row.powder->centre_K,
                          number(row.powder->edge_K), row.powder->min_K, row.powder->max_K,
                          number(row.powder->wall_K),
                          row.current_share_powder ? number(*row.current_share_powder) : "");
    if (several)
      for (const solver::PowderValue& body : row.powders) text += fmt::format(",{}", body.mean_K);
    text += fmt::format(",{},{},{},{},{},{},{},{},{}", row.tool_max_K,
                        field(frame.part_names[static_cast<std::size_t>(row.tool_max_part)]), row.tool_max_r,
                        row.tool_max_z, row.contact_heat_W, row.film_low_W, row.film_high_W, row.fixed_W,
                        row.stored_W);
    for (const double heat : row.joule_by_part_W) text += fmt::format(",{}", heat);
    for (const double heat : row.radiation_by_part_W) text += fmt::format(",{}", heat);
    text += "\n";
  }
  return text;
}

}  // namespace joulepress::tools
