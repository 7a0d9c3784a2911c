// What the verbs that answer by many runs share.
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>

#include "tools/crew/crew.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

/// What lies in a folder already: nothing, the answer to the same question, that to another one.
enum class Answered { nothing, same, other };

/// The exit code of a verb that has nothing to do or must not, said on the screen; nothing: it goes on.
std::optional<ExitCode> answered_before(Answered found, const std::filesystem::path& folder, bool replace);

CrewRequest crew_request(const StudyOptions& options);

/// One line: how many were run now and how many had ended before.
void say_who_ran(const CrewResult& result, std::size_t members);

/// Says what is missing, and returns the exit code: interrupted, or done where other shares are still to
/// come.
int unfinished(const CrewResult& result);

}  // namespace joulepress::tools
