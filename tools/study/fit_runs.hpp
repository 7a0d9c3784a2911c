// Runs of a case driven as its logs say, with its uncertain inputs at given standard scores, and how far they
// are from what was measured.
#pragma once

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cases/logged_run.hpp"
#include "cases/many/choices.hpp"
#include "cases/many/uncertain.hpp"
#include "solver/inverse/learned.hpp"
#include "solver/results.hpp"

namespace joulepress::tools {

/// A value of a log, and when.
struct LoggedValue {
  double time_s = 0;
  double measured = 0;  ///< SI
};

/// What belongs to one series of the misfit.
struct FitSeries {
  int log = 0;       ///< index into the logs
  int column = -1;   ///< index into LoggedRun::compared; -1: a melt event, or watched
  int melt = -1;     ///< index into PressLog::melts; -1: none
  bool off = false;  ///< of the column what came after the current was cut
  std::vector<LoggedValue> values;
  double unsure = 0;  ///< deviation that all of them have, since the moment of the cut is not known to a row
};

/// Temperatures that nothing measured, followed through the fit.
struct Watched {
  enum class What { powder, offset, centre, another } what = What::powder;
  int log = 0;
  int sensor = -1;              ///< of `offset` the one that it counts from; of `another` the one in mind
  double from_s = 0, to_s = 0;  ///< mean over them
  std::string where;            ///< of `another`: in trade words
};

/// The hottest spell of a log: while the first couple or pyrometer that controls, or else the first compared
/// one, stays within 2 % of the rise below its highest value.
struct HotSpell {
  int sensor = 0;  ///< of the case
  double from_s = 0, to_s = 0;
  double range_K = 0;  ///< of all that it showed
};

/// What a fit is taken to be wrong by all along, as a deviation, of the range of what a column shows.
struct ModelError {
  double voltage = 0, other = 0;
};
/// The model is the one behind the logs.
inline constexpr ModelError no_model_error{0.0, 0.0};
/// Of a real press.  Own choice: curves of another shape left 0.2 to 0.7 % of readings and up to 1.3 % of
/// voltages in the workshop's logs.
inline constexpr ModelError usual_model_error{0.010, 0.005};

class FitRuns {
 public:
  /// `resolved`: of the case; `folder`: where files that it names are looked for.  `accuracy` [K]: of the
  /// runs.
  FitRuns(cases::Case c, std::filesystem::path folder, std::vector<cases::LoggedRun> logs, double accuracy,
          int threads, std::function<bool()> go_on);

  const cases::Case& the_case() const { return c_; }
  const std::vector<cases::LoggedRun>& logs() const { return logs_; }
  const std::vector<cases::UncertainInput>& inputs() const { return inputs_; }
  const std::vector<FitSeries>& series() const { return series_; }
  const std::vector<Watched>& watched() const { return watched_; }
  /// Choices of model that a log might tell from each other, in the order of the problem's other models.
  const std::vector<cases::ModelChoice>& choices() const { return choices_; }
  const std::optional<HotSpell>& hot(std::size_t log) const { return hot_[log]; }

  /// The question for inverse::learn.  Its misfits throw Interrupted where `go_on` says no.  Where the model
  /// has no error no other choice of model is asked.
  inverse::LearnProblem problem(const ModelError& model_error) const;

  /// Run less log at the sensor of a log's hot spell, mean over that [K]; `misfits` as the problem gives
  /// them.
  double missed(const std::vector<double>& misfits, int log) const;

  /// Where a watched temperature stands among the misfits; `k`: index into watched().
  int watched_at(std::size_t k) const;
  /// What a model that meets a log may have wrong where nothing was measured, as a deviation [K]: what it
  /// misses at the sensor of the hot spell, and what a reading is taken to be wrong by all along
  /// (usual_model_error), since no log pulls the powder to where it was.
  double beyond_logs(const std::vector<double>& misfits, int log) const;
  /// Deviation of a watched temperature after the logs [K]: what they leave open of it with that covariance
  /// of the scores, by how much other choices of model have it elsewhere, and what lies beyond the logs.
  double deviation_of(const inverse::Learned& learned, const inverse::Table& covariance, std::size_t k) const;

  /// What couple and meters would show of a run without powder under the current of a log, by the scores: a
  /// row a value, one deviation each [K, V]; none without powder, or where it does not run.
  struct Blank {
    inverse::Table slope;
    std::vector<double> deviations;
  };
  Blank blank(const inverse::Point& scores, int log) const;

  /// The case with its inputs at scores, written out.  Throws InputErrors where it is no case.
  cases::SourceNode document_at(const inverse::Point& scores) const;

 private:
  void add_series();
  void add_watched();
  std::optional<HotSpell> hot_spell(std::size_t log) const;
  /// With the sensors that might be there; nothing where it is no case.  `other`: a choice of model that is
  /// made the other way, null: none.
  std::optional<cases::Case> case_at(const inverse::Point& scores, const cases::ModelChoice* other) const;
  std::vector<std::vector<double>> misfits_at(std::span<const inverse::Point> points,
                                              const cases::ModelChoice* other) const;
  std::vector<double> misfit_of(std::span<const solver::RunResult> results) const;

  cases::Case c_;
  std::filesystem::path folder_;
  std::vector<cases::LoggedRun> logs_;
  double accuracy_;  // K
  cases::SourceNode resolved_;
  std::vector<cases::UncertainInput> inputs_;
  std::vector<cases::ModelChoice> choices_;
  std::vector<cases::CaseSensor> more_sensors_;  // that might be there
  std::vector<std::string> more_where_;
  std::vector<FitSeries> series_;
  std::vector<Watched> watched_;
  std::vector<std::optional<HotSpell>> hot_;
  int threads_ = 0;
  std::function<bool()> go_on_;
};

}  // namespace joulepress::tools
