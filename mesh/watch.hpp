// Where values are read: points and means as weights over cells or over faces.
#pragma once

#include <span>
#include <vector>

#include "mesh/interfaces.hpp"
#include "mesh/mesh.hpp"

namespace joulepress::mesh {

/// A linear functional of a cell field; the weights sum to one.  Next to a mid-plane a cell may stand twice,
/// once for its image: what is read must be even.
struct Watch {
  std::vector<int> cells;
  std::vector<double> weights;
  double of(std::span<const double> cell_values) const;
};

/// Value at (r, z) inside the block, from the cubics through the four nearest cell means in either direction
/// (in r they run in r^2: symmetric about the axis).  Throws std::invalid_argument when outside the block.
Watch point(const Mesh& mesh, int block, double r, double z);

/// Volume mean over the blocks.
Watch mean(const Mesh& mesh, std::span<const int> blocks);

/// A point on the vertical or horizontal edge of a block, read from edge values of pair faces.
struct EdgeWatch {
  std::vector<int> faces;  ///< indices into Interfaces::pair_faces
  std::vector<double> weights;
  bool on_a = true;  ///< whose edge value: side a or side b of those faces
};

/// Edge value of `block` on `side` at the coordinate `along` (z on vertical sides, r on horizontal ones),
/// from the cubic through the means of the four nearest contact pieces.  Empty when the side has no contact
/// there.
EdgeWatch edge_point(const Mesh& mesh, const Interfaces& interfaces, int block, Side side, double along);

/// A ring or disc of an outer surface seen from outside: a mean over outer faces by area.
struct Spot {
  std::vector<int> faces;  ///< indices into Interfaces::outer_faces
  std::vector<double> weights;
  double of(std::span<const double> outer_values) const;
};

/// The stretch [from, to] of a side of a block (z on vertical sides, r on horizontal ones).  Empty where any
/// of it is covered.
Spot spot(const Mesh& mesh, const Interfaces& interfaces, int block, Side side, double from, double to);

}  // namespace joulepress::mesh
