// The page of a run: one HTML file with everything inside, that works from disk and asks nothing of a
// network.
//
// Its content security policy allows the scripts and the style it carries, by their hashes, and
// images within it; nothing else.  docs/report_design.md says why it looks as it does.
#pragma once

#include <filesystem>
#include <string>

#include "tools/html/matter.hpp"

namespace joulepress::tools::html {

/// Reads a folder of results and builds its case again.  Throws NoResults, FileError, and cases::InputErrors
/// when the stored case is none for this version.
Matter matter_of(const std::filesystem::path& folder, Language language);

/// The page, the same bytes for the same results.
std::string page_of(const Matter& m);

}  // namespace joulepress::tools::html
