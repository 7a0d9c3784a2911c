#include "tools/store/strength_json.hpp"

#include <cmath>
#include <nlohmann/json.hpp>

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json(nullptr);
}

Json worst_json(const std::optional<solid::Worst>& worst, const solver::HistoryFrame& frame) {
  if (!worst) return nullptr;
  return {{"margin", worst->spot.margin()},
          {"part", frame.part_names.at(static_cast<std::size_t>(worst->part))},
          {"in", worst->tension ? "tension" : "compression"},
          {"load_case", load_case_name(worst->load_case)},
          {"time_s", worst->time_s},
          {"force_N", worst->force_N},
          {"stress_Pa", worst->spot.stress},
          {"strength_Pa", worst->spot.strength},
          {"temperature_K", worst->spot.temperature},
          {"r_m", worst->spot.r},
          {"z_from_middle_of_part_m", worst->spot.z}};
}

const char* found_name(solid::Lock::Found found) {
  switch (found) {
    case solid::Lock::Found::by_creep:
      return "creep";
    case solid::Lock::Found::hot_end:
      return "end of the run, still soft";
    case solid::Lock::Found::no_creep:
      break;
  }
  return "end of the highest temperature, creep not known";
}

Json grip_json(const solid::GripJudged& grip) {
  return {{"solid_from_s", grip.lock.time_s},
          {"solid_from_K", grip.lock.temperature_K},
          {"found_by", found_name(grip.lock.found)},
          {"end_K", grip.at_end_K},
          {"end_Pa", grip.at_end_Pa},
          {"cold_Pa", grip.cold_Pa},
          {"cold_largest_Pa", grip.cold_largest_Pa},
          {"cold_on_core_Pa", grip.cold_core_Pa},
          {"push_out_N", grip.push_out_N},
          {"push_out_on_punch_Pa", grip.on_punch_Pa},
          {"cold_margin", number(grip.margin)}};
}

Json tube_json(const solid::TubeFormula& tube, const solver::HistoryFrame& frame) {
  return {{"part", frame.part_names.at(static_cast<std::size_t>(tube.part))},
          {"time_s", tube.time_s},
          {"side_pressure_Pa", tube.side_pressure_Pa},
          {"outer_over_inner_radius", tube.ratio},
          {"formula_hoop_Pa", tube.hoop_Pa},
          {"computed_hoop_Pa", tube.computed_Pa},
          {"computed_by_force_Pa", tube.by_force_Pa},
          {"pressed_share_of_height", tube.height_share}};
}

}  // namespace

const char* load_case_name(solid::LoadCase load_case) {
  constexpr std::array<const char*, solid::load_cases> names{"preload", "full force", "hold", "cooling",
                                                             "push-out"};
  return names[static_cast<std::size_t>(load_case)];
}

Json strength_json(const solid::Strength& s, const solver::HistoryFrame& frame) {
  Json j;
  j["refused"] = s.refused.empty() ? Json(nullptr) : Json(s.refused);
  j["asked_margin"] = s.asked;
  j["margin"] = number(s.margin());
  j["holds"] = s.worst ? Json(s.holds()) : Json(nullptr);
  j["worst"] = worst_json(s.worst, frame);
  j["load_cases"] = Json::array();
  for (const auto& worst : s.cases)
    if (worst) j["load_cases"].push_back(worst_json(worst, frame));
  j["parts"] = Json::array();
  for (const solid::PartJudged& part : s.parts)
    j["parts"].push_back(
        {{"name", frame.part_names.at(static_cast<std::size_t>(part.part))},
         {"tension", worst_json(part.tension, frame)},
         {"compression", worst_json(part.compression, frame)},
         {"break_chance_indicative", part.break_chance ? Json(*part.break_chance) : Json(nullptr)}});
  j["tube_formula"] = s.formula ? tube_json(*s.formula, frame) : Json(nullptr);
  j["grip"] = s.grip ? grip_json(*s.grip) : Json(nullptr);
  for (const bool hot : {false, true}) {
    Json& largest = j[hot ? "largest_force_hot" : "largest_force_cold"];
    largest = nullptr;
    for (const solid::LargestForce& force : s.largest)
      if (force.hot == hot)
        largest = {{"force_N", force.force_N}, {"pressure_Pa", force.pressure_Pa}, {"time_s", force.time_s}};
  }
  j["instants"] = Json::array();
  for (const solid::Judged& judged : s.instants)
    j["instants"].push_back({{"time_s", judged.time_s},
                             {"load_case", load_case_name(judged.load_case)},
                             {"force_N", judged.force_N},
                             {"side_pressure_Pa", judged.side_pressure_Pa},
                             {"grip_Pa", judged.grip_Pa},
                             {"margin", number(solid::least_margin(judged.loads))}});
  j["remarks"] = s.remarks;
  return j;
}

}  // namespace joulepress::tools
