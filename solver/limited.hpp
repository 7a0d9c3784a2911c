// When the drive could not follow: intervals at a limit of the press, or with the current off since the stack
// cools too slowly.
#pragma once

#include <optional>
#include <vector>

#include "solver/results.hpp"

namespace joulepress::solver {

struct LimitedIntervals {
  /// Intervals of one kind that follow each other, or lie less than `a_pause` [s] apart, are one: a
  /// controller at a limit comes off it for a sample now and then.
  explicit LimitedIntervals(double a_pause) : pause(a_pause) {}

  void open(double time, DriveMode mode, Limit limit) { now = LimitedInterval{time, time, mode, limit}; }

  void close(double time) {
    if (!now) return;
    now->end_s = time;
    const double apart = list.empty() ? 0.0 : now->start_s - list.back().end_s;
    const bool goes_on = !list.empty() && list.back().limit == now->limit && list.back().mode == now->mode &&
                         (apart < pause || apart <= 0.0);
    if (goes_on)
      list.back().end_s = time;
    else if (time > now->start_s)
      list.push_back(*now);
    now.reset();
  }

  /// A step from `time` on ran at a limit, or at none.
  void note(double time, Limit limit) {
    if (limit == Limit::none) return close(time);
    if (now && now->limit == Limit::none) now->limit = limit;
    if (now && now->limit != limit) close(time);
    if (!now) open(time, DriveMode::at_limit, limit);
  }

  double pause;
  std::vector<LimitedInterval> list;
  std::optional<LimitedInterval> now;
};

}  // namespace joulepress::solver
