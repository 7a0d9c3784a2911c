// Geometry: identities of areas and volumes, traces, sliding, refinement.
#include "mesh/mesh.hpp"
#include "mesh/openings.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

#include "mesh/interfaces.hpp"
#include "mesh/watch.hpp"
#include "tests/mesh/geometry.hpp"
#include "tests/support/cell_means.hpp"

using namespace joulepress::mesh;
using joulepress::test::mean_square_radius;

namespace {

constexpr double pi = std::numbers::pi;

/// Spacers, punches, powder, a lined die: blocks 0 to 6 with r and z in mm turned into metres.
Layout stack() {
  return in_metres({{"low spacer", 0, 0, 20, 0, 20},
                    {"low punch", 1, 0, 10, 20, 45},
                    {"powder", 2, 0, 10, 45, 50},
                    {"high punch", 3, 0, 10, 50, 75},
                    {"high spacer", 4, 0, 20, 75, 95},
                    {"lining", 5, 10, 10.2, 29.5, 65.5},
                    {"die", 6, 10.2, 25, 29.5, 65.5}});
}

const BlockPair* pair_of(const Interfaces& interfaces, int a, int b) {
  for (const BlockPair& pair : interfaces.pairs)
    if (pair.block_a == a && pair.block_b == b) return &pair;
  return nullptr;
}

/// Area of every cell edge on a boundary, from the pieces; key: cell * 4 + side.
std::vector<double> piece_areas(const Mesh& mesh, const Interfaces& interfaces) {
  std::vector<double> sums(static_cast<std::size_t>(4 * mesh.n_cells()), 0.0);
  const auto add = [&](const FaceSide& side) {
    sums[4 * side.cell + static_cast<int>(side.side)] += side.area;
  };
  for (const PairFace& face : interfaces.pair_faces) {
    add(face.a);
    add(face.b);
  }
  for (const OuterFace& face : interfaces.outer_faces) add(face.a);
  return sums;
}

}  // namespace

TEST_CASE("volumes are pi r^2 h, and the pieces cover every block's surface exactly") {
  const Layout layout = stack();
  const Mesh mesh = build_mesh(layout, {});
  const Interfaces interfaces = interfaces_at(mesh, std::vector<double>(layout.size(), 0.0));
  std::vector<double> volume(layout.size(), 0.0), surface(layout.size(), 0.0);
  for (int i = 0; i < mesh.n_cells(); ++i) volume[mesh.block_of[i]] += mesh.volume[i];
  const std::vector<double> areas = piece_areas(mesh, interfaces);
  for (std::size_t k = 0; k < areas.size(); ++k) surface[mesh.block_of[k / 4]] += areas[k];
  for (std::size_t b = 0; b < layout.size(); ++b) {
    const Block& block = layout[b];
    const double ring = pi * (block.r_outer * block.r_outer - block.r_inner * block.r_inner);
    const double height = block.z_top - block.z_bottom;
    CHECK(volume[b] == relative(ring * height));
    CHECK(surface[b] == relative(2 * ring + 2 * pi * (block.r_outer + block.r_inner) * height));
  }
}

TEST_CASE("inner faces: area, and the way from both middles to the face") {
  const Mesh mesh = build_mesh(stack(), {});
  double worst = 0;
  const auto compare = [&](double value, double target) {
    worst = std::max(worst, std::abs(value / target - 1));
  };
  for (const InnerFace& face : mesh.inner_faces) {
    const double half_a = face.path_a * face.area, half_b = face.path_b * face.area;
    if (face.normal == Axis::z) {  // volume = area x height
      compare(face.area * 2 * half_a, mesh.volume[face.a]);
      compare(face.area * 2 * half_b, mesh.volume[face.b]);
      compare(mesh.z[face.a] + half_a, mesh.z[face.b] - half_b);
    } else {  // volume = 2 pi r dr dz, area = 2 pi R dz
      const double radius = mesh.r[face.a] + half_a;
      compare(mesh.r[face.b] - half_b, radius);
      compare(mesh.volume[face.a] / (2 * half_a * mesh.r[face.a]), face.area / radius);
      compare(mesh.volume[face.b] / (2 * half_b * mesh.r[face.b]), face.area / radius);
    }
  }
  CHECK(worst < 1e-10);  // rounding: cells of 0.1 mm at heights of 100 mm lose three digits
  std::size_t expected = 0;
  for (const BlockGrid& g : mesh.grids) expected += (g.n_r() - 1) * g.n_z() + g.n_r() * (g.n_z() - 1);
  CHECK(mesh.inner_faces.size() == expected);
}

TEST_CASE("boundary faces: the way from the middle of the cell to the edge, over the area of the piece") {
  const Layout layout = stack();
  const Mesh mesh = build_mesh(layout, {});
  std::vector<double> lift(layout.size(), 0.0);
  lift[5] = lift[6] = 0.37e-3;
  const Interfaces interfaces = interfaces_at(mesh, lift);
  double worst = 0;
  const auto check = [&](const FaceSide& side) {
    const Block& block = layout[mesh.block_of[side.cell]];
    const double r = mesh.r[side.cell], z = mesh.z[side.cell];
    const double distance = side.side == Side::inner    ? r - block.r_inner
                            : side.side == Side::outer  ? block.r_outer - r
                            : side.side == Side::bottom ? z - block.z_bottom
                                                        : block.z_top - z;
    worst = std::max(worst, std::abs(side.path * side.area / distance - 1));
  };
  for (const PairFace& face : interfaces.pair_faces) {
    check(face.a);
    check(face.b);
  }
  for (const OuterFace& face : interfaces.outer_faces) check(face.a);
  CHECK(worst < 1e-10);
}

TEST_CASE("contacts and openings of the stack") {
  const Layout layout = stack();
  const Mesh mesh = build_mesh(layout, {});
  const Interfaces interfaces = interfaces_at(mesh, std::vector<double>(layout.size(), 0.0));
  REQUIRE(pair_of(interfaces, 1, 2));
  CHECK(pair_of(interfaces, 1, 2)->area == relative(pi * 1e-4));
  REQUIRE(pair_of(interfaces, 5, 6));
  CHECK(pair_of(interfaces, 5, 6)->area == relative(2 * pi * 10.2e-3 * 36e-3));
  CHECK(!pair_of(interfaces, 2, 6));  // the lining stands between powder and die
  CHECK(!pair_of(interfaces, 6, 4));  // the die's upper ring looks at the spacer, and at more
  const std::vector<Opening> walls = openings_of(mesh).walls;
  const auto its = std::find_if(walls.begin(), walls.end(),
                                [](const Opening& o) { return o.block == 6 && o.side == Side::top; });
  REQUIRE(its != walls.end());
  CHECK(its->from == relative(10.2e-3));
  CHECK(its->to == relative(layout[6].r_outer));
}

TEST_CASE("traces: weights sum to one, give back whole edges, carry linear fields, after sliding too") {
  const Layout layout = stack();
  GridRule rule;
  rule.smallest = 0.3e-3;
  const Mesh mesh = build_mesh(layout, rule);
  std::vector<double> lift(layout.size(), 0.0);
  lift[5] = lift[6] = 0.37e-3;  // die and lining slide
  const Interfaces interfaces = interfaces_at(mesh, lift);
  std::vector<double> given(static_cast<std::size_t>(4 * mesh.n_cells()), 0.0),
      whole = piece_areas(mesh, interfaces);
  int skewed = 0;
  const auto check = [&](const FaceSide& side, double z) {
    double sum = 0, linear = 0;
    for (int k = 0; k < side.trace.count; ++k) {
      const int cell = side.trace.cells[k];
      sum += side.trace.weights[k];
      linear += side.trace.weights[k] * (mesh.z[cell] + lift[mesh.block_of[cell]]);
      given[4 * cell + static_cast<int>(side.side)] += side.trace.weights[k] * side.area;
    }
    skewed += side.trace.count > 1;
    CHECK(sum == relative(1.0, 1e-13));
    if (side.side == Side::inner || side.side == Side::outer) CHECK(linear == relative(z));
  };
  for (const PairFace& face : interfaces.pair_faces) {
    check(face.a, face.z);
    if (face.a.side == Side::outer) check(face.b, face.z);
    if (face.a.side == Side::top) check(face.b, face.z);
  }
  for (const OuterFace& face : interfaces.outer_faces) check(face.a, face.z);
  CHECK(skewed > 20);
  double worst = 0;
  for (std::size_t k = 0; k < given.size(); ++k) {
    if (whole[k] > 0)
      worst = std::max(worst, std::abs(given[k] / whole[k] - 1));
    else
      CHECK(given[k] == 0);
  }
  CHECK(worst < 1e-12);  // rounding of lifted lines, some 1e-17 m of cells of 1e-4 m
}

TEST_CASE("refinement divides every cell and keeps the lines; neighbours never differ wildly") {
  const Layout layout = stack();
  GridRule fine;
  fine.refinement = 2;
  const Mesh one = build_mesh(layout, {}), two = build_mesh(layout, fine);
  CHECK(two.n_cells() == 4 * one.n_cells());
  for (std::size_t b = 0; b < layout.size(); ++b) {
    double moved = 0;  // of the coarse lines in the fine grid
    for (std::size_t k = 0; k < one.grids[b].z_lines.size(); ++k)
      moved = std::max(moved, std::abs(two.grids[b].z_lines[2 * k] - one.grids[b].z_lines[k]));
    for (std::size_t k = 0; k < one.grids[b].r_lines.size(); ++k)
      moved = std::max(moved, std::abs(two.grids[b].r_lines[2 * k] - one.grids[b].r_lines[k]));
    CHECK(moved < 1e-15);  // metres: rounding
  }
  CHECK(worst_ratio(one) < 2.6);
}

TEST_CASE(
    "points, means and edge points read fields linear in r^2 and z exactly; a point outside is refused") {
  const Layout layout = stack();
  const Mesh mesh = build_mesh(layout, {});
  const Interfaces interfaces = interfaces_at(mesh, std::vector<double>(layout.size(), 0.0));
  std::vector<double> field;
  const std::vector<double> r2 = mean_square_radius(mesh);
  const auto value = [](double r, double z) { return 3 + 4000 * r * r - 70 * z; };
  for (int i = 0; i < mesh.n_cells(); ++i) field.push_back(3 + 4000 * r2[i] - 70 * mesh.z[i]);
  CHECK(point(mesh, 6, 0.014, 0.0475).of(field) == relative(value(0.014, 0.0475)));
  std::vector<double> height;
  for (int i = 0; i < mesh.n_cells(); ++i) height.push_back(mesh.z[i]);
  const std::array<int, 1> powder{2};
  CHECK(mean(mesh, powder).of(height) == relative(0.0475));
  const EdgeWatch edge = edge_point(mesh, interfaces, 2, Side::outer, 0.0475);
  double z = 0;
  for (std::size_t k = 0; k < edge.faces.size(); ++k)
    z += edge.weights[k] * interfaces.pair_faces[edge.faces[k]].z;
  CHECK(edge.on_a);
  CHECK(z == relative(0.0475));
  CHECK_THROWS_AS(point(mesh, 6, 0.001, 0.05), std::invalid_argument);
  CHECK_THROWS_AS(point(mesh, 6, 0.014, 0.07), std::invalid_argument);
  // Beyond the last cell middles, in the corner and to the axis, the field goes on.
  CHECK(point(mesh, 6, 0.025, 0.0655).of(field) == relative(value(0.025, 0.0655)));
  CHECK(point(mesh, 2, 0.0, 0.0475).of(field) == relative(value(0.0, 0.0475)));
  // Two bodies: their common centre of mass. Powder and upper punch, 5 and 25 mm of the same bore.
  const std::array<int, 2> both{2, 3};
  CHECK(mean(mesh, both).of(height) == relative((5 * 0.0475 + 25 * 0.0625) / 30));
}
