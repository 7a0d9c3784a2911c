// Press files: where they lie and what is in them.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"

namespace joulepress::cases {

/// The file a case includes by name: beside the case, else among the shipped ones; may not exist.
std::filesystem::path included_file(const std::string& name, const std::filesystem::path& case_folder);

/// Names of the shipped presses; `workshop-30kN` is the file `presses/workshop-30kN.yaml`.
std::vector<std::string> shipped_presses();

/// Those of them that send a current; a hot press has no limit of one.
std::vector<std::string> shipped_presses_with_current();

/// The file of a press named on the command line: relative to the working folder, a shipped file, or a
/// shipped name alone; an error and nothing where there is none.
std::optional<std::filesystem::path> press_named(const std::string& name, ErrorList& errors);

/// Throws InputErrors.
Press read_press(const std::filesystem::path& path);

}  // namespace joulepress::cases
