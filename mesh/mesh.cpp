#include "mesh/mesh.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <numbers>
#include <optional>

#include "mesh/edges.hpp"
#include "mesh/grid_lines.hpp"

namespace joulepress::mesh {
namespace {

using std::numbers::pi;

/// Where the blocks lie, and what touches or faces what there.
struct Standing {
  explicit Standing(const Layout& l) : layout(l), stretches(stretches_of(l)) {}
  const Layout& layout;
  std::vector<Stretch> stretches;
};

/// Adds the ends of every contact or facing stretch inside one direction of a block, `shift` moving them into
/// its place on the grid.
void add_stretch_ends(const Standing& standing, int block, Axis axis, double shift,
                      std::vector<Feature>& features) {
  const double first = features.front().at, last = features[1].at;
  for (const Stretch& s : standing.stretches) {
    if (s.block_a != block && s.block_b != block) continue;
    if (s.vertical != (axis == Axis::z)) continue;
    for (const double at : {s.from + shift, s.to + shift})
      if (at > first + touch_tolerance && at < last - touch_tolerance) features.push_back({at, s.gap == 0.0});
  }
}

/// Features of one direction of a block: its ends and those of stretches, now and (of a rigid block) later.
std::vector<Feature> features_of(const Standing& now, const Standing* later, int block, Axis axis) {
  const Block& b = now.layout[block];
  const double first = axis == Axis::r ? b.r_inner : b.z_bottom;
  const double last = axis == Axis::r ? b.r_outer : b.z_top;
  std::vector<Feature> features{{first, !(axis == Axis::r && first == 0.0)}, {last, true}};
  add_stretch_ends(now, block, axis, 0.0, features);
  if (later && axis == Axis::z) {
    const double down = b.z_bottom - later->layout[block].z_bottom;
    if (std::abs(b.z_top - later->layout[block].z_top - down) <= touch_tolerance)
      add_stretch_ends(*later, block, axis, down, features);
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

double width(const std::vector<double>& lines, int k) {
  return lines[k + 1] - lines[k];
}

/// Calls f(cell, volume, r, z) for every cell of a block.
template <class F>
void for_each_cell(const BlockGrid& grid, F&& f) {
  for (int j = 0; j < grid.n_z(); ++j) {
    for (int i = 0; i < grid.n_r(); ++i) {
      const double r0 = grid.r_lines[i], r1 = grid.r_lines[i + 1], z0 = grid.z_lines[j],
                   z1 = grid.z_lines[j + 1];
      f(grid.cell(i, j), pi * (r1 - r0) * (r1 + r0) * (z1 - z0), 0.5 * (r0 + r1), 0.5 * (z0 + z1));
    }
  }
}

/// Calls f(face) for every inner face of a block, in the order of their numbers.
template <class F>
void for_each_inner_face(const BlockGrid& grid, F&& f) {
  for (int j = 0; j < grid.n_z(); ++j) {
    for (int i = 0; i + 1 < grid.n_r(); ++i) {
      const double area = 2.0 * pi * grid.r_lines[i + 1] * width(grid.z_lines, j);
      f(InnerFace{grid.cell(i, j), grid.cell(i + 1, j), Axis::r, area, 0.5 * width(grid.r_lines, i) / area,
                  0.5 * width(grid.r_lines, i + 1) / area});
    }
  }
  for (int j = 0; j + 1 < grid.n_z(); ++j) {
    for (int i = 0; i < grid.n_r(); ++i) {
      const double r0 = grid.r_lines[i], r1 = grid.r_lines[i + 1];
      const double area = pi * (r1 - r0) * (r1 + r0);
      f(InnerFace{grid.cell(i, j), grid.cell(i, j + 1), Axis::z, area, 0.5 * width(grid.z_lines, j) / area,
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
    grid.first_inner_face = static_cast<int>(mesh.inner_faces.size());
    for_each_cell(grid, [&](int, double volume, double r, double z) {
      mesh.block_of.push_back(grid.block);
      mesh.volume.push_back(volume);
      mesh.r.push_back(r);
      mesh.z.push_back(z);
    });
    for_each_inner_face(grid, [&](const InnerFace& face) { mesh.inner_faces.push_back(face); });
    mesh.grids.push_back(std::move(grid));
  }
  return mesh;
}

void set_heights(Mesh& mesh, int block, std::span<const double> z_lines) {
  BlockGrid& grid = mesh.grids[block];
  assert(z_lines.size() == grid.z_lines.size() && std::is_sorted(z_lines.begin(), z_lines.end()));
  grid.z_lines.assign(z_lines.begin(), z_lines.end());
  mesh.layout[block].z_bottom = z_lines.front();
  mesh.layout[block].z_top = z_lines.back();
  for_each_cell(grid, [&](int cell, double volume, double, double z) {
    mesh.volume[cell] = volume;
    mesh.z[cell] = z;
  });
  int number = grid.first_inner_face;
  for_each_inner_face(grid, [&](const InnerFace& face) { mesh.inner_faces[number++] = face; });
}

Mesh build_mesh(const Layout& layout, const GridRule& rule, const Layout& later) {
  assert(std::ranges::all_of(
      faults_of(layout), [](const LayoutFault& fault) { return fault.kind == LayoutFault::Kind::floating; }));
  const Standing now(layout), then(later.empty() ? layout : later);
  const Standing* const moved = later.empty() ? nullptr : &then;
  std::vector<BlockGrid> grids;
  for (int block = 0; block < static_cast<int>(layout.size()); ++block) {
    BlockGrid grid;
    grid.block = block;
    grid.r_lines = graded_lines(features_of(now, moved, block, Axis::r), rule, std::nullopt);
    grid.z_lines = graded_lines(features_of(now, moved, block, Axis::z), rule, rule.mirror);
    grids.push_back(std::move(grid));
  }
  return mesh_of(layout, std::move(grids));
}

}  // namespace joulepress::mesh
