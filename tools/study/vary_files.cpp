#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/screen/report.hpp"
#include "tools/store/h5.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/study/vary_study.hpp"

namespace joulepress::tools {
namespace {

std::string outcome_of(const VariedMember& member) {
  return member.finished ? outcome_name(member.finished->outcome) : "not run yet";
}

std::string heading(const Setting& setting) {
  if (setting.numbers.empty()) return setting.name;
  return fmt::format("{} [{}]", setting.name, setting.unit.empty() ? "1" : setting.unit);
}

/// Without the slashes that a part may have in its name.
std::string data_set(const std::string& group, std::string name) {
  std::replace(name.begin(), name.end(), '/', '_');
  return group + "/" + name;
}

/// Rows of cells of equal width, numbers to the right.
std::string columns(const std::vector<std::vector<std::string>>& rows) {
  std::string text;
  for (const std::vector<std::string>& row : rows) {
    std::string line;
    for (std::size_t c = 0; c < row.size(); ++c) {
      std::size_t width = 0;
      for (const auto& other : rows) width = std::max(width, other[c].size());
      line += c == 0 ? fmt::format("  {:<{}}", row[c], width) : fmt::format("  {:>{}}", row[c], width);
    }
    text += line.substr(0, line.find_last_not_of(' ') + 1) + "\n";
  }
  return text;
}

}  // namespace

std::string vary_csv(const VaryStudy& study) {
  std::string text = "id";
  for (const Setting& setting : study.settings) text += "," + csv_field(heading(setting));
  for (const Measure& measure : study.measures) text += "," + csv_field(in_files(measure));
  text += ",outcome,good,why not\n";
  for (std::size_t k = 0; k < study.members.size(); ++k) {
    const VariedMember& member = study.members[k];
    text += member.id;
    for (const Setting& setting : study.settings)
      text += "," + (setting.numbers.empty() ? csv_field(setting.written[k])
                                             : fmt::format("{}", setting.numbers[k]));
    for (const double value : member.values) text += std::isfinite(value) ? fmt::format(",{}", value) : ",";
    const std::string why = member.finished && !member.finished->reason.empty()
                                ? member.finished->reason
                                : fmt::format("{}", fmt::join(member.misses, "; "));
    text += fmt::format(",{},{},{}\n", outcome_of(member), member.good() ? "yes" : "no", csv_field(why));
  }
  return text;
}

std::string vary_screen(const VaryStudy& study) {
  std::vector<std::vector<std::string>> rows(2);
  for (const Setting& setting : study.settings) {
    rows[0].push_back(setting.name.substr(setting.name.rfind('.') + 1));
    rows[1].push_back(setting.numbers.empty() ? "" : setting.unit);
  }
  for (const Measure& measure : study.measures) {
    rows[0].push_back(measure.name);
    rows[1].push_back(measure.shown.unit);
  }
  rows[0].emplace_back(study.bounds.empty() ? "" : "good");
  rows[1].emplace_back();
  std::string remarks;
  for (std::size_t k = 0; k < study.members.size(); ++k) {
    const VariedMember& member = study.members[k];
    std::vector<std::string>& row = rows.emplace_back();
    for (const Setting& setting : study.settings)
      row.push_back(setting.numbers.empty() ? setting.written[k] : fmt::format("{:g}", setting.numbers[k]));
    for (std::size_t m = 0; m < study.measures.size(); ++m)
      row.push_back(number_text(member.values[m], study.measures[m].shown));
    const bool whole = member.finished && member.finished->outcome == Outcome::completed;
    row.push_back(!whole ? outcome_of(member) : study.bounds.empty() ? "" : member.good() ? "yes" : "no");
    if (member.finished && !whole)
      remarks += "  " +
                 wrapped(fmt::format("{}: {}: {}", member.label, outcome_of(member), member.finished->reason),
                         98, 4) +
                 "\n";
    for (const std::string& miss : member.misses)
      if (whole) remarks += fmt::format("  {}: {}\n", member.label, miss);
  }
  return columns(rows) + (remarks.empty() ? "" : "\n" + remarks);
}

std::string vary_json(const VaryStudy& study) {
  nlohmann::ordered_json j;
  j["schema"] = "joulepress.vary/1";
  j["version"] = study.version;
  j["title"] = study.title;
  j["case_title"] = study.case_title;
  j["complete"] = study.complete();
  const auto number = [](double value) {
    return std::isfinite(value) ? nlohmann::ordered_json(value) : nlohmann::ordered_json();
  };
  for (const Bound& bound : study.bounds)
    j["required"].push_back({{"value", bound.measure.name},
                             {"address", bound.measure.address},
                             {"at_least", bound.at_least ? number(*bound.at_least) : nullptr},
                             {"at_most", bound.at_most ? number(*bound.at_most) : nullptr}});
  if (study.advice) {
    const auto id = [&study](const std::optional<std::size_t>& k) {
      return k ? nlohmann::ordered_json(study.members[*k].id) : nlohmann::ordered_json();
    };
    j["recommended"] = {{"by", study.advice->by},
                        {"the", study.advice->least ? "least" : "most"},
                        {"id", id(study.advice->chosen)},
                        {"next_less_id", id(study.advice->before)},
                        {"next_more_id", id(study.advice->after)}};
  }
  for (std::size_t k = 0; k < study.members.size(); ++k) {
    const VariedMember& member = study.members[k];
    nlohmann::ordered_json one{{"id", member.id}, {"label", member.label}, {"outcome", outcome_of(member)}};
    if (member.finished && !member.finished->reason.empty()) one["reason"] = member.finished->reason;
    for (const Setting& setting : study.settings) one["settings"][setting.name] = setting.written[k];
    for (std::size_t m = 0; m < study.measures.size(); ++m)
      one["values"][study.measures[m].address] = number(member.values[m]);
    one["good"] = member.good();
    one["misses"] = member.misses;
    j["members"].push_back(std::move(one));
  }
  return j.dump(1) + "\n";
}

void write_vary_h5(const VaryStudy& study, const std::filesystem::path& file) {
  h5::File out = h5::File::create(file, false);
  std::vector<std::string> ids, labels, outcomes;
  for (const VariedMember& member : study.members) {
    ids.push_back(member.id);
    labels.push_back(member.label);
    outcomes.push_back(outcome_of(member));
  }
  out.attribute("/", "schema", "joulepress.vary/1");
  out.write("id", ids);
  out.write("label", labels);
  out.write("outcome", outcomes);
  out.group("settings");
  for (const Setting& setting : study.settings) {
    const std::string name = data_set("settings", setting.name);
    if (setting.numbers.empty())
      out.write(name, setting.written);
    else
      out.write(name, setting.numbers, setting.unit.empty() ? "1" : setting.unit);
  }
  out.group("values");
  for (std::size_t m = 0; m < study.measures.size(); ++m) {
    std::vector<double> values;
    for (const VariedMember& member : study.members) values.push_back(member.values[m]);
    const std::string unit = cases::si_unit(study.measures[m].kind);
    out.write(data_set("values", study.measures[m].name), values, unit.empty() ? "1" : unit);
  }
  out.close();
}

}  // namespace joulepress::tools
