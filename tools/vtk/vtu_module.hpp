// The seam between the program and joulepress_vtk.so, the one place that knows VTK.  The module is loaded
// when the first fields are written, so that verbs without fields do not wait for VTK's sixty libraries
// (docs/decisions/0008-results-in-hdf5-and-vtk.md).
#pragma once

#include <span>
#include <string>
#include <vector>

#include "mesh/mesh.hpp"

namespace joulepress::tools {

/// One array of data: a value for every cell or point, or r and z of a vector for every one.
struct VtuArray {
  std::string name;
  std::span<const double> values;
  bool is_vector = false;
};

struct VtuRequest {
  std::string file;
  const mesh::Mesh* mesh = nullptr;
  double time = 0;  ///< s
  /// 0: cells as quads, r along x and z along y.  Otherwise solids of so many flat sectors about z.
  int sectors = 0;
  std::vector<VtuArray> arrays;  ///< of cells
  /// Of the crossings of the grid lines, block after block, j (n_r + 1) + i in each.
  std::vector<VtuArray> point_arrays;
  std::vector<std::string> part_names;
};

/// Writes the file; false when that fails.
using WriteVtu = bool (*)(const VtuRequest&);
inline constexpr const char* vtk_module = "joulepress_vtk.so";
inline constexpr const char* write_vtu_symbol = "joulepress_write_vtu";

/// Loads the module; it stays loaded to the end of the process.  Throws FileError.
WriteVtu load_vtu_writer();

}  // namespace joulepress::tools
