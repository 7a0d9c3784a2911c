#include "tools/html/vary_page.hpp"

#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/html/charts.hpp"
#include "tools/html/document.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/sections.hpp"
#include "tools/html/study_words.hpp"
#include "tools/html/variant_panels.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

std::string outcome_word(const VariedMember& member, const Words& say) {
  return say(member.finished ? outcome_name(member.finished->outcome) : "not run yet");
}

bool completed(const VariedMember& member) {
  return member.finished && member.finished->outcome == Outcome::completed;
}

std::string listed(const std::vector<std::string>& texts) {
  return fmt::format("{}", fmt::join(texts, "; "));
}

/// Which of the good ones has least and most of the first measure; empty where none has a number.
std::string extremes(const VaryStudy& study, const Words& say) {
  if (study.measures.empty()) return {};
  std::vector<const VariedMember*> counted;
  for (const VariedMember& member : study.members)
    if (member.good() && std::isfinite(member.values.front())) counted.push_back(&member);
  if (counted.empty()) return {};
  const Measure& measure = study.measures.front();
  const auto value = [&](const VariedMember& member) {
    return shown_with_unit(measure, member.values.front(), say);
  };
  const std::string name = measure_name(measure, say);
  if (counted.size() == 1)
    return say("Only “{}” is left: {} {}.", counted[0]->label, name, value(*counted[0]));
  const auto [least, most] =
      std::minmax_element(counted.begin(), counted.end(),
                          [](const auto* a, const auto* b) { return a->values.front() < b->values.front(); });
  return say("Among these “{}” has the lowest value of {} ({}), “{}” the highest ({}).", (*least)->label,
             name, value(**least), (*most)->label, value(**most));
}

std::string sentence(const VaryStudy& study, const Words& say) {
  const auto good = std::count_if(study.members.begin(), study.members.end(),
                                  [](const VariedMember& member) { return member.good(); });
  const std::string first =
      say(study.bounds.empty() ? "Run to the end: {} of {} variants; the plan requires nothing of them."
                               : "Good: {} of {} variants.",
          good, study.members.size());
  const std::string second = extremes(study, say);
  return second.empty() ? first : first + " " + second;
}

bool collected(const VaryStudy& study, const Bound& bound) {
  return std::any_of(study.measures.begin(), study.measures.end(),
                     [&](const Measure& measure) { return measure.address == bound.measure.address; });
}

/// Whether all that is required stands in the table: then the names of what a variant misses say enough.
bool told_by_names(const VaryStudy& study) {
  return std::all_of(study.bounds.begin(), study.bounds.end(),
                     [&](const Bound& bound) { return collected(study, bound); });
}

std::string missed_names(const VaryStudy& study, const VariedMember& member, const Words& say) {
  std::vector<std::string> names;
  for (std::size_t m = 0; m < study.measures.size(); ++m)
    for (const Bound& bound : study.bounds) {
      if (bound.measure.address != study.measures[m].address) continue;
      const double value = member.values[m];
      // Positive tests: a value that is none misses.
      const bool kept =
          (!bound.at_most || value <= *bound.at_most) && (!bound.at_least || value >= *bound.at_least);
      if (!kept) names.push_back(measure_name(bound.measure, say));
    }
  std::string text = listed(names);
  constexpr std::size_t one_line = 40;
  if (text.size() <= one_line)  // by spaces that do not break
    for (std::size_t at; (at = text.find(' ')) != std::string::npos;) text.replace(at, 1, "\u00a0");
  return text;
}

Table variants(const VaryStudy& study, const Words& say) {
  Table table{"variants", "", {say("variant")}, {}};
  table.numbers = true;
  for (std::size_t s = 0; s < study.settings.size(); ++s) table.columns.push_back(setting_heading(study, s));
  for (const Measure& measure : study.measures) table.columns.push_back(measure_heading(measure, say));
  table.columns.push_back(say(study.bounds.empty() ? "outcome" : "good"));
  const bool by_names = told_by_names(study);
  const bool any_miss =
      std::any_of(study.members.begin(), study.members.end(),
                  [](const VariedMember& member) { return completed(member) && !member.misses.empty(); });
  if (any_miss) table.columns.push_back(say("why not"));
  if (any_miss && !by_names && say.language() != Language::english)
    table.english.push_back(table.columns.size() - 1);
  for (std::size_t k = 0; k < study.members.size(); ++k) {
    const VariedMember& member = study.members[k];
    std::vector<std::string> row{member.id};
    for (const Setting& setting : study.settings) row.push_back(setting_text(setting, k, say));
    for (std::size_t m = 0; m < study.measures.size(); ++m)
      row.push_back(shown_number(study.measures[m], member.values[m], say));
    row.push_back(!completed(member) || study.bounds.empty() ? outcome_word(member, say)
                                                             : say(member.good() ? "yes" : "no"));
    if (any_miss)
      row.push_back(!completed(member) ? ""
                    : by_names         ? missed_names(study, member, say)
                                       : listed(member.misses));
    table.rows.push_back(std::move(row));
  }
  return table;
}

std::string varied_keys(const VaryStudy& study) {
  std::vector<std::string> names;
  for (const Setting& setting : study.settings) names.push_back(setting.name);
  return listed(names);
}

std::string pictures(const VaryStudy& study, const Words& say) {
  const VariantPanels panels = variant_panels(study, say);
  std::string text;
  if (!panels.key.empty()) text += fmt::format("<div class=\"panel-key\">{}</div>\n", inlined(panels.key));
  if (!panels.svgs.empty()) {
    text += "<div class=\"panels\">\n";
    for (const std::string& svg : panels.svgs) text += fmt::format("<figure>{}</figure>\n", inlined(svg));
    text += "</div>\n";
  }
  return section("charts", say("The variants in pictures"), text + paragraph(panels.remark));
}

/// Members that ended alike stand together.  Labels are the plan's words, reasons are made where they arise.
std::string not_to_the_end(const VaryStudy& study, const Words& say) {
  struct Ended {
    std::string names, outcome, reason;
  };
  std::vector<Ended> list;
  for (const VariedMember& member : study.members) {
    if (completed(member)) continue;
    const std::string name =
                          member.label.empty() ? member.id : fmt::format("{} ({})", member.id, member.label),
                      outcome = outcome_word(member, say),
                      reason = member.finished ? member.finished->reason : "";
    const auto alike = std::find_if(list.begin(), list.end(), [&](const Ended& other) {
      return other.outcome == outcome && other.reason == reason;
    });
    if (alike == list.end())
      list.push_back({name, outcome, reason});
    else
      alike->names += ", " + name;
  }
  std::string text;
  for (const Ended& ended : list)
    text += fmt::format(
        "<li>{}: {}{}</li>\n", svg::escaped(ended.names), svg::escaped(ended.outcome),
        ended.reason.empty() ? "" : ". <span lang=\"en\">" + svg::escaped(ended.reason) + "</span>");
  return text.empty() ? "" : section("ended", say("Not run to the end"), "<ul>\n" + text + "</ul>\n");
}

/// The recommended variant, and what its neighbours would bring and cost.
std::string advice(const VaryStudy& study, const Words& say) {
  if (!study.advice) return "";
  const Advice& advice = *study.advice;
  if (!advice.chosen) return paragraph(say("Recommended: none, since no variant is good."));
  std::string text = paragraph(say(advice.least ? "Recommended: “{}”, the least “{}” among the good variants."
                                                : "Recommended: “{}”, the most “{}” among the good variants.",
                                   study.members[*advice.chosen].label, advice.by));
  for (const std::optional<std::size_t>& other : {advice.before, advice.after}) {
    if (!other) continue;
    std::vector<std::string> texts;
    for (std::size_t m = 0; m < study.measures.size(); ++m) {
      const Measure& measure = study.measures[m];
      const double more = study.members[*other].values[m] - study.members[*advice.chosen].values[m];
      if (!(std::abs(more) > 0.0)) continue;
      texts.push_back(measure_name(measure, say) + " " +
                      say.signed_number(more * measure.shown.factor, measure.shown.decimals) +
                      (*measure.shown.unit_of_difference ? " " : "") + measure.shown.unit_of_difference);
    }
    text += paragraph(say(study.members[*other].good() ? "“{}” is good too and would have: {}."
                                                       : "“{}” is not good and would have: {}.",
                          study.members[*other].label, listed(texts)));
  }
  return text;
}

std::string required(const VaryStudy& study, const Words& say) {
  std::vector<std::string> texts;
  for (const Bound& bound : study.bounds) {
    const std::string name = measure_name(bound.measure, say) + " ";
    if (bound.at_least) texts.push_back(name + limit_name(bound, true, say));
    if (bound.at_most) texts.push_back(name + limit_name(bound, false, say));
  }
  return texts.empty() ? "" : paragraph(say("Required: {}.", listed(texts)));
}

}  // namespace

std::string vary_page(const VaryStudy& study, const Words& say) {
  const Table table = variants(study, say);
  std::string body = section(
      "answer", say("The answer"),
      paragraph(sentence(study, say)) + required(study, say) + advice(study, say) + html::table(table) +
          csv_button("table:variants", say("this table as CSV")) + "<p class=\"quiet\">" +
          svg::escaped(
              say("Varied: {}. The case, its history and its numbers stand in members, by the number of "
                  "the variant.",
                  varied_keys(study))) +
          "</p>\n");
  body += pictures(study, say) + not_to_the_end(study, say) + cautions_section(say);
  body = "<div class=\"sheet\">\n" + body + "</div>\n";
  const std::string title = !study.title.empty()        ? study.title
                            : !study.case_title.empty() ? study.case_title
                                                        : say("one case varied");
  const std::string of_case = study.title.empty() || study.case_title.empty()
                                  ? ""
                                  : fmt::format(" · {} {}", say("case"), study.case_title);
  Document document{title, "joulepress " + study.version + of_case, body};
  document.charts = false;
  return html_of(document, say, {{"language", say.tag()}, {"words", script_words(say)}});
}

}  // namespace joulepress::tools::html
