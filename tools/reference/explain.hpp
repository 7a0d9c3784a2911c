// The key table in words: one key for the terminal, all of them as a page, and as a JSON Schema for editors.
#pragma once

#include <optional>
#include <string>

namespace joulepress::tools {

/// What is known under `asked`: an address (`sleeves.height`), the name of a key (all keys of that name) or
/// of a group; everything, one line a key, when it is empty.  Nothing when no such key exists.
std::optional<std::string> explain(const std::string& asked);

/// "Did you mean ...?" for a key that does not exist.
std::string explain_suggestion(const std::string& asked);

/// docs/case_reference.md.
std::string case_reference();

/// JSON Schema (draft 2020-12) of a case file: structure, words, and quantities with their units.
std::string case_schema();

}  // namespace joulepress::tools
