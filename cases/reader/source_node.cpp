#include "cases/reader/source_node.hpp"

#include <fmt/format.h>
#include <yaml-cpp/yaml.h>

#include <algorithm>
#include <charconv>
#include <fstream>
#include <sstream>

namespace joulepress::cases {
namespace {

Place place_of(const std::string& file, const YAML::Mark& mark) {
  return mark.is_null() ? Place{file, 0, 0} : Place{file, mark.line + 1, mark.column + 1};
}

/// No case is nested deeper or holds more; aliases that contain themselves, or multiply, end here.
constexpr int depth_max = 16;
constexpr int nodes_max = 100000;

struct Budget {
  int depth = 0;
  int nodes = 0;
  bool spent = false;
};

SourceNode convert(const std::string& file, const YAML::Node& yaml, const std::string& path,
                   ErrorList& errors, Budget& budget);

void convert_map(const std::string& file, const YAML::Node& yaml, SourceNode& node, ErrorList& errors,
                 Budget& budget) {
  for (const auto& entry : yaml) {
    const Place at = place_of(file, entry.first.Mark());
    if (!entry.first.IsScalar()) {
      errors.add(at, node.path, "A key must be a word.", "Write `key: value`.");
      continue;
    }
    const std::string key = entry.first.Scalar();
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

SourceNode parse_document(const std::string& file, const std::string& text, ErrorList& errors) {
  errors.remember(file, text);
  const bool tabs = report_tabs(file, text, errors);
  try {
    Budget budget;
    SourceNode document = convert(file, YAML::Load(text), "", errors, budget);
    if (!budget.spent) return document;
  } catch (const YAML::Exception& problem) {
    if (!tabs)  // else the tab is the cause
      errors.add(place_of(file, problem.mark), "", fmt::format("This is not YAML: {}.", problem.msg),
                 "Check brackets, quotes, colons and indentation here and just above.");
  }
  return {};
}

std::optional<SourceNode> load_document(const std::filesystem::path& path, const Place& said_at,
                                        ErrorList& errors, std::string* text) {
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
  SourceNode node = parse_document(path.string(), content.str(), errors);
  if (errors.size() > before && node.type == SourceNode::Type::nothing) return std::nullopt;
  if (node.type != SourceNode::Type::map) {
    errors.add(Place{path.string(), 1, 1}, "", "The file is empty or not a group of keys.",
               "Write `key: value` lines.");
    return std::nullopt;
  }
  return node;
}

MapReader::MapReader(const SourceNode& node, ErrorList& errors) : node_(node), errors_(errors) {
  if (node.type != SourceNode::Type::map)
    errors.add(node.place, node.path,
               fmt::format("Here stands {}, a group of keys is wanted.", type_name(node.type)),
               "Write `{key: value, ...}` or indented `key: value` lines.");
}

std::string MapReader::path_of(const std::string& key) const {
  return node_.path.empty() ? key : node_.path + "." + key;
}

const SourceNode* MapReader::find(const std::string& key) {
  asked_.insert(key);
  const auto at = std::find(node_.keys.begin(), node_.keys.end(), key);
  if (at == node_.keys.end()) return nullptr;
  return &node_.children[static_cast<std::size_t>(at - node_.keys.begin())];
}

const SourceNode* MapReader::need(const std::string& key) {
  const SourceNode* found = find(key);
  if (!found && node_.type == SourceNode::Type::map)
    errors_.add(node_.place, path_of(key), fmt::format("The key \"{}\" is missing.", key), "Add it.");
  return found;
}

std::optional<std::string> MapReader::text(const std::string& key) {
  const SourceNode* found = find(key);
  if (!found) return std::nullopt;
  return text_of(*found, errors_);
}

std::string MapReader::need_text(const std::string& key) {
  const SourceNode* found = need(key);
  return found ? text_of(*found, errors_) : std::string();
}

std::optional<double> MapReader::quantity(const std::string& key, Kind kind) {
  const SourceNode* found = find(key);
  if (!found) return std::nullopt;
  return quantity_of(*found, kind, errors_);
}

double MapReader::need_quantity(const std::string& key, Kind kind) {
  const SourceNode* found = need(key);
  return found ? quantity_of(*found, kind, errors_) : 0.0;
}

std::optional<bool> MapReader::flag(const std::string& key) {
  const SourceNode* found = find(key);
  if (!found) return std::nullopt;
  const std::string word = text_of(*found, errors_);
  if (word == "on" || word == "true" || word == "yes") return true;
  if (word != "off" && word != "false" && word != "no")
    errors_.add(found->place, found->path, fmt::format("\"{}\" is neither on nor off.", word),
                "Write on or off.");
  return false;
}

std::optional<int> MapReader::whole_number(const std::string& key) {
  const SourceNode* found = find(key);
  if (!found) return std::nullopt;
  const std::string word = text_of(*found, errors_);
  int value = 0;
  const auto [end, status] = std::from_chars(word.data(), word.data() + word.size(), value);
  if (status != std::errc{} || end != word.data() + word.size())
    errors_.add(found->place, found->path, fmt::format("\"{}\" is not a whole number.", word),
                "Write one without a unit.");
  return value;
}

void MapReader::finish() {
  std::vector<std::string> known;  // what could still be written here
  for (const std::string& key : asked_)
    if (std::find(node_.keys.begin(), node_.keys.end(), key) == node_.keys.end()) known.push_back(key);
  for (std::size_t k = 0; k < node_.keys.size(); ++k) {
    const std::string& key = node_.keys[k];
    if (key.empty() || asked_.count(key) || key.rfind("x-", 0) == 0) continue;
    if (node_.children[k].type == SourceNode::Type::nothing && key[0] >= '0' && key[0] <= '9') {
      errors_.add(node_.key_places[k], path_of(key),
                  fmt::format("\"{}\" stands alone after a comma: a decimal comma?", key),
                  "Write a decimal point, e.g. 20.4 mm.");
      continue;
    }
    errors_.add(node_.key_places[k], path_of(key), fmt::format("There is no key \"{}\" here.", key),
                suggestion(key, known));
  }
}

bool is_quantity(const SourceNode& node, Kind kind) {
  return node.type == SourceNode::Type::scalar && parse_quantity(node.text, kind).good();
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
