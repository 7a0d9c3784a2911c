#include <algorithm>
#include <cmath>

#include "cases/case.hpp"
#include "solver/results.hpp"
#include "tools/html/card_content.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

constexpr double zero_celsius = 273.15;

/// The code point of a whole character.
char32_t code_point(std::string_view character) {
  const auto byte = [&](std::size_t k) { return static_cast<unsigned char>(character[k]); };
  if (character.size() == 1) return byte(0);
  char32_t point = byte(0) & (0xffu >> (character.size() + 1));
  for (std::size_t k = 1; k < character.size(); ++k) point = (point << 6) | (byte(k) & 0x3fu);
  return point;
}

/// C0 and C1, and what turns the direction of reading or has no width.
bool controls(char32_t point) {
  return point < 0x20 || (point >= 0x7f && point < 0xa0) || (point >= 0x200b && point <= 0x200f) ||
         (point >= 0x2028 && point <= 0x202e) || (point >= 0x2060 && point <= 0x206f) || point == 0xfeff;
}

}  // namespace

std::string harmless(std::string_view text) {
  std::string clean;
  bool blank = false;
  for (std::size_t k = 0; k < text.size();) {
    const std::size_t length = svg::utf8_length(text, k);
    const std::string_view character = text.substr(k, std::max<std::size_t>(length, 1));
    k += character.size();
    if (length == 0 || controls(code_point(character)) || character == " " || character == "\u00a0") {
      blank = true;
      continue;
    }
    if (blank && !clean.empty()) clean += ' ';
    blank = false;
    clean += character;
  }
  return clean;
}

std::string number_or_dash(double value, int decimals, const Words& say) {
  return std::isfinite(value) ? say.number(value, decimals) : "–";
}

std::string entered_celsius(double kelvin, const Words& say) {
  const double celsius = kelvin - zero_celsius;
  return number_or_dash(celsius, std::abs(celsius - std::round(celsius)) < 0.05 ? 0 : 1, say);
}

std::string whole_celsius(double kelvin, const Words& say) {
  return std::isfinite(kelvin) ? say.celsius(kelvin) : "–";
}

std::string percent_dense(double density, const Words& say) {
  if (density >= 1.0 - 1.5 * solver::dense_porosity) return "100";
  return density > 0.9995 ? number_or_dash(100.0 * std::min(density, 0.99999), 3, say)
                          : number_or_dash(100.0 * density, 1, say);
}

bool by_furnace(const CorrectStudy& study) {
  return study.control == cases::furnace_name;
}

}  // namespace joulepress::tools::html
