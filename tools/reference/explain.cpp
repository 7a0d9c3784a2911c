#include "tools/reference/explain.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/input_error.hpp"
#include "cases/reader/keys.hpp"

namespace joulepress::tools {
namespace {

using cases::Key;

/// What may stand behind a key, in words: "a length (mm, cm, m, um), or: middle".
std::string holds_text(const Key& key) {
  std::string text;
  const auto add = [&text](const std::string& what) { text += (text.empty() ? "" : ", or ") + what; };
  if (key.holds & cases::quantity) {
    if (key.kind == cases::Kind::ratio)
      add("a plain number, or %");
    else if (key.kind)
      add(fmt::format("a {} ({})", cases::kind_name(*key.kind), cases::units_of(*key.kind)));
    else
      add("a value of what it belongs to, with its unit");
  }
  if (key.holds & cases::words) add(key.holds & cases::group ? "the name of a file" : "text");
  if (key.holds & cases::word) {
    std::string choices;
    for (const std::string& choice : cases::choices_of(key))
      choices += (choices.empty() ? "" : " or ") + fmt::format("`{}`", choice);
    add(choices);
  }
  if (key.holds & cases::flag) add("`on` or `off`");
  if (key.holds & cases::whole) add("a whole number");
  if (key.holds & cases::group) add(fmt::format("keys of \"{}\"", key.inner));
  if (key.holds & cases::list)
    add(key.inner.empty() ? "a list" : fmt::format("a list, each entry with keys of \"{}\"", key.inner));
  if (key.holds & cases::numbers) add("rows of numbers");
  return text;
}

std::string absent_text(const Key& key) {
  if (key.required) return "required";
  return key.standard.empty() ? std::string(key.otherwise) : std::string(key.standard);
}

std::string spread_text(const Key& key) {
  if (!key.may_vary) return "no";
  switch (key.spread.kind) {
    case cases::Spread::Kind::none:
      return "yes";
    case cases::Spread::Kind::deviation:
      return fmt::format("yes; normal, one standard deviation {} ({})", key.spread.size, key.spread.source);
    case cases::Spread::Kind::factor:
      break;
  }
  return fmt::format("yes; log-normal, a factor of {} either way in 95 % ({})", key.spread.size,
                     key.spread.source);
}

const cases::KeyGroup* find_group(std::string_view name) {
  for (const cases::KeyGroup& group : cases::all_groups())
    if (group.name == name) return &group;
  return nullptr;
}

std::string explain_key(const Key& key) {
  const auto line = [](const char* what, const std::string& value) {
    return value.empty() ? std::string() : fmt::format("  {:<12}{}\n", what, value);
  };
  const cases::KeyGroup* place = find_group(key.group);
  std::string text = fmt::format("{}\n  {}\n\n", cases::address_of(key), key.means);
  text += line("stands in", place ? std::string(place->where) : std::string());
  text += line("holds", holds_text(key)) + line("bounds", cases::bounds_of(key));
  text += line(key.required || !key.standard.empty() ? "default" : "if absent", absent_text(key));
  if (!key.example.empty()) text += line("example", fmt::format("{}: {}", key.name, key.example));
  text += line("may vary", spread_text(key));
  return text;
}

std::string explain_group(const cases::KeyGroup& group) {
  std::string text = fmt::format("{} ({})\n  {}\n\n", group.name, group.where, group.means);
  for (const Key& key : cases::all_keys())
    if (key.group == group.name) text += fmt::format("  {:<20}  {}\n", key.name, key.means);
  return text;
}

std::string everything() {
  std::string text = "Every key, group by group. For one: joulepress explain KEY\n";
  for (const cases::KeyGroup& group : cases::all_groups()) text += "\n" + explain_group(group);
  return text;
}

/// One cell of a Markdown table.
std::string cell(std::string text) {
  for (std::size_t at = 0; (at = text.find('|', at)) != std::string::npos; at += 2) text.insert(at, "\\");
  return text;
}

}  // namespace

std::optional<std::string> explain(const std::string& asked) {
  if (asked.empty()) return everything();
  if (const Key* key = cases::key_at(asked)) {
    const cases::KeyGroup* opens = find_group(key->inner);
    return explain_key(*key) + (opens ? "\n" + explain_group(*opens) : "");
  }
  std::string text;
  for (const Key& key : cases::all_keys())
    if (key.name == asked) text += (text.empty() ? "" : "\n") + explain_key(key);
  if (const cases::KeyGroup* group = find_group(asked))
    text += (text.empty() ? "" : "\n") + explain_group(*group);
  if (text.empty()) return std::nullopt;
  return text;
}

std::string explain_suggestion(const std::string& asked) {
  std::vector<std::string> known;
  for (const Key& key : cases::all_keys()) {
    known.emplace_back(key.name);
    known.push_back(cases::address_of(key));
  }
  const std::string near = cases::nearest(asked, known);
  return near.empty() ? "`joulepress explain` alone lists them all."
                      : fmt::format("Did you mean \"{}\"?", near);
}

std::string case_reference() {
  std::string text =
      "# Case reference\n\n"
      "Every key of case, press, tooling, material and plan files and of maps of logs. Generated from the "
      "table "
      "the program reads with\n"
      "(`joulepress explain --reference`); how the pieces fit together is told in "
      "[case_file.md](case_file.md).\n";
  for (const cases::KeyGroup& group : cases::all_groups()) {
    text += fmt::format("\n## {}\n\n{}: {}\n\n| key | holds | bounds | default | meaning | may vary |\n",
                        group.name, group.where, group.means);
    text += "| --- | --- | --- | --- | --- | --- |\n";
    for (const Key& key : cases::all_keys()) {
      if (key.group != group.name) continue;
      text += fmt::format("| `{}` | {} | {} | {} | {} | {} |\n", key.name, cell(holds_text(key)),
                          cases::bounds_of(key), cell(absent_text(key)), cell(std::string(key.means)),
                          cell(spread_text(key)));
    }
  }
  return text;
}

}  // namespace joulepress::tools
