#include "solver/solid/stack_body.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>

#include "materials/creep.hpp"
#include "mesh/edges.hpp"
#include "mesh/slots.hpp"
#include "mesh/watch.hpp"

namespace joulepress::solid {
namespace {

using mesh::Side;

// Stress at sharp corners grows without end as cells shrink.  A brittle solid feels its mean over about
// 2/pi (K_Ic/strength)^2 (theory of critical distances, Taylor 2007, from memory), of fine graphite
// 2/pi (1 MPa m^(1/2) / 40 MPa)^2 = 0.4 mm: so the smallest cell is what it feels.
mesh::GridRule grid_rule() {
  mesh::GridRule rule;
  rule.smallest = 0.5e-3;
  rule.growth = 1.0;
  rule.largest = 12e-3;
  rule.per_stretch = 2;
  return rule;
}

constexpr double room = solver::zero_celsius + 20.0;      // K, where expansions count from
constexpr double touch_depth = 20e-6;                     // m, of a bare touch
constexpr double least_edge = 1e-3, widest_edge = 10e-3;  // m, around the end of a contact
constexpr double weld_depth = 1e-6;                       // m
constexpr double anchor_depth = 1e-10;                    // m; a newton moves a floating part by a millimetre
constexpr double widest_gap = 1.5e-3;  // m, that the drawing leaves between two parts that may meet

double area_of(const mesh::Block& block) {
  return std::numbers::pi * (block.r_outer + block.r_inner) * (block.r_outer - block.r_inner);
}

/// A foil between two sides that face each other; null: none.
const mesh::Block* foil_between(const Instant& instant, const mesh::Layout& bearing,
                                const mesh::Stretch& stretch, const materials::Material** material) {
  const mesh::Block &a = bearing[stretch.block_a], &b = bearing[stretch.block_b];
  const double middle = 0.5 * (stretch.from + stretch.to);
  const double across = stretch.vertical ? 0.5 * (a.r_outer + b.r_inner) : 0.5 * (a.z_top + b.z_bottom);
  const double r = stretch.vertical ? across : middle, z = stretch.vertical ? middle : across;
  for (const mesh::Block& block : instant.mesh.layout) {
    const solver::Part& part = instant.problem.parts[block.part];
    if (!part.is_foil || r < block.r_inner || r > block.r_outer || z < block.z_bottom || z > block.z_top)
      continue;
    *material = &instant.problem.materials[part.material];
    return &block;
  }
  return nullptr;
}

class Builder {
 public:
  Builder(const Instant& instant, const Wanted& wanted)
      : instant_(instant), p_(instant.problem), wanted_(wanted) {}

  StackBody build() {
    choose();
    const mesh::Mesh grid = mesh::build_mesh(bearing_, grid_rule());
    for (std::size_t b = 0; b < bearing_.size(); ++b)
      if (!soft(static_cast<int>(b))) add_block(grid.grids[b]);
    for (const mesh::Stretch& stretch : mesh::stretches_of(bearing_)) join(stretch);
    hold_and_press();
    return std::move(out_);
  }

 private:
  const solver::Part& part_of(int b) const { return p_.parts[bearing_[b].part]; }
  const materials::Material& material_of(int b) const { return p_.materials[part_of(b).material]; }
  bool is_solid_powder(int b) const { return wanted_.solid && block_[b] == wanted_.solid->block; }
  bool soft(int b) const { return part_of(b).is_powder && !is_solid_powder(b); }

  /// Blocks that bear, soft powders among them: what faces them decides where lines must lie.
  void choose() {
    for (std::size_t k = 0; k < instant_.mesh.layout.size(); ++k) {
      const solver::Part& part = p_.parts[instant_.mesh.layout[k].part];
      const bool solid = wanted_.solid && wanted_.solid->block == static_cast<int>(k);
      if (part.is_foil || (!wanted_.column && part.in_column && !solid)) continue;
      if (!part.is_powder && !p_.materials[part.material].elastic_modulus) {
        if (std::find(out_.without.begin(), out_.without.end(), part.name) == out_.without.end())
          out_.without.push_back(part.name);
        continue;
      }
      bearing_.push_back(instant_.mesh.layout[k]);
      block_.push_back(static_cast<int>(k));
    }
  }

  double modulus_at(int b, double T) const {
    return is_solid_powder(b) ? wanted_.solid->modulus(T) : material_of(b).elastic_modulus->curve.value(T);
  }

  void add_block(const mesh::BlockGrid& grid) {
    const int b = grid.block;
    own_[b] = static_cast<int>(out_.body.blocks.size());
    SolidBlock block;
    block.r_lines = grid.r_lines;
    block.z_lines = grid.z_lines;
    std::vector<double> temperature;
    for (const double z : grid.z_lines)
      for (const double r : grid.r_lines)
        temperature.push_back(mesh::point(instant_.mesh, block_[b], r, z).of(instant_.snapshot.temperature));
    for (std::size_t corner = 0; corner < temperature.size(); ++corner) {
      const double r = grid.r_lines[corner % grid.r_lines.size()],
                   z = grid.z_lines[corner / grid.r_lines.size()], T = temperature[corner];
      block.free_strain.push_back(is_solid_powder(b) ? wanted_.solid->free_strain(r, z, T)
                                                     : growth_of(material_of(b), T));
    }
    const int row = grid.n_r() + 1;
    for (int j = 0; j < grid.n_z(); ++j)
      for (int i = 0; i < grid.n_r(); ++i) {
        const int corner = j * row + i;
        const double T = 0.25 * (temperature[corner] + temperature[corner + 1] + temperature[corner + row] +
                                 temperature[corner + row + 1]);
        block.elastic.push_back({modulus_at(b, T), poisson_of(material_of(b))});
      }
    block.anchor = anchor_depth * block.elastic.front().modulus;
    if (instant_.mesh.grids[block_[b]].mirrored) out_.body.held.push_back({own_[b], Side::bottom});
    out_.body.blocks.push_back(std::move(block));
    out_.temperature.push_back(std::move(temperature));
    out_.block.push_back(block_[b]);
    out_.edges.emplace_back();
  }

  void join(const mesh::Stretch& stretch) {
    const int a = stretch.block_a, b = stretch.block_b;
    if (stretch.gap > widest_gap || (soft(a) && soft(b))) return;
    const Side side_a = stretch.vertical ? Side::outer : Side::top,
               side_b = stretch.vertical ? Side::inner : Side::bottom;
    if (soft(a) || soft(b)) {
      const Pressed pressed = pressed_by(instant_, block_[soft(a) ? a : b]);
      const double p = wanted_.force_times * (stretch.vertical ? pressed.side : pressed.axial);
      press(soft(a) ? b : a, soft(a) ? side_b : side_a, p, stretch.from, stretch.to);
      return;
    }
    Joint joint{own_[a], own_[b], side_a, side_b};
    const double softer = std::min(middle_modulus(a), middle_modulus(b));
    const materials::Material* foil = nullptr;
    if (bearing_[a].part == bearing_[b].part) {
      joint.across = joint.along = softer / weld_depth;
      joint.may_open = false;
    } else if (const mesh::Block* sheet = foil_between(instant_, bearing_, stretch, &foil);
               sheet && foil->elastic_modulus) {
      const double thick =
          stretch.vertical ? sheet->r_outer - sheet->r_inner : sheet->z_top - sheet->z_bottom;
      joint.across = foil->elastic_modulus->curve.value(room) / thick;
      joint.gap = std::max(0.0, stretch.gap - thick);
    } else {
      joint.across = softer / touch_depth;
      joint.gap = sheet ? 0.0 : stretch.gap;
    }
    if (is_solid_powder(a) || is_solid_powder(b)) {
      const bool first = is_solid_powder(a);
      joint.gap = 0.0;
      joint.gap_at = [gap = wanted_.solid->gap, other = block_[first ? b : a], side = first ? side_b : side_a,
                      across = joint.across](double place) { return gap(other, side, across, place); };
    }
    if (joint.may_open) end_contact(stretch);
    out_.body.joints.push_back(std::move(joint));
  }

  void end_contact(const mesh::Stretch& stretch) {
    const mesh::Block &a = bearing_[stretch.block_a], &b = bearing_[stretch.block_b];
    // A specimen between two plates bears evenly from a quarter of its diameter on; a bore has no such
    // plates.
    const double around = stretch.vertical
                              ? least_edge
                              : std::clamp(0.5 * (stretch.to - stretch.from), least_edge, widest_edge);
    for (const double at : {stretch.from, stretch.to}) {
      if (!stretch.vertical && at == 0.0) continue;  // the axis
      const double r_a = stretch.vertical ? a.r_outer : at, z_a = stretch.vertical ? at : a.z_top,
                   r_b = stretch.vertical ? b.r_inner : at, z_b = stretch.vertical ? at : b.z_bottom;
      out_.edges[own_.at(stretch.block_a)].push_back({r_a, z_a, around});
      out_.edges[own_.at(stretch.block_b)].push_back({r_b, z_b, around});
    }
  }

  double middle_modulus(int b) const { return out_.body.blocks[own_.at(b)].elastic.front().modulus; }

  void press(int b, Side side, double pressure, double from, double to) {
    out_.body.pressures.push_back({own_.at(b), side, [pressure, from, to](double place) {
                                     return place > from && place < to ? pressure : 0.0;
                                   }});
  }

  /// The lower end of the column is held, the force stands on the upper one.
  void hold_and_press() {
    if (!wanted_.column) {
      if (out_.body.held.empty() && !out_.body.blocks.empty()) hold_sleeve();
      return;
    }
    double low = 0.0, high = 0.0, area = 0.0;
    bool first = true;
    for (std::size_t b = 0; b < bearing_.size(); ++b) {
      if (!part_of(static_cast<int>(b)).in_column) continue;
      low = first ? bearing_[b].z_bottom : std::min(low, bearing_[b].z_bottom);
      high = first ? bearing_[b].z_top : std::max(high, bearing_[b].z_top);
      first = false;
    }
    const auto at_end = [&](int b, double z, double end) {
      return part_of(b).in_column && !soft(b) && std::abs(z - end) <= mesh::touch_tolerance;
    };
    for (std::size_t k = 0; k < bearing_.size(); ++k)
      if (at_end(static_cast<int>(k), bearing_[k].z_top, high)) area += area_of(bearing_[k]);
    for (std::size_t k = 0; k < bearing_.size(); ++k) {
      const int b = static_cast<int>(k);
      if (at_end(b, bearing_[k].z_top, high))
        press(b, Side::top, wanted_.force_times * instant_.snapshot.force_N / area, 0.0, 1.0);
      if (at_end(b, bearing_[k].z_bottom, low) && !instant_.mesh.grids[block_[k]].mirrored)
        out_.body.held.push_back({own_.at(b), Side::bottom});
    }
  }

  /// Pushed out, the die stands on its lower face.
  void hold_sleeve() {
    const auto lowest = std::min_element(
        out_.body.blocks.begin(), out_.body.blocks.end(),
        [](const SolidBlock& x, const SolidBlock& y) { return x.z_lines.front() < y.z_lines.front(); });
    out_.body.held.push_back({static_cast<int>(lowest - out_.body.blocks.begin()), Side::bottom});
  }

  const Instant& instant_;
  const solver::Problem& p_;
  const Wanted& wanted_;
  mesh::Layout bearing_;
  std::vector<int> block_;  ///< of the problem, per bearing block
  std::map<int, int> own_;  ///< of the body, per bearing block that is no soft powder
  StackBody out_;
};

}  // namespace

Instant instant_of(const solver::Problem& problem, solver::Snapshot snapshot) {
  Instant instant{problem, problem.mesh, std::move(snapshot)};
  mesh::move_to(instant.mesh, instant.snapshot.heights);
  return instant;
}

solver::Snapshot between(const solver::Snapshot& before, const solver::Snapshot& after, double time) {
  const double share = (time - before.time_s) / (after.time_s - before.time_s);
  const auto mix = [share](std::vector<double>& to, const std::vector<double>& from) {
    for (std::size_t k = 0; k < to.size(); ++k) to[k] = (1.0 - share) * from[k] + share * to[k];
  };
  solver::Snapshot out = after;
  out.time_s = time;
  out.force_N = (1.0 - share) * before.force_N + share * after.force_N;
  mix(out.temperature, before.temperature);
  mix(out.relative_density, before.relative_density);
  mix(out.side_pressure, before.side_pressure);
  return out;
}

Pressed pressed_by(const Instant& instant, int block) {
  const solver::Snapshot& shot = instant.snapshot;
  const double area = area_of(instant.mesh.layout[block]);
  for (std::size_t b = 0; b < instant.problem.beds.size(); ++b)
    if (instant.problem.beds[b].block == block) return {shot.force_N / area, shot.side_pressure[b]};
  const mesh::BlockGrid& grid = instant.mesh.grids[block];
  double density = 0.0;
  for (int j = 0; j < grid.n_z(); ++j)
    density += shot.relative_density[grid.cell(grid.n_r() - 1, j)] / grid.n_z();
  const double axial = shot.force_N / area;
  return {axial, axial * (density < 1.0 ? materials::radial_stress_ratio(density) : 1.0)};
}

double poisson_of(const materials::Material& material) {
  return material.poisson_ratio ? material.poisson_ratio->curve.value(room) : 0.2;
}

double growth_of(const materials::Material& material, double T) {
  return material.expansion ? material.expansion->along.curve.value(T) * (T - room) : 0.0;
}

StackBody body_of(const Instant& instant, const Wanted& wanted) {
  return Builder(instant, wanted).build();
}

}  // namespace joulepress::solid
