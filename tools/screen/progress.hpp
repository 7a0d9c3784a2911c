// One line of progress: rewritten at most twice a second on a terminal, a plain line every 10 % elsewhere.
#pragma once

#include <chrono>

#include "solver/march.hpp"

namespace joulepress::tools {

class ProgressLine {
 public:
  explicit ProgressLine(bool quiet);
  void show(const solver::Progress& progress);
  void finish();

 private:
  using Clock = std::chrono::steady_clock;
  bool quiet_, terminal_, open_ = false;
  int tenth_shown_ = 0;
  Clock::time_point start_, last_{};
};

}  // namespace joulepress::tools
