// What the verbs that run many members share.
#pragma once

#include <cstddef>

#include "tools/crew/crew.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {

CrewRequest crew_request(const StudyOptions& options);

/// One line: how many were run now and how many had ended before.
void say_who_ran(const CrewResult& result, std::size_t members);

/// Says what is missing, and returns the exit code: interrupted, or done where other shares are still to
/// come.
int unfinished(const CrewResult& result);

}  // namespace joulepress::tools
