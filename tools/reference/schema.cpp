#include <algorithm>
#include <nlohmann/json.hpp>

#include "cases/reader/keys.hpp"
#include "tools/reference/explain.hpp"

namespace joulepress::tools {
namespace {

using cases::Key;
using Json = nlohmann::ordered_json;

/// Letters of a unit as a regular expression takes them.
std::string escaped(const std::string& text) {
  std::string out;
  for (const char c : text) {
    if (c == '/' || c == '%' || (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
        c == ' ')
      out += c;
    else
      out += std::string("\\") + c;
  }
  return out;
}

/// A number with one of the units of its kind; a ratio may be bare.
Json quantity(const Key& key) {
  const std::string number = "^[+-]?[0-9.]+([eE][+-]?[0-9]+)?";
  if (!key.kind) return {{"type", "string"}, {"pattern", number + " ?.+$"}};
  if (*key.kind == cases::Kind::ratio)
    return {
        {"anyOf", Json::array({{{"type", "number"}}, {{"type", "string"}, {"pattern", number + " ?%$"}}})}};
  std::string units;
  std::string rest = cases::units_of(*key.kind) + ", ";
  for (std::size_t comma; (comma = rest.find(", ")) != std::string::npos; rest.erase(0, comma + 2))
    units += (units.empty() ? "" : "|") + escaped(rest.substr(0, comma));
  return {{"type", "string"}, {"pattern", number + " ?(" + units + ")$"}};
}

/// Name of a group among the definitions: no spaces, which a reference would have to encode.
std::string definition(std::string_view group) {
  std::string name(group);
  std::replace(name.begin(), name.end(), ' ', '-');
  return name;
}

Json reference(std::string_view group) {
  return {{"$ref", "#/$defs/" + definition(group)}};
}

/// Every form the key may take.
Json value_of(const Key& key) {
  Json forms = Json::array();
  if (key.holds & cases::quantity) forms.push_back(quantity(key));
  if (key.holds & cases::words) forms.push_back({{"type", "string"}});
  if (key.holds & cases::word) {
    Json words = Json::array();
    for (const std::string& choice : cases::choices_of(key)) {
      if (choice.find_first_not_of("0123456789") == std::string::npos)
        words.push_back(std::stoi(choice));
      else
        words.push_back(choice);
    }
    forms.push_back({{"enum", words}});
  }
  if (key.holds & cases::flag) forms.push_back({{"enum", {"on", "off", "yes", "no", true, false}}});
  if (key.holds & cases::whole) {
    Json whole = {{"type", "integer"}};
    if (!key.least.empty()) whole["minimum"] = std::stoi(std::string(key.least));
    if (!key.most.empty()) whole["maximum"] = std::stoi(std::string(key.most));
    forms.push_back(whole);
  }
  if (key.holds & cases::group) forms.push_back(reference(key.inner));
  if (key.holds & cases::list) {
    Json list = {{"type", "array"}};
    if (!key.inner.empty()) list["items"] = reference(key.inner);
    forms.push_back(list);
  }
  if (key.holds & cases::numbers) forms.push_back({{"type", "array"}});
  Json value = forms.size() == 1 ? forms[0] : Json{{"anyOf", forms}};
  value["description"] = std::string(key.means);
  if (!key.standard.empty()) value["default"] = std::string(key.standard);
  return value;
}

Json group_of(const cases::KeyGroup& group) {
  Json properties = Json::object(), required = Json::array();
  for (const Key& key : cases::all_keys()) {
    if (key.group != group.name) continue;
    properties[std::string(key.name)] = value_of(key);
    if (key.required) required.push_back(std::string(key.name));
  }
  Json schema = {{"type", "object"},
                 {"description", std::string(group.means)},
                 {"properties", properties},
                 {"patternProperties", {{"^x-", Json::object()}}},
                 {"additionalProperties", false}};
  if (!required.empty()) schema["required"] = required;
  return schema;
}

}  // namespace

std::string case_schema() {
  Json groups = Json::object();
  for (const cases::KeyGroup& group : cases::all_groups()) groups[definition(group.name)] = group_of(group);
  const Json schema = {{"$schema", "https://json-schema.org/draft/2020-12/schema"},
                       {"title", "joulepress case"},
                       {"$ref", "#/$defs/case"},
                       {"$defs", groups}};
  return schema.dump(1) + "\n";
}

}  // namespace joulepress::tools
