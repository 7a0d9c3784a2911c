#include "solver/radiometry.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <utility>

namespace joulepress::solver {

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();

/// The temperature at which exp(-scale / T) (Wien) or 1 / (exp(scale / T) - 1) is gain times as large as at
/// T.
double one_colour(double scale, bool wien, double T, double gain) {
  const double x = scale / T;
  // Planck's law is Wien's to the last bit long before exp(x) overflows.
  const double y = wien || x > 500.0 ? x - std::log(gain) : std::log1p(std::expm1(x) / gain);
  return y <= 0.0 ? infinite : scale / y;
}

/// The temperature at which Planck's ratio of two colours is gain times as large as at T; scales c2 / lambda.
double two_colours(double first, double second, double T, double gain) {
  if (first < second) return two_colours(second, first, T, 1.0 / gain);
  const double width = first - second;
  const auto bend = [](double y) { return -std::expm1(-y) / y; };
  const auto fall = [&](double b) { return width * b + std::log(bend(first * b) / bend(second * b)); };
  const double target = fall(1.0 / T) - std::log(gain);
  if (target <= 0.0) return infinite;
  double b = 1.0 / T;
  for (int k = 0; k < 100; ++k) {
    const double slope = first / -std::expm1(-first * b) - second / -std::expm1(-second * b);
    const double next = b - (fall(b) - target) / std::clamp(slope, 0.5 * width, width);
    // From the second on the steps go down, until rounding turns one.
    if (k > 0 && !(next < b)) break;
    b = next;
  }
  return 1.0 / b;
}

bool has_two_colours(const Pyrometer& p) {
  return p.second_wavelength > 0.0;
}

/// What comes in over what the instrument expects of a body at the same temperature.
double signal_gain(const Pyrometer& p) {
  return has_two_colours(p) ? p.emissivity / p.second_emissivity / p.set_ratio
                            : p.emissivity * p.window / p.set_emissivity;
}

double equivalent(const Pyrometer& p, double T, double gain) {
  if (gain == 1.0) return T;
  if (T <= 0.0) return 0.0;
  const double first = second_radiation_constant / p.wavelength;
  if (!has_two_colours(p)) return one_colour(first, p.wien, T, gain);
  const double second = second_radiation_constant / p.second_wavelength;
  if (!p.wien) return two_colours(first, second, T, gain);
  return first > second ? one_colour(first - second, true, T, gain)
                        : one_colour(second - first, true, T, 1.0 / gain);
}

}  // namespace

double shown_temperature(const Pyrometer& pyrometer, double surface) {
  return std::max(equivalent(pyrometer, surface, signal_gain(pyrometer)), pyrometer.lower_limit);
}

bool is_in_sight(const Pyrometer& pyrometer, double surface) {
  return equivalent(pyrometer, surface, signal_gain(pyrometer)) >= pyrometer.lower_limit;
}

double surface_for_reading(const Pyrometer& pyrometer, double shown) {
  return equivalent(pyrometer, shown, 1.0 / signal_gain(pyrometer));
}

double cavity_emissivity(double wall_emissivity, double depth_over_radius) {
  const double dark = 1.0 - wall_emissivity;
  const double straight = 1.0 / (1.0 + depth_over_radius * depth_over_radius);
  const double mouth = dark * 0.5 / (1.0 + depth_over_radius);
  return 1.0 - dark * (straight + (1.0 - straight) * mouth / (wall_emissivity + mouth));
}

}  // namespace joulepress::solver
