// What the mesh tests share: comparison, millimetres, the largest ratio of neighbouring cells.
#pragma once

#include <algorithm>

#include "mesh/mesh.hpp"
#include "tests/support/relative.hpp"

using joulepress::test::relative;

/// A layout drawn in millimetres.
inline joulepress::mesh::Layout in_metres(joulepress::mesh::Layout layout) {
  for (joulepress::mesh::Block& b : layout)
    for (double* length : {&b.r_inner, &b.r_outer, &b.z_bottom, &b.z_top}) *length *= 1e-3;
  return layout;
}

/// Largest ratio of neighbouring cell sizes, in r and in z, of all blocks.
inline double worst_ratio(const joulepress::mesh::Mesh& mesh) {
  double worst = 0;
  for (const joulepress::mesh::BlockGrid& grid : mesh.grids) {
    for (const auto* lines : {&grid.r_lines, &grid.z_lines}) {
      for (std::size_t k = 2; k < lines->size(); ++k) {
        const double ratio = ((*lines)[k] - (*lines)[k - 1]) / ((*lines)[k - 1] - (*lines)[k - 2]);
        worst = std::max({worst, ratio, 1 / ratio});
      }
    }
  }
  return worst;
}
