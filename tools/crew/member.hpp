// One member of a study: whether it has ended, its run, and its files.
#pragma once

#include <functional>

#include "tools/crew/crew.hpp"

namespace joulepress::tools {

/// What outcome.json tells, if it is of this case and version and its files are whole.
std::optional<Finished> ended_before(const std::filesystem::path& folder, const Member& member);

/// Runs it and writes its files; none when `go_on` said no first, and then nothing reads as ended.  Throws
/// FileError when the folder cannot be written to.
std::optional<Finished> run_member(const std::filesystem::path& folder, const Member& member,
                                   const std::function<bool()>& go_on);

}  // namespace joulepress::tools
