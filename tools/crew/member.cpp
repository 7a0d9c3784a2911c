#include "tools/crew/member.hpp"

#include <algorithm>
#include <array>
#include <new>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/drive.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/march.hpp"
#include "tools/crew/summary_of_run.hpp"
#include "tools/store/files.hpp"
#include "tools/store/history_csv.hpp"

namespace joulepress::tools {
namespace {

namespace fs = std::filesystem;

constexpr const char* schema = "joulepress.member/1";
constexpr std::array<const char*, 4> outcome_names{"completed", "stopped", "failed",
                                                   "refused"};  // as Outcome

/// What a run leaves; no files where the case could not be run at all.
struct Work {
  Outcome outcome = Outcome::completed;
  std::string reason;
  std::string summary, history;
};

Outcome outcome_of(solver::RunStatus status) {
  if (status == solver::RunStatus::stopped) return Outcome::stopped;
  return status == solver::RunStatus::failed ? Outcome::failed : Outcome::completed;
}

/// None: interrupted.
std::optional<Work> march(const Member& member, const std::function<bool()>& go_on) {
  // The name of the file without its folder: messages are the same wherever the study lies.
  const cases::Case c = cases::read_case("resolved_case.yaml", member.case_text);
  solver::Problem problem = cases::build_problem(c);
  cases::settle_gains(c, problem);
  solver::Observers observers;
  observers.progress = [&go_on](const solver::Progress&) { return go_on(); };
  const solver::RunResult result = solver::run(problem, observers);
  if (result.status == solver::RunStatus::interrupted) return {};
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  Work work;
  work.outcome = outcome_of(result.status);
  work.reason = result.reason;
  work.summary = summary_json(head_of_run(c, problem, sha256(member.case_text), result, summary), result,
                              summary, solid::judge_if_wanted(problem, result));
  work.history = history_csv(result.frame, result.rows);
  return work;
}

/// Without the line feeds at its end.
std::string without_end(std::string text) {
  while (text.ends_with('\n')) text.pop_back();
  return text;
}

std::optional<Work> work_on(const Member& member, const std::function<bool()>& go_on) {
  if (!member.refused.empty()) return Work{Outcome::refused, member.refused, {}, {}};
  try {
    return march(member, go_on);
  } catch (const cases::InputErrors& problem) {
    return Work{Outcome::refused, without_end(problem.what()), {}, {}};
  } catch (const std::bad_alloc&) {
    throw;  // says something of the machine, nothing of the case
  } catch (const std::exception& problem) {
    return Work{Outcome::failed, problem.what(), {}, {}};
  }
}

std::string outcome_json(const Member& member, const Work& work) {
  using Json = nlohmann::ordered_json;
  const Json json{{"schema", schema},
                  {"id", member.id},
                  {"label", member.label},
                  {"case_sha256", sha256(member.case_text)},
                  {"version", JOULEPRESS_VERSION},
                  {"status", outcome_name(work.outcome)},
                  {"reason", work.reason.empty() ? Json(nullptr) : Json(work.reason)},
                  {"summary_sha256", work.summary.empty() ? Json(nullptr) : Json(sha256(work.summary))}};
  // Words of a plan or a message may hold any bytes.
  return json.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

/// Text of a file; none where there is none to read, or no longer.
std::optional<std::string> text_of(const fs::path& file) {
  try {
    return read_whole(file);
  } catch (const FileError&) {
    return {};
  }
}

/// Takes away what another case, or an attempt that did not end, left.  Only files by their names: another
/// process may be at work in the folder.
void clear(const fs::path& folder) {
  for (const char* name : {"outcome.json", "summary.json", "history.csv"}) remove_file(folder / name);
}

}  // namespace

std::string outcome_name(Outcome outcome) {
  return outcome_names[static_cast<std::size_t>(outcome)];
}

std::optional<Finished> ended_before(const fs::path& folder, const Member& member) {
  const auto text = text_of(folder / "outcome.json");
  if (!text) return {};
  const auto json = nlohmann::json::parse(*text, nullptr, false);
  const auto word = [&json](const char* key) {
    const auto found = json.find(key);
    return found != json.end() && found->is_string() ? found->get<std::string>() : std::string();
  };
  if (!json.is_object() || word("schema") != schema || word("version") != JOULEPRESS_VERSION ||
      word("case_sha256") != sha256(member.case_text))
    return {};
  const auto name = std::find(outcome_names.begin(), outcome_names.end(), word("status"));
  if (name == outcome_names.end()) return {};
  Finished finished{static_cast<Outcome>(name - outcome_names.begin()), word("reason"), folder};
  // What a plan refuses has no case to tell it from another: the reason must be the same too.
  if (!member.refused.empty() && (finished.outcome != Outcome::refused || finished.reason != member.refused))
    return {};
  const std::string whole = word("summary_sha256");
  if (whole.empty())  // an exception, or no case
    return finished.outcome == Outcome::failed || finished.outcome == Outcome::refused
               ? std::optional(std::move(finished))
               : std::nullopt;
  const auto summary = text_of(folder / "summary.json");
  if (!summary || sha256(*summary) != whole) return {};
  return finished;
}

std::optional<Finished> run_member(const fs::path& folder, const Member& member,
                                   const std::function<bool()>& go_on) {
  clear(folder);
  make_folder(folder);
  // Before the march: shows that the folder can be written to.
  write_among_others(folder / "resolved_case.yaml", member.case_text);
  const auto work = work_on(member, go_on);
  if (!work) return {};
  // All of them even if another process has been faster: it may have cleared some of ours, or we of its.
  if (!work->summary.empty()) {
    write_among_others(folder / "history.csv", work->history);
    write_among_others(folder / "summary.json", work->summary);
  }
  write_among_others(folder / "outcome.json", outcome_json(member, *work));
  return Finished{work->outcome, work->reason, folder};
}

SummaryNode summary_of(const Finished& member) {
  const fs::path file = member.folder / "summary.json";
  if (!fs::exists(file)) return {};
  return read_summary(read_whole(file), file.string());
}

}  // namespace joulepress::tools
