// How much values of a series count that are far off, or that repeat what the one before them said.  Formulas
// and sources: learned.hpp.  Tests: tests/solver/test_learned.cpp.
#pragma once

#include <vector>

namespace joulepress::inverse {

/// How values far off are bent towards the others: at first, so that searches come near from afar, and then.
enum class Bend { pulls_on, lets_go };

/// Root of rho, with the sign of e; its square is what least squares sums.
double bent(double e, Bend bend);
double slope_of_bent(double e, Bend bend);

/// The value that as many lie below as above, of an even number the upper one; at least one value.
double median_of(std::vector<double> values);

/// Root of the mean square.
double rms_of(const std::vector<double>& values);

/// The smaller of 1.4826 times the median size, the deviation of normal errors whatever a few others are, and
/// of the root of the mean square, which is that of an error that stays the same.
double scatter_of(const std::vector<double>& values);

/// Values of a series that tell as much as one that stands alone (g), at least 1.
double memory_of(const std::vector<double>& misfits, double deviation);

}  // namespace joulepress::inverse
