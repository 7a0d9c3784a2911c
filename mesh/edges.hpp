// Edges of blocks and what lies before them: the geometry behind grading and interfaces.
#pragma once

#include <vector>

#include "mesh/interfaces.hpp"
#include "mesh/layout.hpp"

namespace joulepress::mesh {

/// A stretch of two parallel edges that touch (gap 0) or see each other.  `a` is the inner or lower block.
struct Stretch {
  int block_a = 0, block_b = 0;
  bool vertical = false;    ///< vertical edges: a's outer side, b's inner side; else a's top, b's bottom
  double from = 0, to = 0;  ///< along the edge: z on vertical edges, r on horizontal ones [m]
  double gap = 0;           ///< m
};

/// A gap between two walls beside each other so narrow that each sees nothing but what lies before it [m].
inline constexpr double narrow_gap = 2e-3;
inline bool is_narrow(const Stretch& s) {
  return s.vertical && s.gap > 0.0 && s.gap <= narrow_gap;
}

/// All stretches of the layout; contacts first, each list ordered by (a, b, from).
std::vector<Stretch> stretches_of(const Layout& layout);

}  // namespace joulepress::mesh
