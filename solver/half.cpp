#include "solver/half.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "solver/drive.hpp"
#include "solver/motion.hpp"

namespace joulepress::solver {
namespace {

constexpr double same_length = 1e-9;  // m

bool close(double a, double b) {
  return std::abs(a - b) <= same_length;
}

mesh::Side image_of(mesh::Side side) {
  if (side == mesh::Side::bottom) return mesh::Side::top;
  return side == mesh::Side::top ? mesh::Side::bottom : side;
}

Electrode image_of(Electrode pole) {
  if (pole == Electrode::low) return Electrode::high;
  return pole == Electrode::high ? Electrode::low : Electrode::none;
}

/// Everything that is compared with its image.
class Images {
 public:
  explicit Images(const Problem& whole) : whole_(whole), plane_(mid_plane(whole.mesh.layout)) {}

  bool found() {
    return !whole_.heat_source && !whole_.gas && !whole_.thermoelectric && blocks() && parts() && grids() &&
           sides() && contacts() && beds() && taps();
  }
  double plane() const { return plane_; }
  int of_block(int block) const { return block_[block]; }
  int of_part(int part) const { return part_[part]; }
  bool below(int block) const { return layout()[block].z_top < plane_; }
  bool cut(int block) const { return block_[block] == block; }

  /// The pair that is the image of a pair: of two blocks one above the other the images change places.
  std::optional<int> pair(int k) const {
    const mesh::BlockPair& p = whole_.interfaces.pairs[k];
    const int a = block_[p.block_a], b = block_[p.block_b];
    const bool lateral = p.side_a == mesh::Side::outer;
    for (std::size_t other = 0; other < whole_.interfaces.pairs.size(); ++other) {
      const mesh::BlockPair& q = whole_.interfaces.pairs[other];
      if (q.side_a == p.side_a && q.block_a == (lateral ? a : b) && q.block_b == (lateral ? b : a))
        return static_cast<int>(other);
    }
    return std::nullopt;
  }

 private:
  const mesh::Layout& layout() const { return whole_.mesh.layout; }
  double image(double z) const { return 2.0 * plane_ - z; }

  bool blocks() {
    for (const mesh::Block& b : layout()) {
      if (close(b.z_bottom, plane_) || close(b.z_top, plane_)) return false;
      const auto its = std::find_if(layout().begin(), layout().end(), [&](const mesh::Block& o) {
        return close(o.r_inner, b.r_inner) && close(o.r_outer, b.r_outer) &&
               close(o.z_bottom, image(b.z_top)) && close(o.z_top, image(b.z_bottom));
      });
      if (its == layout().end()) return false;
      block_.push_back(static_cast<int>(its - layout().begin()));
    }
    return true;
  }

  bool parts() {
    part_.assign(whole_.parts.size(), -1);
    for (std::size_t k = 0; k < block_.size(); ++k) {
      int& its = part_[layout()[k].part];
      const int image = layout()[block_[k]].part;
      if (its >= 0 && its != image) return false;
      its = image;
    }
    for (std::size_t k = 0; k < part_.size(); ++k) {
      if (part_[k] < 0) return false;
      const Part &p = whole_.parts[k], &q = whole_.parts[part_[k]];
      if (p.material != q.material || p.across != q.across || p.is_powder != q.is_powder ||
          p.relative_density != q.relative_density || p.oxide_film != q.oxide_film)
        return false;
    }
    return true;
  }

  bool grids() const {
    for (std::size_t k = 0; k < block_.size(); ++k) {
      const mesh::BlockGrid &a = whole_.mesh.grids[k], &b = whole_.mesh.grids[block_[k]];
      if (a.n_r() != b.n_r() || a.n_z() != b.n_z()) return false;
      if (cut(static_cast<int>(k)) && a.n_z() % 2 != 0) return false;
      for (int i = 0; i <= a.n_r(); ++i)
        if (!close(a.r_lines[i], b.r_lines[i])) return false;
      for (int j = 0; j <= a.n_z(); ++j)
        if (!close(a.z_lines[j], image(b.z_lines[a.n_z() - j]))) return false;
    }
    return true;
  }

  bool sides() const {
    for (std::size_t k = 0; k < block_.size(); ++k)
      for (const mesh::Side side :
           {mesh::Side::inner, mesh::Side::outer, mesh::Side::bottom, mesh::Side::top}) {
        const SideCondition& a = whole_.sides[k][static_cast<int>(side)];
        const SideCondition& b = whole_.sides[block_[k]][static_cast<int>(image_of(side))];
        if (a.film != b.film || a.film_temperature != b.film_temperature || a.emissivity != b.emissivity ||
            a.electrode != image_of(b.electrode) || !same_held(a, b, layout()[k]))
          return false;
      }
    return true;
  }

  /// Held temperatures are compared where and when a function could be told apart from its image.
  bool same_held(const SideCondition& a, const SideCondition& b, const mesh::Block& block) const {
    if (!a.fixed_temperature || !b.fixed_temperature) return !a.fixed_temperature && !b.fixed_temperature;
    const double r = 0.5 * (block.r_inner + block.r_outer);
    for (const double t : {0.0, 0.5 * end_time(whole_.drive), end_time(whole_.drive)})
      for (const double z : {block.z_bottom, block.z_top})
        if (a.fixed_temperature(r, z, t) != b.fixed_temperature(r, image(z), t)) return false;
    return true;
  }

  bool contacts() const {
    for (std::size_t k = 0; k < whole_.contacts.size(); ++k) {
      const auto other = pair(static_cast<int>(k));
      if (!other) return false;
      const ContactLaw &a = whole_.contacts[k], &b = whole_.contacts[*other];
      if (a.electric_resistance != b.electric_resistance || a.heat_conductance != b.heat_conductance ||
          a.follows != b.follows || a.radiation != b.radiation)
        return false;
    }
    return true;
  }

  /// The voltage is taken between a face and its image.
  bool taps() const {
    if (whole_.taps.empty()) return true;
    const Tap &low = whole_.taps.front(), &high = whole_.taps.back();
    return whole_.taps.size() == 2 && block_[low.block] == high.block && image_of(low.side) == high.side &&
           !below(high.block);
  }

  /// Beds and what they carry: seen from the middle of the column an image moves the other way.
  bool beds() const {
    for (const Bed& bed : whole_.beds) {
      const auto its = std::find_if(whole_.beds.begin(), whole_.beds.end(),
                                    [&](const Bed& other) { return other.block == block_[bed.block]; });
      if (its == whole_.beds.end() || its->grain != bed.grain || its->loose != bed.loose ||
          its->wall_friction != bed.wall_friction || its->dragged != bed.dragged)
        return false;
      const auto n = static_cast<std::size_t>(&bed - whole_.beds.data()),
                 m = static_cast<std::size_t>(its - whole_.beds.begin());
      for (std::size_t k = 0; k < block_.size(); ++k)
        if (static_cast<int>(k) != bed.block && whole_.rides[k][n] + whole_.rides[block_[k]][m] != 1.0)
          return false;
    }
    return true;
  }

  const Problem& whole_;
  double plane_;
  std::vector<int> block_, part_;
};

/// Builds the half of a problem that has one.
class Folding {
 public:
  Folding(const Problem& whole, const Images& images)
      : whole_(whole), images_(images), half_(std::make_shared<Half>()), p_(half_->problem) {}

  std::shared_ptr<const Half> half() {
    p_.materials = whole_.materials;
    p_.chamber_temperature = whole_.chamber_temperature;
    p_.walls_exchange = whole_.walls_exchange;
    p_.initial_temperature = whole_.initial_temperature;
    p_.numerics = whole_.numerics;
    p_.history_every = whole_.history_every;
    p_.fields_every = whole_.fields_every;
    p_.force = whole_.force;
    p_.frame_compliance = 0.5 * whole_.frame_compliance;
    take_blocks();
    take_beds();
    find_interfaces();
    number_cells();
    take_contacts();
    fold_sensors();
    fold_powders();
    p_.pulse = whole_.pulse;
    p_.largest_mean = whole_.largest_mean;
    if (!whole_.taps.empty()) p_.taps = {{block_in_half_[whole_.taps.back().block], whole_.taps.back().side}};
    scale_drive();
    return half_;
  }

 private:
  void take_blocks() {
    mesh::Layout layout;
    std::vector<mesh::BlockGrid> grids;
    half_->part.assign(whole_.parts.size(), -1);
    half_->cut.assign(whole_.parts.size(), false);
    block_in_half_.assign(whole_.mesh.layout.size(), -1);
    for (std::size_t k = 0; k < whole_.mesh.layout.size(); ++k) {
      if (images_.below(static_cast<int>(k))) continue;
      mesh::Block block = whole_.mesh.layout[k];
      mesh::BlockGrid grid = whole_.mesh.grids[k];
      auto sides = whole_.sides[k];
      int& part = half_->part[block.part];
      if (part < 0) {
        part = static_cast<int>(p_.parts.size());
        p_.parts.push_back(whole_.parts[block.part]);
        half_->part_above.push_back(block.part);
      }
      if (images_.cut(static_cast<int>(k))) {
        half_->cut[block.part] = true;
        block.z_bottom = images_.plane();
        grid.z_lines.erase(grid.z_lines.begin(), grid.z_lines.begin() + grid.n_z() / 2);
        grid.z_lines.front() = images_.plane();
        grid.mirrored = true;
        SideCondition at_plane;
        at_plane.electrode = Electrode::low;
        sides[static_cast<int>(mesh::Side::bottom)] = at_plane;
      }
      block.part = part;
      block_in_half_[k] = static_cast<int>(layout.size());
      grid.block = block_in_half_[k];
      layout.push_back(std::move(block));
      grids.push_back(std::move(grid));
      p_.sides.push_back(std::move(sides));
    }
    for (std::size_t k = 0; k < whole_.fits.size(); ++k) {
      if (images_.below(static_cast<int>(k))) continue;
      p_.fits.push_back(whole_.fits[k]);
      const int sleeve = whole_.sleeve_of[k];
      p_.sleeve_of.push_back(sleeve < 0 ? -1 : block_in_half_[upper(sleeve)]);
    }
    for (std::size_t k = 0; k < half_->part.size(); ++k)
      if (half_->part[k] < 0) half_->part[k] = half_->part[images_.of_part(static_cast<int>(k))];
    p_.mesh = mesh::mesh_of(layout, std::move(grids));
    for (std::size_t k = 0; k < whole_.mesh.layout.size(); ++k)
      half_->block.push_back(block_in_half_[upper(static_cast<int>(k))]);
  }

  /// Heights count from the mid-plane, which rises by half of what all beds grow.
  void take_beds() {
    for (const Bed& bed : whole_.beds) {
      if (images_.below(bed.block)) continue;
      Bed its = bed;
      its.block = block_in_half_[bed.block];
      if (images_.cut(bed.block)) its.dragged *= 2.0;  // of half the height
      p_.beds.push_back(its);
    }
    p_.rides.assign(p_.mesh.layout.size(), std::vector<double>(p_.beds.size(), 0.0));
    for (std::size_t k = 0; k < whole_.mesh.layout.size(); ++k) {
      if (images_.below(static_cast<int>(k))) continue;
      for (std::size_t w = 0; w < whole_.beds.size(); ++w) {
        const int block = whole_.beds[w].block, above = block_in_half_[upper(block)];
        const double grows = images_.cut(block) ? 2.0 : 1.0;  // of the whole bed per growth of its half
        for (std::size_t b = 0; b < p_.beds.size(); ++b)
          if (p_.beds[b].block == above) p_.rides[block_in_half_[k]][b] += grows * (whole_.rides[k][w] - 0.5);
      }
    }
    // The bottom of a bed that the plane cuts stays on it.
    for (std::size_t b = 0; b < p_.beds.size(); ++b)
      if (p_.mesh.grids[p_.beds[b].block].mirrored) p_.rides[p_.beds[b].block][b] = 0.0;
  }

  void find_interfaces() {
    p_.interfaces = interfaces_for(p_);
    p_.rows = mesh::reconstruction_of(p_.mesh, p_.interfaces, whole_.rows.fluxes);
  }

  int upper(int block) const { return images_.below(block) ? images_.of_block(block) : block; }

  void number_cells() {
    const mesh::Mesh& mesh = whole_.mesh;
    for (const mesh::BlockGrid& grid : mesh.grids) {
      const mesh::BlockGrid& its = p_.mesh.grids[block_in_half_[upper(grid.block)]];
      const bool below = images_.below(grid.block), cut = images_.cut(grid.block);
      const int n = grid.n_z();
      for (int j = 0; j < n; ++j) {
        const bool lower = below || (cut && j < n / 2);
        const int row = cut ? (lower ? n / 2 - 1 - j : j - n / 2) : (lower ? n - 1 - j : j);
        for (int i = 0; i < grid.n_r(); ++i) {
          half_->cell.push_back(its.cell(i, row));
          half_->below.push_back(lower);
        }
      }
    }
  }

  void take_contacts() {
    const auto& pairs = whole_.interfaces.pairs;
    for (const mesh::BlockPair& pair : p_.interfaces.pairs) {
      for (std::size_t k = 0; k < pairs.size(); ++k) {
        if (block_in_half_[pairs[k].block_a] != pair.block_a ||
            block_in_half_[pairs[k].block_b] != pair.block_b || pairs[k].side_a != pair.side_a ||
            (pairs[k].gap == 0.0) != (pair.gap == 0.0))
          continue;
        p_.contacts.push_back(whole_.contacts[k]);
        break;
      }
    }
  }

  double above(double z) const { return std::max(z, 2.0 * images_.plane() - z); }

  void fold_sensors() {
    for (Sensor sensor : whole_.sensors) {
      if (sensor.part >= 0) sensor.part = half_->part[sensor.part];
      sensor.z = above(sensor.z);
      for (int& cell : sensor.junction.cells) cell = half_->cell[cell];
      for (int& face : sensor.spot.faces) face = outer_face_of(whole_.interfaces.outer_faces[face]);
      p_.sensors.push_back(std::move(sensor));
    }
  }

  /// The outer face of the half that a face of the whole, or its image, has become.
  int outer_face_of(const mesh::OuterFace& face) const {
    const int cell = half_->cell[face.a.cell];
    const mesh::Side side = half_->below[face.a.cell] ? image_of(face.a.side) : face.a.side;
    const auto& faces = p_.interfaces.outer_faces;
    for (std::size_t f = 0; f < faces.size(); ++f)
      if (faces[f].a.cell == cell && faces[f].a.side == side) return static_cast<int>(f);
    throw std::logic_error("a spot lies on no outer face of the half");
  }

  void fold_powders() {
    half_->body.assign(whole_.powders.size(), -1);
    for (const bool image : {false, true})
      for (std::size_t k = 0; k < whole_.powders.size(); ++k) {
        const PowderBody& body = whole_.powders[k];
        if (images_.below(body.block) != image) continue;
        if (image) {
          half_->body[k] = body_of_part(half_->part[body.part]);
          continue;
        }
        half_->body[k] = static_cast<int>(p_.powders.size());
        PowderBody its = body;
        its.part = half_->part[body.part];
        its.block = block_in_half_[body.block];
        if (body.wall_block >= 0) its.wall_block = block_in_half_[body.wall_block];
        if (half_->cut[body.part]) its.volume *= 0.5;
        p_.powders.push_back(std::move(its));
      }
  }

  int body_of_part(int part) const {
    for (std::size_t k = 0; k < p_.powders.size(); ++k)
      if (p_.powders[k].part == part) return static_cast<int>(k);
    return -1;
  }

  void scale_drive() {
    p_.drive = whole_.drive;
    p_.drive.voltage_limit *= 0.5;
    p_.drive.power_limit *= 0.5;
    if (Controller* controller = p_.drive.controller ? &*p_.drive.controller : nullptr) {
      if (controller->start_power) *controller->start_power *= 0.5;
      if (controller->by_power)
        for (double Controller::*of_the_whole :
             {&Controller::gain, &Controller::lowest, &Controller::highest, &Controller::rate})
          controller->*of_the_whole *= 0.5;
    }
    for (AbortRule& rule : p_.drive.aborts)
      if (rule.what == AbortRule::What::voltage || rule.what == AbortRule::What::power) {
        rule.told = rule.above;
        rule.above *= 0.5;
      }
    if (p_.drive.kind == DriveKind::voltage || p_.drive.kind == DriveKind::power)
      for (Segment& segment : p_.drive.segments) {
        segment.from *= 0.5;
        segment.to *= 0.5;
      }
  }

  const Problem& whole_;
  const Images& images_;
  std::shared_ptr<Half> half_;
  Problem& p_;
  std::vector<int> block_in_half_;
};

}  // namespace

double mid_plane(const mesh::Layout& layout) {
  double bottom = layout.front().z_bottom, top = layout.front().z_top;
  for (const mesh::Block& block : layout) {
    bottom = std::min(bottom, block.z_bottom);
    top = std::max(top, block.z_top);
  }
  return 0.5 * (bottom + top);
}

std::shared_ptr<const Half> half_of(const Problem& whole) {
  Images images(whole);
  if (!images.found()) return nullptr;
  return Folding(whole, images).half();
}

const Problem& solved(const Problem& problem) {
  return problem.half ? problem.half->problem : problem;
}

}  // namespace joulepress::solver
