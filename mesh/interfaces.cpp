#include "mesh/interfaces.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "mesh/edges.hpp"
#include "mesh/polynomial.hpp"

namespace joulepress::mesh {
namespace {

using std::numbers::pi;

/// One edge of a block's grid, at its lifted place.
struct Edge {
  const BlockGrid* grid;
  Side side;
  std::vector<double> lines;  ///< along the edge [m]
  double radius;              ///< of a vertical edge [m]

  int n() const { return static_cast<int>(lines.size()) - 1; }
  int cell(int k) const {
    switch (side) {
      case Side::inner:
        return grid->cell(0, k);
      case Side::outer:
        return grid->cell(grid->n_r() - 1, k);
      case Side::bottom:
        return grid->cell(k, 0);
      case Side::top:
        break;
    }
    return grid->cell(k, grid->n_z() - 1);
  }
  double half_distance() const {
    const std::vector<double>& across = is_vertical(side) ? grid->r_lines : grid->z_lines;
    const std::size_t last = across.size() - 1;
    const bool low = side == Side::inner || side == Side::bottom;
    return 0.5 * (low ? across[1] - across[0] : across[last] - across[last - 1]);
  }
  /// Area of the piece [from, to], and where its middle lies along the edge.
  double area(double from, double to) const {
    return is_vertical(side) ? 2.0 * pi * radius * (to - from) : pi * (to - from) * (to + from);
  }
  double middle(double from, double to) const {
    if (is_vertical(side)) return 0.5 * (from + to);
    return 2.0 / 3.0 * (from * from + from * to + to * to) / (from + to);
  }
};

Edge edge_of(const Mesh& mesh, int block, Side side, double lift) {
  const BlockGrid& grid = mesh.grids[block];
  Edge edge{&grid, side, is_vertical(side) ? grid.z_lines : grid.r_lines, 0.0};
  if (is_vertical(side)) {
    for (double& z : edge.lines) z += lift;
    edge.radius = side == Side::inner ? grid.r_lines.front() : grid.r_lines.back();
  }
  return edge;
}

/// Mean over the piece [from, to] of cell k, from the parabola through the means of the three cells around it
/// (of the row's end: of the last three).  In r it runs in r^2, where means over rings are plain means;
/// across a mid-plane lies the image of the row.
Trace trace_at(const Edge& edge, int k, double from, double to) {
  Trace trace;
  trace.count = 1;
  trace.cells[0] = edge.cell(k);
  trace.weights[0] = 1.0;
  const double size = edge.lines[k + 1] - edge.lines[k];
  if (to - from >= size * (1.0 - 1e-9)) return trace;
  const auto t = [&](double x) { return is_vertical(edge.side) ? x : x * x; };
  const int images = edge.grid->mirrored && is_vertical(edge.side) ? 1 : 0;
  const int count = std::min((1 + images) * edge.n(), 3);
  const int first = std::clamp(k - 1, -images, edge.n() - count);
  std::array<Datum, 3> means;
  for (int m = 0; m < count; ++m) {
    const int cell = first + m;
    means[m] = cell >= 0 ? Datum{t(edge.lines[cell]), t(edge.lines[cell + 1])}
                         : Datum{2.0 * edge.lines[0] - edge.lines[1], edge.lines[0]};
  }
  const Weights weights = value_weights(std::span(means).first(count), {t(from), t(to)});
  trace.count = 0;
  for (int m = 0; m < count; ++m) {
    if (first + m < 0) {
      trace.image = weights[m];
      continue;
    }
    trace.cells[trace.count] = edge.cell(first + m);
    trace.weights[trace.count++] = weights[m];
  }
  return trace;
}

FaceSide side_at(const Edge& edge, int k, double from, double to) {
  FaceSide side;
  side.cell = edge.cell(k);
  side.side = edge.side;
  side.area = edge.area(from, to);
  side.path = edge.half_distance() / side.area;
  side.trace = trace_at(edge, k, from, to);
  return side;
}

int first_cell_above(const Edge& edge, double at) {
  const auto line = std::upper_bound(edge.lines.begin(), edge.lines.end(), at + 0.1 * touch_tolerance);
  return std::max(static_cast<int>(line - edge.lines.begin()) - 1, 0);
}

/// Pieces where the cells of both edges overlap within [from, to].
double add_pair_faces(const Edge& a, const Edge& b, const Stretch& s, int pair, double z_across,
                      double r_across, std::vector<PairFace>& faces) {
  constexpr double crumb = 0.1 * touch_tolerance;
  double total = 0.0;
  int i = first_cell_above(a, s.from), j = first_cell_above(b, s.from);
  while (i < a.n() && j < b.n()) {
    const double from = std::max({a.lines[i], b.lines[j], s.from});
    const double to = std::min({a.lines[i + 1], b.lines[j + 1], s.to});
    if (to - from > crumb) {
      PairFace face;
      face.a = side_at(a, i, from, to);
      face.b = side_at(b, j, from, to);
      face.area = face.a.area;
      face.pair = pair;
      face.r = s.vertical ? r_across : a.middle(from, to);
      face.z = s.vertical ? a.middle(from, to) : z_across;
      total += face.area;
      faces.push_back(face);
    }
    if (to >= s.to - crumb) break;
    const double end_a = a.lines[i + 1], end_b = b.lines[j + 1];
    if (end_a <= end_b + crumb) ++i;
    if (end_b <= end_a + crumb) ++j;
  }
  return total;
}

/// What no stretch covers, cell by cell.
void add_outer_faces(const Edge& edge, std::vector<std::pair<double, double>> covered, double across,
                     std::vector<OuterFace>& faces) {
  std::sort(covered.begin(), covered.end());
  for (int k = 0; k < edge.n(); ++k) {
    double from = edge.lines[k];
    const double end = edge.lines[k + 1];
    const auto add = [&](double to) {
      if (to - from <= touch_tolerance) return;
      OuterFace face;
      face.a = side_at(edge, k, from, to);
      const double middle = edge.middle(from, to);
      face.r = is_vertical(edge.side) ? across : middle;
      face.z = is_vertical(edge.side) ? middle : across;
      faces.push_back(face);
    };
    for (const auto& [low, high] : covered) {
      if (high <= from || low >= end) continue;
      add(std::min(low, end));
      from = std::max(from, high);
    }
    if (from < end) add(end);
  }
}

}  // namespace

Datum stretch_of(const Mesh& mesh, const PairFace& face) {
  if (is_vertical(face.a.side)) {
    const double half = face.area / (4.0 * pi * face.r);
    return {face.z - half, face.z + half};
  }
  // r does not move when blocks slide: the piece is what the two cells share.
  const auto line = [&](int cell, int k) {
    const BlockGrid& grid = mesh.grids[mesh.block_of[cell]];
    const double r = grid.r_lines[(cell - grid.first_cell) % grid.n_r() + k];
    return r * r;
  };
  return {std::max(line(face.a.cell, 0), line(face.b.cell, 0)),
          std::min(line(face.a.cell, 1), line(face.b.cell, 1))};
}

Interfaces interfaces_of(const Mesh& mesh) {
  return interfaces_at(mesh, std::vector<double>(mesh.layout.size(), 0.0));
}

Interfaces interfaces_at(const Mesh& mesh, std::span<const double> lift) {
  Layout lifted = mesh.layout;
  for (std::size_t k = 0; k < lifted.size(); ++k) {
    lifted[k].z_bottom += lift[k];
    lifted[k].z_top += lift[k];
  }
  Interfaces out;
  std::vector<std::array<std::vector<std::pair<double, double>>, 4>> covered(lifted.size());
  for (const Stretch& s : stretches_of(lifted)) {
    if (s.gap > 0.0 && !is_narrow(s)) continue;
    const Side side_a = s.vertical ? Side::outer : Side::top,
               side_b = s.vertical ? Side::inner : Side::bottom;
    const Edge a = edge_of(mesh, s.block_a, side_a, lift[s.block_a]);
    const Edge b = edge_of(mesh, s.block_b, side_b, lift[s.block_b]);
    BlockPair pair{s.block_a, s.block_b, side_a, s.gap, 0.0};
    const Block& block = lifted[s.block_a];
    pair.area = add_pair_faces(a, b, s, static_cast<int>(out.pairs.size()), block.z_top, block.r_outer,
                               out.pair_faces);
    covered[s.block_a][static_cast<int>(side_a)].emplace_back(s.from, s.to);
    covered[s.block_b][static_cast<int>(side_b)].emplace_back(s.from, s.to);
    out.pairs.push_back(pair);
  }
  for (std::size_t k = 0; k < lifted.size(); ++k) {
    const Block& block = lifted[k];
    for (const auto& [side, across] :
         {std::pair{Side::inner, block.r_inner}, std::pair{Side::outer, block.r_outer},
          std::pair{Side::bottom, block.z_bottom}, std::pair{Side::top, block.z_top}}) {
      if (side == Side::inner && block.r_inner <= touch_tolerance) continue;  // the axis has no area
      add_outer_faces(edge_of(mesh, static_cast<int>(k), side, lift[k]), covered[k][static_cast<int>(side)],
                      across, out.outer_faces);
    }
  }
  return out;
}

}  // namespace joulepress::mesh
