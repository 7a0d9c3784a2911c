// Faults of a layout and their sizes.  Targets are differences of the lengths drawn.
#include "mesh/layout.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tests/mesh/geometry.hpp"

using namespace joulepress::mesh;

TEST_CASE("faults: overlap, floating, empty, with their sizes") {
  Layout layout =
      in_metres({{"punch", 0, 0, 10, 0, 50}, {"lining", 1, 10, 10.2, 5, 41}, {"die", 2, 10.2, 25, 5, 41}});
  CHECK(faults_of(layout).empty());
  layout[2].r_inner = 10.1e-3;
  REQUIRE(faults_of(layout).size() == 1);
  CHECK(faults_of(layout)[0].kind == LayoutFault::Kind::overlap);
  CHECK(faults_of(layout)[0].size == relative(0.1e-3));
  layout[2].r_inner = 10.7e-3;
  REQUIRE(faults_of(layout).size() == 1);
  CHECK(faults_of(layout)[0].kind == LayoutFault::Kind::floating);
  CHECK(faults_of(layout)[0].size == relative(0.5e-3));
  layout[2].r_inner = layout[2].r_outer;
  bool empty = false;
  for (const LayoutFault& fault : faults_of(layout)) empty = empty || fault.kind == LayoutFault::Kind::empty;
  CHECK(empty);
}

TEST_CASE("faults: the size of an overlap is the shortest way that would part the two") {
  // A disc of 0.2 mm whose rim reaches 0.5 mm into a sleeve 36 mm high: 0.5 mm in r, not its own thickness.
  Layout layout = in_metres({{"sleeve", 0, 9.5, 25, 0, 36}, {"disc", 1, 0, 10, 15, 15.2}});
  std::vector<LayoutFault> faults = faults_of(layout);
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].kind == LayoutFault::Kind::overlap);
  CHECK(faults[0].block == 0);
  CHECK(faults[0].other == 1);
  CHECK(faults[0].size == relative(0.5e-3));
  layout[1].r_outer = 9.3e-3;  // does not reach it: floating, 0.2 mm away
  faults = faults_of(layout);
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].kind == LayoutFault::Kind::floating);
  CHECK(faults[0].size == relative(0.2e-3));
  for (double Block::*length : {&Block::r_outer, &Block::z_top}) {  // not a number, endless: no extent
    for (const double bad : {std::nan(""), std::numeric_limits<double>::infinity()}) {
      Layout broken = layout;
      broken[1].*length = bad;
      faults = faults_of(broken);
      CHECK(std::any_of(faults.begin(), faults.end(), [](const LayoutFault& f) {
        return f.kind == LayoutFault::Kind::empty && f.block == 1;
      }));
    }
  }
}

TEST_CASE("faults: a floating part names its nearest neighbour, across a corner too") {
  // The ring is 3 mm to the right of the near disc and 4 mm above it: 5 mm; every other part is farther.
  const Layout layout = in_metres({{"far", 0, 0, 10, 0, 10},
                                   {"near", 1, 0, 20, 10, 20},
                                   {"top", 2, 0, 5, 20, 90},
                                   {"ring", 3, 23, 30, 24, 40}});
  const std::vector<LayoutFault> faults = faults_of(layout);
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].kind == LayoutFault::Kind::floating);
  CHECK(faults[0].block == 3);
  CHECK(faults[0].other == 1);
  CHECK(faults[0].size == relative(5e-3));
}

TEST_CASE("faults: blocks that meet in a corner only do not touch") {
  const std::vector<LayoutFault> faults =
      faults_of(in_metres({{"disc", 0, 0, 10, 0, 10}, {"ring", 1, 10, 20, 10, 20}}));
  REQUIRE(faults.size() == 1);
  CHECK(faults[0].kind == LayoutFault::Kind::floating);
  CHECK(faults[0].size == 0.0);
}
