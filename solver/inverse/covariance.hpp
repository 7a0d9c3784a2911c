// What is open of a value that follows from unknowns, straight about their estimate, and what one more
// measurement would close.
//
//   deviation of a value with the slope g by the unknowns:   root of g^T C g
//   after a measurement of a value with the slope h, its error of the deviation s (Kalman, J. Basic Eng. 82
//   (1960) 35, from memory):                                 C - C h h^T C / (h^T C h + s^2)
// Tests: tests/solver/test_learned.cpp.
#pragma once

#include <vector>

#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

/// Deviations of a normal value to either side of its mean that hold 95 %.
inline constexpr double in_95 = 1.959964;

/// Covariance of two values with these slopes by the unknowns: a^T C b.
double covariance_between(const Table& covariance, const std::vector<double>& a,
                          const std::vector<double>& b);

/// Deviation of a value with that slope by the scores: root of slope^T C slope.
double deviation_of(const Table& covariance, const std::vector<double>& slope);

/// The covariance after one more measurement of a value with that slope, its error of that deviation.
Table with_measurement(const Table& covariance, const std::vector<double>& slope, double deviation);

}  // namespace joulepress::inverse
