// What the figures of a result are made of: colours against the formulas of their space, and labels.
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <string>
#include <vector>

#include "tools/figures/colour_tables.hpp"
#include "tools/figures/labels.hpp"

using namespace joulepress::tools::figures;
namespace svg = joulepress::tools::svg;

TEST_CASE("colours: OKLab as published, lightness even and strictly rising") {
  // CSS Color Module Level 4 (W3C): red is oklab(0.62796 0.22486 0.12585); from memory.  White is L = 1.
  const auto red = oklab(linear_light({255, 0, 0})), white = oklab(linear_light({255, 255, 255}));
  CHECK(std::abs(red[0] - 0.62796) < 2e-5);
  CHECK(std::abs(red[1] - 0.22486) < 2e-5);
  CHECK(std::abs(red[2] - 0.12585) < 2e-5);
  CHECK(std::abs(white[0] - 1.0) < 1e-6);
  for (const ColourTable& table : {heat_colours(), ground_colours()}) {
    std::vector<double> lightness;
    for (const Rgb& colour : table) lightness.push_back(oklab(linear_light(colour))[0]);
    for (std::size_t k = 0; k < table.size(); ++k) {
      CHECK(std::abs(lightness[k] - (0.24 + 0.71 * static_cast<double>(k) / 255.0)) < 0.5 * 0.71 / 255.0);
      if (k > 0) CHECK(lightness[k] > lightness[k - 1]);
    }
  }
}

TEST_CASE("colours: lightness rises without red cones and without green ones") {
  // Viénot, Brettel and Mollon, Color Research and Application 24 (1999) 243; matrices from memory, checked
  // by what defines them: white and blue stay what they are.
  using Triple = std::array<double, 3>;
  using Matrix = std::array<Triple, 3>;
  const auto times = [](const Matrix& m, const Triple& v) {
    Triple result{};
    for (std::size_t i = 0; i < 3; ++i)
      for (std::size_t j = 0; j < 3; ++j) result[i] += m[i][j] * v[j];
    return result;
  };
  const Matrix to_cones{
      {{17.8824, 43.5161, 4.11935}, {3.45565, 27.1554, 3.86714}, {0.0299566, 0.184309, 1.46709}}};
  // Its inverse, by cofactors.
  Matrix back{};
  const Matrix& m = to_cones;
  const double determinant = m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) -
                             m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0]) +
                             m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0]);
  for (std::size_t i = 0; i < 3; ++i)
    for (std::size_t j = 0; j < 3; ++j) {
      const std::size_t a = (j + 1) % 3, b = (j + 2) % 3, c = (i + 1) % 3, d = (i + 2) % 3;
      back[i][j] = (m[a][c] * m[b][d] - m[a][d] * m[b][c]) / determinant;
    }
  const auto seen = [&](const Triple& linear, bool without_red) {
    Triple cones = times(to_cones, linear);
    if (without_red)
      cones[0] = 2.02344 * cones[1] - 2.52581 * cones[2];
    else
      cones[1] = 0.494207 * cones[0] + 1.24827 * cones[2];
    return times(back, cones);
  };
  for (const bool without_red : {true, false}) {
    for (const Triple& fixed : {Triple{1, 1, 1}, Triple{0, 0, 1}})
      for (std::size_t k = 0; k < 3; ++k) CHECK(std::abs(seen(fixed, without_red)[k] - fixed[k]) < 1e-3);
    for (const ColourTable& table : {heat_colours(), ground_colours()})
      for (std::size_t k = 1; k < table.size(); ++k) {
        INFO(k);
        CHECK(oklab(seen(linear_light(table[k]), without_red))[0] >
              oklab(seen(linear_light(table[k - 1]), without_red))[0]);
      }
  }
}

TEST_CASE("colours: the ends of a scale are the ends of the table, and steps are told apart") {
  CHECK(colour_index(5.0, 5.0, 9.0) == 0);
  CHECK(colour_index(9.0, 5.0, 9.0) == 255);
  CHECK(colour_index(-1.0, 5.0, 9.0) == 0);
  CHECK(colour_index(5.0, 5.0, 5.0) == 0);
  CHECK(colour_index(5.9, 5.0, 9.0, 4) == 0);
  CHECK(colour_index(6.1, 5.0, 9.0, 4) == 85);
  CHECK(hex({11, 93, 107}) == "#0b5d6b");
}

TEST_CASE("labels: neighbours give way as little as may be") {
  CHECK(spread({10, 20}, {4, 4}, 0, 100) == std::vector<double>{10, 20});
  CHECK(spread({10, 10}, {4, 4}, 0, 100) == std::vector<double>{8, 12});
  CHECK(spread({1, 99}, {4, 4}, 0, 100) == std::vector<double>{2, 98});
  const std::vector<double> three = spread({12, 10, 11}, {4, 2, 6}, 0, 100);  // in order 10, 11, 12
  CHECK(three[1] + 4 == doctest::Approx(three[2]));
  CHECK(three[2] + 5 == doctest::Approx(three[0]));
  CHECK(three[0] + three[1] + three[2] == doctest::Approx(33));  // least squares: the mean stays
  CHECK(spread({0, 1}, {4, 4}, 0, 5) == std::vector<double>{2, 6});
}

TEST_CASE("labels: numbers, signs and lines of text") {
  CHECK(decimals_of(0.5) == 1);
  CHECK(decimals_of(200) == 0);
  CHECK(decimals_of(0.02) == 2);
  CHECK(number_text(-1.25, 1, ',') == "\u22121,2");
  CHECK(number_text(-0.04, 1, '.') == "0.0");
  CHECK(signed_text(3.0, 0, '.') == "+3");
  CHECK(signed_text(0.2, 0, '.') == "0");
  CHECK(wrapped("upper step spacer", 24) == std::vector<std::string>{"upper step", "spacer"});
  const std::vector<svg::Point> bend = simplified({{0, 0}, {1, 0.001}, {2, 0}, {2, 5}}, 0.01);
  REQUIRE(bend.size() == 3);
  CHECK(bend[1].x == 2);
}
