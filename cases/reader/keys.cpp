#include "cases/reader/keys.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "cases/reader/key_table.hpp"

namespace joulepress::cases {
namespace {

/// Groups at the top of a file: their keys have addresses of one word.
constexpr std::array<std::string_view, 5> tops{"case", "material", "plan", "stock", "log"};

/// Bounds are part of the program: a bound that does not read is a mistake of ours, found by the tests.
double bound(std::string_view text, Kind kind) {
  return parse_quantity(std::string(text), kind).value;
}

std::string without_index(std::string_view part) {
  return std::string(part.substr(0, part.find('[')));
}

/// The point behind the first part of an address; names in brackets may hold points.
std::size_t end_of_part(std::string_view address) {
  int depth = 0;
  for (std::size_t k = 0; k < address.size(); ++k) {
    if (address[k] == '.' && depth == 0) return k;
    depth += address[k] == '[' ? 1 : address[k] == ']' ? -1 : 0;
  }
  return std::string_view::npos;
}

const Key* walk(std::string_view root, std::string_view address) {
  std::string_view at = root;
  while (true) {
    const std::size_t dot = end_of_part(address);
    const Key* key = find_key(at, without_index(address.substr(0, dot)));
    if (!key || dot == std::string_view::npos) return key;
    at = key->inner;
    address.remove_prefix(dot + 1);
  }
}

/// The group's address: that of the first key that opens it; empty at the top of a file.
std::string address_of_group(std::string_view name) {
  if (std::find(tops.begin(), tops.end(), name) != tops.end()) return {};
  for (const Key& key : all_keys())
    if (key.inner == name && key.group != name) return address_of(key) + ".";
  return {};
}

}  // namespace

const std::vector<Key>& all_keys() {
  static const std::vector<Key> keys = [] {
    KeyTable table;
    add_case_keys(table);
    add_press_keys(table);
    add_stack_keys(table);
    add_sensor_keys(table);
    add_programme_keys(table);
    add_material_keys(table);
    add_powder_keys(table);
    add_plan_keys(table);
    add_log_keys(table);
    add_calibration_keys(table);
    return table.keys;
  }();
  return keys;
}

const Key* find_key(std::string_view group, std::string_view name) {
  for (const Key& key : all_keys())
    if (key.group == group && key.name == name) return &key;
  return nullptr;
}

std::vector<std::string> key_names(std::string_view group) {
  std::vector<std::string> names;
  for (const Key& key : all_keys())
    if (key.group == group) names.emplace_back(key.name);
  return names;
}

std::vector<std::string> choices_of(const Key& key) {
  std::vector<std::string> words;
  std::string_view rest = key.choices;
  while (!rest.empty()) {
    const std::size_t bar = rest.find('|');
    words.emplace_back(rest.substr(0, bar));
    rest = bar == std::string_view::npos ? std::string_view() : rest.substr(bar + 1);
  }
  return words;
}

const Key* key_at(std::string_view address) {
  for (const std::string_view root : tops)
    if (const Key* key = walk(root, address)) return key;
  return nullptr;
}

const Key* key_of_case(std::string_view address) {
  return walk("case", address);
}

std::string address_of(const Key& key) {
  return address_of_group(key.group) + std::string(key.name);
}

std::string bounds_of(const Key& key) {
  std::string text;
  const auto add = [&text](std::string_view what, std::string_view value) {
    if (!value.empty()) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", what, value);
  };
  add("above", key.above);
  add("at least", key.least);
  add("at most", key.most);
  return text;
}

std::string outside_bounds(const Key& key, Kind kind, double value) {
  if (!key.above.empty() && !(value > bound(key.above, kind)))
    return fmt::format("is not above {}", key.above);
  if (!key.least.empty() && !(value >= bound(key.least, kind))) return fmt::format("is below {}", key.least);
  if (!key.most.empty() && !(value <= bound(key.most, kind))) return fmt::format("is above {}", key.most);
  return {};
}

Quantity value_of(const Key& key, Kind kind, const std::string& text) {
  Quantity quantity = parse_quantity(text, kind);
  if (!quantity.good()) return quantity;
  if (const std::string outside = outside_bounds(key, kind, quantity.value); !outside.empty()) {
    quantity.value = 0.0;  // not what was meant
    quantity.problem = fmt::format("\"{}\" {}.", text, outside);
    quantity.remedy = fmt::format("Write a value {}.", bounds_of(key));
  }
  return quantity;
}

}  // namespace joulepress::cases
