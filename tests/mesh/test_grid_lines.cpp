// Graded lines: how many cells, how large, and how they grow.  Targets are integrals of 1/h in closed form.
#include "mesh/grid_lines.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "mesh/mesh.hpp"
#include "tests/mesh/geometry.hpp"

using namespace joulepress::mesh;

TEST_CASE("graded lines: as many cells as the integral of 1/h asks for, none at the axis") {
  GridRule rule;
  rule.smallest = 0.1e-3;
  rule.growth = 0.4;
  rule.largest = 1.0;  // never reached: h = s + g x, integral ln(1 + g L / s) / g
  const double length = 20e-3;
  const std::vector<double> lines = graded_lines({{0.0, false}, {length, true}}, rule);
  const int n = static_cast<int>(lines.size()) - 1;
  CHECK(n == static_cast<int>(std::ceil(std::log1p(rule.growth * length / rule.smallest) / rule.growth)));
  for (std::size_t k = 2; k < lines.size(); ++k)
    CHECK(lines[k] - lines[k - 1] < lines[k - 1] - lines[k - 2]);  // finer and finer toward the outside
  const double share = std::log1p(rule.growth * length / rule.smallest) / rule.growth / n;  // of the integral
  const double last = rule.smallest / rule.growth * std::expm1(rule.growth * share);
  CHECK(lines[n] - lines[n - 1] == relative(last));
}

TEST_CASE("graded lines: a stretch of level cells in the middle, every cell near its wanted size") {
  GridRule rule;
  rule.largest = 0.5e-3;
  const double length = 12e-3;
  const std::vector<double> lines = graded_lines({{0.0, true}, {length, true}}, rule);
  // Up from 0.1 to 0.5 mm, level, down again: 2 ln(5) / 0.4 + (12 - 2) / 0.5 cells.
  CHECK(lines.size() - 1 == std::ceil(2 * std::log(5.0) / 0.4 + 20));
  for (std::size_t k = 1; k < lines.size(); ++k) {
    const double middle = 0.5 * (lines[k] + lines[k - 1]);
    const double wanted = std::min(0.5e-3, 0.1e-3 + 0.4 * std::min(middle, length - middle));
    CHECK(lines[k] - lines[k - 1] > 0.9 * wanted);
    CHECK(lines[k] - lines[k - 1] < 1.03 * wanted);  // a mean of 1/h over the cell, h linear
    CHECK(std::abs(lines[k] + lines[lines.size() - 1 - k] - length) < 1e-16);
  }
}

TEST_CASE("thin foil, narrow clearance: cells shrink toward them and grow again by the same rule") {
  // A lining of 0.05 mm, and an unlined die 0.02 mm wider than its punch, whose end ring faces the spacer.
  for (const double clearance : {0.05, 0.02, 0.003}) {
    const Mesh mesh = build_mesh(in_metres({{"spacer", 0, 0, 20, 0, 10},
                                            {"punch", 1, 0, 10, 10, 40},
                                            {"holder", 2, 0, 30, 40, 50},
                                            {"die", 3, 10 + clearance, 25, 15, 40},
                                            {"lining", 4, 25, 25.05, 15, 40}}),
                                 {});
    CAPTURE(clearance);
    CHECK(worst_ratio(mesh) < 2.6);
    CHECK(mesh.n_cells() < 15000);
  }
}
