#include "tools/study/advice.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tools/page/part_sheet.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

constexpr std::size_t columns = 98;

/// Name or number of the entry of a list that an address leads through: "die" of sleeves[die].outer diameter.
std::string entry_of(const std::string& address, const std::string& list) {
  if (!address.starts_with(list + "[")) return {};
  const std::size_t from = list.size() + 1, to = address.find(']');
  return to == std::string::npos ? std::string() : address.substr(from, to - from);
}

/// Its name, where the entry is told by its number.
template <class Parts>
std::string name_in(const Parts& parts, const std::string& entry) {
  std::size_t number = 0;
  const char* const stop = entry.data() + entry.size();
  const auto [end, status] = std::from_chars(entry.data(), stop, number);
  return status == std::errc{} && end == stop && number < parts.size() ? parts[number].name : entry;
}

std::string beside(const VaryStudy& study, std::size_t chosen, std::size_t other) {
  const VariedMember& member = study.members[other];
  const std::string why = !member.finished || member.finished->outcome != Outcome::completed ? "did not end"
                          : member.good()                                                    ? "good too"
                                          : fmt::format("{}", fmt::join(member.misses, "; "));
  return "  " +
         wrapped(fmt::format("{} ({}) would have: {}.", member.label, why, differences(study, chosen, other)),
                 columns, 4) +
         "\n";
}

}  // namespace

std::string differences(const VaryStudy& study, std::size_t one, std::size_t other) {
  std::vector<std::string> texts;
  for (std::size_t m = 0; m < study.measures.size(); ++m) {
    const double a = study.members[one].values[m], b = study.members[other].values[m];
    if (!(std::abs(b - a) > 0.0)) continue;
    const Shown& shown = study.measures[m].shown;
    const std::string number = fmt::format("{:+.{}f}", (b - a) * shown.factor, shown.decimals);
    texts.push_back(fmt::format("{} {}{}{}", study.measures[m].name, number,
                                *shown.unit_of_difference ? " " : "", shown.unit_of_difference));
  }
  return texts.empty() ? "the same" : fmt::format("{}", fmt::join(texts, ", "));
}

std::string advice_screen(const VaryStudy& study) {
  if (!study.advice) return {};
  const Advice& advice = *study.advice;
  if (!advice.chosen) return "Recommended: none, since no variant is good.\n";
  const auto good = std::count_if(study.members.begin(), study.members.end(),
                                  [](const VariedMember& member) { return member.good(); });
  std::string text = wrapped(fmt::format("Recommended: {}, which has the {} {} of {} good variant{}.",
                                         study.members[*advice.chosen].label, advice.least ? "least" : "most",
                                         advice.by, good, good == 1 ? "" : "s"),
                             columns, 2) +
                     "\n";
  for (const std::optional<std::size_t>& other : {advice.before, advice.after})
    if (other) text += beside(study, *advice.chosen, *other);
  return text;
}

std::string advised_part(const VaryStudy& study, const std::vector<Member>& members,
                         const std::string& case_file) {
  if (!study.advice || !study.advice->chosen) return {};
  const std::string sleeve = entry_of(study.advice->by, "sleeves"),
                    tool = entry_of(study.advice->by, "column");
  if (sleeve.empty() && tool.empty()) return {};
  const std::size_t chosen = *study.advice->chosen;
  const cases::Case c = cases::read_case(case_file, members[chosen].case_text);
  PartSheet sheet;
  sheet.part = sleeve.empty() ? name_in(c.column, tool) : name_in(c.sleeves, sleeve);
  sheet.file_name = case_file;
  for (std::size_t m = 0; m < study.measures.size(); ++m)
    if (study.measures[m].address == "strength.margin")
      sheet.remarks.push_back(fmt::format(
          "By calculation the least margin of all tools, strength over stress, is {}; an estimate "
          "that takes the place of no trial.",
          with_unit(study.measures[m], study.members[chosen].values[m])));
  const bool powder = std::any_of(c.column.begin(), c.column.end(), [&](const cases::ColumnPart& part) {
    return part.name == sheet.part && part.powder;
  });
  return powder ? std::string() : draw_part(c, cases::build_pressed_problem(c), sheet);
}

}  // namespace joulepress::tools
