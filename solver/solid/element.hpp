// One cell of an elastic body of revolution: nine nodes, displacements (u_r, u_z) biquadratic, pressure
// linear in the cell and free in every cell.
//
//   stress = 2 G dev(strain) + p I,      p = kappa Pi(div u - 3 e)          G, kappa: shear and bulk modulus
//   strain: rr = du_r/dr,  zz = du_z/dz,  tt = u_r/r,  2 rz = du_r/dz + du_z/dr,  div u = rr + zz + tt
// e the free strain (growth by heat), Pi the mean-square fit by 1, xi, eta over the cell, so that the cell
// does not lock as the body becomes incompressible (Q2-P1, inf-sup stable; Boffi, Brezzi and Fortin, Mixed
// Finite Element Methods, 2013, from memory).  The pressure is eliminated in the cell.
//
// Node 3 b + a lies at xi = a - 1, eta = b - 1; unknown 2 n is u_r of node n, 2 n + 1 its u_z.  All integrals
// are those of the full revolution, by 4 x 4 Gauss points.
#pragma once

#include <array>

namespace joulepress::solid {

inline constexpr int cell_unknowns = 18;

/// Isotropic.
struct Elastic {
  double modulus = 0;  ///< Young's, Pa
  double poisson = 0;  ///< [-], below 0.5
};

struct CellShape {
  double r_low = 0, r_high = 0, z_low = 0, z_high = 0;  ///< m
};

/// Pa, tension positive; tt: hoop.
struct Stress {
  double rr = 0, zz = 0, tt = 0, rz = 0;
};

using CellVector = std::array<double, cell_unknowns>;

struct CellMatrices {
  std::array<CellVector, cell_unknowns> stiffness{};  ///< N/m
  CellVector free_strain{};                           ///< N: what the free strain pushes the nodes with
};

/// `free_strain`: at the corners (low r, low z), (high r, low z), (low r, high z), (high r, high z); bilinear
/// between [-].
CellMatrices cell_matrices(const CellShape& shape, const Elastic& elastic,
                           const std::array<double, 4>& free_strain);

/// At a place -1 <= xi, eta <= 1 of a cell with these displacements [m].  On the axis the hoop strain is the
/// radial one.
Stress cell_stress(const CellShape& shape, const Elastic& elastic, const std::array<double, 4>& free_strain,
                   const CellVector& displacement, double xi, double eta);

/// The three quadratic functions of a line at -1 <= x <= 1, of the nodes at -1, 0 and 1.
std::array<double, 3> line_functions(double x);

}  // namespace joulepress::solid
