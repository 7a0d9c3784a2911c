#include "tools/verbs/study.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace joulepress::tools {

std::optional<ExitCode> answered_before(Answered found, const std::filesystem::path& folder, bool replace) {
  if (replace || found == Answered::nothing) return std::nullopt;
  if (found == Answered::same) {
    fmt::print("{} holds the answer to this question already; nothing to do (--replace asks again).\n",
               folder.string());
    return done;
  }
  fmt::print(stderr,
             "{} holds the answer to another question; name another folder, or give --replace to "
             "overwrite it.\n",
             folder.string());
  return bad_input;
}

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
