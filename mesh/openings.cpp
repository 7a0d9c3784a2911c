#include "mesh/openings.hpp"

#include <algorithm>
#include <array>
#include <utility>

#include "mesh/edges.hpp"

namespace joulepress::mesh {
namespace {

using Covers = std::array<std::vector<std::pair<double, double>>, 4>;

void add_openings(const Mesh& mesh, int block, Side side, std::vector<std::pair<double, double>> covered,
                  std::vector<Opening>& walls) {
  const Block& b = mesh.layout[block];
  const bool mirrored = mesh.grids[block].mirrored, vertical = side == Side::inner || side == Side::outer;
  if (side == Side::inner && b.r_inner <= touch_tolerance) return;
  if (side == Side::bottom && mirrored) return;
  double from = vertical ? b.z_bottom : b.r_inner;
  const double start = from, end = vertical ? b.z_top : b.r_outer;
  int ordinal = 0;
  std::sort(covered.begin(), covered.end());
  covered.emplace_back(end, end);
  for (const auto& [low, high] : covered) {
    if (low - from > touch_tolerance)
      walls.push_back({block, side, ordinal++, from, low, vertical && mirrored && from == start});
    from = std::max(from, high);
  }
}

void close_gap(const Mesh& mesh, const Stretch& gap, Openings& out) {
  const Block &a = mesh.layout[gap.block_a], &b = mesh.layout[gap.block_b];
  const bool on_mid_plane = mesh.grids[gap.block_a].mirrored && mesh.grids[gap.block_b].mirrored &&
                            gap.from <= a.z_bottom + touch_tolerance;
  out.fillings.push_back({"", 0, a.r_outer, b.r_inner, gap.from, gap.to});
  out.mouths.push_back({Side::top, gap.to, a.r_outer, b.r_inner});
  if (!on_mid_plane) out.mouths.push_back({Side::bottom, gap.from, a.r_outer, b.r_inner});
}

}  // namespace

Openings openings_of(const Mesh& mesh) {
  Openings out;
  std::vector<Covers> covered(mesh.layout.size());
  for (const Stretch& s : stretches_of(mesh.layout)) {
    if (s.gap > 0.0 && !is_narrow(s)) continue;
    covered[s.block_a][static_cast<int>(s.vertical ? Side::outer : Side::top)].emplace_back(s.from, s.to);
    covered[s.block_b][static_cast<int>(s.vertical ? Side::inner : Side::bottom)].emplace_back(s.from, s.to);
    if (s.gap > 0.0) close_gap(mesh, s, out);
  }
  for (std::size_t k = 0; k < mesh.layout.size(); ++k)
    for (const Side side : {Side::inner, Side::outer, Side::bottom, Side::top})
      add_openings(mesh, static_cast<int>(k), side, covered[k][static_cast<int>(side)], out.walls);
  return out;
}

}  // namespace joulepress::mesh
