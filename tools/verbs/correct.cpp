#include <fmt/format.h>

#include <atomic>
#include <cmath>
#include <future>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/reader/case_writer.hpp"
#include "tools/crew/stop.hpp"
#include "tools/html/card.hpp"
#include "tools/html/offsets_page.hpp"
#include "tools/screen/progress.hpp"
#include "tools/store/files.hpp"
#include "tools/store/results_read.hpp"
#include "tools/study/correct_search.hpp"
#include "tools/study/offset_table.hpp"
#include "tools/study/programme_runs.hpp"
#include "tools/verbs/study.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {
namespace {

/// What was asked, in a line: the same question of the same case has the same answer.
std::string asked(const CorrectRequest& request) {
  std::string text = "powder " + word_of(request.meant);
  if (request.density) text += fmt::format(", density {}", *request.density);
  if (!request.like.empty())
    text += ", like " + sha256(read_whole(request.like / "summary.json")).substr(0, 16);
  if (!request.bound.empty() && std::filesystem::exists(request.bound / "bound.json"))
    text += ", bound " + sha256(read_whole(request.bound / "bound.json")).substr(0, 16);
  return text;
}

Answered look_into(const std::filesystem::path& folder, const std::string& hash,
                   const std::string& question) {
  const std::filesystem::path file = folder / "correct.json";
  if (!std::filesystem::exists(file)) return Answered::nothing;
  const auto json = nlohmann::json::parse(read_whole(file), nullptr, false);
  if (!json.is_object()) return Answered::other;
  return json.value("case_sha256", "") == hash && json.value("asked", "") == question ? Answered::same
                                                                                      : Answered::other;
}

/// How the search goes on, on stderr.
class SearchLine {
 public:
  explicit SearchLine(bool quiet) : line_(quiet, std::chrono::milliseconds(100)) {}
  void show(int runs, double rms_K) {
    if (line_.due(0.0))
      line_.write(
          std::isfinite(rms_K)
              ? fmt::format("{} runs; the powder comes within {:.1f} K of the wish (rms)", runs, rms_K)
              : fmt::format("{} runs", runs));
  }
  void finish() { line_.finish(); }

 private:
  ScreenLine line_;
};

/// The normal run of the corrected case, and what it shows.
struct Verified {
  int code = done;
  CorrectStudy study;
};

Verified verify_once(const CorrectOptions& options, const std::string& hash, const cases::Case& c,
                     const PowderWish& wish, const Correction& correction) {
  write_whole(options.folder / "corrected_case.yaml", cases::resolved_case(correction.corrected));
  RunOptions run;
  run.case_file = options.folder / "corrected_case.yaml";
  run.folder = options.folder / "verified";
  run.quiet = options.quiet;
  run.replace = true;
  run.language = options.language;
  RunTold told;
  Verified verified;
  verified.code = run_case(run, &told);
  verified.study = correct_study(c, hash, wish, correction, options.request, told.problem, told.result);
  return verified;
}

/// A controller may hold a little off what exact following found: the levels are then moved once.
Verified verify(const CorrectOptions& options, const std::string& hash, const cases::Case& c,
                const PowderWish& wish, Correction& correction) {
  Verified verified = verify_once(options, hash, c, wish, correction);
  if (verified.code != done || !move_levels(verified.study, c, correction)) return verified;
  verified = verify_once(options, hash, c, wish, correction);
  ++verified.study.runs;
  return verified;
}

/// Offsets of the stack instead, its members run like those of any study.
int table_of_offsets(const CorrectOptions& options, const cases::Case& c) {
  StudyOptions study;
  study.file = options.case_file;
  study.folder = options.folder;
  study.threads = options.request.threads;
  study.quiet = options.quiet;
  const OffsetTablePlan plan = offset_table_plan(c, options.case_file.parent_path());
  if (!plan.why_not.empty()) {
    fmt::print(stderr, "{}\n", plan.why_not);
    return bad_input;
  }
  const CrewResult result = run_members(crew_request(study), plan.members);
  say_who_ran(result, plan.members.size());
  const OffsetTable table = offset_table(plan, result);
  if (!table.complete) return unfinished(result);
  write_whole(options.folder / "offsets.csv", offsets_csv(table));
  const html::Words say(options.language);
  const std::string figure = html::offsets_figure(table, say);
  if (!figure.empty()) write_whole(options.folder / "offsets.svg", figure);
  write_whole(options.folder / "offsets.html", html::offsets_page(table, say));
  fmt::print("{}\nIn {}: offsets.html, offsets.csv{}; each run in members.\n", offsets_screen(table),
             options.folder.string(), figure.empty() ? "" : ", offsets.svg");
  return done;
}

}  // namespace

int correct_case(const CorrectOptions& options) {
  const CorrectRequest& request = options.request;
  const cases::Case c = cases::load_case(options.case_file, options.press, options.calibration).c;
  if (options.table) return table_of_offsets(options, c);
  const std::string hash = sha256(cases::resolved_case(c));
  Correction correction;
  PowderWish wish;
  std::string question;
  try {
    wish = wish_of(c, request);
    question = asked(request);
    if (const auto code =
            answered_before(look_into(options.folder, hash, question), options.folder, options.replace))
      return *code;
    make_folder(options.folder);
    for (const char* name : {"correct.json", "card.html", "card.txt", "corrected_case.yaml"})
      remove_file(options.folder / name);
    const StopSignals signals;
    SearchLine line(options.quiet);
    correction = find_correction(
        c, wish, request, [&signals] { return !signals.asked(); },
        [&line](int runs, double rms_K) { line.show(runs, rms_K); });
    line.finish();
    if (!correction.why_not.empty()) {
      fmt::print(stderr, "No programme was found: {}.\n", correction.why_not);
      return unsolved;
    }
  } catch (const Interrupted&) {
    fmt::print(stderr, "\nInterrupted; nothing was found yet.\n");
    return interrupted;
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
  Verified verified;
  try {
    std::atomic<bool> goes_on = true;
    auto slower = std::async(std::launch::async, [&] {
      return find_slower(c, wish, request, correction, [&goes_on] { return goes_on.load(); });
    });
    verified = verify(options, hash, c, wish, correction);
    if (verified.code == interrupted) goes_on = false;
    verified.study.slower = slower.get();
  } catch (const Interrupted&) {
    return interrupted;
  } catch (const NoResults& problem) {
    fmt::print(stderr, "{}\n", problem.what());
    return bad_input;
  }
  CorrectStudy& study = verified.study;
  study.asked = question;
  const html::Words say(options.language);
  const std::string text = html::card_text(study, say);
  write_whole(options.folder / "card.html", html::card_page(study, say));
  write_whole(options.folder / "card.txt", text);
  write_whole(options.folder / "correct.json", correct_json(study));
  fmt::print(
      "{}\nIn {}: card.html, card.txt, correct.json, corrected_case.yaml; the verifying run in verified.\n",
      text, options.folder.string());
  return verified.code;
}

}  // namespace joulepress::tools
