#include <algorithm>
#include <array>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/study/correct_study.hpp"

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;

constexpr std::array<const char*, 4> meant_words{"mean", "centre", "coldest", "hottest"};  // as MeantFor

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json();
}

Json number(const std::optional<double>& value) {
  return value ? number(*value) : Json();
}

Json json_of(const std::vector<EnteredStep>& steps) {
  Json list = Json::array();
  for (const EnteredStep& step : steps)
    list.push_back({{"kind", step.kind == EnteredStep::Kind::ramp   ? "ramp"
                             : step.kind == EnteredStep::Kind::hold ? "hold"
                                                                    : "cool"},
                    {"name", step.name},
                    {"start_s", step.start_s},
                    {"length_s", step.length_s},
                    {"from_K", step.from_K},
                    {"to_K", step.to_K}});
  return list;
}

Json json_of(const std::vector<RampFollowed>& ramps) {
  Json list = Json::array();
  for (const RampFollowed& ramp : ramps)
    list.push_back({{"step", ramp.step},
                    {"start_s", ramp.start_s},
                    {"end_s", ramp.end_s},
                    {"from_K", ramp.from_K},
                    {"to_K", ramp.to_K},
                    {"largest_lag_K", number(ramp.largest_lag_K)},
                    {"largest_lag_s", ramp.largest_lag_s},
                    {"end_lag_K", number(ramp.end_lag_K)},
                    {"end_spread_K", number(ramp.end_spread_K)},
                    {"sensor_ahead_K", number(ramp.sensor_ahead_K)}});
  return list;
}

Json json_of(const HoldMet& hold) {
  return {{"name", hold.name},
          {"start_s", hold.start_s},
          {"end_s", hold.end_s},
          {"settled_from_s", hold.settled_from_s},
          {"wished_K", number(hold.wished_K)},
          {"met_K", number(hold.met_K)},
          {"sensor_K", number(hold.sensor_K)},
          {"sample_mean_K", number(hold.mean_K)},
          {"sample_min_K", number(hold.coldest_K)},
          {"sample_max_K", number(hold.hottest_K)},
          {"relative_density_end", number(hold.density_end)},
          {"low_K", number(hold.low_K)},
          {"high_K", number(hold.high_K)}};
}

Json panel_json(const CorrectStudy& study) {
  Json list = Json::array();
  for (const PanelCheck& check : study.panel)
    list.push_back({{"time_s", check.time_s},
                    {"step", check.step},
                    {"shown", check.shown},
                    {"wished_K", number(check.wished_K)},
                    {"sample_mean_K", number(check.powder.mean_K)},
                    {"sample_min_K", number(check.powder.min_K)},
                    {"sample_max_K", number(check.powder.max_K)},
                    {"relative_density_mean", number(check.powder.density_mean)}});
  return list;
}

const char* word_of(Binding::What what) {
  switch (what) {
    case Binding::What::current:
      return "current";
    case Binding::What::voltage:
      return "voltage";
    case Binding::What::off:
      return "off";
    case Binding::What::rate:
      return "rate";
    case Binding::What::power:
      break;
  }
  return "power";
}

Json stop_json(const StopValue& stop) {
  const char* key = stop.what == StopValue::What::current   ? "current_above_A"
                    : stop.what == StopValue::What::voltage ? "voltage_above_V"
                    : stop.what == StopValue::What::reading ? "reading_above_K"
                                                            : "stroke_above_m";
  return {{key, stop.above}, {"until_reading_K", number(stop.until_K)}};
}

}  // namespace

std::string word_of(MeantFor meant) {
  return meant_words[static_cast<std::size_t>(meant)];
}

std::optional<MeantFor> meant_for(std::string_view word) {
  const auto found = std::find(meant_words.begin(), meant_words.end(), word);
  if (found == meant_words.end()) return std::nullopt;
  return static_cast<MeantFor>(found - meant_words.begin());
}

std::string correct_json(const CorrectStudy& study) {
  Json j{{"schema", "joulepress.correct/1"},
         {"version", study.version},
         {"title", study.title},
         {"case_sha256", study.case_sha256},
         {"asked", study.asked},
         {"status", study.completed ? "completed" : "failed"},
         {"reason", study.reason.empty() ? Json() : Json(study.reason)},
         {"press", study.press},
         {"control", study.control},
         {"meant_for", word_of(study.meant)},
         {"wished_density", number(study.density)},
         {"like", study.like.empty() ? Json() : Json(study.like)},
         {"by_controller", study.by_controller},
         {"wish", json_of(study.wish)},
         {"programme", json_of(study.programme)},
         {"as_it_stands_K", study.as_it_stands_K},
         {"holds", Json::array()},
         {"rms_K", number(study.rms_K)},
         {"largest_K", number(study.largest_K)},
         {"largest_s", study.largest_s},
         {"relative_density_end", number(study.density_end)},
         {"ramps", json_of(study.ramps)},
         {"slower_ramps", Json()},
         {"limits_met", Json::array()},
         {"peak_current_A", study.current_A},
         {"peak_voltage_V", study.voltage_V},
         {"peak_power_W", study.power_W},
         {"panel_columns", study.panel_columns},
         {"panel", panel_json(study)},
         {"stop_when", Json::array()},
         {"runs", study.runs},
         {"warnings", study.warnings}};
  for (const HoldMet& hold : study.holds) j["holds"].push_back(json_of(hold));
  if (study.slower)
    j["slower_ramps"] = {{"factor", study.slower->factor},
                         {"longer_s", study.slower->longer_s},
                         {"rms_K", study.slower->rms_K},
                         {"ramps", json_of(study.slower->ramps)}};
  for (const Binding& binding : study.binding)
    j["limits_met"].push_back(
        {{"limit", word_of(binding.what)}, {"start_s", binding.start_s}, {"end_s", binding.end_s}});
  for (const StopValue& stop : study.stops) j["stop_when"].push_back(stop_json(stop));
  // Titles may hold any bytes.
  return j.dump(1, ' ', false, Json::error_handler_t::replace) + "\n";
}

}  // namespace joulepress::tools
