// Noise that can be told in advance: the deviate is a function of three numbers and nothing else.
//
// A counter instead of a generator with a state: the n-th value of a stream does not depend on which others
// were drawn, in which order or by which thread, so that a rejected step or a resumed run meets the same
// noise.  The standard library's normal_distribution is left to each implementation and would differ between
// them.
//   key = m(m(m(seed) ^ stream) ^ index);  u, v = the next two outputs after key, as multiples of 2^-53 in
//   (0, 1] deviate = sqrt(-2 ln u) cos(2 pi v)
// m is one step of SplitMix64 (Steele, Lea, Flood, OOPSLA 2014, from memory), the rest Box and Muller (Ann.
// Math. Stat. 29, 1958, 610, from memory).  u is never 0, so that no deviate is larger than sqrt(106 ln 2)
// = 8.57. Integers are the same everywhere, the last bit of the deviate is that of the platform's log and
// cos. Tests: tests/solver/test_noise.cpp.
#pragma once

#include <cstdint>

namespace joulepress::solver {

/// Deviate [-] of mean 0 and variance 1; seed for the run, stream for the instrument, index for the sample.
double normal_deviate(std::uint64_t seed, std::uint64_t stream, std::uint64_t index);

}  // namespace joulepress::solver
