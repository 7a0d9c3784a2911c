// What a case names instead of writing it out.
#pragma once

#include <filesystem>
#include <optional>
#include <string>

#include "cases/case.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

/// What a key includes by name, or has inside: a group of keys, or a file beside the case or a shipped one.
struct Included {
  std::optional<SourceNode> document;
  const SourceNode* node = nullptr;  ///< null after an error
};

/// A file that is read is noted in the case.
Included include(const SourceNode& node, const std::filesystem::path& folder, Case& c, ErrorList& errors);

/// The press, or the calibration, named on the command line.
Included include_press(const std::string& name, Case& c, ErrorList& errors);
Included include_calibration(const std::string& name, Case& c, ErrorList& errors);

/// Null after an error.
const SourceNode* keys_of(const Included& included);

}  // namespace joulepress::cases
