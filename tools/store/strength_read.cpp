#include "tools/store/strength_read.hpp"

#include <nlohmann/json.hpp>

namespace joulepress::tools {
namespace {

using Json = nlohmann::json;

/// Null where the key is not there: later versions add keys.
const Json& at(const Json& json, const char* key) {
  static const Json nothing;
  const auto found = json.find(key);
  return found == json.end() ? nothing : *found;
}

std::optional<double> number(const Json& json, const char* key) {
  const Json& value = at(json, key);
  return value.is_null() ? std::nullopt : std::optional(value.get<double>());
}

std::optional<StoredWorst> worst_of(const Json& json) {
  if (json.is_null()) return {};
  StoredWorst worst;
  worst.margin = json.at("margin");
  worst.part = json.at("part");
  worst.load_case = json.at("load_case");
  worst.tension = json.at("in") == "tension";
  worst.time_s = json.at("time_s");
  worst.force_N = json.at("force_N");
  worst.stress_Pa = json.at("stress_Pa");
  worst.strength_Pa = json.at("strength_Pa");
  worst.temperature_K = json.at("temperature_K");
  worst.r_m = json.at("r_m");
  worst.z_from_middle_of_part_m = json.at("z_from_middle_of_part_m");
  return worst;
}

std::optional<StoredStrength::Tube> tube_of(const Json& json) {
  if (json.is_null()) return {};
  StoredStrength::Tube tube;
  tube.part = json.at("part");
  tube.time_s = json.at("time_s");
  tube.side_pressure_Pa = json.at("side_pressure_Pa");
  tube.ratio = json.at("outer_over_inner_radius");
  tube.formula_hoop_Pa = json.at("formula_hoop_Pa");
  tube.computed_hoop_Pa = json.at("computed_hoop_Pa");
  tube.computed_by_force_Pa = json.at("computed_by_force_Pa");
  tube.pressed_share_of_height = json.at("pressed_share_of_height");
  return tube;
}

std::optional<StoredStrength::Grip> grip_of(const Json& json) {
  if (json.is_null()) return {};
  StoredStrength::Grip grip;
  grip.solid_from_s = json.at("solid_from_s");
  grip.solid_from_K = json.at("solid_from_K");
  grip.cold_Pa = json.at("cold_Pa");
  grip.cold_largest_Pa = json.at("cold_largest_Pa");
  grip.cold_on_core_Pa = json.at("cold_on_core_Pa");
  grip.push_out_N = json.at("push_out_N");
  grip.push_out_on_punch_Pa = json.at("push_out_on_punch_Pa");
  grip.cold_margin = number(json, "cold_margin");
  return grip;
}

}  // namespace

std::optional<StoredStrength> strength_of(const Json& summary) {
  const Json& json = at(summary, "strength");
  if (json.is_null()) return {};
  StoredStrength s;
  if (!at(json, "refused").is_null()) s.refused = json.at("refused");
  s.asked = json.at("asked_margin");
  s.worst = worst_of(at(json, "worst"));
  for (const Json& worst : json.at("load_cases")) s.load_cases.push_back(*worst_of(worst));
  for (const Json& part : json.at("parts"))
    s.parts.push_back({part.at("name"), worst_of(at(part, "tension")), worst_of(at(part, "compression")),
                       number(part, "break_chance_indicative")});
  s.tube = tube_of(at(json, "tube_formula"));
  s.grip = grip_of(at(json, "grip"));
  for (const bool hot : {false, true})
    if (const Json& force = at(json, hot ? "largest_force_hot" : "largest_force_cold"); !force.is_null())
      s.largest.push_back({hot, force.at("force_N"), force.at("pressure_Pa"), force.at("time_s")});
  for (const Json& instant : json.at("instants"))
    s.instants.push_back({instant.at("time_s"), instant.at("load_case"),
                          number(instant, "margin").value_or(std::numeric_limits<double>::quiet_NaN())});
  s.remarks = json.at("remarks").get<std::vector<std::string>>();
  return s;
}

}  // namespace joulepress::tools
