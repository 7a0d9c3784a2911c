#include "cases/reader/case_difference.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "cases/reader/keys.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {
namespace {

using Type = SourceNode::Type;

/// SI, as resolved cases are written, to the unit a drawing or a press shows.
struct TradeUnit {
  const char *si, *trade;
  double factor, zero;
};
constexpr std::array<TradeUnit, 8> trade_units{{{"m", "mm", 1e3, 0},
                                                {"kg", "g", 1e3, 0},
                                                {"K", "degC", 1, -zero_celsius},
                                                {"K/s", "K/min", 60, 0},
                                                {"Pa", "MPa", 1e-6, 0},
                                                {"N", "kN", 1e-3, 0},
                                                {"W", "kW", 1e-3, 0},
                                                {"W/m2K", "kW/m2K", 1e-3, 0}}};

/// "0.02 m" -> "20 mm"; whatever is not a number and one of the units stays.
std::string in_trade_units(const SourceNode& node) {
  const std::string& text = node.text;
  double value = 0.0;
  const char* const stop = text.data() + text.size();
  const auto [end, status] = std::from_chars(text.data(), stop, value);
  if (status != std::errc{} || end == stop || *end != ' ') return text;
  const std::string_view unit(end + 1, static_cast<std::size_t>(stop - end - 1));
  const Key* const key = key_at(node.path);
  if (key && (key->kind == Kind::temperature_difference || key->group == "calibration value")) return text;
  for (const TradeUnit& known : trade_units)
    if (unit == known.si) return fmt::format("{:.8g} {}", value * known.factor + known.zero, known.trade);
  return text;
}

/// A node on one line.
std::string flow(const SourceNode& node, bool trade) {
  if (node.type == Type::nothing) return "nothing";
  if (node.type == Type::scalar) return trade ? in_trade_units(node) : node.text;
  std::string text;
  for (std::size_t k = 0; k < node.children.size(); ++k)
    text += (k ? ", " : "") + (node.type == Type::map ? node.keys[k] + ": " : std::string()) +
            flow(node.children[k], trade);
  return node.type == Type::map ? "{" + text + "}" : "[" + text + "]";
}

/// A child and what it is matched by.
struct Member {
  std::string label;
  bool named;  ///< by its own name or key, not by its place
  const SourceNode* node;
};

std::vector<Member> members_of(const SourceNode& node, const char* name_key) {
  std::vector<Member> members;
  for (std::size_t k = 0; k < node.children.size(); ++k) {
    const SourceNode& child = node.children[k];
    std::string label = node.type == Type::map ? node.keys[k] : text_behind(child, name_key);
    const bool taken = std::any_of(members.begin(), members.end(),
                                   [&](const Member& member) { return member.label == label; });
    const bool named = !label.empty() && !taken;
    if (!named) label = std::to_string(k);
    members.push_back({std::move(label), named, &child});
  }
  return members;
}

const Member* find(const std::vector<Member>& members, const Member& wanted) {
  const auto found = std::find_if(members.begin(), members.end(), [&](const Member& member) {
    return member.label == wanted.label && member.named == wanted.named;
  });
  return found == members.end() ? nullptr : &*found;
}

/// Lists of numbers and of their rows are one value.
bool is_value(const SourceNode& node) {
  if (node.type == Type::map) return false;
  return node.type != Type::sequence ||
         std::none_of(node.children.begin(), node.children.end(),
                      [](const SourceNode& child) { return child.type == Type::map; });
}

/// Names that both lists have, in the order of the first.
std::string order_of(const std::vector<Member>& members, const std::vector<Member>& others) {
  std::string names;
  for (const Member& member : members)
    if (member.named && find(others, member)) names += (names.empty() ? "" : ", ") + member.label;
  return names;
}

/// How the lists below a node are read.
struct Reading {
  const char* name_key;
  bool trade;  ///< values are shown in the units of the trade
};

void compare(const std::string& path, const SourceNode& a, const SourceNode& b, const Reading& how,
             std::vector<CaseChange>& changes) {
  if (a.type != b.type || is_value(a) || is_value(b)) {
    CaseChange change{path, flow(a, how.trade), flow(b, how.trade)};
    const std::string exact_a = flow(a, false), exact_b = flow(b, false);
    if (exact_a == exact_b) return;
    if (change.first == change.then) change = {path, exact_a, exact_b};  // less than is shown
    changes.push_back(std::move(change));
    return;
  }
  const std::vector<Member> of_a = members_of(a, how.name_key), of_b = members_of(b, how.name_key);
  const auto path_of = [&](const Member& member) {
    if (a.type == Type::sequence) return fmt::format("{}[{}]", path, member.label);
    return path.empty() ? member.label : path + "." + member.label;
  };
  const auto below = [](const Member& member) {
    return member.label == "materials" ? Reading{"material", false} : Reading{"name", true};
  };
  const auto only_b_from = [&](std::size_t from) {
    for (; from < of_b.size() && !find(of_a, of_b[from]); ++from)
      changes.push_back({path_of(of_b[from]), {}, flow(*of_b[from].node, how.trade)});
  };
  only_b_from(0);
  for (const Member& member : of_a) {
    const Member* other = find(of_b, member);
    if (!other) {
      changes.push_back({path_of(member), flow(*member.node, how.trade), {}});
      continue;
    }
    compare(path_of(member), *member.node, *other->node, path.empty() ? below(member) : how, changes);
    only_b_from(static_cast<std::size_t>(other - of_b.data()) + 1);
  }
  if (a.type == Type::sequence && order_of(of_a, of_b) != order_of(of_b, of_a))
    changes.push_back({path + ", order", order_of(of_a, of_b), order_of(of_b, of_a)});
}

SourceNode tree_of(const std::string& text, ErrorList& errors) {
  SourceNode tree = parse_document("resolved case", text, errors);
  for (std::size_t k = 0; k < tree.keys.size(); ++k)
    if (tree.keys[k] == "materials")  // texts of material files
      for (SourceNode& material : tree.children[k].children)
        if (material.type == Type::scalar) material = parse_document("material", material.text, errors);
  return tree;
}

}  // namespace

std::vector<CaseChange> case_differences(const std::string& first, const std::string& then) {
  ErrorList errors;
  const SourceNode a = tree_of(first, errors), b = tree_of(then, errors);
  errors.throw_if_any();
  std::vector<CaseChange> changes;
  compare({}, a, b, {"name", true}, changes);
  return changes;
}

}  // namespace joulepress::cases
