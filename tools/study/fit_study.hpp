// What the logs of one's own press say of the uncertain inputs of a case: estimates, intervals, what stays
// open, what another measurement would close, and by how much the offset is better known.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "tools/study/fit_runs.hpp"

namespace joulepress::tools {

struct FitRequest {
  std::vector<std::filesystem::path> logs;
  std::vector<std::filesystem::path> maps;  ///< one a log, or none: those beside them
  double accuracy = 1.0;                    ///< K, of the runs
  int threads = 0;                          ///< 0: all cores
};

struct FitLog {
  std::string file, sha256, began, map;
  int rows = 0, pieces = 0;  ///< of the log, of the drive
  double length_s = 0;
  std::string driven_by;  ///< heading
  std::vector<std::string> unused, remarks;
};

/// One value that an input moves, before and after [SI; of a property of a material its factor].
struct FittedValue {
  std::string address, unit;
  inverse::Distribution before;
  double value = 0, low = 0, high = 0;  ///< the estimate and its 95 % interval
  std::string shown_unit = {};          ///< how people see it
  double shown_factor = 1, shown_zero = 0;
  bool on_curve = false;  ///< a factor on the curve of a material, not the value of a key
  double shown(double si) const { return si * shown_factor + shown_zero; }
};

struct FittedInput {
  std::string name, amount;  ///< as `bound` has them
  double score = 0;          ///< where the estimate lies in the spread it had [its deviations]
  double left = 1;           ///< share of its deviation that is left
  std::vector<FittedValue> values;
};

/// Inputs whose left is above it are told as not determined.
inline constexpr double not_determined = 0.9;
/// Correlations of at least this size are told.
inline constexpr double close_together = 0.7;

/// A column of a log beside the run, before and after.
struct FittedColumn {
  int log = 0, column = 0;    ///< of the log, index into LoggedRun::compared
  std::string heading, unit;  ///< as in the log
  cases::Logged what = cases::Logged::reading;
  inverse::SeriesFit fit;                               ///< while the current flowed
  std::optional<inverse::SeriesFit> off;                ///< after it was cut
  std::vector<double> time_s, measured, before, after;  ///< SI
};

/// How people see a column, from SI: (value - zero) factor, differences times theirs.
struct ToldIn {
  double zero, factor, of_difference;
  const char *unit, *unit_of_difference;
};
ToldIn told_in(cases::Logged what);

struct FittedMelt {
  int log = 0;
  std::string melts;
  double time_s = 0, temperature_K = 0, before_K = 0, after_K = 0;  ///< centre of the powder
};

/// The powder over the hottest spell of a log.
struct PowderLearned {
  int log = 0;
  std::string sensor;
  double from_s = 0, to_s = 0;
  double powder_before_K = 0, powder_K = 0, powder_deviation_before_K = 0, powder_deviation_K = 0;
  double offset_before_K = 0, offset_K = 0, offset_deviation_before_K = 0, offset_deviation_K = 0;
  double missed_K = 0;       ///< by how much the learned run reads more than the log then
  double beyond_logs_K = 0;  ///< FitRuns::beyond_logs, in both deviations after the logs
};

/// A choice of model made the other way and learned again from where the case ended.
struct FittedChoice {
  std::string taken, other;  ///< in words: "walls see each other", "walls see the chamber only"
  bool runs = false;
  double better = 0;                  ///< ln likelihood there less that of the case
  double share = 0;                   ///< how likely the other way is, of the two
  std::optional<double> offset_by_K;  ///< of the last log with a powder
  std::vector<std::string> moved;     ///< what would have another value then, and which
};

/// Smaller differences of ln likelihood tell no two models from each other (7 to 1); own choice.
inline constexpr double as_likely = 2.0;
/// "as well", "better", "worse".
const char* met_how(const FittedChoice& choice);

/// A measurement that was not made, and what it would leave of the deviation of the offset.
struct MoreMeasured {
  std::string measurement;
  double deviation_K = 0;  ///< assumed, of the measurement
  double left_K = 0;       ///< deviation of the offset after it
};

struct FitStudy {
  std::string title, version, case_sha256;
  std::vector<FitLog> logs;
  std::vector<FittedInput> inputs;  ///< by how much they were learned, most first
  inverse::Table correlation;       ///< of `inputs`
  std::vector<FittedColumn> columns;
  std::vector<FittedMelt> melts;
  std::vector<PowderLearned> powder;  ///< one a log; empty without powder
  std::vector<FittedChoice> choices;
  std::vector<MoreMeasured> advice;                    ///< of the last log with a powder, best first
  std::vector<std::pair<double, std::string>> others;  ///< other answers: how much worse, in words
  std::vector<std::string> warnings;
  int runs = 0;
  bool settled = false;
  inverse::Point scores;  ///< of the inputs of the runs
  std::string why_not;    ///< empty: learned
};

/// Hears of every few runs.
using FitTold = std::function<void(int runs)>;

/// Reads the logs and what drives them; throws InputErrors with every fault.
std::vector<cases::LoggedRun> logged_runs(const cases::Case& c, const FitRequest& request);

/// `hashes`: SHA-256 of the logs' files.  Throws Interrupted.
FitStudy fit_study(const FitRuns& runs, const std::vector<std::string>& hashes, const FitTold& told);

/// The case with the estimates at their keys, and the group `calibration`.  Of a study without why_not.
cases::Case calibrated_case(const FitRuns& runs, const FitStudy& study);

std::string fit_screen(const FitStudy& study);
std::string fit_json(const FitStudy& study);
/// A row a value: log, time, column, measured, before, after; SI.
std::string residuals_csv(const FitStudy& study);

}  // namespace joulepress::tools
