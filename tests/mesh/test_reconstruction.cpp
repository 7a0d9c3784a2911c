// The rows' polynomials: exact for what they should be exact for, on uneven grids.  Targets are identities.
#include <doctest/doctest.h>

#include <cmath>

#include "mesh/reconstruction.hpp"
#include "tests/mesh/geometry.hpp"
#include "tests/support/cell_means.hpp"

using namespace joulepress::mesh;

namespace {

Layout ring_and_rod() {
  return in_metres({{"rod", 0, 0, 8, 0, 12}, {"ring", 1, 8, 21, 0, 12}, {"lid", 2, 0, 13, 12, 14}});
}

GridRule uneven() {
  GridRule rule;
  rule.smallest = 0.2e-3;
  rule.largest = 2e-3;
  rule.growth = 0.9;
  return rule;
}

/// Mean of the cubic c0 + c1 x + c2 x^2 + c3 x^3 over [a, b], its value where both are equal.
struct Cubic {
  double c0, c1, c2, c3;
  double at(double x) const { return c0 + x * (c1 + x * (c2 + x * c3)); }
  double slope(double x) const { return c1 + x * (2 * c2 + x * 3 * c3); }
  double mean(double a, double b) const {
    const auto whole = [&](double x) { return x * (c0 + x * (c1 / 2 + x * (c2 / 3 + x * c3 / 4))); };
    return a == b ? at(a) : (whole(b) - whole(a)) / (b - a);
  }
};

/// Cell means, then edge means, of a field along r^2 or z.
std::vector<double> values_of(const Mesh& mesh, const Reconstruction& rows, const Cubic& f, bool radial) {
  std::vector<double> values;
  for (const BlockGrid& g : mesh.grids)
    for (int j = 0; j < g.n_z(); ++j)
      for (int i = 0; i < g.n_r(); ++i)
        values.push_back(radial ? f.mean(g.r_lines[i] * g.r_lines[i], g.r_lines[i + 1] * g.r_lines[i + 1])
                                : f.mean(g.z_lines[j], g.z_lines[j + 1]));
  for (const BlockGrid& g : mesh.grids) {
    const auto square = [](double r) { return r * r; };
    for (const double r : {g.r_lines.front(), g.r_lines.back()})
      for (int j = 0; j < g.n_z(); ++j)
        values.push_back(radial ? f.at(square(r)) : f.mean(g.z_lines[j], g.z_lines[j + 1]));
    for (const double z : {g.z_lines.front(), g.z_lines.back()})
      for (int i = 0; i < g.n_r(); ++i)
        values.push_back(radial ? f.mean(square(g.r_lines[i]), square(g.r_lines[i + 1])) : f.at(z));
  }
  CHECK(values.size() == mesh.volume.size() + static_cast<std::size_t>(rows.n_edges));
  return values;
}

}  // namespace

TEST_CASE(
    "cubics: drops and values on inner faces are exact for cubics in z, parabolas in r^2 beside the axis") {
  const Mesh mesh = build_mesh(ring_and_rod(), uneven());
  const Reconstruction rows =
      reconstruction_of(mesh, interfaces_at(mesh, std::vector<double>(3, 0.0)), Fluxes::cubic);
  for (const bool radial : {false, true}) {
    const double unit = radial ? 1e4 : 1e2;  // fields of order one
    const Cubic f{2, 3 * unit, -4 * unit * unit, radial ? 0 : 5 * unit * unit * unit};
    const std::vector<double> values = values_of(mesh, rows, f, radial);
    double worst_value = 0, worst_drop = 0;
    for (std::size_t k = 0; k < mesh.inner_faces.size(); ++k) {
      const InnerFace& face = mesh.inner_faces[k];
      if ((face.normal == Axis::r) != radial) continue;
      const double distance = (face.path_a + face.path_b) * face.area;
      const double x =
          radial ? mesh.r[face.a] + face.path_a * face.area : mesh.z[face.a] + face.path_a * face.area;
      const double slope = radial ? f.slope(x * x) * 2 * x : f.slope(x);
      worst_value =
          std::max(worst_value, std::abs(value_on(rows.inner[k], values) - f.at(radial ? x * x : x)));
      worst_drop = std::max(worst_drop, std::abs(drop_over(rows.inner[k], values) + distance * slope));
    }
    CHECK(worst_value < 1e-12);
    CHECK(worst_drop < 1e-12);
  }
}

TEST_CASE("edges: the parabola's flux is exact for parabolas, and what it is made of adds up") {
  const Mesh mesh = build_mesh(ring_and_rod(), uneven());
  const Interfaces interfaces = interfaces_at(mesh, std::vector<double>(3, 0.0));
  const Reconstruction rows = reconstruction_of(mesh, interfaces, Fluxes::cubic);
  for (const bool radial : {false, true}) {
    const double unit = radial ? 1e4 : 1e2;
    const Cubic f{2, 3 * unit, -4 * unit * unit, 0};
    const std::vector<double> values = values_of(mesh, rows, f, radial);
    double worst = 0;
    int seen = 0;
    for (std::size_t k = 0; k < interfaces.outer_faces.size(); ++k) {
      const FaceSide& side = interfaces.outer_faces[k].a;
      const bool vertical = side.side == Side::inner || side.side == Side::outer;
      if (vertical != radial) continue;
      ++seen;
      const Block& block = mesh.layout[mesh.block_of[side.cell]];
      const double x = side.side == Side::inner    ? block.r_inner
                       : side.side == Side::outer  ? block.r_outer
                       : side.side == Side::bottom ? block.z_bottom
                                                   : block.z_top;
      const double outward = side.side == Side::outer || side.side == Side::top ? 1 : -1;
      const double slope = outward * (radial ? f.slope(x * x) * 2 * x : f.slope(x));
      const double flux =
          (trace_of(side.trace, rows.outer[k], values, Parity::even) - f.at(radial ? x * x : x)) /
          rows.outer[k].path / side.area;
      worst = std::max(worst, std::abs(flux + slope) / unit);
    }
    CHECK(seen > 10);
    CHECK(worst < 1e-10);
  }
  std::vector<double> covered(static_cast<std::size_t>(rows.n_edges), 0.0);
  for (const auto* list : {&rows.pair_a, &rows.pair_b, &rows.outer})
    for (const SideStencil& row : *list) covered[row.edge] += row.share;
  int axis = 0;
  for (const double share : covered) {
    axis += share == 0;
    if (share != 0) CHECK(share == doctest::Approx(1.0).epsilon(1e-12));
  }
  CHECK(axis == mesh.grids[0].n_z() + mesh.grids[2].n_z());  // nothing but the axis has no surface
}

TEST_CASE("a property is carried to the edge along a straight line, and no further than half or double") {
  const Mesh mesh = build_mesh(ring_and_rod(), uneven());
  const Interfaces interfaces = interfaces_at(mesh, std::vector<double>(3, 0.0));
  const Reconstruction rows = reconstruction_of(mesh, interfaces, Fluxes::cubic);
  std::vector<double> even, steep;
  for (const double z : mesh.z) {
    even.push_back(5 + 100 * z);
    steep.push_back(std::exp(4000 * z));
  }
  int seen = 0;
  for (std::size_t k = 0; k < interfaces.outer_faces.size(); ++k) {
    const OuterFace& face = interfaces.outer_faces[k];
    if (face.a.side != Side::bottom && face.a.side != Side::top) continue;
    ++seen;
    CHECK(at_edge(face.a.cell, rows.outer[k], even) == doctest::Approx(5 + 100 * face.z).epsilon(1e-12));
    const double carried = at_edge(face.a.cell, rows.outer[k], steep) / steep[face.a.cell];
    CHECK(carried >= 0.5);
    CHECK(carried <= 2.0);
  }
  CHECK(seen > 10);
}

TEST_CASE("two-point fluxes: neighbours only, half a cell to the edge") {
  const Mesh mesh = build_mesh(ring_and_rod(), uneven());
  const Interfaces interfaces = interfaces_at(mesh, std::vector<double>(3, 0.0));
  const Reconstruction rows = reconstruction_of(mesh, interfaces, Fluxes::two_point);
  std::vector<double> values(mesh.volume.size() + static_cast<std::size_t>(rows.n_edges), 0.0);
  const InnerFace& face = mesh.inner_faces[5];
  values[face.a] = 7;
  values[face.b] = 3;
  CHECK(drop_over(rows.inner[5], values) == 4.0);
  CHECK(rows.outer[0].path == interfaces.outer_faces[0].a.path);
  CHECK(trace_of(interfaces.outer_faces[0].a.trace, rows.outer[0], mesh.r, Parity::even) ==
        doctest::Approx(mesh.r[interfaces.outer_faces[0].a.cell]));
}
