#include "tools/vtk/strength_series.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/half.hpp"
#include "tools/store/files.hpp"

namespace joulepress::tools {
namespace {

constexpr const char* worst_file = "strength-worst.vtu";
constexpr const char* cold_file = "strength-cold.vtu";
constexpr const char* list_file = "strength.pvd";

/// With a line through the middle of every cell.
std::vector<double> halved(const std::vector<double>& lines) {
  std::vector<double> out{lines.front()};
  for (std::size_t k = 1; k < lines.size(); ++k) {
    out.push_back(0.5 * (lines[k - 1] + lines[k]));
    out.push_back(lines[k]);
  }
  return out;
}

/// The body's blocks with quads for cells; parts are those of the whole problem.
mesh::Mesh quads_of(const solver::Problem& problem, const solid::Posed& pose) {
  mesh::Layout layout;
  std::vector<mesh::BlockGrid> grids;
  for (std::size_t b = 0; b < pose.stack.block.size(); ++b) {
    mesh::Block block = pose.instant.mesh.layout[pose.stack.block[b]];
    if (problem.half) block.part = problem.half->part_above[block.part];
    layout.push_back(block);
    mesh::BlockGrid grid;
    grid.block = static_cast<int>(b);
    grid.r_lines = halved(pose.stack.body.blocks[b].r_lines);
    grid.z_lines = halved(pose.stack.body.blocks[b].z_lines);
    grids.push_back(std::move(grid));
  }
  return mesh::mesh_of(layout, std::move(grids));
}

/// Values of a pose in the order of its points and quads.
struct Values {
  std::vector<double> displacement, temperature;                  ///< of points
  std::vector<double> rr, zz, tt, rz, largest, smallest, margin;  ///< of quads
};

/// At a node of a block, from its cells' corners.
double temperature_at(const solid::Posed& pose, std::size_t b, int i, int j) {
  const std::vector<double>& T = pose.stack.temperature[b];
  const int row = pose.stack.body.blocks[b].n_r() + 1;
  const auto at = [&](int column, int line) { return T[line * row + column]; };
  const int low_i = i / 2, high_i = (i + 1) / 2, low_j = j / 2, high_j = (j + 1) / 2;
  return 0.25 * (at(low_i, low_j) + at(high_i, low_j) + at(low_i, high_j) + at(high_i, high_j));
}

Values values_of(const solid::Posed& pose) {
  Values v;
  for (std::size_t b = 0; b < pose.stack.block.size(); ++b) {
    const solid::SolidBlock& of = pose.stack.body.blocks[b];
    const int block = static_cast<int>(b);
    for (int j = 0; j <= 2 * of.n_z(); ++j)
      for (int i = 0; i <= 2 * of.n_r(); ++i) {
        const auto [r, z] = solid::displacement_at(pose.stack.body, pose.deformed, block, i, j);
        v.displacement.insert(v.displacement.end(), {r, z});
        v.temperature.push_back(temperature_at(pose, b, i, j));
      }
    for (int j = 0; j < 2 * of.n_z(); ++j)
      for (int i = 0; i < 2 * of.n_r(); ++i) {
        const double xi = i % 2 == 0 ? -0.5 : 0.5, eta = j % 2 == 0 ? -0.5 : 0.5;
        const solid::Stress stress =
            solid::stress_at(pose.stack.body, pose.deformed, block, i / 2, j / 2, xi, eta);
        const auto [s1, s2, s3] = solid::principal_stresses(stress);
        v.rr.push_back(stress.rr);
        v.zz.push_back(stress.zz);
        v.tt.push_back(stress.tt);
        v.rz.push_back(stress.rz);
        v.largest.push_back(s1);
        v.smallest.push_back(s3);
        const double margin =
            solid::margin_at(pose.instant, pose.stack, pose.deformed, block, i / 2, j / 2, xi, eta);
        v.margin.push_back(std::isnan(margin) ? margin : std::min(margin, largest_margin_written));
      }
  }
  return v;
}

void write_pose(const std::filesystem::path& file, const solver::Problem& problem, const solid::Posed& pose,
                double time, int sectors) {
  const mesh::Mesh quads = quads_of(problem, pose);
  const Values v = values_of(pose);
  std::filesystem::path part = file;
  part += ".part";
  VtuRequest request{part.string(), &quads, time, sectors, {}, {}, {}};
  request.arrays = {{"stress_rr_Pa", v.rr, false},
                    {"stress_zz_Pa", v.zz, false},
                    {"stress_tt_Pa", v.tt, false},
                    {"stress_rz_Pa", v.rz, false},
                    {"principal_largest_Pa", v.largest, false},
                    {"principal_smallest_Pa", v.smallest, false},
                    {"margin", v.margin, false}};
  request.point_arrays = {{"displacement_m", v.displacement, true}, {"temperature_K", v.temperature, false}};
  for (const solver::Part& p : problem.parts) request.part_names.push_back(p.name);
  if (!load_vtu_writer()(request))
    throw FileError(fmt::format("\"{}\" cannot be written; is the folder writable and the disk not full?",
                                part.string()));
  rename_file(part, file);
}

}  // namespace

void write_strength_series(const std::filesystem::path& folder, const solver::Problem& problem,
                           const std::vector<solid::Posed>& poses, int sectors) {
  std::string listed;
  for (const solid::Posed& pose : poses) {
    if (!pose.deformed.solved) continue;
    const char* name = pose.cold ? cold_file : worst_file;
    // How long cooling down takes is not computed; the cold stack comes after all instants of the run.
    const double time = pose.instant.snapshot.time_s + (pose.cold ? 1.0 : 0.0);
    write_pose(folder / name, problem, pose, time, sectors);
    listed += fmt::format("    <DataSet timestep=\"{}\" group=\"\" part=\"0\" file=\"{}\"/>\n", time, name);
  }
  write_whole(
      folder / list_file,
      "<?xml version=\"1.0\"?>\n<VTKFile type=\"Collection\" version=\"0.1\" byte_order=\"LittleEndian\">\n"
      "  <Collection>\n" +
          listed + "  </Collection>\n</VTKFile>\n");
}

void remove_strength_series(const std::filesystem::path& folder) {
  for (const std::string name : {list_file, worst_file, cold_file}) {
    remove_file(folder / name);
    remove_file(folder / (name + ".part"));
  }
}

}  // namespace joulepress::tools
