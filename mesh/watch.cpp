#include "mesh/watch.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace joulepress::mesh {
namespace {

/// Weights on the consecutive data from `first` on.
struct Reading {
  int first = 0, count = 0;
  Weights weights{};
};

/// Value at t, read from the cubic through the four data nearest to it (two on either side, fewer in short
/// rows).
Reading value_at(std::span<const Datum> row, double t) {
  const auto middle = [](const Datum& d) { return 0.5 * (d.from + d.to); };
  const int n = static_cast<int>(row.size());
  const auto above =
      std::upper_bound(row.begin(), row.end(), t, [&](double x, const Datum& d) { return x < middle(d); });
  Reading reading;
  reading.count = std::min(n, data_max);
  reading.first = std::clamp(static_cast<int>(above - row.begin()) - data_max / 2, 0, n - reading.count);
  reading.weights = value_weights(row.subspan(reading.first, reading.count), {t, t});
  return reading;
}

std::vector<Datum> means_of(const std::vector<double>& lines, bool radial) {
  std::vector<Datum> row;
  const auto t = [radial](double x) { return radial ? x * x : x; };
  for (std::size_t k = 1; k < lines.size(); ++k) row.push_back({t(lines[k - 1]), t(lines[k])});
  return row;
}

/// Below a mid-plane lie images of the first data; returns how many.
int add_images(double plane, std::vector<Datum>& row) {
  const std::size_t images = std::min<std::size_t>(data_max / 2, row.size());
  for (std::size_t k = 0; k < images; ++k) {
    const Datum its = row[2 * k];  // the k-th, behind the images that stand before it
    row.insert(row.begin(), {2.0 * plane - its.to, 2.0 * plane - its.from});
  }
  return static_cast<int>(images);
}

/// Number of the datum, or of the one whose image it is.
int without_images(int k, int images) {
  return k < images ? images - 1 - k : k - images;
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
  const Reading column = value_at(means_of(grid.r_lines, true), r * r);
  std::vector<Datum> rows = means_of(grid.z_lines, false);
  const int images = grid.mirrored ? add_images(grid.z_lines.front(), rows) : 0;
  const Reading row = value_at(rows, z);
  Watch watch;
  for (int j = 0; j < row.count; ++j)
    for (int i = 0; i < column.count; ++i) {
      watch.cells.push_back(grid.cell(column.first + i, without_images(row.first + j, images)));
      watch.weights.push_back(row.weights[j] * column.weights[i]);
    }
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
    Datum stretch;
    int face;
  };
  std::vector<Piece> pieces;
  EdgeWatch watch;
  const auto t = [vertical = side == Side::inner || side == Side::outer](double x) {
    return vertical ? x : x * x;
  };
  watch.on_a = side == Side::outer || side == Side::top;
  bool in_contact = false;
  for (int f = 0; f < static_cast<int>(interfaces.pair_faces.size()); ++f) {
    const PairFace& face = interfaces.pair_faces[f];
    const FaceSide& mine = watch.on_a ? face.a : face.b;
    if (face.area == 0.0 || interfaces.pairs[face.pair].gap > 0.0 || mesh.block_of[mine.cell] != block ||
        mine.side != side)
      continue;
    const Datum stretch = stretch_of(mesh, face);
    pieces.push_back({stretch, f});
    in_contact = in_contact ||
                 (t(along + touch_tolerance) >= stretch.from && t(along - touch_tolerance) <= stretch.to);
  }
  if (!in_contact) return watch;
  std::sort(pieces.begin(), pieces.end(),
            [](const Piece& x, const Piece& y) { return x.stretch.from < y.stretch.from; });
  std::vector<Datum> row;
  for (const Piece& piece : pieces) row.push_back(piece.stretch);
  const BlockGrid& grid = mesh.grids[block];
  const bool mirrored = grid.mirrored && (side == Side::inner || side == Side::outer) &&
                        row.front().from <= grid.z_lines.front() + touch_tolerance;
  const int images = mirrored ? add_images(grid.z_lines.front(), row) : 0;
  const Reading reading = value_at(row, t(along));
  for (int k = 0; k < reading.count; ++k) {
    watch.faces.push_back(pieces[without_images(reading.first + k, images)].face);
    watch.weights.push_back(reading.weights[k]);
  }
  return watch;
}

double Spot::of(std::span<const double> outer_values) const {
  double sum = 0.0;
  for (std::size_t k = 0; k < faces.size(); ++k) sum += weights[k] * outer_values[faces[k]];
  return sum;
}

Spot spot(const Mesh& mesh, const Interfaces& interfaces, int block, Side side, double from, double to) {
  const bool vertical = side == Side::inner || side == Side::outer;
  const auto t = [vertical](double x) { return vertical ? x : x * x; };  // areas grow evenly in it
  const BlockGrid& grid = mesh.grids[block];
  Spot seen;
  double covered = 0.0;
  for (int f = 0; f < static_cast<int>(interfaces.outer_faces.size()); ++f) {
    const FaceSide& face = interfaces.outer_faces[f].a;
    if (face.area == 0.0 || face.side != side || mesh.block_of[face.cell] != block) continue;
    // Of a cell whose side is covered in part the piece that is open counts as lying evenly on it.
    const int number = face.cell - grid.first_cell;
    const int k = vertical ? number / grid.n_r() : number % grid.n_r();
    const std::vector<double>& lines = vertical ? grid.z_lines : grid.r_lines;
    const double low = std::max(from, lines[k]), high = std::min(to, lines[k + 1]);
    if (!(high > low)) continue;
    const double whole = vertical ? 2.0 * std::numbers::pi *
                                        (side == Side::outer ? grid.r_lines.back() : grid.r_lines.front()) *
                                        (lines[k + 1] - lines[k])
                                  : std::numbers::pi * (t(lines[k + 1]) - t(lines[k]));
    const double piece = (t(high) - t(low)) * std::min(1.0, face.area / whole);
    seen.faces.push_back(f);
    seen.weights.push_back(piece);
    covered += piece;
  }
  if (!(covered > (1.0 - 1e-6) * (t(to) - t(from)))) return {};
  for (double& weight : seen.weights) weight /= covered;
  return seen;
}

}  // namespace joulepress::mesh
