#include "cases/many/plan.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "materials/scaling.hpp"

namespace joulepress::cases {
namespace {

/// A number and its unit as written; the unit's kind is that of a key nobody has looked at yet.
struct WrittenNumber {
  double number = 0;
  std::string unit;
};

std::optional<WrittenNumber> written_number(const std::string& text) {
  WrittenNumber w;
  const char* const stop = text.data() + text.size();
  const auto [end, status] = std::from_chars(text.data(), stop, w.number);
  if (status != std::errc{} || !std::isfinite(w.number)) return std::nullopt;
  w.unit = std::string(end, stop);
  w.unit.erase(0, w.unit.find_first_not_of(' '));
  return w;
}

PlanText text_with_place(MapReader& map, const char* key) {
  const SourceNode* node = map.find(key);
  PlanText text{map.text(key), map.node().place};
  if (node) text.place = node->place;
  return text;
}

std::vector<SourceNode> scalars_of(const SourceNode& list, ErrorList& errors) {
  std::vector<SourceNode> values;
  for (const SourceNode& item : items_of(list, errors)) {
    text_of(item, errors);
    values.push_back(item);
  }
  if (list.type == SourceNode::Type::sequence && values.empty())
    errors.add(list.place, list.path, "The list is empty.", "Write at least one value.");
  return values;
}

/// Both ends of a range in the same unit; nothing after an error.
std::optional<std::pair<WrittenNumber, WrittenNumber>> ends_of(MapReader& map) {
  const auto from = written_number(map.text("from")), to = written_number(map.text("to"));
  if (!from || !to)
    map.refuse(!from ? "from" : "to", "A range begins and ends with a number and its unit.",
               "Write for example `from: 50 K/min, to: 200 K/min`.");
  else if (from->unit != to->unit)
    map.refuse("to", fmt::format("The range begins in \"{}\" and ends in \"{}\".", from->unit, to->unit),
               "Use the same unit for both.");
  else if (!(from->number < to->number))
    map.refuse("to", "The range ends where it begins, or before.", "Write the smaller value first.");
  else
    return std::pair{*from, *to};
  return std::nullopt;
}

std::vector<SourceNode> range_of(MapReader& map) {
  const auto ends = ends_of(map);
  const int count = map.find("count") ? map.whole("count") : 0;
  if (count == 0)
    map.refuse("count", "A range needs the number of its values.", "Add for example `count: 5`.");
  const bool by_ratio = map.text("spacing") == "ratio";
  std::vector<SourceNode> values;
  if (!ends || count < 2) return values;
  const auto& [from, to] = *ends;
  if (by_ratio && !(from.number > 0.0)) {
    map.refuse("spacing", "Values at the same ratio are above 0.",
               "Begin above 0, or write `spacing: even`.");
    return values;
  }
  for (int k = 0; k < count; ++k) {
    const double share = k / (count - 1.0);
    const double x = k == count - 1 ? to.number
                     : by_ratio     ? from.number * std::pow(to.number / from.number, share)
                                    : from.number + share * (to.number - from.number);
    values.push_back(
        value_node(from.unit.empty() ? fmt::format("{:.12g}", x) : fmt::format("{:.12g} {}", x, from.unit)));
    values.back().place = map.find(k == count - 1 ? "to" : "from")->place;
  }
  return values;
}

/// Sizes of a stock list between `from` and `to`, where these are given.
std::vector<SourceNode> stock_of(MapReader& map, const std::filesystem::path& folder) {
  const SourceNode& name = *map.find("stock");
  const auto document = load_document(folder / text_of(name, map.errors()), name.place, map.errors());
  if (!document) return {};
  MapReader stock(*document, "stock", map.errors());
  stock.text("format");
  stock.text("name");
  stock.text("note");
  std::vector<SourceNode> sizes;
  if (const SourceNode* list = stock.find("sizes")) sizes = scalars_of(*list, map.errors());
  stock.finish();
  for (const bool lower : {true, false}) {
    const char* key = lower ? "from" : "to";
    if (!map.find(key)) continue;
    const auto end = written_number(map.text(key));
    for (const SourceNode& size : sizes)
      if (const auto written = written_number(size.text); !end || !written || written->unit != end->unit) {
        map.refuse(key,
                   fmt::format("\"{}\" cannot be compared with the size \"{}\".", map.text(key), size.text),
                   "Write a number in the unit of the list.");
        return {};
      }
    std::erase_if(sizes, [&](const SourceNode& size) {
      const double x = written_number(size.text)->number;
      return lower ? x < end->number : x > end->number;
    });
  }
  if (sizes.empty()) map.refuse("stock", "No size of the list is left.", "Widen `from` and `to`.");
  return sizes;
}

Variation read_variation(const SourceNode& node, const std::filesystem::path& folder, ErrorList& errors) {
  MapReader map(node, "variation", errors);
  Variation variation;
  variation.key = text_with_place(map, "key");
  if (const SourceNode* values = map.find("values"))
    variation.values = scalars_of(*values, errors);
  else if (map.find("stock"))
    variation.values = stock_of(map, folder);
  else if (map.find("from") || map.find("to"))
    variation.values = range_of(map);
  else if (node.type == SourceNode::Type::map)
    map.refuse("values", "The values are missing.",
               "Add `values: [...]`, `from:`, `to:` and `count:`, or `stock:`.");
  if (const SourceNode* list = map.find("with"))
    for (const SourceNode& item : items_of(*list, errors)) {
      MapReader along(item, "in step", errors);
      Variation::InStep in_step;
      in_step.key = text_with_place(along, "key");
      if (const SourceNode* values = along.find("values")) {
        in_step.values = scalars_of(*values, errors);
        if (in_step.values.size() != variation.values.size() && !variation.values.empty())
          along.refuse("values",
                       fmt::format("The number of values is {}, that of \"{}\" {}.", in_step.values.size(),
                                   variation.key.text, variation.values.size()),
                       "Give one for each, in the same order.");
      }
      along.finish();
      variation.with.push_back(std::move(in_step));
    }
  map.finish();
  return variation;
}

ListedMember read_member(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "listed member", errors);
  ListedMember member;
  member.name = text_with_place(map, "name");
  if (const SourceNode* list = map.find("set"))
    for (const SourceNode& item : items_of(*list, errors)) {
      MapReader setting(item, "setting", errors);
      Edit edit;
      const PlanText key = text_with_place(setting, "key");
      edit.address = key.text;
      edit.at = key.place;
      if (const SourceNode* value = setting.find("value")) {
        text_of(*value, errors);
        edit.value = *value;
      }
      setting.finish();
      member.set.push_back(std::move(edit));
    }
  map.finish();
  return member;
}

Requirement read_requirement(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "requirement", errors);
  Requirement requirement;
  requirement.value = text_with_place(map, "value");
  if (map.find("at most")) requirement.at_most = text_with_place(map, "at most");
  if (map.find("at least")) requirement.at_least = text_with_place(map, "at least");
  if (!requirement.at_most && !requirement.at_least && node.type == SourceNode::Type::map)
    map.refuse("at most", "Nothing is required of it.", "Add `at most:` or `at least:` with a value.");
  map.finish();
  return requirement;
}

Recommendation read_recommendation(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "recommendation", errors);
  Recommendation recommendation;
  recommendation.least = map.find("least") != nullptr;
  if (recommendation.least == (map.find("most") != nullptr) && node.type == SourceNode::Type::map)
    map.refuse("least", "One of `least` and `most` says what decides among the good variants.",
               "Write for example `recommend: {least: \"sleeves[die].outer diameter\"}`.");
  const PlanText least = text_with_place(map, "least"), most = text_with_place(map, "most");
  recommendation.by = recommendation.least ? least : most;
  map.finish();
  return recommendation;
}

/// Every key that is changed, with its values.
struct Change {
  PlanText key;
  std::vector<SourceNode> values;
};

std::vector<Change> changes_of(const Plan& plan, bool with_listed) {
  std::vector<Change> changes;
  for (const Variation& variation : plan.vary) {
    changes.push_back({variation.key, variation.values});
    for (const Variation::InStep& along : variation.with) changes.push_back({along.key, along.values});
  }
  if (with_listed)
    for (const ListedMember& member : plan.members)
      for (const Edit& edit : member.set) changes.push_back({{edit.address, edit.at}, {edit.value}});
  return changes;
}

/// Whether variants are made of other materials than the base case.
bool changes_materials(const std::vector<Change>& changes) {
  return std::any_of(changes.begin(), changes.end(), [](const Change& change) {
    const std::string key = change.key.text.substr(change.key.text.rfind('.') + 1);
    return key == "material" || key == "powder" || key == "materials";
  });
}

void check_material(const Case& base, const Addressed& what, const Change& change, ErrorList& errors) {
  std::vector<std::string> names;
  for (const materials::Material& m : base.materials) {
    names.push_back(m.name);
    if (m.name != what.material) continue;
    if (!materials::has(m, what.property))
      errors.add(change.key.place, change.key.text,
                 fmt::format("No {} of {} is known, so that none can be multiplied.", what.property, m.name),
                 "Leave it out, or add it to the material.");
    return;
  }
  errors.add(change.key.place, change.key.text,
             fmt::format("There is no material \"{}\" in the case.", what.material),
             suggestion(what.material, names));
}

/// Values that can be told to be none before a case is made of them: those of keys with a kind of their own.
void check_values(const Addressed& what, const Change& change, ErrorList& errors) {
  const Key& key = what.key ? *what.key : *find_key("scale", "factor");
  if ((key.holds & Holds::quantity) == 0 || !key.kind) return;
  const std::vector<std::string> words = choices_of(key);
  const Place* last = nullptr;  // of a range many values stand at one place
  for (const SourceNode& value : change.values) {
    if (value.type != SourceNode::Type::scalar) continue;  // reported, or missing
    if (std::find(words.begin(), words.end(), value.text) != words.end()) continue;
    const Quantity quantity = value_of(key, *key.kind, value.text);
    if (quantity.good() || (last && last->line == value.place.line && last->column == value.place.column))
      continue;
    last = &value.place;
    errors.add(value.place, change.key.text, quantity.problem,
               quantity.remedy + (words.empty() ? "" : " Or: " + listed(words) + "."));
  }
}

/// The grid sets a key once, or one of its values would count for nothing.  (Factors multiply.)
void check_once(const Plan& plan, ErrorList& errors) {
  std::vector<std::string> seen;
  for (const Change& change : changes_of(plan, false)) {
    if (std::find(seen.begin(), seen.end(), change.key.text) != seen.end())
      errors.add(change.key.place, change.key.text, fmt::format("\"{}\" is varied twice.", change.key.text),
                 "Leave one of the two out.");
    seen.push_back(change.key.text);
  }
  for (const ListedMember& member : plan.members)
    for (const Edit& edit : member.set)
      if (std::find(seen.begin(), seen.end(), edit.address) != seen.end())
        errors.add(edit.at, edit.address,
                   fmt::format("\"{}\" is set here, and varied by the grid.", edit.address),
                   "Leave one of the two out.");
}

void check_changes(const Plan& plan, ErrorList& errors) {
  const std::vector<Change> changes = changes_of(plan, true);
  const bool same_materials = !changes_materials(changes);
  for (const Change& change : changes) {
    if (change.key.text.empty()) continue;  // reported
    const auto what = addressed(plan.resolved, change.key.text, change.key.place, errors);
    if (!what) continue;
    if (!what->material.empty() && same_materials) check_material(plan.base, *what, change, errors);
    check_values(*what, change, errors);
  }
  check_once(plan, errors);
}

void check_size(const Plan& plan, const SourceNode& document, ErrorList& errors) {
  double size = static_cast<double>(std::max<std::size_t>(1, plan.members.size()));
  for (const Variation& variation : plan.vary) size *= static_cast<double>(variation.values.size());
  if (size > static_cast<double>(members_max))
    errors.add(document.place, "vary", fmt::format("The plan has {:.0f} members.", size),
               fmt::format("At most {} are run; take fewer values.", members_max));
  if (plan.vary.empty() && plan.members.empty())
    errors.add(document.place, "vary", "Nothing is varied.", "Add `vary:` or `members:`.");
}

}  // namespace

Plan read_plan(const std::filesystem::path& path) {
  ErrorList errors;
  Plan plan;
  plan.file = path.string();
  const auto document = load_document(path, {}, errors, &plan.text);
  if (document) {
    MapReader map(*document, "plan", errors);
    map.text("format");
    plan.title = map.text("title");
    if (const SourceNode* node = map.find("case")) {
      plan.case_file = path.parent_path() / text_of(*node, errors);
      std::error_code ignored;
      if (!std::filesystem::is_regular_file(plan.case_file, ignored))
        map.refuse("case", fmt::format("The file \"{}\" cannot be read.", plan.case_file.string()),
                   "Check the name; it is relative to the plan.");
    }
    if (const SourceNode* list = map.find("vary"))
      for (const SourceNode& item : items_of(*list, errors))
        plan.vary.push_back(read_variation(item, path.parent_path(), errors));
    if (const SourceNode* list = map.find("members"))
      for (const SourceNode& item : items_of(*list, errors))
        plan.members.push_back(read_member(item, errors));
    if (const SourceNode* list = map.find("collect"))
      for (const SourceNode& item : items_of(*list, errors))
        plan.collect.push_back({text_of(item, errors), item.place});
    if (const SourceNode* list = map.find("require"))
      for (const SourceNode& item : items_of(*list, errors))
        plan.require.push_back(read_requirement(item, errors));
    if (const SourceNode* node = map.find("recommend")) plan.recommend = read_recommendation(*node, errors);
    map.finish();
    check_size(plan, *document, errors);
  }
  const std::size_t own = errors.size();
  if (std::error_code ignored; std::filesystem::is_regular_file(plan.case_file, ignored)) {
    plan.base = read_case(plan.case_file, errors);
    build_problem(plan.base, errors);
    if (errors.size() == own) {
      plan.resolved = resolved_document(plan.base);
      check_changes(plan, errors);
    }
  }
  errors.throw_if_any();
  return plan;
}

std::vector<PlanMember> members_of(const Plan& plan) {
  std::vector<PlanMember> members;
  for (const ListedMember& listed : plan.members) members.push_back({listed.name.text, {}, listed.set});
  if (members.empty()) members.emplace_back();
  for (const Variation& variation : plan.vary) {
    std::vector<PlanMember> grown;
    for (const PlanMember& member : members)
      for (std::size_t k = 0; k < variation.values.size(); ++k) {
        PlanMember& next = grown.emplace_back(member);
        next.settings.push_back(variation.values[k].text);
        next.edits.push_back({variation.key.text, variation.values[k], variation.key.place});
        for (const Variation::InStep& along : variation.with)
          next.edits.push_back({along.key.text, along.values[k], along.key.place});
      }
    members = std::move(grown);
  }
  return members;
}

}  // namespace joulepress::cases
