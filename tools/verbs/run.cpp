#include <fmt/format.h>

#include <chrono>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/calibrate.hpp"
#include "cases/drive.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tools/crew/stop.hpp"
#include "tools/crew/summary_of_run.hpp"
#include "tools/screen/progress.hpp"
#include "tools/screen/report.hpp"
#include "tools/store/checkpoint_h5.hpp"
#include "tools/store/files.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/store/log_csv.hpp"
#include "tools/store/results_h5.hpp"
#include "tools/store/summary_json.hpp"
#include "tools/store/timing_json.hpp"
#include "tools/verbs/verbs.hpp"
#include "tools/vtk/field_series.hpp"
#include "tools/vtk/strength_series.hpp"

namespace joulepress::tools {
namespace {

/// Whose results lie in the folder.
enum class Found { nothing, same_complete, same_incomplete, other };

Found look_into(const std::filesystem::path& folder, const std::string& hash) {
  const std::filesystem::path file = folder / "summary.json";
  if (!std::filesystem::exists(file)) return Found::nothing;
  const auto summary = nlohmann::json::parse(read_whole(file), nullptr, false);
  if (summary.is_discarded() || summary.value("case_sha256", "") != hash) return Found::other;
  return summary.value("status", "") == "completed" ? Found::same_complete : Found::same_incomplete;
}

/// Makes the folder, or takes from it what an earlier run left, the summary first: a run that is killed then
/// leaves no file that speaks of another one.  Writing the case before the march shows that the folder can be
/// written to.
void prepare(const std::filesystem::path& folder, const std::string& resolved, bool keep_checkpoints) {
  make_folder(folder);
  for (const char* name : {"summary.json", "history.csv", "results.h5", "results.h5.part",
                           "results.h5.part.new", "report.html", "timing.json"})
    remove_file(folder / name);
  if (!keep_checkpoints) remove_checkpoints(folder);
  remove_field_series(folder);
  remove_strength_series(folder);
  write_whole(folder / "resolved_case.yaml", resolved);
}

/// The checkpoint to go on from; says why one is not used.
std::optional<StoredCheckpoint> checkpoint_in(const std::filesystem::path& folder,
                                              const CheckpointOwner& owner, const solver::Problem& problem) {
  FoundCheckpoint found = find_checkpoint(folder, owner, problem);
  for (const std::string& why : found.refused) fmt::print("{}\n", why);
  if (found.checkpoint)
    fmt::print("Goes on from {:.1f} s, after {} steps.\n", found.checkpoint->march.state.time,
               found.checkpoint->march.state.counts.steps);
  else
    fmt::print("There is no checkpoint to go on from; the run begins anew.\n");
  return std::move(found.checkpoint);
}

/// What the march hands out, on its way into files; keeps the time that writing takes apart.
class Outputs {
 public:
  Outputs(const RunOptions& options, CheckpointOwner owner, const std::string& resolved,
          const solver::Problem& problem, const std::optional<StoredCheckpoint>& begun, Log* log,
          const StopSignals& signals)
      : folder_(options.folder),
        owner_(std::move(owner)),
        line_(options.quiet),
        results_(
            options.folder, {owner_.version, owner_.case_sha256, resolved}, problem,
            begun ? Results{.rows = begun->march.rows, .fields = begun->fields, .ledger = {}} : Results{}),
        series_(options.folder, problem, options.sectors),
        log_(log),
        signals_(signals) {
    if (!begun) return;
    fields_ = begun->fields;
    for (const solver::CellFields& fields : fields_) series_.add(fields);
  }

  solver::Observers observers() {
    solver::Observers observers;
    observers.progress = [this](const solver::Progress& progress) {
      line_.show(progress);
      return !signals_.asked();
    };
    observers.row = [this](const solver::HistoryRow& row) { timed([&] { results_.add(row); }); };
    observers.fields = [this](const solver::CellFields& fields) {
      timed([&] {
        fields_.push_back(fields);
        results_.add(fields);
        series_.add(fields);
      });
    };
    observers.checkpoint = [this](const solver::Checkpoint& checkpoint) {
      timed([&] { write_checkpoint(folder_, owner_, {checkpoint, fields_}); });
    };
    if (!log_) return observers;
    observers.sample_every = log_->every();
    observers.sample = [this](const solver::HistoryRow& row) { timed([&] { log_->add(row); }); };
    return observers;
  }

  /// The march has ended.
  void finish_line() { line_.finish(); }

  /// The run has ended.  Checkpoints stay where it can go on.
  void finish(const solver::RunResult& result, const solid::Strength* strength) {
    results_.finish(result, strength);
    series_.finish();
    if (result.status != solver::RunStatus::interrupted) remove_checkpoints(folder_);
  }

  double cpu() const { return cpu_; }

 private:
  template <class F>
  void timed(F&& write) {
    const double before = cpu_seconds();
    write();
    cpu_ += cpu_seconds() - before;
  }
  std::filesystem::path folder_;
  CheckpointOwner owner_;
  ProgressLine line_;
  ResultsFile results_;
  FieldSeries series_;
  Log* log_;  ///< null: none
  const StopSignals& signals_;
  std::vector<solver::CellFields> fields_;  ///< handed out so far, for the checkpoints
  double cpu_ = 0;                          ///< s
};

void write_results(const std::filesystem::path& folder, const SummaryHead& head,
                   const solver::RunResult& result, const solver::Summary& summary,
                   const std::optional<solid::Strength>& strength) {
  write_whole(folder / "history.csv", history_csv(result.frame, result.rows));
  write_whole(folder / "summary.json", summary_json(head, result, summary, strength));
}

int exit_code(solver::RunStatus status) {
  if (status == solver::RunStatus::failed) return unsolved;
  return status == solver::RunStatus::interrupted ? interrupted : done;
}

}  // namespace

int run_case(const RunOptions& options, RunTold* told) {
  using Clock = std::chrono::steady_clock;
  const auto start = Clock::now();
  auto [c, problem] = cases::load_case(options.case_file, options.press, options.calibration);
  // The resolved case, not the file's bytes, says what was run: it holds the press and the materials too.
  const std::string resolved = cases::resolved_case(c);
  const std::string hash = sha256(resolved);
  const Found found = look_into(options.folder, hash);
  const bool logged = !options.log.empty();
  const bool may_exist = options.replace || found == Found::same_complete;
  const std::string refused =
      logged ? why_no_log(c, {options.log, options.folder, options.resume, may_exist}) : "";
  if (!refused.empty()) {
    fmt::print(stderr, "{}\n", refused);
    return bad_input;
  }
  if (found == Found::same_complete && !options.replace) {
    fmt::print(
        "{} holds the complete results of this case already; nothing to do (--replace runs it again).\n{}",
        options.folder.string(),
        logged ? "The log was not written; --replace runs again and writes it.\n" : "");
    return done;
  }
  if (found == Found::other && !options.replace) {
    fmt::print(
        stderr,
        "{} holds results of another case; name another folder, or give --replace to overwrite them.\n",
        options.folder.string());
    return bad_input;
  }
  const std::optional<solver::Gains> gains = cases::settle_gains(c, problem);
  if (logged) prepare_log(options.log);
  const CheckpointOwner owner{JOULEPRESS_VERSION, hash};
  std::optional<StoredCheckpoint> begun;
  if (options.resume) begun = checkpoint_in(options.folder, owner, problem);
  prepare(options.folder, resolved, begun.has_value());

  const StopSignals signals;
  std::optional<Log> log;
  if (logged) log.emplace(c, problem);
  Outputs outputs(options, owner, resolved, problem, begun, log ? &*log : nullptr, signals);
  const double cpu_before = cpu_seconds();
  const solver::RunResult result = solver::run(problem, outputs.observers(), begun ? &begun->march : nullptr);
  const double march_cpu = cpu_seconds() - cpu_before - outputs.cpu();
  if (log) write_whole(options.log, log->csv());
  outputs.finish_line();
  const double judging = cpu_seconds();
  std::optional<solid::Strength> strength;
  if (result.status != solver::RunStatus::interrupted) strength = solid::judge_if_wanted(problem, result);
  if (strength && strength->worst)
    write_strength_series(options.folder, problem, solid::poses_of(problem, result, *strength),
                          options.sectors);
  const double judging_cpu = cpu_seconds() - judging;
  outputs.finish(result, strength ? &*strength : nullptr);

  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const SummaryHead head = head_of_run(c, problem, hash, result, summary);
  write_results(options.folder, head, result, summary, strength);
  const double wall = std::chrono::duration<double>(Clock::now() - start).count();
  write_report(options.folder, options.language);
  write_whole(options.folder / "timing.json",
              timing_json({wall, cpu_seconds(), march_cpu, judging_cpu}, result.counts));

  if (told) {
    *told = {std::move(problem), result};
    return exit_code(result.status);
  }
  ReportHead report{c.title,
                    JOULEPRESS_VERSION,
                    c.sleeves.empty() ? 0.0 : c.contacts.heat_lateral,
                    c.accuracy,
                    head.warnings,
                    head.not_modelled,
                    head.held,
                    solver::needs_of(problem, result),
                    gains,
                    strength ? &*strength : nullptr,
                    c.calibration ? cases::logs_in_words(*c.calibration) : "",
                    cases::factor_left(c, "contacts.lateral.thermal")};
  fmt::print(
      "{}\nResults in {}: summary.json, history.csv, results.h5, fields.pvd,{} resolved_case.yaml, "
      "report.html, timing.json ({:.1f} s).\n",
      terminal_report(report, problem, result, summary), options.folder.string(),
      strength && strength->worst ? " strength.pvd," : "", wall);
  if (log)
    fmt::print("Log in {}: {} lines, one every {} s.\n", options.log.string(), log->lines(), log->every());
  if (result.status == solver::RunStatus::failed) fmt::print(stderr, "\nThe run failed {}\n", result.reason);
  return exit_code(result.status);
}

}  // namespace joulepress::tools
