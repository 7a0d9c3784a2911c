#include "solver/motion.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::solver {
namespace {

constexpr int placements_a_stroke = 40;

/// Rows of every bed at its share of the way from loose to dense.
using Rows = std::vector<std::vector<double>>;

/// Rows of a bed, as heights; together the height of the columns that carry.
std::vector<double> row_heights(const BedShape& shape, const BedState& state) {
  std::vector<double> rows = layer_heights(shape, state.L);
  double sum = 0.0;
  for (const double row : rows) sum += row;
  const double stretch = height_of(shape, state.L, state.stress) / sum;
  for (double& row : rows) row *= stretch;
  return rows;
}

std::vector<BedShape> shapes_of(const Problem& start) {
  std::vector<BedShape> shapes;
  for (const Bed& bed : start.beds) shapes.push_back(shape_of(start, bed));
  return shapes;
}

/// All lines when the beds have the given rows.
mesh::Placement placed(const Problem& start, const Rows& rows) {
  mesh::Placement placement = mesh::placement_of(start.mesh);
  std::vector<double> grown;
  for (std::size_t b = 0; b < start.beds.size(); ++b) {
    const mesh::Block& block = start.mesh.layout[start.beds[b].block];
    double height = 0.0;
    for (const double row : rows[b]) height += row;
    grown.push_back(height - (block.z_top - block.z_bottom));
  }
  for (std::size_t k = 0; k < placement.size(); ++k) {
    double lift = 0.0;
    for (std::size_t b = 0; b < grown.size(); ++b) lift += start.rides[k][b] * grown[b];
    for (double& z : placement[k]) z += lift;
  }
  for (std::size_t b = 0; b < start.beds.size(); ++b) {
    std::vector<double>& lines = placement[start.beds[b].block];
    for (std::size_t j = 0; j < rows[b].size(); ++j) lines[j + 1] = lines[j] + rows[b][j];
  }
  return placement;
}

std::vector<double> rows_at(const Problem& start, const BedShape& shape, std::size_t bed, double share) {
  const double D = start.parts[start.mesh.layout[start.beds[bed].block].part].relative_density;
  std::vector<double> rows = shape.dense;
  for (double& row : rows) row *= 1.0 + (1.0 - share) * (1.0 / D - 1.0);
  return rows;
}

/// Share of what all beds together can lose that they have lost.  By where lines lie, and by nothing else:
/// what is exchanged must not depend on rows that differ by less than their lines can tell, or a run that
/// goes on from a checkpoint would part from one that was never stopped.
double share_of_stroke(const Problem& start, const std::vector<BedShape>& shapes,
                       const mesh::Placement& placement) {
  double lost = 0.0, most = 0.0;
  for (std::size_t b = 0; b < shapes.size(); ++b) {
    const int own = start.beds[b].block;
    const mesh::Block& block = start.mesh.layout[own];
    lost += (block.z_top - block.z_bottom) - (placement[own].back() - placement[own].front());
    most += block.z_top - block.z_bottom;
    for (const double row : shapes[b].dense) most -= row;
  }
  return most > 0.0 ? lost / most : 0.0;
}

/// How far lines may lie from those of evenly closing beds, per block [m]: half the way between two of the
/// placements, and in a bed a quarter of all it can lose.
std::vector<double> wander_of(const Problem& start) {
  std::vector<double> wander(start.mesh.layout.size(), 0.0);
  std::vector<double> stroke;
  for (const Bed& bed : start.beds) {
    const mesh::Block& block = start.mesh.layout[bed.block];
    const double D = start.parts[block.part].relative_density;
    stroke.push_back((1.0 - D) * (block.z_top - block.z_bottom));
  }
  for (std::size_t k = 0; k < wander.size(); ++k)
    for (std::size_t b = 0; b < stroke.size(); ++b)
      wander[k] += std::abs(start.rides[k][b]) * stroke[b] / placements_a_stroke;
  for (std::size_t b = 0; b < stroke.size(); ++b)
    wander[start.beds[b].block] += stroke[b] * (0.25 + 1.0 / placements_a_stroke);
  return wander;
}

}  // namespace

std::vector<mesh::Placement> reachable_placements(const Problem& start) {
  std::vector<mesh::Placement> placements;
  const int n = static_cast<int>(start.beds.size());
  const std::vector<BedShape> shapes = shapes_of(start);
  for (int moving = -1; moving < n; ++moving) {
    if (moving >= 0 && n == 1) break;
    for (const double others : {0.0, 1.0}) {
      if (moving < 0 && others > 0.0) break;
      for (int k = 0; k <= placements_a_stroke; ++k) {
        Rows rows;
        for (int b = 0; b < n; ++b)
          rows.push_back(
              rows_at(start, shapes[b], b,
                      moving < 0 || b == moving ? static_cast<double>(k) / placements_a_stroke : others));
        placements.push_back(placed(start, rows));
      }
    }
  }
  return placements;
}

mesh::Placement evenly_closed(const Problem& start, double share) {
  const std::vector<BedShape> shapes = shapes_of(start);
  Rows rows;
  for (std::size_t b = 0; b < shapes.size(); ++b) rows.push_back(rows_at(start, shapes[b], b, share));
  return placed(start, rows);
}

mesh::Interfaces interfaces_for(const Problem& start) {
  if (start.beds.empty()) return mesh::interfaces_of(start.mesh);
  return mesh::slots_of(start.mesh, reachable_placements(start), wander_of(start));
}

Present::Present(const Problem& start, std::shared_ptr<const Enclosure> known)
    : start_(&start), enclosure_(std::move(known)), shapes_(shapes_of(start)) {
  if (start.walls_exchange && !enclosure_) enclosure_ = enclosure_of(start);
  if (start.beds.empty() && !enclosure_) return;
  moved_ = std::make_unique<Problem>(start);
  for (const Bed& bed : start.beds) bed_blocks_.push_back(bed.block);
  if (enclosure_)
    moved_->exchange = std::make_shared<Exchange>(
        exchange_at(*enclosure_, *moved_, share_of_stroke(start, shapes_, mesh::placement_of(start.mesh))));
}

const Problem& Present::at(std::span<const BedState> beds) {
  if (!moved_) return *start_;
  Rows rows;
  for (std::size_t b = 0; b < beds.size(); ++b) rows.push_back(row_heights(shapes_[b], beds[b]));
  const mesh::Placement placement = placed(*start_, rows);
  Problem& p = *moved_;
  bool same = true;
  for (std::size_t k = 0; same && k < placement.size(); ++k) same = placement[k] == p.mesh.grids[k].z_lines;
  if (same) return p;
  mesh::move_to(p.mesh, placement);
  mesh::fill(p.mesh, p.interfaces);
  mesh::read_again(p.mesh, p.interfaces, bed_blocks_, p.rows);
  if (enclosure_)
    p.exchange =
        std::make_shared<Exchange>(exchange_at(*enclosure_, p, share_of_stroke(*start_, shapes_, placement)));
  return p;
}

}  // namespace joulepress::solver
