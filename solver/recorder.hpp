// What a march hands out on its way: rows of the history, cell fields, samples of a log.  Rows and fields of
// a half are unfolded to the whole here.
#pragma once

#include "solver/march.hpp"
#include "solver/observe.hpp"

namespace joulepress::solver {

/// Time between snapshots besides those at the corners of the programme [s]; 0: none is wanted.
double snapshot_interval(const Problem& problem);

class Recorder {
 public:
  Recorder(const Problem& whole, const Observers& observers, Workspace& workspace, RunResult& result)
      : whole_(whole),
        observers_(observers),
        workspace_(workspace),
        result_(result),
        snapshots_every_(snapshot_interval(whole)) {}

  /// The row of a state, unless its instant has one.
  void record_now(const Problem& problem, const State& state);
  /// The cell fields of a state, and what its tools bear, unless its instant has them.
  void hand_out_now(const Problem& problem, const State& state);
  /// Rows, fields and samples at multiples of their intervals inside an accepted step.
  void between(const Problem& problem, const State& before, const StepOutcome& step);
  /// What is due at the state's own instant.
  void at(const Problem& problem, const State& state);

  double fields_until = -1;  ///< s, of the last fields handed out

 private:
  HistoryRow row(const Problem& problem, const Frame& frame, const State& state);
  void record(const Problem& problem, const Frame& frame, const State& state);
  void hand_out(const Frame& frame);
  void take_snapshot(const Problem& problem, const Frame& frame);
  bool has_snapshot(double time) const;

  const Problem& whole_;
  const Observers& observers_;
  Workspace& workspace_;
  RunResult& result_;
  double snapshots_every_;  ///< s; 0: none
};

}  // namespace joulepress::solver
