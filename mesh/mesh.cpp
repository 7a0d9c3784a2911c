#include "mesh/mesh.hpp"

#include <algorithm>
#include <cassert>
#include <numbers>
#include <optional>

#include "mesh/edges.hpp"
#include "mesh/grid_lines.hpp"

namespace joulepress::mesh {
namespace {

constexpr double pi = std::numbers::pi;

/// Features of one direction of a block: its ends and the ends of every contact or facing stretch inside.
std::vector<Feature> features_of(const Layout& layout, const std::vector<Stretch>& stretches, int block,
                                 Axis axis) {
  const Block& b = layout[block];
  const double first = axis == Axis::r ? b.r_inner : b.z_bottom;
  const double last = axis == Axis::r ? b.r_outer : b.z_top;
  std::vector<Feature> features{{first, !(axis == Axis::r && first == 0.0)}, {last, true}};
  for (const Stretch& s : stretches) {
    if (s.block_a != block && s.block_b != block) continue;
    if (s.vertical != (axis == Axis::z)) continue;
    for (const double at : {s.from, s.to})
      if (at > first + touch_tolerance && at < last - touch_tolerance) features.push_back({at, s.gap == 0.0});
  }
  std::sort(features.begin(), features.end(), [](const Feature& x, const Feature& y) { return x.at < y.at; });
  std::vector<Feature> merged;
  for (const Feature& f : features) {
    if (merged.empty() || f.at - merged.back().at > touch_tolerance)
      merged.push_back(f);
    else
      merged.back().fine = merged.back().fine || f.fine;
  }
  return merged;
}

void add_cells(const BlockGrid& grid, Mesh& mesh) {
  for (int j = 0; j < grid.n_z(); ++j) {
    for (int i = 0; i < grid.n_r(); ++i) {
      const double r0 = grid.r_lines[i], r1 = grid.r_lines[i + 1], z0 = grid.z_lines[j],
                   z1 = grid.z_lines[j + 1];
      mesh.block_of.push_back(grid.block);
      mesh.volume.push_back(pi * (r1 - r0) * (r1 + r0) * (z1 - z0));
      mesh.r.push_back(0.5 * (r0 + r1));
      mesh.z.push_back(0.5 * (z0 + z1));
    }
  }
}

void add_inner_faces(const BlockGrid& grid, Mesh& mesh) {
  const auto width = [](const std::vector<double>& lines, int k) { return lines[k + 1] - lines[k]; };
  for (int j = 0; j < grid.n_z(); ++j) {
    for (int i = 0; i + 1 < grid.n_r(); ++i) {
      const double area = 2.0 * pi * grid.r_lines[i + 1] * width(grid.z_lines, j);
      mesh.inner_faces.push_back({grid.cell(i, j), grid.cell(i + 1, j), Axis::r, area,
                                  0.5 * width(grid.r_lines, i) / area,
                                  0.5 * width(grid.r_lines, i + 1) / area});
    }
  }
  for (int j = 0; j + 1 < grid.n_z(); ++j) {
    for (int i = 0; i < grid.n_r(); ++i) {
      const double r0 = grid.r_lines[i], r1 = grid.r_lines[i + 1];
      const double area = pi * (r1 - r0) * (r1 + r0);
      mesh.inner_faces.push_back({grid.cell(i, j), grid.cell(i, j + 1), Axis::z, area,
                                  0.5 * width(grid.z_lines, j) / area,
                                  0.5 * width(grid.z_lines, j + 1) / area});
    }
  }
}

}  // namespace

Mesh mesh_of(const Layout& layout, std::vector<BlockGrid> grids) {
  Mesh mesh;
  mesh.layout = layout;
  for (BlockGrid& grid : grids) {
    grid.first_cell = mesh.n_cells();
    add_cells(grid, mesh);
    add_inner_faces(grid, mesh);
    mesh.grids.push_back(std::move(grid));
  }
  return mesh;
}

Mesh build_mesh(const Layout& layout, const GridRule& rule) {
  assert(faults_of(layout).empty());
  const std::vector<Stretch> stretches = stretches_of(layout);
  std::vector<BlockGrid> grids;
  for (int block = 0; block < static_cast<int>(layout.size()); ++block) {
    BlockGrid grid;
    grid.block = block;
    grid.r_lines = graded_lines(features_of(layout, stretches, block, Axis::r), rule, std::nullopt);
    grid.z_lines = graded_lines(features_of(layout, stretches, block, Axis::z), rule, rule.mirror);
    grids.push_back(std::move(grid));
  }
  return mesh_of(layout, std::move(grids));
}

}  // namespace joulepress::mesh
