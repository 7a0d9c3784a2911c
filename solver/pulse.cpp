#include "solver/pulse.hpp"

#include <cmath>
#include <numbers>

namespace joulepress::solver {
namespace {

constexpr double mu0 = 1.25663706212e-6;  // N/A2, CODATA 2018 (from memory)

std::string why_not_times(const Pulse& pulse) {
  const bool lasts = pulse.on >= 0 && std::isfinite(pulse.on) && pulse.off >= 0 && std::isfinite(pulse.off);
  if (!lasts) return "times on and off are finite and not negative";
  if (pulse.off > 0 && !(pulse.on > 0)) return "the current is never on";
  return "";
}

double slope(const Pulse& pulse, std::size_t i) {
  const auto& [x, ratio] = pulse.ratio[i];
  const auto& [next_x, next_ratio] = pulse.ratio[i + 1];
  return (next_ratio - ratio) / (next_x - x);
}

}  // namespace

std::string why_not(const Pulse& pulse) {
  if (std::string times = why_not_times(pulse); !times.empty()) return times;
  const auto& table = pulse.ratio;
  for (std::size_t i = 0; i < table.size(); ++i) {
    const std::string point = "point " + std::to_string(i + 1) + " of the ratios: ";
    const auto& [x, ratio] = table[i];
    if (!(x >= 0 && x <= 1)) return point + "the output is a share of the largest mean current, 0 to 1";
    if (!(ratio >= 1 && std::isfinite(ratio)))
      return point + "finite, and at least 1: an effective value is never below the mean";
    if (i > 0 && !(x > table[i - 1].first)) return point + "outputs ascend";
  }
  for (std::size_t i = 0; i + 1 < table.size(); ++i) {
    const auto& [x, ratio] = table[i + 1];
    if (!(ratio + x * slope(pulse, i) > 0))
      return "between points " + std::to_string(i + 1) + " and " + std::to_string(i + 2) +
             " of the ratios: the effective current falls as the mean rises";
  }
  return "";
}

double duty(const Pulse& pulse) {
  return pulse.off > 0 ? pulse.on / (pulse.on + pulse.off) : 1.0;
}

double effective_over_mean(const Pulse& pulse, double output) {
  const auto& table = pulse.ratio;
  if (table.empty()) return 1 / std::sqrt(duty(pulse));
  if (output <= table.front().first) return table.front().second;
  for (std::size_t i = 0; i + 1 < table.size(); ++i)
    if (output <= table[i + 1].first) return table[i].second + slope(pulse, i) * (output - table[i].first);
  return std::isnan(output) ? output : table.back().second;
}

double mean_current(const Pulse& pulse, double effective, double largest_mean) {
  const auto& table = pulse.ratio;
  if (table.empty()) return effective * std::sqrt(duty(pulse));
  const double share = effective / largest_mean;
  if (share <= table.front().first * table.front().second) return effective / table.front().second;
  for (std::size_t i = 0; i + 1 < table.size(); ++i) {
    if (!(share <= table[i + 1].first * table[i + 1].second)) continue;
    // (x + d)(ratio + s d) = share, from the point on the left: the root in the form that no s spoils, 0
    // neither.
    const auto& [x, ratio] = table[i];
    const double s = slope(pulse, i), g = ratio + x * s, more = share - x * ratio;
    return largest_mean * (x + 2 * more / (g + std::sqrt(g * g + 4 * s * more)));
  }
  return effective / table.back().second;
}

double peak_current(const Pulse& pulse, double effective) {
  return effective / std::sqrt(duty(pulse));
}

double base_frequency(const Pulse& pulse) {
  return pulse.off > 0 ? 1 / (pulse.on + pulse.off) : 0.0;
}

double skin_depth(double resistivity, double frequency) {
  return std::sqrt(2 * resistivity / (2 * std::numbers::pi * frequency * mu0));
}

}  // namespace joulepress::solver
