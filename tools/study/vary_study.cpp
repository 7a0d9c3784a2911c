#include "tools/study/vary_study.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/input_error.hpp"

namespace joulepress::tools {
namespace {

const char* const default_measures[]{"offset", "spread in the powder", "power", "largest current", "time"};

/// Names of the base case's holds; none where the plan names steps itself.
std::vector<std::string> hold_names(const cases::Plan& plan) {
  const auto renames = [](const std::string& address) { return address.ends_with("].name"); };
  for (const cases::PlanMember& member : cases::members_of(plan))
    for (const cases::Edit& edit : member.edits)
      if (renames(edit.address)) return {};
  std::vector<std::string> names;
  for (const solver::Segment& segment : cases::build_problem(plan.base).drive.segments)
    if (segment.hold) names.push_back(segment.name);
  return names;
}

/// `offset at NAME` of a hold nobody knows would be an empty column.
void check_hold(const cases::PlanText& said, const char* key, const std::vector<std::string>& holds,
                cases::ErrorList& errors) {
  const std::size_t at = said.text.find(" at ");
  if (at == std::string::npos || holds.empty()) return;
  const std::string name = said.text.substr(at + 4);
  int number = 0;
  const char* const stop = name.data() + name.size();
  if (const auto [end, status] = std::from_chars(name.data(), stop, number);
      status == std::errc{} && end == stop)
    return;
  if (std::find(holds.begin(), holds.end(), name) == holds.end())
    errors.add(said.place, key, fmt::format("The case has no hold \"{}\".", name),
               cases::suggestion(name, holds));
}

Measure known_measure(const cases::PlanText& said, const char* key, const std::vector<std::string>& holds,
                      cases::ErrorList& errors) {
  if (const auto measure = measure_of(said.text)) {
    check_hold(said, key, holds, errors);
    return *measure;
  }
  errors.add(said.place, key, fmt::format("\"{}\" is nothing to look at.", said.text),
             cases::suggestion(said.text, measure_names()) +
                 " Of another hold: `offset at NAME`; or an address in summary.json.");
  return {};
}

std::optional<double> limit_of(const std::optional<cases::PlanText>& said, cases::Kind kind, const char* key,
                               cases::ErrorList& errors) {
  if (!said) return std::nullopt;
  const cases::Quantity quantity = cases::parse_quantity(said->text, kind);
  if (!quantity.good()) errors.add(said->place, key, quantity.problem, quantity.remedy);
  return quantity.value;
}

/// Number and unit of a setting; no number where it is a word.
std::pair<double, std::string> number_and_unit(const std::string& written) {
  double number = std::nan("");
  const char* const stop = written.data() + written.size();
  const auto [end, status] = std::from_chars(written.data(), stop, number);
  if (status != std::errc{}) return {std::nan(""), written};
  const std::string unit(end, stop);
  return {number, unit.substr(std::min(unit.size(), unit.find_first_not_of(' ')))};
}

void count(Setting& setting) {
  for (const std::string& written : setting.written) {
    const auto [number, unit] = number_and_unit(written);
    if (std::isnan(number) || (!setting.numbers.empty() && unit != setting.unit)) {
      setting.numbers.clear();
      setting.unit.clear();
      return;
    }
    setting.numbers.push_back(number);
    setting.unit = unit;
  }
}

/// What a recommendation goes by, where it is no key that varies.
std::optional<Measure> deciding_measure(const cases::Plan& plan, const std::vector<std::string>& holds,
                                        cases::ErrorList& errors) {
  const cases::PlanText& by = plan.recommend->by;
  const char* key = plan.recommend->least ? "recommend.least" : "recommend.most";
  std::vector<std::string> known = measure_names();
  for (const cases::Variation& variation : plan.vary) {
    known.push_back(variation.key.text);
    if (variation.key.text != by.text) continue;
    Setting setting;
    for (const cases::SourceNode& value : variation.values) setting.written.push_back(value.text);
    count(setting);
    if (setting.numbers.empty())
      errors.add(by.place, key,
                 fmt::format("The values of \"{}\" are words, or mix units: none is the least.", by.text),
                 "Name a key with numbers in one unit, or something to look at.");
    return std::nullopt;
  }
  auto measure = measure_of(by.text);
  if (measure && measure->name != measure->address) {
    check_hold(by, key, holds, errors);
    return measure;
  }
  errors.add(by.place, key, fmt::format("\"{}\" is no key that varies, and nothing to look at.", by.text),
             cases::suggestion(by.text, known));
  return std::nullopt;
}

std::vector<std::string> misses_of(const std::vector<Bound>& bounds, const SummaryNode& summary) {
  std::vector<std::string> misses;
  for (const Bound& bound : bounds) {
    const double value = value_of(bound.measure, summary);
    const auto miss = [&](const char* what, double limit) {
      misses.push_back(fmt::format("{} {}, {} {}", bound.measure.name, with_unit(bound.measure, value), what,
                                   with_unit(bound.measure, limit)));
    };
    // Positive tests: a value that is none misses.
    if (bound.at_most && !(value <= *bound.at_most)) miss("at most", *bound.at_most);
    if (bound.at_least && !(value >= *bound.at_least)) miss("at least", *bound.at_least);
  }
  return misses;
}

/// `deciding` per member, where it is no setting.  Among equals the first.
Advice advice_of(const VaryStudy& study, const cases::Recommendation& asked, std::vector<double> deciding) {
  Advice advice{asked.by.text, asked.least, {}, {}, {}};
  for (const Setting& setting : study.settings)
    if (setting.name == asked.by.text) deciding = setting.numbers;
  if (deciding.empty()) return advice;  // words have no order
  std::vector<std::size_t> order;
  for (std::size_t k = 0; k < deciding.size(); ++k)
    if (std::isfinite(deciding[k])) order.push_back(k);
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return deciding[a] < deciding[b]; });
  const auto good = [&](std::size_t k) { return study.members[k].good(); };
  auto found = std::find_if(order.begin(), order.end(), good);
  if (!asked.least) {
    const auto last = std::find_if(order.rbegin(), order.rend(), good);
    found = last == order.rend() ? order.end() : last.base() - 1;
  }
  if (found == order.end()) return advice;
  advice.chosen = *found;
  if (found != order.begin()) advice.before = *(found - 1);
  if (found + 1 != order.end()) advice.after = *(found + 1);
  return advice;
}

std::string label_of(const cases::PlanMember& member) {
  std::string label = member.name;
  for (const std::string& setting : member.settings) label += (label.empty() ? "" : ", ") + setting;
  return label;
}

}  // namespace

bool VaryStudy::complete() const {
  return std::all_of(members.begin(), members.end(), [](const VariedMember& m) { return m.finished; });
}

bool Wishes::strength() const {
  const auto asks = [](const Measure& measure) { return measure.address.starts_with("strength."); };
  return std::any_of(measures.begin(), measures.end(), asks) ||
         std::any_of(bounds.begin(), bounds.end(), [&](const Bound& bound) { return asks(bound.measure); }) ||
         (decides && asks(*decides));
}

std::vector<Member> crew_members(const cases::Plan& plan, const Wishes& wishes) {
  const cases::Edit judged{"strength.judge", cases::value_node(wishes.strength() ? "on" : "off"), {}};
  std::vector<Member> members;
  const std::vector<cases::PlanMember> planned = cases::members_of(plan);
  for (std::size_t k = 0; k < planned.size(); ++k) {
    std::vector<cases::Edit> edits = planned[k].edits;
    edits.insert(edits.begin(), judged);
    const cases::Variant variant =
        cases::variant_of(plan.resolved, edits, std::filesystem::path(plan.file).parent_path());
    members.push_back({fmt::format("{:04}", k + 1), label_of(planned[k]), variant.text, variant.refused});
  }
  return members;
}

Wishes wishes_of(const cases::Plan& plan) {
  cases::ErrorList errors;
  errors.remember(plan.file, plan.text);
  const std::vector<std::string> holds = hold_names(plan);
  Wishes wishes;
  for (const cases::PlanText& said : plan.collect) {
    const auto same = [&said](const Measure& measure) { return measure.name == said.text; };
    if (std::any_of(wishes.measures.begin(), wishes.measures.end(), same))
      errors.add(said.place, "collect", fmt::format("\"{}\" stands here twice.", said.text),
                 "Leave one of the two out.");
    wishes.measures.push_back(known_measure(said, "collect", holds, errors));
  }
  if (plan.collect.empty())
    for (const char* name : default_measures) wishes.measures.push_back(*measure_of(name));
  for (const cases::Requirement& requirement : plan.require) {
    Bound bound;
    bound.measure = known_measure(requirement.value, "require.value", holds, errors);
    if (bound.measure.name.empty()) continue;
    bound.at_most = limit_of(requirement.at_most, bound.measure.kind, "require.at most", errors);
    bound.at_least = limit_of(requirement.at_least, bound.measure.kind, "require.at least", errors);
    wishes.bounds.push_back(std::move(bound));
  }
  if (plan.recommend) wishes.decides = deciding_measure(plan, holds, errors);
  errors.throw_if_any();
  return wishes;
}

VaryStudy vary_study(const cases::Plan& plan, const Wishes& wishes, const std::vector<Member>& members,
                     const CrewResult& result) {
  VaryStudy study;
  study.title = plan.title;
  study.case_title = plan.base.title;
  study.version = JOULEPRESS_VERSION;
  study.measures = wishes.measures;
  study.bounds = wishes.bounds;
  const std::vector<cases::PlanMember> planned = cases::members_of(plan);
  if (!plan.members.empty()) study.settings.push_back({"member", {}, {}, {}});
  for (const cases::Variation& variation : plan.vary)
    study.settings.push_back({variation.key.text, {}, {}, {}});
  std::vector<double> deciding;  // where no key that varies decides
  for (std::size_t k = 0; k < members.size(); ++k) {
    std::size_t column = 0;
    if (!plan.members.empty()) study.settings[column++].written.push_back(planned[k].name);
    for (const std::string& setting : planned[k].settings)
      study.settings[column++].written.push_back(setting);
    VariedMember member{members[k].id, members[k].label, result.members[k], {}, {}};
    member.values.assign(study.measures.size(), std::nan(""));
    if (member.finished && member.finished->outcome != Outcome::refused) {
      const SummaryNode summary = summary_of(*member.finished);
      for (std::size_t m = 0; m < study.measures.size(); ++m)
        member.values[m] = value_of(study.measures[m], summary);
      member.misses = misses_of(study.bounds, summary);
    }
    deciding.push_back(member.finished && wishes.decides && member.finished->outcome != Outcome::refused
                           ? value_of(*wishes.decides, summary_of(*member.finished))
                           : std::nan(""));
    study.members.push_back(std::move(member));
  }
  for (Setting& setting : study.settings) count(setting);
  if (plan.recommend) study.advice = advice_of(study, *plan.recommend, deciding);
  return study;
}

}  // namespace joulepress::tools
