#include "solver/solid/body.hpp"

#include <Eigen/SparseCholesky>
#include <Eigen/SparseCore>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace joulepress::solid {
namespace {

constexpr int most_turns = 50;
constexpr std::array side_points{-0.7745966692414834, 0.0, 0.7745966692414834};  // Gauss, three points
constexpr std::array side_weights{5.0 / 9.0, 8.0 / 9.0, 5.0 / 9.0};

using Triplet = Eigen::Triplet<double>;

bool upright(mesh::Side side) {
  return side == mesh::Side::inner || side == mesh::Side::outer;
}
bool far_side(mesh::Side side) {
  return side == mesh::Side::outer || side == mesh::Side::top;
}
/// Out of the block, along its axis.
double outward(mesh::Side side) {
  return far_side(side) ? 1.0 : -1.0;
}

int node_of(const SolidBlock& block, int i, int j) {
  return j * (2 * block.n_r() + 1) + i;
}

CellShape shape_of(const SolidBlock& block, int i, int j) {
  return {block.r_lines[i], block.r_lines[i + 1], block.z_lines[j], block.z_lines[j + 1]};
}

std::array<double, 4> strain_of(const SolidBlock& block, int i, int j) {
  if (block.free_strain.empty()) return {};
  const int row = block.n_r() + 1, corner = j * row + i;
  return {block.free_strain[corner], block.free_strain[corner + 1], block.free_strain[corner + row],
          block.free_strain[corner + row + 1]};
}

/// The unknowns of a cell within its block.
std::array<int, cell_unknowns> unknowns_of(const SolidBlock& block, int i, int j) {
  std::array<int, cell_unknowns> unknowns{};
  for (int b = 0; b < 3; ++b)
    for (int a = 0; a < 3; ++a) {
      const int node = node_of(block, 2 * i + a, 2 * j + b), at = 2 * (3 * b + a);
      unknowns[at] = 2 * node;
      unknowns[at + 1] = 2 * node + 1;
    }
  return unknowns;
}

const std::vector<double>& lines_along(const SolidBlock& block, mesh::Side side) {
  return upright(side) ? block.z_lines : block.r_lines;
}

double radius_of(const SolidBlock& block, mesh::Side side, double place) {
  if (!upright(side)) return place;
  return far_side(side) ? block.r_lines.back() : block.r_lines.front();
}

/// The displacement at a place of a side is the sum of three nodes.
struct SidePlace {
  std::array<int, 3> nodes{};
  std::array<double, 3> weights{};
};

SidePlace place_on(const SolidBlock& block, mesh::Side side, double place) {
  const std::vector<double>& lines = lines_along(block, side);
  const auto after = std::upper_bound(lines.begin() + 1, lines.end() - 1, place);
  const int cell = static_cast<int>(after - lines.begin()) - 1;
  SidePlace out;
  out.weights = line_functions(2.0 * (place - lines[cell]) / (lines[cell + 1] - lines[cell]) - 1.0);
  for (int k = 0; k < 3; ++k) {
    const int along = 2 * cell + k;
    const int end = upright(side) ? 2 * block.n_r() : 2 * block.n_z(), fixed = far_side(side) ? end : 0;
    out.nodes[k] = upright(side) ? node_of(block, fixed, along) : node_of(block, along, fixed);
  }
  return out;
}

/// The places where something is integrated along sides, with their areas [m2].
struct AreaPoint {
  double place = 0, area = 0;
};

std::vector<AreaPoint> area_points(const std::vector<double>& breaks, const SolidBlock& block,
                                   mesh::Side side) {
  std::vector<AreaPoint> points;
  for (std::size_t k = 0; k + 1 < breaks.size(); ++k) {
    const double middle = 0.5 * (breaks[k] + breaks[k + 1]), half = 0.5 * (breaks[k + 1] - breaks[k]);
    for (std::size_t g = 0; g < 3; ++g) {
      const double place = middle + half * side_points[g];
      points.push_back(
          {place, 2.0 * std::numbers::pi * radius_of(block, side, place) * half * side_weights[g]});
    }
  }
  return points;
}

/// Lines of both sides within the stretch that they share.
std::vector<double> shared_breaks(const std::vector<double>& a, const std::vector<double>& b) {
  const double low = std::max(a.front(), b.front()), high = std::min(a.back(), b.back());
  std::vector<double> breaks{low, high};
  for (const std::vector<double>* lines : {&a, &b})
    for (const double line : *lines)
      if (line > low && line < high) breaks.push_back(line);
  std::sort(breaks.begin(), breaks.end());
  const double same = 1e-9 * (high - low);
  breaks.erase(std::unique(breaks.begin(), breaks.end(), [same](double x, double y) { return y - x < same; }),
               breaks.end());
  return breaks;
}

/// One place of a joint: opening = gap + sum of weights times unknowns.
struct JointPlace {
  int joint = 0;
  AreaPoint point;
  std::array<int, 6> across{}, along{};  ///< global unknowns
  std::array<double, 6> weights{};       ///< of both directions, of b less a
  double gap = 0;                        ///< m
  bool closed = true;
};

class Equations {
 public:
  explicit Equations(const Body& body) : body_(body) {
    int next = 0;
    for (const SolidBlock& block : body.blocks) {
      first_.push_back(next);
      next += 2 * block.nodes();
    }
    size_ = next;
    right_ = Eigen::VectorXd::Zero(size_);
    add_cells();
    add_pressures();
    find_places();
    hold();
  }

  /// Places begin as the nearest ones of another solution are.
  void begin_like(const Deformed& other) {
    if (other.joints.size() != body_.joints.size()) return;
    for (JointPlace& place : places_) {
      const std::vector<JointPoint>& points = other.joints[place.joint];
      if (!body_.joints[place.joint].may_open || points.empty()) continue;
      const auto nearest = std::min_element(
          points.begin(), points.end(), [at = place.point.place](const JointPoint& x, const JointPoint& y) {
            return std::abs(x.place - at) < std::abs(y.place - at);
          });
      place.closed = nearest->pressure > 0.0;
    }
  }

  Deformed solve() {
    assemble();
    Deformed out;
    for (out.turns = 1; out.turns <= most_turns; ++out.turns) {
      if (!solve_once(out)) return out;
      if (settle()) {
        out.solved = true;
        hand_out(out);
        return out;
      }
    }
    out.reason = "the joints do not settle: places open and close by turns";
    return out;
  }

 private:
  void add_cells() {
    for (std::size_t b = 0; b < body_.blocks.size(); ++b) {
      const SolidBlock& block = body_.blocks[b];
      if (block.anchor > 0.0)
        for (int node = 0; node < block.nodes(); ++node) {
          const int along = first_[b] + 2 * node + 1;
          cells_.emplace_back(along, along, block.anchor);
        }
      for (int j = 0; j < block.n_z(); ++j)
        for (int i = 0; i < block.n_r(); ++i) {
          const CellMatrices cell = cell_matrices(
              shape_of(block, i, j), block.elastic[static_cast<std::size_t>(j) * block.n_r() + i],
              strain_of(block, i, j));
          const auto unknowns = unknowns_of(block, i, j);
          for (int m = 0; m < cell_unknowns; ++m) {
            const int row = first_[b] + unknowns[m];
            right_[row] += cell.free_strain[m];
            for (int n = 0; n < cell_unknowns; ++n)
              cells_.emplace_back(row, first_[b] + unknowns[n], cell.stiffness[m][n]);
          }
        }
    }
  }

  /// Unknown across a side at one of its nodes.
  int across(int block, mesh::Side side, int node) const {
    return first_[block] + 2 * node + (upright(side) ? 0 : 1);
  }

  void add_pressures() {
    for (const Pressure& pressure : body_.pressures) {
      const SolidBlock& block = body_.blocks[pressure.block];
      for (const AreaPoint& point : area_points(lines_along(block, pressure.side), block, pressure.side)) {
        const SidePlace place = place_on(block, pressure.side, point.place);
        const double force = -outward(pressure.side) * pressure.at(point.place) * point.area;
        for (int k = 0; k < 3; ++k)
          right_[across(pressure.block, pressure.side, place.nodes[k])] += force * place.weights[k];
      }
    }
  }

  void find_places() {
    for (std::size_t n = 0; n < body_.joints.size(); ++n) {
      const Joint& joint = body_.joints[n];
      const SolidBlock &a = body_.blocks[joint.a], &b = body_.blocks[joint.b];
      const std::vector<double> breaks =
          shared_breaks(lines_along(a, joint.side_a), lines_along(b, joint.side_b));
      for (const AreaPoint& point : area_points(breaks, a, joint.side_a)) {
        JointPlace place;
        place.joint = static_cast<int>(n);
        place.point = point;
        place.gap = joint.gap + (joint.gap_at ? joint.gap_at(point.place) : 0.0);
        const SidePlace on_a = place_on(a, joint.side_a, point.place),
                        on_b = place_on(b, joint.side_b, point.place);
        for (int k = 0; k < 3; ++k) {
          place.across[k] = across(joint.a, joint.side_a, on_a.nodes[k]);
          place.across[3 + k] = across(joint.b, joint.side_b, on_b.nodes[k]);
          place.weights[k] = -on_a.weights[k];
          place.weights[3 + k] = on_b.weights[k];
        }
        const int other = upright(joint.side_a) ? 1 : -1;  // the unknown along the side
        for (int k = 0; k < 6; ++k) place.along[k] = place.across[k] + other;
        places_.push_back(place);
      }
    }
  }

  /// Unknowns that are zero: across held sides, and u_r on the axis.
  void hold() {
    zero_.assign(static_cast<std::size_t>(size_), false);
    const auto hold_side = [this](int block, mesh::Side side) {
      const SolidBlock& of = body_.blocks[block];
      const int along = upright(side) ? 2 * of.n_z() : 2 * of.n_r();
      for (int k = 0; k <= along; ++k) {
        const int end = upright(side) ? 2 * of.n_r() : 2 * of.n_z(), fixed = far_side(side) ? end : 0;
        zero_[across(block, side, upright(side) ? node_of(of, fixed, k) : node_of(of, k, fixed))] = true;
      }
    };
    for (const Held& held : body_.held) hold_side(held.block, held.side);
    for (std::size_t b = 0; b < body_.blocks.size(); ++b)
      if (body_.blocks[b].r_lines.front() == 0.0) hold_side(static_cast<int>(b), mesh::Side::inner);
  }

  using Matrix = Eigen::SparseMatrix<double>;

  Matrix matrix_of(std::vector<Triplet>& entries) const {
    std::erase_if(entries, [this](const Triplet& entry) { return zero_[entry.row()] || zero_[entry.col()]; });
    Matrix matrix(size_, size_);
    matrix.setFromTriplets(entries.begin(), entries.end());
    return matrix;
  }

  /// All that does not depend on which places are closed.
  void assemble() {
    blocks_ = matrix_of(cells_);
    // As large as the others, so that the smallest pivot tells something.
    const double usual = blocks_.coeffs().maxCoeff();
    Matrix held(size_, size_);
    held.reserve(Eigen::VectorXi::Constant(size_, 1));
    for (int k = 0; k < size_; ++k)
      if (zero_[k]) held.insert(k, k) = usual;
    blocks_ += held;
    factor_.analyzePattern(blocks_ + joints_now());
  }

  /// What the joints add; open places stand with zeros, so that the pattern stays.
  Matrix joints_now() const {
    std::vector<Triplet> entries;
    for (const JointPlace& place : places_) {
      const Joint& joint = body_.joints[place.joint];
      const double across = place.closed ? joint.across : 0.0, along = place.closed ? joint.along : 0.0;
      for (int m = 0; m < 6; ++m)
        for (int n = 0; n < 6; ++n) {
          const double share = place.point.area * place.weights[m] * place.weights[n];
          entries.emplace_back(place.across[m], place.across[n], across * share);
          if (joint.along > 0.0) entries.emplace_back(place.along[m], place.along[n], along * share);
        }
    }
    return matrix_of(entries);
  }

  Eigen::VectorXd right_now() const {
    Eigen::VectorXd right = right_;
    for (const JointPlace& place : places_) {
      if (!place.closed) continue;
      const Joint& joint = body_.joints[place.joint];
      const double force = outward(joint.side_a) * joint.across * place.point.area * place.gap;
      for (int m = 0; m < 6; ++m) right[place.across[m]] -= force * place.weights[m];
    }
    for (int k = 0; k < size_; ++k)
      if (zero_[k]) right[k] = 0.0;
    return right;
  }

  bool solve_once(Deformed& out) {
    const Matrix matrix = blocks_ + joints_now();
    const Eigen::VectorXd right = right_now();
    factor_.factorize(matrix);
    // A block that nothing holds leaves a pivot of rounding.
    if (factor_.info() != Eigen::Success ||
        !(factor_.vectorD().minCoeff() > 1e-12 * matrix.diagonal().minCoeff())) {
      out.reason = "nothing holds one of the parts in its place";
      return false;
    }
    way_ = factor_.solve(right);
    way_ += factor_.solve(right - matrix * way_);  // stiff joints cost digits; once more brings them back
    return true;
  }

  double opening_at(const JointPlace& place) const {
    double jump = 0.0;
    for (int k = 0; k < 6; ++k) jump += place.weights[k] * way_[place.across[k]];
    return place.gap + outward(body_.joints[place.joint].side_a) * jump;
  }

  /// Opens places that pull and closes those that overlap; whether there were none.
  bool settle() {
    bool settled = true;
    for (JointPlace& place : places_) {
      if (!body_.joints[place.joint].may_open) continue;
      const bool closed = opening_at(place) < 0.0;
      settled = settled && closed == place.closed;
      place.closed = closed;
    }
    return settled;
  }

  void hand_out(Deformed& out) const {
    for (std::size_t b = 0; b < body_.blocks.size(); ++b)
      out.displacement.emplace_back(way_.data() + first_[b],
                                    way_.data() + first_[b] + 2L * body_.blocks[b].nodes());
    out.joints.resize(body_.joints.size());
    for (const JointPlace& place : places_) {
      const double opening = opening_at(place);
      const double pressure = place.closed ? -body_.joints[place.joint].across * opening : 0.0;
      out.joints[place.joint].push_back({place.point.place, pressure, opening, place.point.area});
    }
  }

  const Body& body_;
  std::vector<int> first_;
  int size_ = 0;
  std::vector<Triplet> cells_;
  Eigen::VectorXd right_, way_;
  std::vector<JointPlace> places_;
  std::vector<bool> zero_;
  Matrix blocks_;
  Eigen::SimplicialLDLT<Matrix> factor_;
};

CellVector cell_displacement(const Body& body, const Deformed& deformed, int block, int i, int j) {
  CellVector displacement{};
  const auto unknowns = unknowns_of(body.blocks[block], i, j);
  for (int n = 0; n < cell_unknowns; ++n) displacement[n] = deformed.displacement[block][unknowns[n]];
  return displacement;
}

}  // namespace

Deformed deform(const Body& body, const Deformed* like) {
  Equations equations(body);
  if (like && like->solved) equations.begin_like(*like);
  return equations.solve();
}

Stress stress_at(const Body& body, const Deformed& deformed, int block, int i, int j, double xi, double eta) {
  const SolidBlock& of = body.blocks[block];
  return cell_stress(shape_of(of, i, j), of.elastic[static_cast<std::size_t>(j) * of.n_r() + i],
                     strain_of(of, i, j), cell_displacement(body, deformed, block, i, j), xi, eta);
}

std::array<double, 2> displacement_at(const Body& body, const Deformed& deformed, int block, int i, int j) {
  const auto node = static_cast<std::size_t>(node_of(body.blocks[block], i, j));
  return {deformed.displacement[block][2 * node], deformed.displacement[block][2 * node + 1]};
}

double way_out(const Body& body, const Deformed& deformed, int block, mesh::Side side, double place) {
  const SidePlace at = place_on(body.blocks[block], side, place);
  double way = 0.0;
  for (int k = 0; k < 3; ++k)
    way += at.weights[k] * deformed.displacement[block][2 * at.nodes[k] + (upright(side) ? 0 : 1)];
  return outward(side) * way;
}

double work_of_pressures(const Body& body, const Deformed& deformed) {
  double work = 0.0;
  for (const Pressure& pressure : body.pressures) {
    const SolidBlock& block = body.blocks[pressure.block];
    for (const AreaPoint& point : area_points(lines_along(block, pressure.side), block, pressure.side))
      work -= 0.5 * pressure.at(point.place) * point.area *
              way_out(body, deformed, pressure.block, pressure.side, point.place);
  }
  return work;
}

double strain_energy(const Body& body, const Deformed& deformed) {
  double energy = 0.0;
  for (std::size_t b = 0; b < body.blocks.size(); ++b) {
    const SolidBlock& block = body.blocks[b];
    for (int j = 0; j < block.n_z(); ++j)
      for (int i = 0; i < block.n_r(); ++i) {
        const CellMatrices cell =
            cell_matrices(shape_of(block, i, j), block.elastic[static_cast<std::size_t>(j) * block.n_r() + i],
                          strain_of(block, i, j));
        const CellVector u = cell_displacement(body, deformed, static_cast<int>(b), i, j);
        for (int m = 0; m < cell_unknowns; ++m)
          for (int n = 0; n < cell_unknowns; ++n) energy += 0.5 * u[m] * cell.stiffness[m][n] * u[n];
      }
  }
  for (std::size_t n = 0; n < body.joints.size(); ++n) {
    const Joint& joint = body.joints[n];
    const SolidBlock &a = body.blocks[joint.a], &b = body.blocks[joint.b];
    const auto points = area_points(shared_breaks(lines_along(a, joint.side_a), lines_along(b, joint.side_b)),
                                    a, joint.side_a);
    for (std::size_t k = 0; k < points.size(); ++k)
      if (joint.across > 0.0)
        energy += 0.5 * points[k].area * std::pow(deformed.joints[n][k].pressure, 2) / joint.across;
  }
  return energy;
}

}  // namespace joulepress::solid
