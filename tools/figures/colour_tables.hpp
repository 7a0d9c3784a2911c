// Colours of the fields: two tables of our own, 256 colours each, from dark to light.
//
// Their lightness in OKLab rises evenly from 0.24 to 0.95, so that they read in grey and with any colour
// vision; hue and chroma follow nodes in OKLCH (L, C cos h, C sin h).  OKLab: B. Ottosson, "A perceptual
// color space for image processing" (2020), matrices of 2021-01-25; encoding of sRGB: IEC 61966-2-1.
#pragma once

#include <array>
#include <cstdint>
#include <string>

namespace joulepress::tools::figures {

/// Encoded sRGB, 0 to 255.
struct Rgb {
  std::uint8_t red = 0, green = 0, blue = 0;
  bool operator==(const Rgb&) const = default;
};

using ColourTable = std::array<Rgb, 256>;

/// Temperatures and heats: deep petrol, muted rose, pale apricot.
const ColourTable& heat_colours();
/// Densities and everything else: dark slate to light sand.
const ColourTable& ground_colours();

/// Linear-light red, green, blue of an encoded colour, each 0 to 1.
std::array<double, 3> linear_light(const Rgb& colour);

/// L, a, b of linear-light sRGB.
std::array<double, 3> oklab(const std::array<double, 3>& linear);

/// "#0b5d6b".
std::string hex(const Rgb& colour);

/// Entry for `value` on a scale from low to high; beyond its ends, and on a scale without length, an end.
/// `steps` colours are told apart, from 2 to 256.
int colour_index(double value, double low, double high, int steps = 256);

}  // namespace joulepress::tools::figures
