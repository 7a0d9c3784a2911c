// What of a stack's walls lies open: the stretches that nothing touches and no narrow gap closes.
#pragma once

#include <vector>

#include "mesh/view_factors.hpp"

namespace joulepress::mesh {

/// An open stretch of one side of a block.  Its place changes as parts move, its name (block, side, ordinal)
/// stays.
struct Opening {
  int block = 0;
  Side side = Side::outer;
  int ordinal = 0;          ///< of several on that side
  double from = 0, to = 0;  ///< along z or r [m]
  bool mirrored = false;    ///< begins on a mid-plane: its image continues it
};

struct Openings {
  std::vector<Opening> walls;
  std::vector<Ring> mouths;     ///< of narrow gaps, as walls across them
  std::vector<Block> fillings;  ///< of narrow gaps, as solids
};

/// Openings of the mesh as it lies, by block and side.  The axis and a mid-plane are no walls.
Openings openings_of(const Mesh& mesh);

}  // namespace joulepress::mesh
