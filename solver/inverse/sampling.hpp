// Points that fill a cube more evenly than random ones: Sobol's sequence, scrambled.
//
// Of 2^k points every dimension has one in each of 2^k equal cells, and the first two dimensions together one
// in each box of area 2^-k whatever its shape (a net).  A mean over n points of a smooth function is off by
// about n^-1.5 instead of n^-0.5.  Scrambling by nested uniform flips keeps the nets and makes every point
// uniform in the cube, so that means are unbiased and another seed is another fair sample:
//   bit k of x becomes bit k xor flip(seed, dimension, bits 0 .. k - 1 of x)
// with flips from a hash; below its 32 bits a point gets 20 more from the same hash.  The first m of n points
// are the m points; the unscrambled zero is one of them, without it the nets would not be whole.  n = 2^k is
// best.  Integers until the last step: the same bits everywhere.
//
// Sources: direction numbers of Joe and Kuo, SIAM J. Sci. Comput. 30 (2008) 2635, from Boost; scrambling of
// Owen (1995), by hash as in Laine and Karras (2011) and Burley (2020); the hash is SplitMix64 (Steele, Lea,
// Flood, 2014); all from memory.  Tests: tests/solver/test_sobol_points.cpp.
#pragma once

#include <cstdint>

#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

/// n points of so many dimensions, every coordinate strictly inside (0, 1).  Throws std::invalid_argument
/// unless 0 < n < 2^31 and 0 < dimensions <= 3667.
Table sobol_points(int n, int dimensions, std::uint64_t seed);

}  // namespace joulepress::inverse
