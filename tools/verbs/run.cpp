#include <fmt/format.h>

#include <chrono>
#include <csignal>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tools/screen/pressing_table.hpp"
#include "tools/screen/progress.hpp"
#include "tools/screen/report.hpp"
#include "tools/store/files.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/store/results_h5.hpp"
#include "tools/store/summary_json.hpp"
#include "tools/store/timing_json.hpp"
#include "tools/verbs/verbs.hpp"
#include "tools/vtk/field_series.hpp"

namespace joulepress::tools {
namespace {

volatile std::sig_atomic_t stop_asked = 0;  // the one thing a signal handler may touch
extern "C" void ask_to_stop(int) {
  stop_asked = 1;
}

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
void prepare(const std::filesystem::path& folder, const std::string& resolved) {
  std::error_code problem;
  std::filesystem::create_directories(folder, problem);
  if (problem)
    throw FileError(fmt::format("The folder \"{}\" cannot be made: {}.", folder.string(), problem.message()));
  for (const char* name :
       {"summary.json", "history.csv", "results.h5", "results.h5.part", "results.h5.part.new", "timing.json"})
    remove_file(folder / name);
  remove_field_series(folder);
  write_whole(folder / "resolved_case.yaml", resolved);
}

void write_results(const std::filesystem::path& folder, const SummaryHead& head,
                   const solver::RunResult& result, const solver::Summary& summary) {
  write_whole(folder / "history.csv", history_csv(result.frame, result.rows));
  write_whole(folder / "summary.json", summary_json(head, result, summary));
}

int exit_code(solver::RunStatus status) {
  if (status == solver::RunStatus::failed) return unsolved;
  return status == solver::RunStatus::interrupted ? interrupted : done;
}

}  // namespace

int run_case(const RunOptions& options) {
  using Clock = std::chrono::steady_clock;
  const auto start = Clock::now();
  const auto [c, problem] = cases::load_case(options.case_file);
  // The resolved case, not the file's bytes, says what was run: it holds the press and the materials too.
  const std::string resolved = cases::resolved_case(c);
  const std::string hash = sha256(resolved);
  const Found found = look_into(options.folder, hash);
  if (found == Found::same_complete && !options.replace) {
    fmt::print(
        "{} holds the complete results of this case already; nothing to do (--replace runs it again).\n",
        options.folder.string());
    return done;
  }
  if (found == Found::other && !options.replace) {
    fmt::print(
        stderr,
        "{} holds results of another case; name another folder, or give --replace to overwrite them.\n",
        options.folder.string());
    return bad_input;
  }
  prepare(options.folder, resolved);

  std::signal(SIGINT, ask_to_stop);
  std::signal(SIGTERM, ask_to_stop);
  ProgressLine line(options.quiet);
  ResultsFile results(options.folder, {JOULEPRESS_VERSION, hash, resolved}, problem);
  FieldSeries series(options.folder, problem, options.sectors);
  double writing_cpu = 0.0;
  const auto write = [&](auto&& output) {
    const double before = cpu_seconds();
    output();
    writing_cpu += cpu_seconds() - before;
  };
  solver::Observers observers;
  observers.progress = [&](const solver::Progress& progress) {
    line.show(progress);
    return stop_asked == 0;
  };
  observers.row = [&](const solver::HistoryRow& row) { write([&] { results.add(row); }); };
  observers.fields = [&](const solver::CellFields& fields) {
    write([&] {
      results.add(fields);
      series.add(fields);
    });
  };
  const double cpu_before = cpu_seconds();
  const solver::RunResult result = solver::run(problem, observers);
  const double march_cpu = cpu_seconds() - cpu_before - writing_cpu;
  line.finish();
  results.finish(result);
  series.finish();

  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  std::vector<std::string> warnings = doubts(c, problem, cases::forecast(c));
  warnings.insert(warnings.end(), result.warnings.begin(), result.warnings.end());
  SummaryHead head{
      JOULEPRESS_VERSION, c.title, hash, problem.mesh.n_cells(), warnings, solver::not_modelled(problem), {}};
  for (const cases::IncludedFile& file : c.included) head.included.push_back({file.name, sha256(file.text)});
  write_results(options.folder, head, result, summary);
  const double wall = std::chrono::duration<double>(Clock::now() - start).count();
  write_whole(options.folder / "timing.json", timing_json({wall, cpu_seconds(), march_cpu}, result.counts));

  ReportHead report{c.title, JOULEPRESS_VERSION, c.sleeves.empty() ? 0.0 : c.contacts.heat_lateral, warnings,
                    head.not_modelled};
  fmt::print(
      "{}\nResults in {}: summary.json, history.csv, results.h5, fields.pvd, resolved_case.yaml, "
      "timing.json ({:.1f} s).\n",
      terminal_report(report, problem, result, summary), options.folder.string(), wall);
  if (result.status == solver::RunStatus::failed) fmt::print(stderr, "\nThe run failed {}\n", result.reason);
  return exit_code(result.status);
}

}  // namespace joulepress::tools
