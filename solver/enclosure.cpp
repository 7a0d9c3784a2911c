#include "solver/enclosure.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>

#include "solver/motion.hpp"
#include "solver/problem.hpp"

namespace joulepress::solver {
namespace {

using std::numbers::pi;
constexpr int strips_of_a_wall = 8, strips_of_an_edge = 2;
constexpr double still = 0.05;  // a strip that sees less of the chamber stands in still gas (own choice)
constexpr double edge_over_widest = 0.05;  // openings shorter than this share of the stack's radius are edges

double radius_of(const mesh::Mesh& mesh) {
  double widest = 0.0;
  for (const mesh::Block& block : mesh.layout) widest = std::max(widest, block.r_outer);
  return widest;
}

bool takes_part(const SideCondition& side) {
  return !side.fixed_temperature && side.electrode == Electrode::none;
}

const mesh::Opening* opening_named(const mesh::Openings& openings, const Zone& zone) {
  for (const mesh::Opening& opening : openings.walls)
    if (opening.block == zone.block && opening.side == zone.side && opening.ordinal == zone.ordinal)
      return &opening;
  return nullptr;
}

/// Where a strip lies; of a mirrored opening the strips count from the far end of its image.
mesh::Datum strip_of(const mesh::Opening& opening, const Zone& zone) {
  const double from = opening.mirrored ? 2.0 * opening.from - opening.to : opening.from;
  const auto line = [&](int k) {
    if (k == zone.strips) return opening.to;
    if (opening.mirrored && 2 * k == zone.strips) return opening.from;
    return from + 0.5 * (opening.to - from) * (1.0 - std::cos(pi * k / zone.strips));
  };
  return {line(zone.strip), line(zone.strip + 1)};
}

double place_across(const mesh::Block& block, mesh::Side side) {
  switch (side) {
    case mesh::Side::inner:
      return block.r_inner;
    case mesh::Side::outer:
      return block.r_outer;
    case mesh::Side::bottom:
      return block.z_bottom;
    case mesh::Side::top:
      break;
  }
  return block.z_top;
}

std::vector<Zone> zones_of(const Problem& problem, const mesh::Openings& openings) {
  std::vector<Zone> zones;
  const double edge = edge_over_widest * radius_of(problem.mesh);
  for (const mesh::Opening& opening : openings.walls) {
    const SideCondition& side = problem.sides[opening.block][static_cast<int>(opening.side)];
    if (!takes_part(side)) continue;
    const double length = (opening.mirrored ? 2.0 : 1.0) * (opening.to - opening.from);
    const int strips = length < edge ? strips_of_an_edge : strips_of_a_wall;
    for (int k = opening.mirrored ? strips / 2 : 0; k < strips; ++k)
      zones.push_back({opening.block, opening.side, opening.ordinal, k, strips, side.emissivity});
  }
  for (int k = 0; k < static_cast<int>(openings.mouths.size()); ++k)
    zones.push_back({-1, mesh::Side::top, k, 0, 1, 0.0});
  return zones;
}

std::optional<double> mid_plane_of(const mesh::Mesh& mesh) {
  for (const mesh::BlockGrid& grid : mesh.grids)
    if (grid.mirrored) return grid.z_lines.front();
  return std::nullopt;
}

/// Total exchange areas from those of the rings.
ExchangeAreas with_reflections(const mesh::ExchangeAreas& direct, const std::vector<double>& areas,
                               const std::vector<double>& emissivity) {
  const auto n = static_cast<Eigen::Index>(areas.size());
  using Rows = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const Eigen::Map<const Rows> S(direct.between.data(), n, n);
  const Eigen::Map<const Eigen::VectorXd> S0(direct.outside.data(), n), A(areas.data(), n),
      e(emissivity.data(), n);
  const Eigen::VectorXd reflecting = Eigen::VectorXd::Ones(n) - e;
  Eigen::MatrixXd system = -(reflecting.asDiagonal() * S);
  for (Eigen::Index i = 0; i < n; ++i) system(i, i) += A[i] > 0.0 ? A[i] : 1.0;
  const Eigen::PartialPivLU<Eigen::MatrixXd> lu(system);
  // Radiosities at a unit of E of one zone each, and of the chamber.
  const Eigen::MatrixXd J = lu.solve(Eigen::MatrixXd(e.cwiseProduct(A).asDiagonal()));
  const Eigen::VectorXd J0 = lu.solve(reflecting.cwiseProduct(S0));
  const Eigen::MatrixXd taken = e.asDiagonal() * (S * J);
  ExchangeAreas out;
  out.between.resize(static_cast<std::size_t>(n * n));
  Eigen::Map<Rows>(out.between.data(), n, n) = 0.5 * (taken + taken.transpose());
  out.chamber.resize(static_cast<std::size_t>(n));
  Eigen::Map<Eigen::VectorXd>(out.chamber.data(), n) = e.cwiseProduct(S0 + S * J0);
  return out;
}

/// Where a zone lies; nothing where it is not there.
std::optional<mesh::Ring> ring_of(const mesh::Mesh& mesh, const mesh::Openings& openings, const Zone& zone) {
  if (zone.block < 0) {
    const auto k = static_cast<std::size_t>(zone.ordinal);
    return k < openings.mouths.size() ? std::optional(openings.mouths[k]) : std::nullopt;
  }
  const mesh::Opening* opening = opening_named(openings, zone);
  if (!opening) return std::nullopt;
  const mesh::Datum strip = strip_of(*opening, zone);
  return mesh::Ring{zone.side, place_across(mesh.layout[zone.block], zone.side), strip.from, strip.to};
}

/// Adds what belongs to one more share of the stroke.
void add_table(const Problem& placed, Enclosure& enclosure) {
  const mesh::Openings openings = mesh::openings_of(placed.mesh);
  std::vector<mesh::Block> solids(placed.mesh.layout);
  solids.insert(solids.end(), openings.fillings.begin(), openings.fillings.end());
  const std::size_t n = enclosure.zones.size();
  std::vector<mesh::Ring> rings;
  std::vector<std::size_t> number;  // of the zones that are there
  std::vector<double> areas(n, 0.0), emissivity;
  for (std::size_t k = 0; k < n; ++k) {
    emissivity.push_back(enclosure.zones[k].emissivity);
    const auto ring = ring_of(placed.mesh, openings, enclosure.zones[k]);
    if (!ring) continue;
    areas[k] = mesh::area_of(*ring);
    rings.push_back(*ring);
    number.push_back(k);
  }
  const mesh::ExchangeAreas found = mesh::exchange_areas(rings, solids, mid_plane_of(placed.mesh));
  mesh::ExchangeAreas view{n, std::vector<double>(n * n, 0.0), std::vector<double>(n, 0.0)};
  for (std::size_t i = 0; i < found.n; ++i) {
    view.outside[number[i]] = found.outside[i];
    for (std::size_t j = 0; j < found.n; ++j)
      view.between[number[i] * n + number[j]] = found.between[i * found.n + j];
  }
  enclosure.seen.assign(n, 0.0);
  for (const std::size_t k : number) enclosure.seen[k] = view.outside[k] / areas[k];
  enclosure.tables.push_back(with_reflections(view, areas, emissivity));
  enclosure.views.push_back(std::move(view));
  if (enclosure.rings.empty()) enclosure.rings = std::move(rings);  // at the start every zone is there
}

/// Height of a vertical opening, area over perimeter of a horizontal one.
double convective_length(const mesh::Opening& opening) {
  const bool vertical = opening.side == mesh::Side::inner || opening.side == mesh::Side::outer;
  const double length = opening.to - opening.from;
  return vertical || opening.from > mesh::touch_tolerance ? length * (vertical ? 1.0 : 0.5)
                                                          : 0.5 * opening.to;
}

/// Area of a piece [low, high] of a side.
double area_between(const mesh::Block& block, mesh::Side side, double low, double high) {
  if (!(high > low)) return 0.0;
  if (side == mesh::Side::bottom || side == mesh::Side::top) return pi * (high - low) * (high + low);
  return 2.0 * pi * place_across(block, side) * (high - low);
}

void add_patches(const Enclosure& enclosure, const Problem& present, Exchange& out) {
  const mesh::Openings openings = mesh::openings_of(present.mesh);
  const auto sides = [](int block, mesh::Side side) { return 4 * block + static_cast<int>(side); };
  struct Strip {
    int zone;
    mesh::Datum lies;
    double length;
  };
  std::vector<std::vector<Strip>> strips(4 * present.mesh.layout.size());
  for (std::size_t z = 0; z < enclosure.zones.size(); ++z) {
    const Zone& zone = enclosure.zones[z];
    if (zone.block < 0) continue;
    if (const mesh::Opening* opening = opening_named(openings, zone))
      strips[sides(zone.block, zone.side)].push_back(
          {static_cast<int>(z), strip_of(*opening, zone), convective_length(*opening)});
  }
  const auto& faces = present.interfaces.outer_faces;
  for (std::size_t f = 0; f < faces.size(); ++f) {
    const mesh::FaceSide& face = faces[f].a;
    if (face.area == 0.0) continue;
    const int block = present.mesh.block_of[face.cell];
    const mesh::BlockGrid& grid = present.mesh.grids[block];
    const int at = face.cell - grid.first_cell;
    const bool flat = face.side == mesh::Side::bottom || face.side == mesh::Side::top;
    const std::vector<double>& lines = flat ? grid.r_lines : grid.z_lines;
    const int k = flat ? at % grid.n_r() : at / grid.n_r();
    double seen = 0.0;  // of the chamber, black [m2]
    for (const auto& [zone, strip, length] : strips[sides(block, face.side)]) {
      const double area = area_between(present.mesh.layout[block], face.side, std::max(lines[k], strip.from),
                                       std::min(lines[k + 1], strip.to));
      if (area <= 0.0) continue;
      out.patches.push_back({static_cast<int>(f), zone, area});
      out.zone_area[zone] += area;
      seen += area * enclosure.seen[zone];
      out.convects[f] = length;
    }
    if (seen < still * face.area) out.convects[f] = 0.0;
  }
}

/// Weights of the tables at a share of the stroke: Lagrange's polynomial through all of them.
std::vector<double> weights_at(const std::vector<double>& shares, double share) {
  std::vector<double> weights(shares.size(), 1.0);
  for (std::size_t j = 0; j < shares.size(); ++j)
    for (std::size_t k = 0; k < shares.size(); ++k)
      if (k != j) weights[j] *= (share - shares[k]) / (shares[j] - shares[k]);
  return weights;
}

}  // namespace

std::shared_ptr<const Enclosure> enclosure_of(const Problem& start) {
  auto enclosure = std::make_shared<Enclosure>();
  Problem placed;
  placed.mesh = start.mesh;
  placed.sides = start.sides;
  enclosure->zones = zones_of(placed, mesh::openings_of(placed.mesh));
  enclosure->shares = start.beds.empty() ? std::vector{0.0} : std::vector{0.0, 0.1, 0.35, 0.65, 0.9, 1.0};
  for (const double share : enclosure->shares) {
    if (!start.beds.empty()) mesh::move_to(placed.mesh, evenly_closed(start, share));
    add_table(placed, *enclosure);
  }
  return enclosure;
}

Exchange exchange_at(const Enclosure& enclosure, const Problem& present, double share) {
  Exchange out;
  const std::size_t n = enclosure.zones.size();
  const std::vector<double> weights = weights_at(enclosure.shares, std::clamp(share, 0.0, 1.0));
  out.areas = {std::vector<double>(n * n, 0.0), std::vector<double>(n, 0.0)};
  for (std::size_t t = 0; t < weights.size(); ++t) {
    const ExchangeAreas& table = enclosure.tables[t];
    for (std::size_t k = 0; k < n * n; ++k) out.areas.between[k] += weights[t] * table.between[k];
    for (std::size_t k = 0; k < n; ++k) out.areas.chamber[k] += weights[t] * table.chamber[k];
  }
  out.zone_area.assign(n, 0.0);
  out.convects.assign(present.interfaces.outer_faces.size(), 0.0);
  add_patches(enclosure, present, out);
  std::vector<double> sum(out.areas.chamber);
  for (std::size_t i = 0; i < n; ++i) {
    double* const row = out.areas.between.data() + i * n;
    for (std::size_t j = 0; j < n; ++j) {
      if (out.zone_area[i] == 0.0 || out.zone_area[j] == 0.0) row[j] = 0.0;  // nothing there to send or take
      sum[i] += row[j];
    }
  }
  out.sends.assign(present.interfaces.outer_faces.size(), 0.0);
  for (const Exchange::Patch& patch : out.patches)
    out.sends[patch.face] += patch.area * sum[patch.zone] / out.zone_area[patch.zone];
  return out;
}

std::vector<double> irradiation(const Exchange& exchange, std::span<const double> outer, double chamber) {
  const std::size_t n = exchange.zone_area.size();
  const auto sent = [](double T) { return stefan_boltzmann * (T * T) * (T * T); };
  std::vector<double> E(n, 0.0), taken(n, 0.0);
  for (const Exchange::Patch& patch : exchange.patches)
    E[patch.zone] += patch.area / exchange.zone_area[patch.zone] * sent(outer[patch.face]);
  for (std::size_t i = 0; i < n; ++i) {
    if (exchange.zone_area[i] == 0.0) continue;
    const double* const row = exchange.areas.between.data() + i * n;
    double sum = exchange.areas.chamber[i] * sent(chamber);
    for (std::size_t j = 0; j < n; ++j) sum += row[j] * E[j];
    taken[i] = sum / exchange.zone_area[i];
  }
  return taken;
}

}  // namespace joulepress::solver
