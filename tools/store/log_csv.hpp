// The log of a press: what its meters would have shown of a run, every so many seconds.
//
//   shown = d round((value + noise) / d),   round half away from zero, d last digit of that meter
//   noise = s g(seed, meter, sample)  for sensors, s in K;   value s g(...)  for current and voltage
// g a normal deviate that is a function of its three numbers (solver/noise.hpp): the same case gives the same
// log to the last bit.  The press's own controller meets another noise of the same size.
// Some columns are computed from others as shown, as a panel does:
//   power = current x voltage        of pulses with mean meters not the mean power, which is larger
//   gauge pressure = force / area    of the oil cylinder
// The force is what the gauge shows, without the pull of the vacuum and the weight that press the column too;
// no programme of the pressure, no such column.  A pyrometer that does not see shows its lower limit, without
// noise.  Voltage between the taps where there are some: the stack is a resistance, so that the mean between
// them is to the effective one as mean is to effective current.
// Tests: tests/tools/test_log.cpp.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::tools {

/// One column; values in its unit, digit the last one shown.
struct LogColumn {
  std::string name, unit;
  double digit = 1;
  /// As shown at a sample; NaN where there is nothing to show.
  std::function<double(const solver::HistoryRow&, std::uint64_t sample)> shown;
};

/// A multiple of the last digit; halves go away from zero, never -0.
double rounded(double value, double digit);

/// A multiple of `digit` with just the decimals that the digit has: 5 -> 35, 0.01 -> 3.50.
std::string digits_of(double shown, double digit);

/// Needs `c.press.meters`.
std::vector<LogColumn> log_columns(const cases::Case& c, const solver::Problem& problem);

/// Collects samples into lines.  Needs `c.press.meters`.
class Log {
 public:
  Log(const cases::Case& c, const solver::Problem& problem);
  double every() const { return every_; }  ///< s
  /// A second row of the same instant is left out: where the drive changes its mode there are two.
  void add(const solver::HistoryRow& row);
  int lines() const { return lines_; }  ///< without the head
  const std::string& csv() const { return csv_; }

 private:
  double every_;
  std::vector<LogColumn> columns_;
  std::string csv_;
  std::int64_t last_ = -1;  ///< sample
  int lines_ = 0;
};

struct LogRequest {
  std::filesystem::path file, folder;  ///< of the log, of the results
  bool resume = false, may_exist = false;
};

/// Why no log can be written of this case, and what to do; empty: it can.
std::string why_no_log(const cases::Case& c, const LogRequest& request);

/// Removes an older log and shows that the file can be written; throws FileError.
void prepare_log(const std::filesystem::path& file);

}  // namespace joulepress::tools
