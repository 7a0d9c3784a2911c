#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/store/history_csv.hpp"
#include "tools/study/bound_study.hpp"

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;

Json number(double value) {
  return std::isfinite(value) ? Json(value) : Json();
}

Json json_of(const BoundedValue& value) {
  Json j{{"name", value.measure.name}, {"address", value.measure.address}, {"value", number(value.value)}};
  if (value.numerical)
    j["numerical"] = {
        {"half_width", value.numerical->half_width},
        {"extrapolated", value.numerical->extrapolated},
        {"observed_order", value.numerical->observed_order ? Json(*value.numerical->observed_order) : Json()},
        {"order", value.numerical->order},
        {"safety", value.numerical->safety}};
  for (const inverse::QuantileEstimate& q : value.quantiles)
    j["quantiles"].push_back({{"share", q.share}, {"value", q.value}, {"low", q.low}, {"high", q.high}});
  if (value.moments)
    j["moments"] = {{"mean", value.moments->mean},
                    {"standard_deviation", value.moments->standard_deviation},
                    {"mean_error", value.moments->mean_error}};
  return j;
}

Json json_of(const RankedInput& ranked, const BoundStudy& study) {
  const auto interval = [](const inverse::Interval& i) { return Json::array({i.low, i.high}); };
  return {{"input", study.inputs[static_cast<std::size_t>(ranked.input)].name},
          {"first_order", ranked.index.first},
          {"first_order_95", interval(ranked.index.first_interval)},
          {"total", ranked.index.total},
          {"total_95", interval(ranked.index.total_interval)},
          {"linear_share", number(ranked.linear_share)},
          {"slope_K", number(ranked.slope)}};
}

Json json_of(const BoundedHold& hold, const BoundStudy& study) {
  Json j{
      {"name", hold.name}, {"values", Json::array()}, {"ranking", Json::array()}, {"choices", Json::array()}};
  for (const BoundedValue& value : hold.values) j["values"].push_back(json_of(value));
  for (const RankedInput& ranked : hold.ranking) j["ranking"].push_back(json_of(ranked, study));
  if (!hold.full.empty()) j["full_design"] = Json::array();
  for (const RankedInput& ranked : hold.full) j["full_design"].push_back(json_of(ranked, study));
  j["ranking_q2"] = hold.q2;
  j["linear_adjusted_r2"] = hold.linear_r2 ? Json(*hold.linear_r2) : Json();
  j["linear_q2"] = hold.linear_q2 ? Json(*hold.linear_q2) : Json();
  for (const ChoiceMade& choice : hold.choices)
    j["choices"].push_back({{"taken", choice.taken},
                            {"other", choice.other},
                            {"offset_difference_K", choice.difference ? number(*choice.difference) : Json()},
                            {"reason", choice.reason}});
  return j;
}

}  // namespace

std::string bound_json(const BoundStudy& study) {
  Json j{{"schema", "joulepress.bound/1"},
         {"version", study.version},
         {"title", study.title},
         {"complete", study.complete},
         {"samples", study.request.samples},
         {"samples_used", study.samples_used},
         {"seed", study.request.seed},
         {"sentences", bound_sentences(study)},
         {"inputs", Json::array()},
         {"holds", Json::array()},
         {"left_out", Json::array()},
         {"not_included", study.not_included},
         {"problems", study.problems}};
  for (const cases::UncertainInput& input : study.inputs) {
    Json one{{"name", input.name}, {"spread", input.amount}, {"source", input.source}};
    for (const cases::UncertainValue& value : input.values) one["addresses"].push_back(value.address);
    j["inputs"].push_back(std::move(one));
  }
  for (const BoundedHold& hold : study.holds) j["holds"].push_back(json_of(hold, study));
  for (const LeftOut& member : study.left_out)
    j["left_out"].push_back({{"id", member.id}, {"reason", member.reason}});
  return j.dump(1) + "\n";
}

std::string samples_csv(const BoundPlan& plan, const CrewResult& result) {
  const std::size_t first = plan.members.size() - static_cast<std::size_t>(plan.shares.rows);
  std::vector<std::string> addresses;  // of the first summary there is
  std::vector<std::optional<SummaryNode>> summaries;
  for (int row = 0; row < plan.shares.rows; ++row) {
    const auto& member = result.members[first + static_cast<std::size_t>(row)];
    summaries.emplace_back();
    if (member && member->outcome == Outcome::completed) summaries.back() = summary_of(*member);
    if (summaries.back() && addresses.empty())
      for (const std::string& address : number_addresses(*summaries.back()))
        if (address.starts_with("holds[") || address.starts_with("peak.") || address.starts_with("end."))
          addresses.push_back(address);
  }
  std::string text = "id";
  for (const cases::UncertainInput& input : plan.inputs) text += "," + csv_field(input.name + " [sigma]");
  for (const std::string& address : addresses) text += "," + csv_field(address);
  text += "\n";
  for (int row = 0; row < plan.shares.rows; ++row) {
    text += plan.members[first + static_cast<std::size_t>(row)].id;
    for (int column = 0; column < plan.shares.columns; ++column)
      text += fmt::format(",{}", inverse::standard_score(plan.shares(row, column)));
    const auto& summary = summaries[static_cast<std::size_t>(row)];
    for (const std::string& address : addresses) {
      const auto value = summary ? number_at(*summary, address) : std::nullopt;
      text += value ? fmt::format(",{}", *value) : ",";
    }
    text += "\n";
  }
  return text;
}

}  // namespace joulepress::tools
