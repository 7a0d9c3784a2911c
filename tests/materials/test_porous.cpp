// Mixture rules against tabulated values and their exact limits.
#include <doctest/doctest.h>

#include <array>
#include <cmath>

#include "materials/porous.hpp"

using joulepress::materials::bruggeman;
using joulepress::materials::maxwell_eucken;

// Values of 2D/(3 - D) and (3D - 1)/2 to three digits, worked out by pocket calculator.
// Forms: Eucken 1932 and Bruggeman 1935, from memory.
TEST_CASE("porous solids against three-digit values") {
  struct Row {
    double density, closed_pores, symmetric;
  };
  constexpr std::array<Row, 6> rows = {{{0.6, 0.500, 0.400},
                                        {0.7, 0.609, 0.550},
                                        {0.8, 0.727, 0.700},
                                        {0.9, 0.857, 0.850},
                                        {0.95, 0.927, 0.925},
                                        {0.99, 0.985, 0.985}}};
  for (const Row& row : rows) {
    CAPTURE(row.density);
    CHECK(std::abs(maxwell_eucken(row.density) - row.closed_pores) <= 0.0005);
    CHECK(std::abs(bruggeman(row.density) - row.symmetric) <= 0.0005);
  }
}

TEST_CASE("porous solids become the dense solid, lose 3/2 of the first pores, and never gain") {
  CHECK(maxwell_eucken(1) == 1);
  CHECK(bruggeman(1) == 1);
  constexpr double porosity = 1e-6;
  CHECK((1 - maxwell_eucken(1 - porosity)) / porosity == doctest::Approx(1.5).epsilon(1e-5));
  CHECK((1 - bruggeman(1 - porosity)) / porosity == doctest::Approx(1.5).epsilon(1e-5));
  double before_closed = 0, before_symmetric = -1;
  for (double D = 0.34; D < 1; D += 0.01) {
    CHECK(maxwell_eucken(D) > before_closed);
    CHECK(bruggeman(D) > before_symmetric);
    CHECK(maxwell_eucken(D) >= bruggeman(D));  // closed pores hinder least
    before_closed = maxwell_eucken(D);
    before_symmetric = bruggeman(D);
  }
}

TEST_CASE("a symmetric mixture below one third carries nothing") {
  CHECK(bruggeman(1.0 / 3) == doctest::Approx(0));
  CHECK(bruggeman(0.2) == 0);
}
