// Case file -> Case.
#pragma once

#include <filesystem>

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

/// Reads a case with its press and tooling files and its materials.  Mistakes go to the list; where it is
/// plain what was meant (a bare number, a mistyped name) the case holds that, so that later checks go on.
/// `press`: one to use instead of the case's own, by its name (press_files.hpp); empty: the case's own.
Case read_case(const std::filesystem::path& path, ErrorList& errors, const std::string& press = {});

/// The same; throws InputErrors with everything that is wrong with the file.
Case read_case(const std::filesystem::path& path);

/// A document that is read already; what it names is looked for beside `folder`.
Case read_case(const SourceNode& document, const std::filesystem::path& folder, ErrorList& errors);

/// The same of a text that is to become the file `path`; what it names is looked for beside that place.
Case read_case(const std::filesystem::path& path, const std::string& text);

}  // namespace joulepress::cases
