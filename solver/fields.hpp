// Cell fields at one instant, as files and pictures show them.
//
// Vectors are read at the middle of a cell from what flows through its four sides.  Inside a cell the
// divergence is taken as even, so that a flow grows with the volume passed:
//   along z   q_z = ( F_bottom + F_top ) / (2 A),                       A area of the ring
//   along r   q_r = F(r) / (2 pi r height),  F(r) = F_inner + (F_outer - F_inner) (r^2 - r_i^2) / (r_o^2 -
//   r_i^2)
// This is exact for an even source up to the axis (q_r proportional to r) and for none (q_r proportional to
// 1/r). Tests: tests/verification/test_fields.cpp.
#pragma once

#include <array>
#include <vector>

#include "solver/observe.hpp"

namespace joulepress::solver {

struct CellFields {
  double time = 0;                                     ///< s
  CellField temperature;                               ///< K
  CellField electric_potential;                        ///< V
  std::vector<std::array<double, 2>> current_density;  ///< r, z [A/m2]
  CellField joule_heat;                                ///< W/m3, contact heat half to each side included
  std::vector<std::array<double, 2>> heat_flux;        ///< r, z [W/m2]
  CellField relative_density;                          ///< 1 in tools
  mesh::Placement placement;                           ///< where the cells lie
};

/// Reads the fields from a frame of the problem as its parts lie then.
CellFields fields_of(const Problem& present, const Frame& frame);

}  // namespace joulepress::solver
