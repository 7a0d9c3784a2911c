// What ends the way the current is driven: tracking meets a limit, the reading meets its programme again, a
// second sensor takes over, a rule ends the run.
#pragma once

#include "solver/step.hpp"

namespace joulepress::solver {

/// It has happened where the value is positive.
struct Event {
  enum class What { mode, hand_over, abort } what = What::mode;
  double value = -1.0;
  Limit limit = Limit::none;
  int rule = -1;  ///< of an abort
};

/// The event within a step from `before` in the segment `now`.
Event event_of(const Problem& problem, const State& before, const StepOutcome& step, const Segment& now);

/// Its value at the start of the step; negative.
double value_at_start(const Problem& problem, const State& state);

/// Mode in which a temperature segment begins.  To close a gap at once would take a current without bounds:
/// behind the programme the press gives what it can, ahead of it nothing, until the two meet.
DriveMode mode_at_start(const Problem& problem, const State& state);

}  // namespace joulepress::solver
