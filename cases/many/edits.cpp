#include "cases/many/edits.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "materials/scaling.hpp"

namespace joulepress::cases {
namespace {

/// `outer diameter`, or `sleeves[die]` with what stands in the brackets.
struct Step {
  std::string key, entry;
  bool of_list = false;
};

/// The steps of an address; names in brackets may hold points, and brackets of their own.
std::vector<Step> steps_of(const std::string& address) {
  std::vector<Step> steps(1);
  int depth = 0;
  for (const char c : address) {
    Step& step = steps.back();
    if (c == '[') step.of_list = true;
    const bool outermost = (c == '[' && depth++ == 0) || (c == ']' && depth > 0 && --depth == 0);
    if (outermost) continue;
    if (depth > 0)
      step.entry += c;
    else if (c == '.')
      steps.emplace_back();
    else
      step.key += c;
  }
  return steps;
}

/// Index of an entry of a list by its name, or its number from 0.
std::optional<std::size_t> index_of(const SourceNode& list, const std::string& entry) {
  for (std::size_t k = 0; k < list.children.size(); ++k)
    if (!entry.empty() && text_behind(list.children[k], "name") == entry) return k;
  std::size_t number = 0;
  const char* const stop = entry.data() + entry.size();
  const auto [end, status] = std::from_chars(entry.data(), stop, number);
  if (status == std::errc{} && end == stop && !entry.empty() && number < list.children.size()) return number;
  return std::nullopt;
}

std::vector<std::string> names_in(const SourceNode& list) {
  std::vector<std::string> names;
  for (std::size_t k = 0; k < list.children.size(); ++k) {
    const std::string name = text_behind(list.children[k], "name");
    names.push_back(name.empty() ? std::to_string(k) : name);
  }
  return names;
}

void set(SourceNode& node, const SourceNode& value) {
  SourceNode* const inner = child_of(node, "value");
  if (inner && value.type == SourceNode::Type::scalar) return set(*inner, value);
  const std::string path = node.path;
  node = value;
  node.path = path;
}

SourceNode& child_made(SourceNode& node, const std::string& key, const Place& at) {
  node.type = SourceNode::Type::map;
  if (SourceNode* known = child_of(node, key)) return *known;
  node.keys.push_back(key);
  node.key_places.push_back(at);
  SourceNode& made = node.children.emplace_back();
  made.place = at;
  made.path = node.path.empty() ? key : node.path + "." + key;
  return made;
}

/// `scales: - {of: ..., property: ..., factor: ...}`.
void add_scale(SourceNode& document, const Addressed& what, const Edit& edit) {
  SourceNode& scales = child_made(document, "scales", edit.at);
  scales.type = SourceNode::Type::sequence;
  SourceNode entry;
  entry.type = SourceNode::Type::map;
  entry.place = edit.at;
  entry.path = edit.address;
  const auto add = [&entry, &edit](const char* key, SourceNode value) {
    value.path = edit.address;
    if (value.place.line == 0) value.place = edit.at;
    entry.keys.emplace_back(key);
    entry.key_places.push_back(edit.at);
    entry.children.push_back(std::move(value));
  };
  add("of", value_node(what.material));
  add("property", value_node(what.property));
  add("factor", edit.value);
  scales.children.push_back(std::move(entry));
}

void apply(SourceNode& document, const Edit& edit, const Addressed& what) {
  if (!what.material.empty()) return add_scale(document, what, edit);
  if (edit.address == "materials") {
    SourceNode& texts = child_made(document, edit.address, edit.at);
    texts.type = SourceNode::Type::sequence;
    texts.children.push_back(edit.value);
    return;
  }
  SourceNode* node = &document;
  for (const Step& step : steps_of(edit.address)) {
    node = &child_made(*node, step.key, edit.at);
    if (step.of_list) node = &node->children[index_of(*node, step.entry).value()];
  }
  set(*node, edit.value);
}

}  // namespace

SourceNode value_node(std::string text) {
  SourceNode node;
  node.type = SourceNode::Type::scalar;
  node.text = std::move(text);
  return node;
}

std::optional<Addressed> addressed(const SourceNode& resolved, const std::string& address, const Place& at,
                                   ErrorList& errors) {
  const std::vector<Step> steps = steps_of(address);
  const auto refuse = [&](std::string problem, std::string remedy) -> std::optional<Addressed> {
    errors.add(at, address, std::move(problem), std::move(remedy));
    return std::nullopt;
  };
  if (std::count(address.begin(), address.end(), '[') != std::count(address.begin(), address.end(), ']'))
    return refuse(fmt::format("The brackets of \"{}\" do not match.", address),
                  "Write an entry as in `sleeves[die].height`.");
  if (address == "materials") return Addressed{find_key("case", "materials"), {}, {}};
  if (steps.front().key == "materials") {
    if (steps.size() != 2 || steps.front().entry.empty())
      return refuse("Of a material one property is multiplied.",
                    "Name both, as in `materials[isotropic graphite].resistivity`.");
    const std::vector<std::string> known = materials::scalable();
    if (std::find(known.begin(), known.end(), steps.back().key) == known.end())
      return refuse(fmt::format("There is no property \"{}\" that can be multiplied.", steps.back().key),
                    suggestion(steps.back().key, known));
    return Addressed{nullptr, steps.front().entry, steps.back().key};
  }
  std::string_view group = "case";
  const SourceNode* node = &resolved;
  Addressed found;
  for (const Step& step : steps) {
    const std::vector<std::string> known = key_names(group);
    if (found.key && known.empty())
      return refuse(fmt::format("\"{}\" holds no further keys.", found.key->name), "End the address there.");
    found.key = find_key(group, step.key);
    if (!found.key)
      return refuse(fmt::format("There is no key \"{}\" in \"{}\".", step.key, address),
                    suggestion(step.key, known));
    node = node ? child_of(*node, step.key) : nullptr;
    const bool is_list = (found.key->holds & Holds::list) != 0;
    if (is_list != step.of_list)
      return refuse(fmt::format("\"{}\" is {}a list.", step.key, is_list ? "" : "not "),
                    is_list ? fmt::format("Say which entry, as in `{}[{}]`.", step.key,
                                          node && !node->children.empty() ? names_in(*node).front() : "0")
                            : "Leave the brackets out.");
    if (is_list) {
      const auto index = node ? index_of(*node, step.entry) : std::nullopt;
      if (!index)
        return refuse(fmt::format("There is no \"{}\" among the {} of the case.", step.entry, step.key),
                      node ? suggestion(step.entry, names_in(*node)) : "The case has none.");
      node = &node->children[*index];
    }
    group = found.key->inner;
  }
  constexpr unsigned scalars = Holds::quantity | Holds::words | Holds::word | Holds::flag | Holds::whole;
  if ((found.key->holds & scalars) == 0)
    return refuse(fmt::format("\"{}\" is a group of keys.", address),
                  "Name one of them: " + listed(key_names(group)) + ".");
  return found;
}

SourceNode edited(const SourceNode& resolved, const std::vector<Edit>& edits, ErrorList& errors) {
  SourceNode document = resolved;
  for (const Edit& edit : edits)
    if (const auto what = addressed(resolved, edit.address, edit.at, errors)) apply(document, edit, *what);
  return document;
}

const SourceNode* scalar_at(const SourceNode& document, const std::string& address) {
  const SourceNode* node = &document;
  for (const Step& step : steps_of(address)) {
    node = child_of(*node, step.key);
    if (!node) return nullptr;
    if (!step.of_list) continue;
    const auto index = index_of(*node, step.entry);
    if (!index) return nullptr;
    node = &node->children[*index];
  }
  if (const SourceNode* inner = child_of(*node, "value")) node = inner;
  return node->type == SourceNode::Type::scalar ? node : nullptr;
}

std::optional<std::string> value_at(const SourceNode& resolved, const std::string& address) {
  const SourceNode* node = scalar_at(resolved, address);
  return node ? std::optional(node->text) : std::nullopt;
}

}  // namespace joulepress::cases
