// One line of progress: rewritten on a terminal, a plain line every 10 % elsewhere.
#pragma once

#include <chrono>
#include <string>

#include "solver/march.hpp"

namespace joulepress::tools {

/// The line itself, on stderr.
class ScreenLine {
 public:
  ScreenLine(bool quiet, std::chrono::milliseconds pause);  ///< between two lines on a terminal

  bool due(double share);  ///< whether it is time for the next line; `share` done, 0 to 1
  void write(const std::string& text);
  void finish();         ///< wipes it from a terminal
  double spent() const;  ///< s since it was made

 private:
  using Clock = std::chrono::steady_clock;
  bool quiet_, terminal_, open_ = false;
  std::chrono::milliseconds pause_;
  int tenth_shown_ = 0;
  Clock::time_point start_, last_{};
};

/// Of a run.
class ProgressLine {
 public:
  explicit ProgressLine(bool quiet);
  void show(const solver::Progress& progress);
  void finish() { line_.finish(); }

 private:
  ScreenLine line_;
};

/// How far many runs have come.
struct Count {
  int of = 0;
  int done = 0;                 ///< whatever their outcome, those of earlier calls too
  int failed = 0, refused = 0;  ///< among them
  int now = 0;                  ///< done in this call
};

/// "31 of 64 done, 2 failed, about 40 s left": by what those of this call took.
std::string count_text(const Count& count, double seconds);

/// Of many runs.
class CountLine {
 public:
  explicit CountLine(bool quiet);
  void show(const Count& count);
  void finish() { line_.finish(); }

 private:
  ScreenLine line_;
};

}  // namespace joulepress::tools
