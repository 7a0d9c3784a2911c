#include <fmt/format.h>

#include <cmath>
#include <nlohmann/json.hpp>

#include "solver/inverse/covariance.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/study/fit_study.hpp"

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;

Json inputs_json(const FitStudy& study) {
  Json inputs = Json::array();
  for (const FittedInput& input : study.inputs) {
    Json values = Json::array();
    for (const FittedValue& value : input.values)
      values.push_back({{"address", value.address},
                        {"unit", value.unit},
                        {"before", value.before.centre},
                        {"before_low", inverse::at_score(value.before, -inverse::in_95)},
                        {"before_high", inverse::at_score(value.before, inverse::in_95)},
                        {"value", value.value},
                        {"low", value.low},
                        {"high", value.high}});
    inputs.push_back({{"name", input.name},
                      {"score", input.score},
                      {"left", input.left},
                      {"determined", input.left <= not_determined},
                      {"values", std::move(values)}});
  }
  return inputs;
}

Json correlation_json(const inverse::Table& table) {
  Json rows = Json::array();
  for (int i = 0; i < table.rows; ++i) rows.push_back(table.row(i));
  return rows;
}

Json logs_json(const FitStudy& study) {
  Json logs = Json::array();
  for (const FitLog& log : study.logs)
    logs.push_back({{"file", log.file},
                    {"sha256", log.sha256},
                    {"began", log.began},
                    {"rows", log.rows},
                    {"length_s", log.length_s},
                    {"driven_by", log.driven_by},
                    {"pieces", log.pieces},
                    {"not_used", log.unused},
                    {"remarks", log.remarks}});
  return logs;
}

Json fit_of(const inverse::SeriesFit& fit) {
  return {{"values", fit.values},
          {"rms_before", fit.rms_before},
          {"rms", fit.rms},
          {"deviation", fit.deviation},
          {"values_per_independent_one", fit.memory},
          {"far_off", fit.far_off}};
}

Json columns_json(const FitStudy& study) {
  Json columns = Json::array();
  for (const FittedColumn& column : study.columns) {
    Json entry{{"log", column.log}, {"column", column.heading}, {"heated", fit_of(column.fit)}};
    if (column.off) entry["after_the_cut"] = fit_of(*column.off);
    columns.push_back(std::move(entry));
  }
  return columns;
}

Json powder_json(const FitStudy& study) {
  Json powders = Json::array();
  for (const PowderLearned& p : study.powder)
    powders.push_back({{"log", p.log},
                       {"sensor", p.sensor},
                       {"start_s", p.from_s},
                       {"end_s", p.to_s},
                       {"sample_mean_before_K", p.powder_before_K},
                       {"sample_mean_before_deviation_K", p.powder_deviation_before_K},
                       {"sample_mean_K", p.powder_K},
                       {"sample_mean_deviation_K", p.powder_deviation_K},
                       {"offset_mean_before_K", p.offset_before_K},
                       {"offset_mean_before_deviation_K", p.offset_deviation_before_K},
                       {"offset_mean_K", p.offset_K},
                       {"offset_mean_deviation_K", p.offset_deviation_K},
                       {"reading_missed_K", p.missed_K},
                       {"beyond_logs_deviation_K", p.beyond_logs_K}});
  return powders;
}

}  // namespace

std::string fit_json(const FitStudy& study) {
  Json json{{"schema", "joulepress.fit/1"},
            {"version", study.version},
            {"title", study.title},
            {"case_sha256", study.case_sha256},
            {"settled", study.settled},
            {"runs", study.runs},
            {"logs", logs_json(study)},
            {"inputs", inputs_json(study)},
            {"correlation", correlation_json(study.correlation)},
            {"columns", columns_json(study)}};
  json["melts"] = Json::array();
  for (const FittedMelt& melt : study.melts)
    json["melts"].push_back({{"log", melt.log},
                             {"melts", melt.melts},
                             {"time_s", melt.time_s},
                             {"temperature_K", melt.temperature_K},
                             {"sample_centre_before_K", melt.before_K},
                             {"sample_centre_K", melt.after_K}});
  json["powder"] = powder_json(study);
  json["model_choices"] = Json::array();
  for (const FittedChoice& choice : study.choices) {
    json["model_choices"].push_back({{"taken", choice.taken},
                                     {"other", choice.other},
                                     {"runs", choice.runs},
                                     {"ln_likelihood_more", choice.better},
                                     {"share", choice.share},
                                     {"moved", choice.moved}});
    if (choice.offset_by_K) json["model_choices"].back()["offset_mean_by_K"] = *choice.offset_by_K;
  }
  json["more_measurements"] = Json::array();
  for (const MoreMeasured& advice : study.advice)
    json["more_measurements"].push_back({{"measurement", advice.measurement},
                                         {"deviation_K", advice.deviation_K},
                                         {"offset_mean_deviation_K", advice.left_K}});
  json["other_answers"] = Json::array();
  for (const auto& [worse, where] : study.others)
    json["other_answers"].push_back({{"worse", worse}, {"where", where}});
  json["warnings"] = study.warnings;
  return json.dump(2) + "\n";
}

std::string residuals_csv(const FitStudy& study) {
  std::string text = "log,column,time [s],measured [SI],run before [SI],run now [SI]\n";
  for (const FittedColumn& column : study.columns)
    for (std::size_t i = 0; i < column.time_s.size(); ++i)
      text += fmt::format("{},{},{:g},{:g},{:.7g},{:.7g}\n", column.log + 1, csv_field(column.heading),
                          column.time_s[i], column.measured[i], column.before[i], column.after[i]);
  return text;
}

}  // namespace joulepress::tools
