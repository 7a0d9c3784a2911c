#include "cases/reader/included.hpp"

#include <fmt/format.h>

#include "cases/reader/press_files.hpp"

namespace joulepress::cases {

Included include(const SourceNode& node, const std::filesystem::path& folder, Case& c, ErrorList& errors) {
  if (node.type == SourceNode::Type::map) return {std::nullopt, &node};
  const std::string name = text_of(node, errors);
  const std::filesystem::path file = included_file(name, folder);
  std::string text;
  Included included{load_document(file, node.place, errors, &text, node.path), nullptr};
  if (included.document) c.included.push_back({name, file.string(), text});
  return included;
}

Included include_press(const std::string& name, Case& c, ErrorList& errors) {
  const auto file = press_named(name, errors);
  std::string text;
  Included included;
  if (file) included.document = load_document(*file, {}, errors, &text, "press");
  if (included.document) c.included.push_back({name, file->string(), text});
  return included;
}

Included include_calibration(const std::string& name, Case& c, ErrorList& errors) {
  const std::filesystem::path file = included_file(name, {});
  std::string text;
  Included included;
  if (std::filesystem::is_regular_file(file))
    included.document = load_document(file, {}, errors, &text, "calibration");
  else
    errors.add({name, 0, 0}, "calibration", fmt::format("There is no calibration \"{}\".", name),
               "Give a file relative to the working folder.");
  if (included.document) c.included.push_back({name, file.string(), text});
  return included;
}

const SourceNode* keys_of(const Included& included) {
  return included.document ? &*included.document : included.node;
}

}  // namespace joulepress::cases
