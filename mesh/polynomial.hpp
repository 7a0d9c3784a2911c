// Polynomials through cell means and edge values along one line of cells.
//
// The line runs along t: t = z, or t = r^2, in which the mean over a ring cell is a plain mean and a field
// that is smooth on the axis is a polynomial.  Through n data (means over intervals, values at points) goes
// one polynomial of degree n - 1; what is read from it is a linear combination of the data.  Its weights
// depend on the grid alone and are found once.
#pragma once

#include <array>
#include <span>

namespace joulepress::mesh {

inline constexpr int data_max = 4;  ///< cubics

/// Mean over [from, to], or the value at a point where both are equal.
struct Datum {
  double from = 0, to = 0;
};

using Weights = std::array<double, data_max>;  ///< one per datum, zero behind the last

/// dT/dt at the point.  Precondition (asserted): one to four data, no two of the same place.
Weights slope_weights(std::span<const Datum> data, double at);

/// What the polynomial has for a datum of its own: the mean over an interval or the value at a point.
Weights value_weights(std::span<const Datum> data, const Datum& wanted);

}  // namespace joulepress::mesh
