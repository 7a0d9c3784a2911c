#include "tools/screen/progress.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdio>

#include "solver/problem.hpp"

namespace joulepress::tools {
namespace {

std::string celsius(const char* what, double kelvin) {
  return std::isnan(kelvin) ? std::string()
                            : fmt::format("  {} {:.0f} degC", what, kelvin - solver::zero_celsius);
}

}  // namespace

ProgressLine::ProgressLine(bool quiet)
    : quiet_(quiet), terminal_(isatty(fileno(stderr)) == 1), start_(Clock::now()) {}

void ProgressLine::show(const solver::Progress& p) {
  if (quiet_ || !(p.end_s > 0.0)) return;
  const auto now = Clock::now();
  const double share = p.time_s / p.end_s;
  const int tenth = static_cast<int>(std::floor(10.0 * share));
  if (terminal_ ? now - last_ < std::chrono::milliseconds(500) : tenth <= tenth_shown_) return;
  last_ = now;
  tenth_shown_ = tenth;
  const double spent = std::chrono::duration<double>(now - start_).count();
  const std::string line =
      fmt::format("{:3.0f} %  t = {:.0f} s of {:.0f} s  about {:.0f} s left{}{}", 100.0 * share, p.time_s,
                  p.end_s, spent * (1.0 - share) / std::max(share, 1e-3), celsius("sensor", p.sensor_K),
                  celsius("powder", p.powder_K));
  const char* before = terminal_ ? "\r\033[K" : "";
  const char* after = terminal_ ? "" : "\n";
  fmt::print(stderr, "{}{}{}", before, line, after);
  open_ = terminal_;
  std::fflush(stderr);
}

void ProgressLine::finish() {
  if (open_) fmt::print(stderr, "\r\033[K");
  open_ = false;
}

}  // namespace joulepress::tools
