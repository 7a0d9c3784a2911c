#include "cases/reader/source_node.hpp"

#include <fmt/format.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <sstream>
#include <stdexcept>
#include <utility>

namespace joulepress::cases {
namespace {

Place place_of(const std::string& file, const YAML::Mark& mark) {
  return mark.is_null() ? Place{file, 0, 0} : Place{file, mark.line + 1, mark.column + 1};
}

/// No case is nested deeper or holds more; aliases that contain themselves, or multiply, end here.
constexpr int depth_max = 16;
constexpr int nodes_max = 100000;

struct Budget {
  const std::string& text;
  int depth = 0;
  int nodes = 0;
  bool spent = false;
};

/// Whether a quoted text that opens at `from` is closed again; the parser takes the end of the file for it.
bool is_closed(const std::string& text, std::size_t from) {
  const char quote = from < text.size() ? text[from] : ' ';
  if (quote != '"' && quote != '\'') return true;
  for (std::size_t k = from + 1; k < text.size(); ++k) {
    if (quote == '"' && text[k] == '\\')
      ++k;
    else if (text[k] == quote)
      return true;
  }
  return false;
}

SourceNode convert(const std::string& file, const YAML::Node& yaml, const std::string& path,
                   ErrorList& errors, Budget& budget);

void convert_map(const std::string& file, const YAML::Node& yaml, SourceNode& node, ErrorList& errors,
                 Budget& budget) {
  for (const auto& entry : yaml) {
    Place at = place_of(file, entry.first.Mark());
    if (!entry.first.IsScalar()) {
      errors.add(at, node.path, "A key must be a word.", "Write `key: value`.");
      continue;
    }
    const std::string key = entry.first.Scalar();
    at.length = std::max(1, static_cast<int>(key.size()));
    const std::string path = node.path.empty() ? key : node.path + "." + key;
    if (key == "<<") {
      errors.add(at, path, "Merge keys (<<) are not read.",
                 "Write the keys out, or include a press or material file by name.");
      continue;
    }
    if (std::find(node.keys.begin(), node.keys.end(), key) != node.keys.end()) {
      errors.add(at, path, fmt::format("The key \"{}\" stands here twice.", key), "Keep one of them.");
      continue;
    }
    node.keys.push_back(key);
    node.key_places.push_back(at);
    node.children.push_back(convert(file, entry.second, path, errors, budget));
    if (node.children.back().place.line == 0) node.children.back().place = at;
  }
}

SourceNode convert(const std::string& file, const YAML::Node& yaml, const std::string& path,
                   ErrorList& errors, Budget& budget) {
  SourceNode node;
  node.path = path;
  node.place = place_of(file, yaml.Mark());
  if (budget.spent || budget.depth >= depth_max || ++budget.nodes > nodes_max) {
    if (!budget.spent)
      errors.add(node.place, "", "The file is nested too deeply or repeats itself through aliases.",
                 "Write the keys out without & and *.");
    budget.spent = true;
    return node;
  }
  ++budget.depth;
  if (yaml.IsScalar()) {
    node.type = SourceNode::Type::scalar;
    node.text = yaml.Scalar();
    node.place.length = std::max(1, static_cast<int>(node.text.size()));
    if (!yaml.Mark().is_null() && !is_closed(budget.text, static_cast<std::size_t>(yaml.Mark().pos))) {
      errors.add(node.place, node.path, "The quote that opens here is never closed.", "Close it.");
      budget.spent = true;
    }
  } else if (yaml.IsSequence()) {
    node.type = SourceNode::Type::sequence;
    int index = 0;
    for (const YAML::Node& item : yaml)
      node.children.push_back(convert(file, item, fmt::format("{}[{}]", path, index++), errors, budget));
  } else if (yaml.IsMap()) {
    node.type = SourceNode::Type::map;
    convert_map(file, yaml, node, errors, budget);
  }
  --budget.depth;
  return node;
}

std::string type_name(SourceNode::Type type) {
  switch (type) {
    case SourceNode::Type::nothing:
      return "nothing";
    case SourceNode::Type::scalar:
      return "a single value";
    case SourceNode::Type::sequence:
      return "a list";
    case SourceNode::Type::map:
      break;
  }
  return "a group of keys";
}

/// Tabs look like spaces and are not; YAML refuses some and swallows others.
bool report_tabs(const std::string& file, const std::string& text, ErrorList& errors) {
  std::istringstream stream(text);
  bool any = false;
  int number = 0;
  for (std::string line; std::getline(stream, line);) {
    ++number;
    const std::size_t tab = line.find('\t');
    if (tab == std::string::npos || line.find('#') < tab) continue;
    errors.add({file, number, static_cast<int>(tab) + 1}, "", "There is a tab in this line.",
               "Indent and separate with spaces.");
    any = true;
  }
  return any;
}

}  // namespace

SourceNode parse_document(const std::string& file, const std::string& text, ErrorList& errors,
                          const std::string& root) {
  errors.remember(file, text);
  const bool tabs = report_tabs(file, text, errors);
  try {
    Budget budget{text};
    SourceNode document = convert(file, YAML::Load(text), root, errors, budget);
    if (!budget.spent) return document;
  } catch (const YAML::Exception& problem) {
    if (!tabs)  // else the tab is the cause
      errors.add(place_of(file, problem.mark), "", fmt::format("This is not YAML: {}.", problem.msg),
                 "Check brackets, quotes, colons and indentation here and just above.");
  }
  return {};
}

std::optional<SourceNode> load_document(const std::filesystem::path& path, const Place& said_at,
                                        ErrorList& errors, std::string* text, const std::string& root) {
  std::ifstream stream(path, std::ios::binary);
  std::error_code ignored;
  if (!stream || std::filesystem::is_directory(path, ignored)) {
    errors.add(said_at.file.empty() ? Place{path.string(), 0, 0} : said_at, "",
               fmt::format("The file \"{}\" cannot be read.", path.string()),
               "Check the name; it is relative to the file that names it.");
    return std::nullopt;
  }
  std::ostringstream content;
  content << stream.rdbuf();
  if (text) *text = content.str();
  const std::size_t before = errors.size();
  SourceNode node = parse_document(path.string(), content.str(), errors, root);
  if (errors.size() > before && node.type == SourceNode::Type::nothing) return std::nullopt;
  if (node.type != SourceNode::Type::map) {
    errors.add(Place{path.string(), 1, 1}, "", "The file is empty or not a group of keys.",
               "Write `key: value` lines.");
    return std::nullopt;
  }
  return node;
}

const SourceNode* child_of(const SourceNode& node, std::string_view key) {
  for (std::size_t k = 0; k < node.keys.size(); ++k)
    if (node.keys[k] == key) return &node.children[k];
  return nullptr;
}

SourceNode* child_of(SourceNode& node, std::string_view key) {
  return const_cast<SourceNode*>(child_of(std::as_const(node), key));
}

std::string text_behind(const SourceNode& node, std::string_view key) {
  const SourceNode* child = child_of(node, key);
  return child ? child->text : std::string();
}

MapReader::MapReader(const SourceNode& node, std::string_view group, ErrorList& errors,
                     std::optional<Kind> kind)
    : node_(node), group_(group), errors_(errors), kind_(kind) {
  if (node.type != SourceNode::Type::map)
    errors.add(node.place, node.path,
               fmt::format("Here stands {}, a group of keys is wanted.", type_name(node.type)),
               "Write `{key: value, ...}` or indented `key: value` lines.");
}

std::string MapReader::path_of(std::string_view name) const {
  return node_.path.empty() ? std::string(name) : fmt::format("{}.{}", node_.path, name);
}

const Key& MapReader::key_of(std::string_view name) const {
  const Key* key = find_key(group_, name);
  if (!key) throw std::logic_error(fmt::format("no key \"{}\" in the table of \"{}\"", name, group_));
  return *key;
}

const SourceNode* MapReader::find(std::string_view name) {
  key_of(name);
  asked_.emplace(name);
  for (std::size_t k = 0; k < node_.keys.size(); ++k)
    if (node_.keys[k] == name || (!find_key(group_, node_.keys[k]) && meant_by(node_.keys[k]) == name))
      return &node_.children[k];
  return nullptr;
}

/// The key an unknown one is nearest to, among those that are not here; empty: none.
std::string MapReader::meant_by(const std::string& unknown) const {
  if (unknown.rfind("x-", 0) == 0) return {};
  return nearest(unknown, absent_keys());
}

std::vector<std::string> MapReader::absent_keys() const {
  std::vector<std::string> absent = key_names(group_);
  std::erase_if(absent, [this](const std::string& name) {
    return std::find(node_.keys.begin(), node_.keys.end(), name) != node_.keys.end();
  });
  return absent;
}

/// Whether the key is the rest of the number before it: `{height: 20,4 mm}` reads as two keys.
bool MapReader::is_rest_of_a_number(std::size_t index) const {
  const std::string& name = node_.keys[index];
  return index > 0 && !name.empty() && name[0] >= '0' && name[0] <= '9' &&
         node_.children[index].type == SourceNode::Type::nothing;
}

void MapReader::refuse(std::string_view name, std::string problem, std::string remedy) {
  const SourceNode* found = find(name);
  errors_.add(found ? found->place : node_.place, path_of(name), std::move(problem), std::move(remedy));
}

/// What a comma cut off a number: the next key, when it is the rest; empty: nothing.
std::string MapReader::rest_of(const SourceNode& number) const {
  for (std::size_t k = 1; k < node_.keys.size(); ++k)
    if (&node_.children[k - 1] == &number && is_rest_of_a_number(k)) return node_.keys[k];
  return {};
}

/// 0 when it is out of bounds.
double MapReader::bounded(const Key& key, Kind kind, const SourceNode& node) {
  if (const std::string rest = rest_of(node); !rest.empty()) {
    errors_.add(node.place, node.path, fmt::format("\"{}\" has a decimal comma.", node.text + "," + rest),
                "Write a decimal point.");
    return parse_quantity(node.text + "." + rest, kind).value;
  }
  if (node.type != SourceNode::Type::scalar) return quantity_of(node, kind, errors_);
  const Quantity quantity = value_of(key, kind, node.text);
  if (!quantity.good()) errors_.add(node.place, node.path, quantity.problem, quantity.remedy);
  return quantity.value;
}

std::optional<double> MapReader::amount_if_any(std::string_view name) {
  const Key& key = key_of(name);
  const SourceNode* found = find(name);
  if (!found) return std::nullopt;
  const auto words = choices_of(key);
  if (std::find(words.begin(), words.end(), found->text) != words.end()) return std::nullopt;
  return bounded(key, key.kind ? *key.kind : kind_.value(), *found);
}

double MapReader::amount(std::string_view name) {
  if (const auto value = amount_if_any(name)) return *value;
  const Key& key = key_of(name);
  return key.standard.empty() ? 0.0 : parse_quantity(std::string(key.standard), key.kind.value()).value;
}

std::string MapReader::text(std::string_view name) {
  const Key& key = key_of(name);
  const SourceNode* found = find(name);
  if (!found) return std::string(key.standard);
  std::string value = text_of(*found, errors_);
  const auto words = choices_of(key);
  if (!words.empty() && found->type == SourceNode::Type::scalar &&
      std::find(words.begin(), words.end(), value) == words.end())
    errors_.add(found->place, found->path, fmt::format("\"{}\" is not known here.", value),
                suggestion(value, words));
  return value;
}

bool MapReader::on(std::string_view name) {
  const SourceNode* found = find(name);
  const std::string value = found ? text_of(*found, errors_) : std::string(key_of(name).standard);
  if (value == "on" || value == "true" || value == "yes") return true;
  if (value != "off" && value != "false" && value != "no" && found && found->type == SourceNode::Type::scalar)
    errors_.add(found->place, found->path, fmt::format("\"{}\" is neither on nor off.", value),
                "Write on or off.");
  return false;
}

/// 1 after an error, so that nothing is divided by zero.
int MapReader::whole(std::string_view name) {
  const Key& key = key_of(name);
  const SourceNode* found = find(name);
  const std::string written = found ? text_of(*found, errors_) : std::string(key.standard);
  int value = 0;
  const char* const stop = written.data() + written.size();
  const auto [end, status] = std::from_chars(written.data(), stop, value);
  if (!found || found->type != SourceNode::Type::scalar) return value;
  if (status != std::errc{} || end != stop)
    errors_.add(found->place, found->path, fmt::format("\"{}\" is not a whole number.", written),
                "Write one without a unit.");
  else if (const std::string outside = outside_bounds(key, Kind::ratio, value); !outside.empty())
    errors_.add(found->place, found->path, fmt::format("\"{}\" {}.", written, outside),
                fmt::format("Write a whole number {}.", bounds_of(key)));
  else
    return value;
  return 1;
}

void MapReader::report_unknown(std::size_t index) {
  const std::string& name = node_.keys[index];
  if (is_rest_of_a_number(index)) return;  // reported with the number
  errors_.add(node_.key_places[index], path_of(name), fmt::format("There is no key \"{}\" here.", name),
              suggestion(name, absent_keys()));
}

void MapReader::finish(bool alone) {
  for (std::size_t k = 0; k < node_.keys.size(); ++k) {
    const std::string& name = node_.keys[k];
    if (name.empty() || name.rfind("x-", 0) == 0) continue;
    if (!find_key(group_, name))
      report_unknown(k);
    else if (!asked_.contains(name))
      errors_.add(node_.key_places[k], path_of(name),
                  fmt::format("\"{}\" has no effect beside the other keys here.", name), "Leave it out.");
  }
  if (!alone || node_.type != SourceNode::Type::map) return;
  for (const Key& key : all_keys())
    if (key.group == group_ && key.required && !find(key.name))
      errors_.add(
          node_.place, path_of(key.name), fmt::format("The key \"{}\" is missing.", key.name),
          key.example.empty() ? "Add it." : fmt::format("Add it, e.g. `{}: {}`.", key.name, key.example));
}

Written written_at(const SourceNode& node) {
  Written written{node.path, node.place, {}};
  for (std::size_t k = 0; k < node.keys.size(); ++k)
    written.values.emplace_back(node.keys[k], node.children[k].place);
  return written;
}

double quantity_of(const SourceNode& node, Kind kind, ErrorList& errors) {
  if (node.type != SourceNode::Type::scalar) {
    errors.add(node.place, node.path,
               fmt::format("Here stands {}, a {} is wanted.", type_name(node.type), kind_name(kind)),
               fmt::format("Units: {}.", units_of(kind)));
    return 0.0;
  }
  const Quantity quantity = parse_quantity(node.text, kind);
  if (!quantity.good()) errors.add(node.place, node.path, quantity.problem, quantity.remedy);
  return quantity.value;
}

const std::vector<SourceNode>& items_of(const SourceNode& node, ErrorList& errors) {
  static const std::vector<SourceNode> none;
  if (node.type == SourceNode::Type::sequence) return node.children;
  errors.add(node.place, node.path, fmt::format("Here stands {}, a list is wanted.", type_name(node.type)),
             "Write `[...]` or indented `- ...` lines.");
  return none;
}

std::string text_of(const SourceNode& node, ErrorList& errors) {
  if (node.type == SourceNode::Type::scalar) return node.text;
  errors.add(node.place, node.path,
             fmt::format("Here stands {}, a single value is wanted.", type_name(node.type)), "");
  return {};
}

}  // namespace joulepress::cases
