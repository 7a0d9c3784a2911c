#include "tools/figures/colour_tables.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <span>

namespace joulepress::tools::figures {
namespace {

using Triple = std::array<double, 3>;

constexpr double darkest = 0.24, lightest = 0.95;

struct Node {
  double at;      ///< 0 to 1 along the table
  double chroma;  ///< of OKLCH
  double hue;     ///< degrees, running on beyond 360
};

// Own choice, within the gamut of sRGB.
constexpr std::array<Node, 5> heat_nodes{
    {{0.0, 0.043, 220}, {0.3, 0.085, 310}, {0.6, 0.115, 370}, {0.82, 0.095, 410}, {1.0, 0.032, 435}}};
constexpr std::array<Node, 3> ground_nodes{{{0.0, 0.030, 255}, {0.5, 0.034, 170}, {1.0, 0.050, 90}}};

double encoded(double linear) {
  return linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
}

Triple linear_of(double lightness, double a, double b) {
  const auto cube = [](double x) { return x * x * x; };
  const double l = cube(lightness + 0.3963377774 * a + 0.2158037573 * b);
  const double m = cube(lightness - 0.1055613458 * a - 0.0638541728 * b);
  const double s = cube(lightness - 0.0894841775 * a - 1.2914855480 * b);
  return {4.0767416621 * l - 3.3077115913 * m + 0.2309699292 * s,
          -1.2684380046 * l + 2.6097574011 * m - 0.3413193965 * s,
          -0.0041960863 * l - 0.7034186147 * m + 1.7076147010 * s};
}

/// Of the whole numbers around a colour those that come nearest to the lightness: rounding each for itself
/// would shift it by more than one step of the table.
Rgb nearest(const Triple& linear, double lightness) {
  Rgb best;
  double least = 1e9;
  Triple exact;
  for (std::size_t k = 0; k < 3; ++k) exact[k] = 255.0 * encoded(std::clamp(linear[k], 0.0, 1.0));
  for (int choice = 0; choice < 8; ++choice) {
    const auto channel = [&](std::size_t k) {
      return static_cast<std::uint8_t>(std::min(255.0, std::floor(exact[k]) + ((choice >> k) & 1)));
    };
    const Rgb candidate{channel(0), channel(1), channel(2)};
    const double error = std::abs(oklab(linear_light(candidate))[0] - lightness);
    if (error < least) {
      least = error;
      best = candidate;
    }
  }
  return best;
}

Rgb colour_at(double t, std::span<const Node> nodes) {
  std::size_t k = 1;
  while (k + 1 < nodes.size() && t > nodes[k].at) ++k;
  const Node &from = nodes[k - 1], &to = nodes[k];
  const double u = (t - from.at) / (to.at - from.at);
  const double chroma = std::lerp(from.chroma, to.chroma, u);
  const double hue = std::lerp(from.hue, to.hue, u) * std::numbers::pi / 180.0;
  const double lightness = std::lerp(darkest, lightest, t);
  return nearest(linear_of(lightness, chroma * std::cos(hue), chroma * std::sin(hue)), lightness);
}

ColourTable table_of(std::span<const Node> nodes) {
  ColourTable table;
  for (std::size_t k = 0; k < table.size(); ++k)
    table[k] = colour_at(static_cast<double>(k) / static_cast<double>(table.size() - 1), nodes);
  return table;
}

}  // namespace

const ColourTable& heat_colours() {
  static const ColourTable table = table_of(heat_nodes);
  return table;
}

const ColourTable& ground_colours() {
  static const ColourTable table = table_of(ground_nodes);
  return table;
}

std::array<double, 3> linear_light(const Rgb& colour) {
  const auto linear = [](std::uint8_t value) {
    const double v = value / 255.0;
    return v <= 0.04045 ? v / 12.92 : std::pow((v + 0.055) / 1.055, 2.4);
  };
  return {linear(colour.red), linear(colour.green), linear(colour.blue)};
}

std::array<double, 3> oklab(const std::array<double, 3>& linear) {
  const auto [r, g, b] = linear;
  const double l = std::cbrt(0.4122214708 * r + 0.5363325363 * g + 0.0514459929 * b);
  const double m = std::cbrt(0.2119034982 * r + 0.6806995451 * g + 0.1073969566 * b);
  const double s = std::cbrt(0.0883024619 * r + 0.2817188376 * g + 0.6299787005 * b);
  return {0.2104542553 * l + 0.7936177850 * m - 0.0040720468 * s,
          1.9779984951 * l - 2.4285922050 * m + 0.4505937099 * s,
          0.0259040371 * l + 0.7827717662 * m - 0.8086757660 * s};
}

std::string hex(const Rgb& colour) {
  return fmt::format("#{:02x}{:02x}{:02x}", colour.red, colour.green, colour.blue);
}

int colour_index(double value, double low, double high, int steps) {
  if (!(high > low)) return 0;
  const double t = std::clamp((value - low) / (high - low), 0.0, 1.0);
  const int step = std::min(steps - 1, static_cast<int>(t * steps));
  return (step * 255) / (steps - 1);
}

}  // namespace joulepress::tools::figures
