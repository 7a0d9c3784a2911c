#include "tools/verbs/study.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace joulepress::tools {

CrewRequest crew_request(const StudyOptions& options) {
  return {options.folder, options.share, options.threads, options.quiet};
}

void say_who_ran(const CrewResult& result, std::size_t members) {
  fmt::print("{} members: {} run now, {} had ended before.\n\n", members, result.run_now, result.found);
}

int unfinished(const CrewResult& result) {
  const auto missing =
      std::count_if(result.members.begin(), result.members.end(), [](const auto& member) { return !member; });
  fmt::print("{} members are still to be run; the tables follow when all have ended: ask once more.\n",
             missing);
  return result.interrupted ? interrupted : done;
}

}  // namespace joulepress::tools
