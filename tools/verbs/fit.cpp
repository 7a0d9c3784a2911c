#include <fmt/format.h>

#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/reader/calibration_writer.hpp"
#include "cases/reader/case_writer.hpp"
#include "tools/crew/stop.hpp"
#include "tools/html/fit_page.hpp"
#include "tools/screen/progress.hpp"
#include "tools/store/files.hpp"
#include "tools/study/fit_study.hpp"
#include "tools/study/programme_runs.hpp"
#include "tools/verbs/study.hpp"
#include "tools/verbs/verbs.hpp"

namespace joulepress::tools {
namespace {

/// Whether the folder answers the same question already: the same case and the same logs.
Answered look_into(const std::filesystem::path& folder, const std::string& hash,
                   const std::vector<std::string>& log_hashes) {
  const std::filesystem::path file = folder / "fit.json";
  if (!std::filesystem::exists(file)) return Answered::nothing;
  const auto json = nlohmann::json::parse(read_whole(file), nullptr, false);
  if (!json.is_object() || json.value("case_sha256", "") != hash || !json.contains("logs"))
    return Answered::other;
  std::vector<std::string> asked;
  for (const auto& log : json["logs"]) asked.push_back(log.value("sha256", ""));
  return asked == log_hashes ? Answered::same : Answered::other;
}

/// A log that taught the case already would count twice.
std::string counted_twice(const cases::Case& c, const FitRequest& request,
                          const std::vector<std::string>& log_hashes) {
  if (!c.calibration) return {};
  for (const cases::CalibrationLog& earlier : c.calibration->logs)
    for (std::size_t k = 0; k < log_hashes.size(); ++k)
      if (earlier.sha256 == log_hashes[k])
        return fmt::format(
            "The case is calibrated on \"{}\" already, the same file as \"{}\": it would count twice. Leave "
            "it out, or start from the case without its calibration.",
            earlier.file, request.logs[k].string());
  return {};
}

}  // namespace

int fit_case(const FitOptions& options) {
  const cases::Case c = cases::load_case(options.case_file, options.press, options.calibration).c;
  std::vector<cases::LoggedRun> logs = logged_runs(c, options.request);
  std::vector<std::string> hashes;
  for (const std::filesystem::path& log : options.request.logs) hashes.push_back(sha256(read_whole(log)));
  if (const std::string twice = counted_twice(c, options.request, hashes); !twice.empty()) {
    fmt::print(stderr, "{}\n", twice);
    return bad_input;
  }
  const std::string hash = sha256(cases::resolved_case(c));
  if (const auto code =
          answered_before(look_into(options.folder, hash, hashes), options.folder, options.replace))
    return *code;
  make_folder(options.folder);
  for (const char* name :
       {"fit.html", "fit.json", "residuals.csv", "calibrated_case.yaml", "calibration.yaml"})
    remove_file(options.folder / name);
  const StopSignals signals;
  ScreenLine line(options.quiet, std::chrono::milliseconds(200));
  FitStudy study;
  cases::Case calibrated;
  try {
    const FitRuns runs(c, options.case_file.parent_path(), std::move(logs), options.request.accuracy,
                       options.request.threads, [&signals] { return !signals.asked(); });
    study = fit_study(runs, hashes, [&line](int n) {
      if (line.due(0.0)) line.write(fmt::format("{} runs of the logs", n));
    });
    line.finish();
    if (!study.why_not.empty()) {
      fmt::print(stderr, "Nothing could be learned: {}.\n", study.why_not);
      return unsolved;
    }
    calibrated = calibrated_case(runs, study);
  } catch (const Interrupted&) {
    line.finish();
    fmt::print(stderr, "Interrupted; nothing was written.\n");
    return interrupted;
  }
  study.case_sha256 = hash;
  write_whole(options.folder / "calibrated_case.yaml", cases::resolved_case(calibrated));
  write_whole(options.folder / "calibration.yaml", cases::calibration_file(calibrated));
  write_whole(options.folder / "residuals.csv", residuals_csv(study));
  write_whole(options.folder / "fit.html", html::fit_page(study, html::Words(options.language)));
  write_whole(options.folder / "fit.json", fit_json(study));
  fmt::print(
      "{}\nIn {}: calibrated_case.yaml; calibration.yaml for other cases on this press; fit.html, fit.json, "
      "residuals.csv.\n",
      fit_screen(study), options.folder.string());
  return done;
}

}  // namespace joulepress::tools
