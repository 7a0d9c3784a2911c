#include "tools/store/summary_read.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <nlohmann/json.hpp>
#include <string_view>

#include "tools/store/files.hpp"

namespace joulepress::tools {
namespace {

using Json = nlohmann::ordered_json;
using Holds = SummaryNode::Holds;

SummaryNode node_of(const Json& json, std::string name) {
  SummaryNode node;
  node.name = std::move(name);
  node.holds = Holds::nothing;
  if (json.is_number() || json.is_boolean()) {
    node.holds = Holds::number;
    node.number = json.is_boolean() ? double(json.get<bool>()) : json.get<double>();
  } else if (json.is_string()) {
    node.holds = Holds::words;
  } else if (json.is_object()) {
    node.holds = Holds::group;
    for (const auto& [key, value] : json.items()) node.inside.push_back(node_of(value, key));
  } else if (json.is_array()) {
    node.holds = Holds::list;
    for (const Json& entry : json) {
      const bool named = entry.is_object() && entry.contains("name") && entry["name"].is_string();
      node.inside.push_back(node_of(entry, named ? entry["name"].get<std::string>() : std::string()));
    }
  }
  return node;
}

/// Takes `start` off the front; false when it does not stand there.
bool take(std::string_view& rest, std::string_view start) {
  if (!rest.starts_with(start)) return false;
  rest.remove_prefix(start.size());
  return true;
}

/// The entry that [name] or [number] at the front of `rest` means, which is taken off; null: none.  Names go
/// first and are compared as a whole, for they may hold any character.
const SummaryNode* entry_at(const SummaryNode& list, std::string_view& rest) {
  for (const SummaryNode& entry : list.inside)
    if (!entry.name.empty() && take(rest, fmt::format("[{}]", entry.name))) return &entry;
  if (!take(rest, "[")) return nullptr;
  int k = 0;
  const auto read = std::from_chars(rest.data(), rest.data() + rest.size(), k);
  rest.remove_prefix(static_cast<std::size_t>(read.ptr - rest.data()));
  if (read.ec != std::errc() || !take(rest, "]")) return nullptr;
  const int count = static_cast<int>(list.inside.size());
  if (k < 0) k += count;
  return k >= 0 && k < count ? &list.inside[static_cast<std::size_t>(k)] : nullptr;
}

const SummaryNode* member_at(const SummaryNode& group, std::string_view& rest) {
  const std::string_view key = rest.substr(0, rest.find_first_of(".["));
  const auto found = std::find_if(group.inside.begin(), group.inside.end(),
                                  [key](const SummaryNode& node) { return node.name == key; });
  rest.remove_prefix(key.size());
  return found == group.inside.end() ? nullptr : &*found;
}

void gather(const SummaryNode& node, const std::string& address, std::vector<std::string>& all) {
  if (node.holds == Holds::number || node.holds == Holds::nothing) all.push_back(address);
  for (std::size_t k = 0; k < node.inside.size(); ++k) {
    const SummaryNode& inner = node.inside[k];
    if (node.holds == Holds::group) {
      gather(inner, address.empty() ? inner.name : address + "." + inner.name, all);
      continue;
    }
    const auto first = std::find_if(node.inside.begin(), node.inside.end(),
                                    [&inner](const SummaryNode& other) { return other.name == inner.name; });
    const bool by_name = !inner.name.empty() && &*first == &inner;
    gather(inner, fmt::format("{}[{}]", address, by_name ? inner.name : std::to_string(k)), all);
  }
}

}  // namespace

SummaryNode read_summary(const std::string& text, const std::string& file) {
  const Json json = Json::parse(text, nullptr, false);
  if (!json.is_object() || json.value("schema", Json()) != "joulepress.summary/1")
    throw FileError(fmt::format("\"{}\" is no summary that can be read here.", file));
  return node_of(json, {});
}

std::optional<double> number_at(const SummaryNode& summary, const std::string& address) {
  const SummaryNode* node = &summary;
  std::string_view rest = address;
  while (!rest.empty()) {
    if (node->holds == Holds::list) {
      node = entry_at(*node, rest);
    } else {
      if (node != &summary && !take(rest, ".")) return {};
      node = member_at(*node, rest);
    }
    if (!node) return {};
  }
  if (node->holds != Holds::number) return {};
  return node->number;
}

std::vector<std::string> number_addresses(const SummaryNode& summary) {
  std::vector<std::string> all;
  gather(summary, {}, all);
  return all;
}

}  // namespace joulepress::tools
