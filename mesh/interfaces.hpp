// Where blocks touch, look at each other, or end: a value computed from the mesh and the positions of the
// blocks, so that parts can slide without renumbering a cell (lists that stay
// while they slide: mesh/slots.hpp).
//
// Every block edge is cut into pieces.  A piece is a contact (two blocks touch), a narrow gap (two walls
// beside each other, nothing between: mesh/edges.hpp), or an outer face, whatever that sees.  Grid lines of
// the two sides need not match.  On a piece that does not cover its cell's whole edge, the value that the
// side brings to the piece (its trace) is the mean over the piece of the parabola through the means of the
// three cells around it. Plain overlap faces, which take the cell's own value, short-circuit the rows
// (docs/decisions/0002).
#pragma once

#include <array>
#include <span>
#include <vector>

#include "mesh/mesh.hpp"
#include "mesh/polynomial.hpp"

namespace joulepress::mesh {

enum class Side { inner, outer, bottom, top };  ///< edge of a block: r_inner, r_outer, z_bottom, z_top

inline bool is_vertical(Side side) {
  return side == Side::inner || side == Side::outer;
}

/// A linear combination of at most three cells along an edge.  The weights sum to one, that of the image of
/// cells[0] across a mid-plane included.
struct Trace {
  std::array<int, 3> cells{};
  std::array<double, 3> weights{};
  int count = 0;
  double image = 0;
};

/// One side of a boundary piece.  Of a piece that is not there at present the area is 0, the path infinite.
struct FaceSide {
  int cell = 0;  ///< the cell the piece lies on
  Side side = Side::inner;
  double area = 0;  ///< of the piece on this side, full revolution [m2]
  double path = 0;  ///< half-cell distance / area [1/m]
  Trace trace;
};

/// Two blocks in touch (gap 0), or beside each other across a narrow gap.
struct PairFace {
  FaceSide a, b;        ///< a is the inner or lower side
  double r = 0, z = 0;  ///< middle of the piece on side a [m]
  double area = 0;      ///< conducting area: side a's (both sides agree in a contact) [m2]
  int pair = 0;         ///< index into Interfaces::pairs
};

struct OuterFace {
  FaceSide a;
  double r = 0, z = 0;  ///< middle of the piece [m]
};

/// A pair of block edges that touch, or lie beside each other across a narrow gap.
struct BlockPair {
  int block_a = 0, block_b = 0;  ///< a is the inner or lower one
  Side side_a = Side::outer;     ///< outer or top; side b is the opposite
  double gap = 0;                ///< 0 where they touch [m]
  double area = 0;               ///< sum over the pieces (side a) [m2]
};

struct Interfaces {
  std::vector<BlockPair> pairs;
  std::vector<PairFace> pair_faces;
  std::vector<OuterFace> outer_faces;
};

/// Where a piece lies along its edge: in z on vertical edges, in r^2 on horizontal ones.
Datum stretch_of(const Mesh& mesh, const PairFace& face);

/// Contacts, narrow gaps and outer faces of the mesh as it lies.
Interfaces interfaces_of(const Mesh& mesh);

/// The same with every block raised by lift[block] metres
/// (all zero: as in the layout).
Interfaces interfaces_at(const Mesh& mesh, std::span<const double> lift);

}  // namespace joulepress::mesh
