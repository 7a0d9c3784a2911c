// The 20 mm stack of the shipped cases as a mesh: who touches whom, who looks at whom, how many cells, how
// the grid mirrors; edges seen in part; traces on every kind of edge.  Targets are identities of the
// geometry.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "mesh/interfaces.hpp"
#include "mesh/mesh.hpp"
#include "mesh/watch.hpp"
#include "tests/mesh/geometry.hpp"
#include "tests/support/cell_means.hpp"

using namespace joulepress::mesh;
using joulepress::test::mean_square_radius;

namespace {

constexpr double pi = std::numbers::pi;

enum BlockIndex {
  base,
  low_step,
  low_punch,
  low_foil,
  powder,
  high_foil,
  high_punch,
  high_step,
  head,
  die,
  lining
};

/// Spacers 80 and 40 mm, punches 20 mm, powder 4.8 mm, foil discs and lining 0.2 mm, die 50 x 36 mm.
Layout full_stack() {
  return in_metres({{"base", base, 0, 40, 0, 40},
                    {"low step", low_step, 0, 20, 40, 60},
                    {"low punch", low_punch, 0, 10, 60, 85},
                    {"low foil", low_foil, 0, 10, 85, 85.2},
                    {"powder", powder, 0, 10, 85.2, 90},
                    {"high foil", high_foil, 0, 10, 90, 90.2},
                    {"high punch", high_punch, 0, 10, 90.2, 115.2},
                    {"high step", high_step, 0, 20, 115.2, 135.2},
                    {"head", head, 0, 40, 135.2, 175.2},
                    {"die", die, 10.2, 25, 69.6, 105.6},
                    {"lining", lining, 10, 10.2, 69.6, 105.6}});
}

Layout upside_down(Layout layout) {
  double height = 0;
  for (const Block& b : layout) height = std::max(height, b.z_top);
  for (Block& b : layout) {
    const double top = height - b.z_bottom;
    b.z_bottom = height - b.z_top;
    b.z_top = top;
  }
  return layout;
}

std::vector<double> at_rest(const Mesh& mesh) {
  return std::vector<double>(mesh.layout.size(), 0.0);
}

std::vector<BlockPair> pairs_of(const Interfaces& interfaces, int a, int b) {
  std::vector<BlockPair> found;
  for (const BlockPair& pair : interfaces.pairs)
    if (pair.block_a == a && pair.block_b == b) found.push_back(pair);
  return found;
}

double ring(double inner_mm, double outer_mm) {
  return pi * 1e-6 * (outer_mm * outer_mm - inner_mm * inner_mm);
}

}  // namespace

TEST_CASE("full stack: contacts, areas by hand") {
  const Mesh mesh = build_mesh(full_stack(), {});
  const Interfaces interfaces = interfaces_at(mesh, at_rest(mesh));
  struct Expected {
    int a, b;
    double area, gap;
  };
  const std::vector<Expected> expected = {
      {base, low_step, ring(0, 20), 0},
      {low_step, low_punch, ring(0, 10), 0},
      {low_punch, low_foil, ring(0, 10), 0},
      {low_foil, powder, ring(0, 10), 0},
      {powder, high_foil, ring(0, 10), 0},
      {high_foil, high_punch, ring(0, 10), 0},
      {high_punch, high_step, ring(0, 10), 0},
      {high_step, head, ring(0, 20), 0},
      {low_punch, lining, 2e-6 * pi * 10 * 15.4, 0},
      {low_foil, lining, 2e-6 * pi * 10 * 0.2, 0},
      {powder, lining, 2e-6 * pi * 10 * 4.8, 0},
      {high_foil, lining, 2e-6 * pi * 10 * 0.2, 0},
      {high_punch, lining, 2e-6 * pi * 10 * 15.4, 0},
      {lining, die, 2e-6 * pi * 10.2 * 36, 0},
  };
  CHECK(interfaces.pairs.size() == expected.size());
  for (const Expected& e : expected) {
    CAPTURE(mesh.layout[e.a].name);
    CAPTURE(mesh.layout[e.b].name);
    const std::vector<BlockPair> found = pairs_of(interfaces, e.a, e.b);
    REQUIRE(found.size() == 1);
    CHECK(found[0].area == relative(e.area, 1e-9));
    CHECK(std::abs(found[0].gap - e.gap) < 1e-12);
  }
}

TEST_CASE("full stack: lines pass through the ends of every contact and of every facing stretch") {
  const Mesh mesh = build_mesh(full_stack(), {});
  const auto has = [](const std::vector<double>& lines, double at) {
    return std::any_of(lines.begin(), lines.end(), [&](double x) { return std::abs(x - at) < 1e-12; });
  };
  for (const double r : {10e-3, 10.2e-3}) CHECK(has(mesh.grids[low_step].r_lines, r));
  for (const double r : {20e-3, 25e-3}) CHECK(has(mesh.grids[head].r_lines, r));
  for (const double z : {85e-3, 85.2e-3, 90e-3, 90.2e-3}) CHECK(has(mesh.grids[lining].z_lines, z));
  CHECK(has(mesh.grids[low_punch].z_lines, 69.6e-3));
  CHECK(has(mesh.grids[high_punch].z_lines, 105.6e-3));
}

TEST_CASE("full stack: cell count in the intended range, no neighbours that differ by more than 2.6") {
  // 4000 to 8000 cells is what the run time of the shipped cases allows; beyond 2.6 the two-point error
  // grows.
  for (const int refinement : {1, 2}) {
    GridRule rule;
    rule.refinement = refinement;
    const Mesh mesh = build_mesh(full_stack(), rule);
    MESSAGE("cells at refinement " << refinement << ": " << mesh.n_cells());
    CHECK(mesh.n_cells() >= 4000 * refinement * refinement);
    CHECK(mesh.n_cells() <= 8000 * refinement * refinement);
    const double worst = worst_ratio(mesh);
    MESSAGE("worst ratio of neighbours: " << worst);
    CHECK(worst < 2.6);
    CHECK(mesh.grids[lining].n_r() >= rule.cells_across_min * refinement);
    CHECK(mesh.grids[low_foil].n_z() >= rule.cells_across_min * refinement);
  }
}

TEST_CASE("a stack turned upside down has the mesh turned upside down") {
  const Layout layout = full_stack();
  double height = 0;
  for (const Block& b : layout) height = std::max(height, b.z_top);
  const Mesh up = build_mesh(layout, {}), down = build_mesh(upside_down(layout), {});
  REQUIRE(up.n_cells() == down.n_cells());
  double worst_r = 0, worst_z = 0;
  for (std::size_t b = 0; b < layout.size(); ++b) {
    const BlockGrid &u = up.grids[b], &d = down.grids[b];
    REQUIRE(u.r_lines.size() == d.r_lines.size());
    REQUIRE(u.z_lines.size() == d.z_lines.size());
    for (std::size_t k = 0; k < u.r_lines.size(); ++k)
      worst_r = std::max(worst_r, std::abs(u.r_lines[k] - d.r_lines[k]));
    for (std::size_t k = 0; k < u.z_lines.size(); ++k)
      worst_z = std::max(worst_z, std::abs(u.z_lines[k] - (height - d.z_lines[d.z_lines.size() - 1 - k])));
  }
  CHECK(worst_r < 1e-14);
  CHECK(worst_z < 1e-12);  // rounding of sums over 2000 samples, 175 mm high
}

TEST_CASE("every edge of every cell is covered once, also when the die has slid") {
  const Mesh mesh = build_mesh(full_stack(), {});
  for (const double slid : {0.0, 0.313e-3, -2.71e-3}) {
    std::vector<double> lift = at_rest(mesh);
    lift[die] = lift[lining] = slid;
    const Interfaces interfaces = interfaces_at(mesh, lift);
    std::map<std::pair<int, Side>, double> covered;
    for (const PairFace& face : interfaces.pair_faces) {
      covered[{face.a.cell, face.a.side}] += face.a.area;
      covered[{face.b.cell, face.b.side}] += face.b.area;
    }
    for (const OuterFace& face : interfaces.outer_faces) covered[{face.a.cell, face.a.side}] += face.a.area;
    std::size_t edges = 0;
    double worst = 0;
    for (const BlockGrid& g : mesh.grids) {
      const auto check = [&](int cell, Side side, double area) {
        const auto found = covered.find({cell, side});
        REQUIRE(found != covered.end());
        worst = std::max(worst, std::abs(found->second / area - 1));
        ++edges;
      };
      for (int j = 0; j < g.n_z(); ++j) {
        const double height = g.z_lines[j + 1] - g.z_lines[j];
        check(g.cell(g.n_r() - 1, j), Side::outer, 2 * pi * g.r_lines.back() * height);
        if (g.r_lines.front() > 0) check(g.cell(0, j), Side::inner, 2 * pi * g.r_lines.front() * height);
      }
      for (int i = 0; i < g.n_r(); ++i) {
        const double area = pi * (g.r_lines[i + 1] + g.r_lines[i]) * (g.r_lines[i + 1] - g.r_lines[i]);
        check(g.cell(i, 0), Side::bottom, area);
        check(g.cell(i, g.n_z() - 1), Side::top, area);
      }
    }
    CHECK(covered.size() == edges);  // and nothing on the axis
    CHECK(worst < 1e-12);            // rounding of lifted lines
  }
}

TEST_CASE("traces on rings carry fields linear in r^2, those on cylinders fields linear in z") {
  // A narrow punch on a wide one: the grid lines in r cannot match.
  const Mesh mesh = build_mesh(in_metres({{"wide", 0, 0, 20, 0, 15},
                                          {"narrow", 1, 3, 11, 15, 30},
                                          {"sleeve", 2, 11, 17, 15.9, 33},
                                          {"lid", 3, 3, 7, 30, 40}}),
                               {});
  std::vector<double> lift{0.0, 0.0, 0.43e-3, 0.0};
  const Interfaces interfaces = interfaces_at(mesh, lift);
  const std::vector<double> r2 = mean_square_radius(mesh);
  int skewed_rings = 0, skewed_cylinders = 0;
  double worst = 0;
  for (const PairFace& face : interfaces.pair_faces) {
    const bool vertical = face.a.side == Side::outer;
    for (const FaceSide* side : {&face.a, &face.b}) {
      if (side->trace.count == 1) continue;
      (vertical ? skewed_cylinders : skewed_rings) += 1;
      double value = 0;
      for (int k = 0; k < side->trace.count; ++k) {
        const int cell = side->trace.cells[k];
        value += side->trace.weights[k] * (vertical ? mesh.z[cell] + lift[mesh.block_of[cell]] : r2[cell]);
      }
      const Datum stretch = stretch_of(mesh, face);
      worst = std::max(worst, std::abs(value - 0.5 * (stretch.from + stretch.to)));
    }
  }
  CHECK(skewed_rings > 5);
  CHECK(skewed_cylinders > 5);
  CHECK(worst < 1e-15);  // metres; lengths are some 1e-2
}

TEST_CASE("walls that look at each other across a wide gap are outer faces, each with its own area") {
  // Two plates held by a wall around them; a ring of 10 to 20 mm hangs from the upper one.
  const Mesh mesh = build_mesh(in_metres({{"low", 0, 0, 30, 0, 10},
                                          {"high", 1, 0, 30, 30, 40},
                                          {"ring", 2, 10, 20, 18, 30},
                                          {"wall", 3, 30, 32, 0, 40}}),
                               {});
  const Interfaces hanging = interfaces_at(mesh, at_rest(mesh));
  CHECK(pairs_of(hanging, 0, 1).empty());
  CHECK(pairs_of(hanging, 0, 2).empty());
  REQUIRE(pairs_of(hanging, 2, 1).size() == 1);
  CHECK(pairs_of(hanging, 2, 1)[0].gap == 0);
  double floor = 0, lid = 0;
  for (const OuterFace& face : hanging.outer_faces) {
    if (mesh.block_of[face.a.cell] == 0 && face.a.side == Side::top) floor += face.a.area;
    if (mesh.block_of[face.a.cell] == 1 && face.a.side == Side::bottom) lid += face.a.area;
  }
  CHECK(floor == relative(ring(0, 30)));
  CHECK(lid == relative(ring(0, 10) + ring(20, 30)));
}

TEST_CASE("a slid block keeps its cells, its contacts follow; across a gap each side has its own area") {
  const Layout layout =
      in_metres({{"base", 0, 0, 30, 0, 10}, {"rod", 1, 0, 10, 10, 50}, {"tube", 2, 11.5, 25, 10, 40}});
  const Mesh mesh = build_mesh(layout, {});
  for (const double slid : {0.0, 3e-3, 12e-3}) {
    const std::vector<double> lift{0.0, 0.0, slid};
    const Interfaces interfaces = interfaces_at(mesh, lift);
    const std::vector<BlockPair> facing = pairs_of(interfaces, 1, 2);
    REQUIRE(facing.size() == 1);
    CHECK(facing[0].gap == relative(1.5e-3));
    CHECK(facing[0].area == relative(2 * pi * 10e-3 * std::min(30e-3, 40e-3 - slid)));
    double tube_area = 0;
    for (const PairFace& face : interfaces.pair_faces) {
      if (mesh.block_of[face.b.cell] != 2 || mesh.block_of[face.a.cell] != 1) continue;
      tube_area += face.b.area;
      CHECK(face.area == face.a.area);
      CHECK(face.b.area == relative(1.15 * face.a.area));
    }
    CHECK(tube_area == relative(2 * pi * 11.5e-3 * std::min(30e-3, 40e-3 - slid)));
    CHECK(pairs_of(interfaces, 0, 2).size() == (slid > 0 ? 0 : 1));  // stands on the base
  }
}

TEST_CASE("what is closer than the tolerance touches: the gap is exactly 0") {
  for (const double apart : {-5e-9, -1e-17, 1e-17, 5e-9}) {
    const Mesh mesh = build_mesh(in_metres({{"low", 0, 0, 10, 0, 10}, {"high", 1, 0, 10, 10, 20}}), {});
    const Interfaces interfaces = interfaces_at(mesh, std::vector<double>{0.0, apart});
    REQUIRE(interfaces.pairs.size() == 1);
    CHECK(interfaces.pairs[0].gap == 0.0);
  }
}

TEST_CASE("an edge point is read only where there is contact") {
  const Layout layout = in_metres({{"rod", 0, 0, 10, 0, 50}, {"sleeve", 1, 10, 25, 20, 40}});
  const Mesh mesh = build_mesh(layout, {});
  const Interfaces interfaces = interfaces_at(mesh, at_rest(mesh));
  CHECK(edge_point(mesh, interfaces, 0, Side::outer, 19.999e-3).faces.empty());
  CHECK(!edge_point(mesh, interfaces, 0, Side::outer, 20e-3).faces.empty());
  CHECK(!edge_point(mesh, interfaces, 1, Side::inner, 40e-3).faces.empty());
  CHECK(edge_point(mesh, interfaces, 0, Side::outer, 40.001e-3).faces.empty());
  CHECK(edge_point(mesh, interfaces, 1, Side::outer, 30e-3).faces.empty());
  CHECK(edge_point(mesh, interfaces, 0, Side::top, 5e-3).faces.empty());

  const Mesh stack = build_mesh(full_stack(), {});  // the die's end ring faces the step spacer, no contact
  CHECK(edge_point(stack, interfaces_at(stack, at_rest(stack)), low_step, Side::top, 15e-3).faces.empty());

  const Mesh step = build_mesh(in_metres({{"wide", 0, 0, 20, 0, 15}, {"narrow", 1, 3, 11, 15, 30}}), {});
  const Interfaces rings = interfaces_at(step, at_rest(step));
  CHECK(edge_point(step, rings, 0, Side::top, 2.999e-3).faces.empty());
  CHECK(edge_point(step, rings, 0, Side::top, 11.001e-3).faces.empty());
  const EdgeWatch inside = edge_point(step, rings, 1, Side::bottom, 7e-3);
  double r2 = 0;
  for (std::size_t k = 0; k < inside.faces.size(); ++k) {
    const Datum stretch = stretch_of(step, rings.pair_faces[inside.faces[k]]);
    r2 += inside.weights[k] * 0.5 * (stretch.from + stretch.to);
  }
  CHECK(!inside.on_a);
  CHECK(r2 == relative(49e-6));
}
