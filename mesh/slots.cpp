#include "mesh/slots.hpp"

#include <algorithm>
#include <limits>
#include <set>
#include <stdexcept>
#include <utility>

namespace joulepress::mesh {
namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

/// What names a pair while it moves: which blocks and sides, whether they touch, and which of several
/// stretches.
struct PairName {
  int block_a, block_b;
  Side side_a;
  bool touching;
  int ordinal;
  bool operator==(const PairName&) const = default;
};

std::vector<PairName> names_of(const std::vector<BlockPair>& pairs) {
  std::vector<PairName> names;
  for (const BlockPair& pair : pairs) {
    PairName name{pair.block_a, pair.block_b, pair.side_a, pair.gap == 0.0, 0};
    while (std::find(names.begin(), names.end(), name) != names.end()) ++name.ordinal;
    names.push_back(name);
  }
  return names;
}

using Cells = std::pair<int, int>;

Cells cells_of(const PairFace& face) {
  return {face.a.cell, face.b.cell};
}

/// Cells of a block's outer or inner side.
struct Wall {
  const BlockGrid& grid;
  bool outer;
  int cell(int k) const { return grid.cell(outer ? grid.n_r() - 1 : 0, k); }
  double from(int k) const { return grid.z_lines[k]; }
  double to(int k) const { return grid.z_lines[k + 1]; }
};

/// Cells of two walls that come within w of each other, where the pieces of the pair lie.
void add_near(const Mesh& mesh, const BlockPair& pair, double from, double to, double w,
              std::set<Cells>& cells) {
  const Wall a{mesh.grids[pair.block_a], true}, b{mesh.grids[pair.block_b], false};
  for (int i = 0; i < a.grid.n_z(); ++i) {
    if (a.to(i) < from - w || a.from(i) > to + w) continue;
    for (int j = 0; j < b.grid.n_z(); ++j) {
      if (b.to(j) < from - w || b.from(j) > to + w) continue;
      if (a.to(i) > b.from(j) - w && b.to(j) > a.from(i) - w) cells.emplace(a.cell(i), b.cell(j));
    }
  }
}

/// A side of no area.
void empty(FaceSide& side) {
  side.area = 0.0;
  side.path = endless;
  side.trace = {{side.cell, side.cell, side.cell}, {1.0, 0.0, 0.0}, 1, 0.0};
}

/// Takes a second piece of the same cell side into the first.
void join(FaceSide& side, const FaceSide& more) {
  const double area = side.area + more.area, share = more.area / area;
  side.path = side.path * side.area / area;
  side.area = area;
  // Partial pieces of one cell are read from the same cells.
  for (int k = 0; k < side.trace.count; ++k)
    side.trace.weights[k] += share * (more.trace.weights[k] - side.trace.weights[k]);
  side.trace.image += share * (more.trace.image - side.trace.image);
}

bool same_side(const OuterFace& x, const OuterFace& y) {
  return x.a.cell == y.a.cell && x.a.side == y.a.side;
}

void fill_pairs(const Interfaces& now, Interfaces& slots) {
  const std::vector<PairName> names = names_of(slots.pairs), fresh = names_of(now.pairs);
  std::vector<int> slot_of;
  for (std::size_t k = 0; k < fresh.size(); ++k) {
    const auto its = std::find(names.begin(), names.end(), fresh[k]);
    const int slot = its == names.end() ? -1 : static_cast<int>(its - names.begin());
    if (slot < 0 && fresh[k].touching) throw std::logic_error("a contact without a slot");
    slot_of.push_back(slot);
    if (slot >= 0) slots.pairs[slot] = now.pairs[k];
  }
  std::vector<std::size_t> first(slots.pairs.size() + 1, 0);
  for (const PairFace& face : slots.pair_faces) ++first[face.pair + 1];
  for (std::size_t k = 1; k < first.size(); ++k) first[k] += first[k - 1];
  std::vector<std::size_t> next(first.begin(), first.end() - 1);
  for (const PairFace& piece : now.pair_faces) {
    const int pair = slot_of[piece.pair];
    if (pair < 0) continue;
    std::size_t& at = next[pair];
    while (at < first[pair + 1] && cells_of(slots.pair_faces[at]) != cells_of(piece)) ++at;
    if (at == first[pair + 1]) throw std::logic_error("a piece of a contact without a slot");
    slots.pair_faces[at] = piece;
    slots.pair_faces[at].pair = pair;
  }
}

void fill_outer(const Interfaces& now, Interfaces& slots) {
  std::size_t at = 0;
  for (const OuterFace& piece : now.outer_faces) {
    while (at < slots.outer_faces.size() && !same_side(slots.outer_faces[at], piece)) ++at;
    if (at == slots.outer_faces.size()) throw std::logic_error("an outer face without a slot");
    OuterFace& slot = slots.outer_faces[at];
    if (slot.a.area > 0.0) {
      const double share = piece.a.area / (slot.a.area + piece.a.area);
      slot.r += share * (piece.r - slot.r);
      slot.z += share * (piece.z - slot.z);
      join(slot.a, piece.a);
    } else {
      slot = piece;
    }
  }
}

/// Every cell side of the block sides that are open somewhere, in the order of interfaces_at.
std::vector<OuterFace> outer_slots(const Mesh& mesh, const std::set<std::pair<int, Side>>& open) {
  std::vector<OuterFace> faces;
  for (const auto& [block, side] : open) {
    const BlockGrid& grid = mesh.grids[block];
    const bool vertical = side == Side::inner || side == Side::outer;
    for (int k = 0; k < (vertical ? grid.n_z() : grid.n_r()); ++k) {
      OuterFace face;
      face.a.side = side;
      face.a.cell = vertical ? Wall{grid, side == Side::outer}.cell(k)
                             : grid.cell(k, side == Side::bottom ? 0 : grid.n_z() - 1);
      faces.push_back(face);
    }
  }
  return faces;
}

}  // namespace

Placement placement_of(const Mesh& mesh) {
  Placement placement;
  for (const BlockGrid& grid : mesh.grids) placement.push_back(grid.z_lines);
  return placement;
}

void move_to(Mesh& mesh, const Placement& placement) {
  for (std::size_t block = 0; block < placement.size(); ++block)
    if (placement[block] != mesh.grids[block].z_lines)
      set_heights(mesh, static_cast<int>(block), placement[block]);
}

Interfaces slots_of(const Mesh& mesh, std::span<const Placement> placements, std::span<const double> wander) {
  Mesh moved = mesh;
  Interfaces slots;
  std::vector<PairName> names;
  std::vector<std::set<Cells>> cells;
  std::set<std::pair<int, Side>> open;
  const auto take = [&](const Placement& placement) {
    move_to(moved, placement);
    const Interfaces now = interfaces_of(moved);
    const std::vector<PairName> fresh = names_of(now.pairs);
    std::vector<std::size_t> slot_of;
    std::vector<std::pair<double, double>> reach(fresh.size(), {endless, -endless});
    for (std::size_t k = 0; k < fresh.size(); ++k) {
      const auto its = std::find(names.begin(), names.end(), fresh[k]);
      slot_of.push_back(static_cast<std::size_t>(its - names.begin()));
      if (its != names.end()) continue;
      names.push_back(fresh[k]);
      slots.pairs.push_back(now.pairs[k]);
      cells.emplace_back();
    }
    for (const PairFace& piece : now.pair_faces) {
      cells[slot_of[piece.pair]].insert(cells_of(piece));
      if (piece.a.side != Side::outer) continue;
      const Datum stretch = stretch_of(moved, piece);
      auto& [from, to] = reach[piece.pair];
      from = std::min(from, stretch.from);
      to = std::max(to, stretch.to);
    }
    for (std::size_t k = 0; k < fresh.size(); ++k) {
      const double w = wander[fresh[k].block_a] + wander[fresh[k].block_b];
      if (fresh[k].side_a == Side::outer && w > 0.0)
        add_near(moved, now.pairs[k], reach[k].first, reach[k].second, w, cells[slot_of[k]]);
    }
    for (const OuterFace& face : now.outer_faces) open.emplace(moved.block_of[face.a.cell], face.a.side);
  };
  take(placement_of(mesh));
  for (const Placement& placement : placements) take(placement);
  for (std::size_t k = 0; k < cells.size(); ++k)
    for (const auto& [a, b] : cells[k]) {
      PairFace face;
      face.pair = static_cast<int>(k);
      face.a.cell = a;
      face.b.cell = b;
      face.a.side = names[k].side_a;
      face.b.side = names[k].side_a == Side::outer ? Side::inner : Side::bottom;
      slots.pair_faces.push_back(face);
    }
  slots.outer_faces = outer_slots(mesh, open);
  fill(mesh, slots);
  return slots;
}

void fill(const Mesh& mesh, Interfaces& slots) {
  for (BlockPair& pair : slots.pairs) pair.area = 0.0;
  for (PairFace& face : slots.pair_faces) {
    face.area = 0.0;
    empty(face.a);
    empty(face.b);
  }
  for (OuterFace& face : slots.outer_faces) empty(face.a);
  const Interfaces now = interfaces_of(mesh);
  fill_pairs(now, slots);
  fill_outer(now, slots);
}

}  // namespace joulepress::mesh
