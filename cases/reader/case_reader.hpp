// Case file -> Case.
#pragma once

#include <filesystem>

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

/// What to use instead of the case's own, by their names on the command line; empty: the case's own.
struct Instead {
  std::string press;        ///< press_files.hpp
  std::string calibration;  ///< a file relative to the working folder
};

/// Reads a case with its press and tooling files, its materials and its calibration (cases/calibrate.hpp).
/// Mistakes go to the list; where it is plain what was meant (a bare number, a mistyped name) the case holds
/// that, so that later checks go on.
Case read_case(const std::filesystem::path& path, ErrorList& errors, const Instead& instead = {});

/// The same; throws InputErrors with everything that is wrong with the file.
Case read_case(const std::filesystem::path& path);

/// A document that is read already; what it names is looked for beside `folder`.
Case read_case(const SourceNode& document, const std::filesystem::path& folder, ErrorList& errors);

/// The same of a text that is to become the file `path`; what it names is looked for beside that place.
Case read_case(const std::filesystem::path& path, const std::string& text);

}  // namespace joulepress::cases
