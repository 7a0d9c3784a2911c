// The march: from the initial state to the end of the programme.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "solver/checkpoint.hpp"
#include "solver/fields.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::solver {

struct Progress {
  double time_s, end_s;
  double sensor_K;  ///< reading of the control sensor, NaN without one
  double powder_K;  ///< powder mean, NaN without powder
};

/// What a run hands out while it goes on; each may be empty.  Observers cannot influence the numbers.
struct Observers {
  /// After every accepted step; returning false stops the run (status interrupted).
  std::function<bool(const Progress&)> progress = {};
  /// Every history row, ascending in time.
  std::function<void(const HistoryRow&)> row = {};
  /// Cell fields, ascending in time: at the start, at every corner of the programme (start and end of holds),
  /// at multiples of Problem::fields_every, and where the run ends, whatever ends it.
  std::function<void(const CellFields&)> fields = {};
  /// Everything needed to go on, after every `checkpoint_every` accepted steps and before a stop from
  /// outside.
  std::function<void(const Checkpoint&)> checkpoint = {};
  int checkpoint_every = 10;
  /// Rows at multiples of `sample_every` [s], whatever the history's interval: what a log is made of.
  std::function<void(const HistoryRow&)> sample = {};
  double sample_every = 0;
};

/// Runs the whole programme, from its start or from a checkpoint of the same problem (see `fits`): the rest
/// of a run that goes on is the same to the last bit.  Rows and fields of before the checkpoint are not
/// handed out again; the result holds all rows.  Never throws for reasons of physics: a run that cannot go on
/// returns what was computed with status failed and the reason.
RunResult run(const Problem& problem, const Observers& observers = {}, const Checkpoint* from = nullptr);

/// What is not in the model, as sentences for every report.
std::vector<std::string> not_modelled(const Problem& problem);

}  // namespace joulepress::solver
