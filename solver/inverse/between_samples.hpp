// A course between its samples: a cubic in every interval (Hermite's), the slope at a sample the weighted
// harmonic mean of those of the intervals on either side, none where these differ in sign (Fritsch and
// Butland, SIAM J. Sci. Stat. Comput. 5 (1984) 300, from memory): close where it is smooth, no overshoot
// where it jumps.
//
// Ours, for Boost 1.74's does not compile here without a global isnan.
//
// Tests: tests/solver/test_between_samples.cpp.
#pragma once

#include <vector>

namespace joulepress::inverse {

/// Values at `wanted`, in any order; before the first sample that one, behind the last that one.  Samples
/// ascend in time; of two at one time the first counts.
/// Throws std::invalid_argument for none, or of another number than times.
std::vector<double> between_samples(const std::vector<double>& times, const std::vector<double>& values,
                                    const std::vector<double>& wanted);

}  // namespace joulepress::inverse
