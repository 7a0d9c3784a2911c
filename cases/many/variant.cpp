#include "cases/many/variant.hpp"

#include <fmt/format.h>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"

namespace joulepress::cases {
namespace {

void drop(SourceNode& node, const std::string& key) {
  for (std::size_t k = node.keys.size(); k-- > 0;) {
    if (node.keys[k] != key) continue;
    const auto at = static_cast<std::ptrdiff_t>(k);
    node.keys.erase(node.keys.begin() + at);
    node.key_places.erase(node.key_places.begin() + at);
    node.children.erase(node.children.begin() + at);
  }
}

/// `for: 60 s` becomes the temperature, or the step, that settled it.
void let_hold_follow(SourceNode& node, const ProgrammeStep& step) {
  if (!step.until && step.until_start_of.empty()) return;
  for (std::size_t k = 0; k < node.keys.size(); ++k) {
    if (node.keys[k] != "for") continue;
    node.keys[k] = step.until ? "until" : "until start of";
    node.children[k].text = step.until ? fmt::format("{} K", *step.until) : step.until_start_of;
  }
}

/// " (plan.yaml:7:20)"; nothing of a value that was not changed, or stands in no file.
std::string place_in_plan(const Place& place, const SourceNode& resolved) {
  if (place.line == 0 || place.file == resolved.place.file) return {};
  return fmt::format(" ({}:{}:{})", std::filesystem::path(place.file).filename().string(), place.line,
                     place.column);
}

}  // namespace

SourceNode resolved_document(const Case& c) {
  ErrorList errors;
  SourceNode document = parse_document(c.file + " (resolved)", resolved_case(c), errors);
  errors.throw_if_any();
  if (c.starts_as_chamber) drop(document, "start temperature");
  SourceNode* programme = child_of(document, "programme");
  if (SourceNode* pressure = programme ? child_of(*programme, "pressure on powder") : nullptr)
    for (std::size_t k = 0; k < pressure->children.size(); ++k)
      let_hold_follow(pressure->children[k], c.programme.pressure[k]);
  return document;
}

Variant variant_of(const SourceNode& resolved, const std::vector<Edit>& edits,
                   const std::filesystem::path& folder) {
  try {
    ErrorList errors;
    const SourceNode document = edited(resolved, edits, errors);
    errors.throw_if_any();
    const Case c = read_case(document, folder, errors);
    build_problem(c, errors);
    errors.throw_if_any();
    return {resolved_case(c), {}};
  } catch (const InputErrors& problem) {
    std::string why;
    for (const InputError& error : problem.errors()) {
      if (!why.empty()) why += " ";
      if (!error.key.empty()) why += error.key + ": ";
      why += error.problem;
      if (!error.remedy.empty()) why += " " + error.remedy;
      why += place_in_plan(error.place, resolved);
    }
    return {{}, why};
  }
}

}  // namespace joulepress::cases
