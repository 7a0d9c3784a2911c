// How fluxes and surface values are read from cell values: the discretisation, as weights on the grid.
//
// A cell value is a mean over the cell.  Along every row of cells of a block runs one polynomial after the
// other, through the means of the nearest cells and, next to the row's ends, through the mean values of the
// edge there, which the solver finds from what the surface does:
//   inner face   drop D = - distance * dT/dn of the cubic through four data; the flux is conductance * D
//   edge         flux = (T* - x) / (path * resistivity at the edge), x the edge value, T* and path from the
//                parabola through x and two cells:  T* = T + beyond * (T - T_inward); the resistivity is
//                carried to the edge in the same way, r = r + stretch * (r - r_inward)
// In r the polynomials run in r^2 (mesh/polynomial.hpp), so that the axis needs no rule of its own.  Means
// make the cubic's slope exact for the mean over the face, whatever the field does along the face. Two-point
// fluxes are the same numbers with D = Ta - Tb, path = half a cell, beyond = stretch = 0.  Across a mid-plane
// lie images: of even fields with the same value, of odd ones with the opposite one. Tests:
// tests/mesh/test_reconstruction.cpp, tests/verification/test_manufactured.cpp,
// tests/verification/test_half.cpp.
#pragma once

#include <algorithm>
#include <array>
#include <span>
#include <vector>

#include "mesh/interfaces.hpp"
#include "mesh/mesh.hpp"

namespace joulepress::mesh {

enum class Fluxes { two_point, cubic };

/// What a field has across a mid-plane: temperatures are even, potentials (0 on the plane) odd.
enum class Parity { even = 1, odd = -1 };

/// An inner face read from up to four values; numbers from n_cells on are those of edges.
struct FaceStencil {
  std::array<int, 4> at{};
  std::array<double, 4> drop{};   ///< weights of the drop
  std::array<double, 4> value{};  ///< weights of the value on the face
};

/// How two quantities vary together along a face: the mean of a product is the product of the means plus
///   h^2/12 * slope * slope,   slopes from the faces (or pieces) beside it in the same line.
struct Beside {
  int low = 0, high = 0;  ///< numbers of the faces beside; equal: nothing beside
  double factor = 0;      ///< h^2/12 over the squared distance of the two [-]
  double low_sign = 1;    ///< -1: low is the image of the face itself, and both quantities are odd
};

/// What all pieces of one side of a block have in common.
struct SideRow {
  double slope = 0;        ///< inverse of the effective half distance [1/m]
  int inward = 0;          ///< from a cell of the trace to the next one inward (difference of numbers)
  double beyond = 0;       ///< T* = T + beyond (T - T_inward)
  double stretch = 0;      ///< the same for a property at the edge
  bool mid_plane = false;  ///< the edge value is the mean of the cell's image
  double level = 0;        ///< of a mid-plane: value there of an even field, T + level (T - T_inward)
};

/// One side of a boundary piece as its cell row sees it.
struct SideStencil : SideRow {
  double path = 0;   ///< of the half cell, effective [1/m]
  int edge = 0;      ///< edge value that the piece belongs to
  double share = 0;  ///< of its area
};

struct Reconstruction {
  Fluxes fluxes = Fluxes::two_point;
  int n_edges = 0;                             ///< edge values: one per cell side on the border of its block
  std::vector<std::array<int, 4>> first_edge;  ///< per block: number of the first on each of its sides
  std::vector<std::array<SideRow, 4>> sides;   ///< per block
  std::vector<FaceStencil> inner;              ///< one per inner face of the mesh
  std::vector<SideStencil> pair_a, pair_b, outer;  ///< one per face of the interfaces
  std::vector<Beside> inner_beside, pair_beside;   ///< one per inner face, per pair face
};

Reconstruction reconstruction_of(const Mesh& mesh, const Interfaces& interfaces, Fluxes fluxes);

/// The same after parts have moved: everything along the borders, and the rows of blocks that changed shape.
void read_again(const Mesh& mesh, const Interfaces& interfaces, std::span<const int> changed_blocks,
                Reconstruction& rows);

/// Value that a side brings to the middle of its piece, and how a property is carried to the edge.
inline double trace_of(const Trace& trace, const SideStencil& row, std::span<const double> values,
                       Parity parity) {
  const double image = static_cast<int>(parity) * trace.image;
  double here = image * values[trace.cells[0]], inward = image * values[trace.cells[0] + row.inward];
  for (int k = 0; k < trace.count; ++k) {
    here += trace.weights[k] * values[trace.cells[k]];
    inward += trace.weights[k] * values[trace.cells[k] + row.inward];
  }
  return here + row.beyond * (here - inward);
}
inline double at_edge(int cell, const SideStencil& row, std::span<const double> property) {
  // Where a property changes manifold from cell to cell no straight line carries it on: at most half or
  // double.
  const double here = property[cell];
  return std::clamp(here + row.stretch * (here - property[cell + row.inward]), 0.5 * here, 2.0 * here);
}

/// Drop over an inner face, and the value on it, from cell values followed by edge values.
inline double drop_over(const FaceStencil& face, std::span<const double> values) {
  double sum = 0.0;
  for (int k = 0; k < 4; ++k) sum += face.drop[k] * values[face.at[k]];
  return sum;
}
inline double value_on(const FaceStencil& face, std::span<const double> values) {
  double sum = 0.0;
  for (int k = 0; k < 4; ++k) sum += face.value[k] * values[face.at[k]];
  return sum;
}

}  // namespace joulepress::mesh
