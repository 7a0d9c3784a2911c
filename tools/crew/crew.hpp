// A crew runs the members of a study on all cores, each in a folder of its own:
//   FOLDER/members/ID/{resolved_case.yaml, history.csv, summary.json, outcome.json}
// outcome.json (joulepress.member/1, docs/output_format.md) comes last.  Where it stands with the hash of the
// member's case and this version the member has ended, well or not, and is never run again: who is killed, or
// works in shares, goes on by asking once more.  A member's files are the same bytes whatever the number of
// threads, shares or attempts, and summary.json and history.csv are those of `joulepress run` on
// resolved_case.yaml.
//
// Processes that work in one folder need not know of each other.  Those with different shares never meet;
// those with the same write the same bytes, each under a name of its own, and the last one to rename wins.
#pragma once

#include <filesystem>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "tools/store/summary_read.hpp"

namespace joulepress::tools {

struct Member {
  std::string id;            ///< names its folder: a-z, 0-9 and -; its own
  std::string label;         ///< for readers
  std::string case_text;     ///< a resolved case (cases/reader/case_writer.hpp)
  std::string refused = {};  ///< why it is no case: this is recorded, nothing is run
};

/// Members k with k % of == number - 1.
struct Share {
  int number = 1, of = 1;
};

/// "K/N" with 1 <= K <= N.
std::optional<Share> share_of(const std::string& word);

/// stopped: by an abort rule of the case.  refused: it is no case.
enum class Outcome { completed, stopped, failed, refused };

/// As files and screens have it.
std::string outcome_name(Outcome outcome);

struct Finished {
  Outcome outcome = Outcome::completed;
  std::string reason;            ///< of all but completed
  std::filesystem::path folder;  ///< of the member
};

/// Its numbers; empty where the run came to none.  Throws FileError.
SummaryNode summary_of(const Finished& member);

struct CrewRequest {
  std::filesystem::path folder;  ///< made when missing
  Share share = {};
  int threads = 0;  ///< 0: as many as cores may be used
  bool quiet = false;
};

struct CrewResult {
  std::vector<std::optional<Finished>> members;  ///< as they were given; none: not yet, of another share
  int run_now = 0;                               ///< members that ended in this call, refused ones included
  int found = 0;                                 ///< had ended before, of any share
  bool interrupted = false;                      ///< by SIGINT or SIGTERM
};

/// What a member throws is its outcome and stops nobody else.  Throws FileError when the folder cannot be
/// written to, std::invalid_argument for ids or a share that are none.
CrewResult run_members(const CrewRequest& request, std::span<const Member> members);

}  // namespace joulepress::tools
