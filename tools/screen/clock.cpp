#include "tools/screen/clock.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace joulepress::tools {
namespace {

constexpr long minute = 60, hour = 3600;

std::string parted(long seconds, const std::string& fraction) {
  const long h = seconds / hour, m = seconds % hour / minute, s = seconds % minute;
  return h > 0 ? fmt::format("{}:{:02}:{:02}{}", h, m, s, fraction)
               : fmt::format("{}:{:02}{}", m, s, fraction);
}

long whole(double seconds) {
  return std::lround(std::max(seconds, 0.0));
}

}  // namespace

std::string clock_time(double seconds) {
  return std::isfinite(seconds) ? parted(whole(seconds), "") : "–";
}

std::string entered_time(double seconds, char decimal_mark) {
  if (!std::isfinite(seconds)) return "–";
  const long tenths = whole(10.0 * seconds);
  return parted(tenths / 10, tenths % 10 == 0 ? "" : fmt::format("{}{}", decimal_mark, tenths % 10));
}

std::string clock_words(double seconds) {
  return clock_time(seconds) + (std::isfinite(seconds) && whole(seconds) >= hour ? " h" : " min");
}

}  // namespace joulepress::tools
