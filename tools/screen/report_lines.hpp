// The lines a report is made of.
#pragma once

#include <fmt/format.h>

#include <cmath>

#include <string>

#include "cases/reader/units.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {

inline constexpr std::size_t report_width = 98;  ///< characters of a line

inline std::string heading(const std::string& text) {
  return "\n" + text + "\n" + std::string(text.size(), '-') + "\n";
}

inline std::string paragraph(const std::string& text) {
  return wrapped(text, report_width, 0) + "\n";
}

inline std::string bullet(const std::string& text) {
  return "- " + wrapped(text, report_width, 2) + "\n";
}

inline std::string line(const std::string& what, const std::string& value) {
  return fmt::format("  {:<34} {}\n", what, value);
}

inline std::string degrees(double kelvin) {
  return fmt::format("{:>7.1f} degC", cases::in_celsius(kelvin));
}

inline std::string difference(double kelvin) {
  return fmt::format("{:>+7.1f} K", std::abs(kelvin) < 0.05 ? 0.0 : kelvin);  // never "-0.0"
}

}  // namespace joulepress::tools
