// How much walls of revolution see of each other, with whatever stands between.
//
//   A_a F_ab = int_a int_b  cos(t_a) cos(t_b) / (pi d^2)  V  dA_b dA_a  [m2]
// d distance of two points, t angle to the wall's normal, V 1 where nothing opaque cuts the line between
// them.  Over the azimuth p between the two points the integrand is
//   (m_a + n_a u) (m_b + n_b u) / u^2,   u = d^2 = r_a^2 + r_b^2 + (z_a - z_b)^2 - 2 r_a r_b cos p
// and has a primitive.  What a rectangle of revolution hides is an interval of cos p: along the line r^2 is
// linear in cos p at every point, with extrema in closed form.  So only the two integrals along the walls are
// done by Gauss points, refined until two orders agree.
// Source of the kernel: any textbook (Siegel and Howell, Thermal radiation heat transfer); the intervals are
// derived here.  Tests: tests/mesh/test_view_factors.cpp.
#pragma once

#include <optional>
#include <span>
#include <vector>

#include "mesh/interfaces.hpp"

namespace joulepress::mesh {

/// A stretch of a wall turned about the axis, seen from one side.
struct Ring {
  Side looks = Side::outer;  ///< where its normal points, as that of a block's side
  double at = 0;             ///< r of a vertical wall, z of a horizontal one [m]
  double from = 0, to = 0;   ///< along z or r [m]
};

double area_of(const Ring& ring);

/// A_a F_ab = A_b F_ba [m2] past the solids, to about `tolerance` of the smaller area.  Solids may touch the
/// rings, and each other, from behind.
double exchange_area(const Ring& a, const Ring& b, std::span<const Block> solids, double tolerance = 1e-4);

/// Exchange areas of walls in a wide chamber [m2].
struct ExchangeAreas {
  std::size_t n = 0;
  std::vector<double> between;  ///< n x n, symmetric; on the diagonal what a wall sees of itself
  std::vector<double> outside;  ///< of each wall with the chamber
};

/// Exchange areas of all rings; those of a ring sum to its area to rounding.  They are found one by one,
/// those with the chamber too, and then scaled symmetrically (A <- d_a d_b A), so that zeros stay zeros and
/// reciprocity holds.  `mid_plane`: rings and solids are those above it, and every ring sees the images too
/// (what it sees of an image counts with the ring that it is the image of).
ExchangeAreas exchange_areas(std::span<const Ring> rings, std::span<const Block> solids,
                             std::optional<double> mid_plane = {});

}  // namespace joulepress::mesh
