// Case file -> Case.
#pragma once

#include <filesystem>

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"

namespace joulepress::cases {

/// Reads a case with its press file and materials.  Throws InputErrors with everything that is wrong.
Case read_case(const std::filesystem::path& path);

/// The same of a text that is to become the file `path`; what it names is looked for beside that place.
Case read_case(const std::filesystem::path& path, const std::string& text);

}  // namespace joulepress::cases
