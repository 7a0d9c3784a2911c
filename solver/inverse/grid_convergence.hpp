// How far a number from a grid is from that of an endless one, told from three grids.
//
//   f(h) = f0 + C h^p,   e21 = f2 - f1,  e32 = f3 - f2,  r21 = h2 / h1,  r32 = h3 / h2   (1 the finest)
//   observed order p    |e32 / e21| = r21^p (r32^p - s) / (r21^p - s),  s = sign(e32 / e21)
//   extrapolated        f1 + (f1 - f2) / (r21^q - 1),  q = p held to [0.5, 2]
//   half width          Fs |f_k - extrapolated| for the level k that is reported; for the finest this is
//                       Fs |e21| / (r21^q - 1)
// The right side of the first line rises with p from ln r32 / ln r21 (s = 1) or 1 (s = -1) at p = 0, so that
// there is one root or none.
//
// Fs = 1.25 where the values go one way and p lies in [0.5, 2], else 3.  Where three values do not tell an
// order the half width is never below Fs times half their range.  They do not where they swing (s = -1), move
// apart (no root), or come together faster than at order 4.5, the next above any scheme of this program: two
// terms of an error that cancel look like that.  Below, they still deceive: where h and h^2 nearly cancel and
// pass for an order of 3 to 4.5 the interval can miss, where they add up it is up to 7 % short (r = 2).  A
// true order of 3 or 4 gives up to (r^p - 1) / (r^2 - 1) times 3 the error of the finest level, 7 and 15 at r
// = 2; that is the price of trusting no order above 2.
//
// Sources: ASME V&V 20-2009, section 2-4; Celik et al., J. Fluids Eng. 130 (2008) 078001 (both from memory):
// the order, 1.25.  Order limits, factor 3 and the least half width: own choice, held against problems with
// known answers in tests/solver/test_grid_convergence.cpp.
#pragma once

#include <array>
#include <optional>

namespace joulepress::inverse {

struct GridLevel {
  double spacing = 0;  ///< of grid or steps, in any unit, the same for all levels
  double value = 0;    ///< in the unit of the result
};

enum class Approach {
  equal,         ///< three times the same number
  one_way,       ///< with an order that can be told
  swinging,      ///< up and down
  undetermined,  ///< apart, or together faster than any scheme
};

struct GridConvergence {
  Approach approach = Approach::equal;
  std::optional<double> observed_order;  ///< [-], in (0, 4.5]
  double order = 2;                      ///< [-], the one used
  double safety = 1.25;                  ///< Fs [-]
  double extrapolated = 0;               ///< unit of the result
  double half_width = 0;  ///< of the interval about the reported value that holds the true one, its unit
};

/// From three levels; `reported` 0..2 is the one whose value is handed on.  Equal values: half width 0.
/// Throws std::invalid_argument unless spacings rise from above 0, values are finite and `reported` is one.
GridConvergence grid_convergence(const std::array<GridLevel, 3>& finest_first, int reported);

}  // namespace joulepress::inverse
