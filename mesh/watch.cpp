#include "mesh/watch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace joulepress::mesh {
namespace {

/// Two neighbouring positions and the linear weights of x between (or beyond) them.
struct Bracket {
  int low = 0, high = 0;
  double share = 0;  ///< weight of `high`
};

Bracket bracket(const std::vector<double>& middles, double x, bool flat_before) {
  const int n = static_cast<int>(middles.size());
  if (n == 1 || (flat_before && x <= middles.front())) return {0, 0, 0.0};
  const auto above = std::upper_bound(middles.begin(), middles.end(), x);
  const int low = std::clamp(static_cast<int>(above - middles.begin()) - 1, 0, n - 2);
  return {low, low + 1, (x - middles[low]) / (middles[low + 1] - middles[low])};
}

std::vector<double> middles_of(const std::vector<double>& lines) {
  std::vector<double> middles;
  for (std::size_t k = 1; k < lines.size(); ++k) middles.push_back(0.5 * (lines[k - 1] + lines[k]));
  return middles;
}

/// Whether the contact piece reaches over the coordinate `along` (z on vertical edges, r on horizontal ones).
bool covers(const Mesh& mesh, const PairFace& face, double along) {
  double low = 0.0, high = 0.0;
  if (face.a.side == Side::outer) {
    const double half = face.area / (4.0 * std::numbers::pi * face.r);
    low = face.z - half;
    high = face.z + half;
  } else {  // r does not move when blocks slide: the piece is what the two cells share
    const auto line = [&](int cell, int k) {
      const BlockGrid& grid = mesh.grids[mesh.block_of[cell]];
      return grid.r_lines[(cell - grid.first_cell) % grid.n_r() + k];
    };
    low = std::max(line(face.a.cell, 0), line(face.b.cell, 0));
    high = std::min(line(face.a.cell, 1), line(face.b.cell, 1));
  }
  return along >= low - touch_tolerance && along <= high + touch_tolerance;
}

}  // namespace

double Watch::of(std::span<const double> cell_values) const {
  double sum = 0.0;
  for (std::size_t k = 0; k < cells.size(); ++k) sum += weights[k] * cell_values[cells[k]];
  return sum;
}

Watch point(const Mesh& mesh, int block, double r, double z) {
  const BlockGrid& grid = mesh.grids[block];
  const auto outside = [](const std::vector<double>& lines, double x) {
    return x < lines.front() - touch_tolerance || x > lines.back() + touch_tolerance;
  };
  if (outside(grid.r_lines, r) || outside(grid.z_lines, z))
    throw std::invalid_argument("the point lies outside \"" + mesh.layout[block].name + "\"");
  const Bracket i = bracket(middles_of(grid.r_lines), r, grid.r_lines.front() <= touch_tolerance);
  const Bracket j = bracket(middles_of(grid.z_lines), z, false);
  Watch watch;
  const auto add = [&](int column, int row, double weight) {
    if (weight == 0.0) return;
    watch.cells.push_back(grid.cell(column, row));
    watch.weights.push_back(weight);
  };
  add(i.low, j.low, (1.0 - i.share) * (1.0 - j.share));
  add(i.high, j.low, i.share * (1.0 - j.share));
  add(i.low, j.high, (1.0 - i.share) * j.share);
  add(i.high, j.high, i.share * j.share);
  return watch;
}

Watch mean(const Mesh& mesh, std::span<const int> blocks) {
  Watch watch;
  double total = 0.0;
  for (const int block : blocks) {
    const BlockGrid& grid = mesh.grids[block];
    for (int k = 0; k < grid.n_r() * grid.n_z(); ++k) {
      watch.cells.push_back(grid.first_cell + k);
      watch.weights.push_back(mesh.volume[grid.first_cell + k]);
      total += watch.weights.back();
    }
  }
  for (double& weight : watch.weights) weight /= total;
  return watch;
}

EdgeWatch edge_point(const Mesh& mesh, const Interfaces& interfaces, int block, Side side, double along) {
  struct Piece {
    double at;
    int face;
  };
  std::vector<Piece> pieces;
  EdgeWatch watch;
  const bool vertical = side == Side::inner || side == Side::outer;
  watch.on_a = side == Side::outer || side == Side::top;
  bool in_contact = false;
  for (int f = 0; f < static_cast<int>(interfaces.pair_faces.size()); ++f) {
    const PairFace& face = interfaces.pair_faces[f];
    const FaceSide& mine = watch.on_a ? face.a : face.b;
    if (interfaces.pairs[face.pair].gap > 0.0 || mesh.block_of[mine.cell] != block || mine.side != side)
      continue;
    pieces.push_back({vertical ? face.z : face.r, f});
    in_contact = in_contact || covers(mesh, face, along);
  }
  if (!in_contact) return watch;
  std::sort(pieces.begin(), pieces.end(), [](const Piece& x, const Piece& y) { return x.at < y.at; });
  std::vector<double> middles;
  for (const Piece& piece : pieces) middles.push_back(piece.at);
  const Bracket b = bracket(middles, along, false);
  watch.faces = {pieces[b.low].face};
  watch.weights = {1.0 - b.share};
  if (b.high != b.low) {
    watch.faces.push_back(pieces[b.high].face);
    watch.weights.push_back(b.share);
  }
  return watch;
}

}  // namespace joulepress::mesh
