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

/// "40 s", "12 min", "3.5 h".
std::string duration(double seconds) {
  if (seconds < 120) return fmt::format("{:.0f} s", seconds);
  return seconds < 7200 ? fmt::format("{:.0f} min", seconds / 60) : fmt::format("{:.1f} h", seconds / 3600);
}

}  // namespace

ScreenLine::ScreenLine(bool quiet, std::chrono::milliseconds pause)
    : quiet_(quiet), terminal_(isatty(fileno(stderr)) == 1), pause_(pause), start_(Clock::now()) {}

bool ScreenLine::due(double share) {
  if (quiet_) return false;
  const auto now = Clock::now();
  const int tenth = static_cast<int>(std::floor(10.0 * share));
  if (terminal_ ? now - last_ < pause_ : tenth <= tenth_shown_) return false;
  last_ = now;
  tenth_shown_ = tenth;
  return true;
}

void ScreenLine::write(const std::string& text) {
  const char* before = terminal_ ? "\r\033[K" : "";
  const char* after = terminal_ ? "" : "\n";
  fmt::print(stderr, "{}{}{}", before, text, after);
  open_ = terminal_;
  std::fflush(stderr);
}

void ScreenLine::finish() {
  if (open_) fmt::print(stderr, "\r\033[K");
  open_ = false;
}

double ScreenLine::spent() const {
  return std::chrono::duration<double>(Clock::now() - start_).count();
}

ProgressLine::ProgressLine(bool quiet) : line_(quiet, std::chrono::milliseconds(500)) {}

void ProgressLine::show(const solver::Progress& p) {
  if (!(p.end_s > 0.0)) return;
  const double share = p.time_s / p.end_s;
  if (!line_.due(share)) return;
  line_.write(fmt::format("{:3.0f} %  t = {:.0f} s of {:.0f} s  about {:.0f} s left{}{}", 100.0 * share,
                          p.time_s, p.end_s, line_.spent() * (1.0 - share) / std::max(share, 1e-3),
                          celsius("sensor", p.sensor_K), celsius("powder", p.powder_K)));
}

std::string count_text(const Count& count, double seconds) {
  std::string text = fmt::format("{} of {} done", count.done, count.of);
  if (count.failed > 0) text += fmt::format(", {} failed", count.failed);
  if (count.refused > 0) text += fmt::format(", {} refused", count.refused);
  const int left = count.of - count.done;
  if (left > 0 && count.now > 0) text += fmt::format(", about {} left", duration(seconds * left / count.now));
  return text;
}

CountLine::CountLine(bool quiet) : line_(quiet, std::chrono::milliseconds(0)) {}

void CountLine::show(const Count& count) {
  if (count.of > 0 && line_.due(static_cast<double>(count.done) / count.of))
    line_.write(count_text(count, line_.spent()));
}

}  // namespace joulepress::tools
