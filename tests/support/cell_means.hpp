// Means over ring cells, for tests: the polynomials of the grid run in r^2 (mesh/polynomial.hpp).
#pragma once

#include <cmath>
#include <vector>

#include "mesh/mesh.hpp"

namespace joulepress::test {

/// Mean of r^2 over every cell [m2].
inline std::vector<double> mean_square_radius(const mesh::Mesh& mesh) {
  std::vector<double> means;
  for (const mesh::BlockGrid& grid : mesh.grids)
    for (int j = 0; j < grid.n_z(); ++j)
      for (int i = 0; i < grid.n_r(); ++i)
        means.push_back(0.5 *
                        (grid.r_lines[i] * grid.r_lines[i] + grid.r_lines[i + 1] * grid.r_lines[i + 1]));
  return means;
}

/// Mean of f(r) over the ring of a cell (three Gauss points in r^2).
template <class F>
double ring_mean(const mesh::Mesh& mesh, int cell, F&& f) {
  const mesh::BlockGrid& grid = mesh.grids[mesh.block_of[cell]];
  const int i = (cell - grid.first_cell) % grid.n_r();
  const double low = grid.r_lines[i] * grid.r_lines[i], high = grid.r_lines[i + 1] * grid.r_lines[i + 1];
  const auto at = [&](double x) { return f(std::sqrt(0.5 * (low + high) + 0.5 * (high - low) * x)); };
  return (5.0 * at(-std::sqrt(0.6)) + 8.0 * at(0.0) + 5.0 * at(std::sqrt(0.6))) / 18.0;
}

}  // namespace joulepress::test
