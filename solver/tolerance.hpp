// How far a new thermocouple may be off, by its letter and class.
//
// Tolerance [K] at t [degC], reference junction at 0 degC: the larger of a constant and a line in |t|.
// Written that way it has no steps; the standard's tables change over at 333 degC, where the line is still
// 0.0025 K below. Values: IEC 60584-1:2013, as quoted on sensor makers' pages that agree with each other;
// type C from memory. For wire as delivered: drift in use is not in it, nor is the error of the place
// (solver/sensor.hpp), which is mostly larger.  Tests: tests/solver/test_tolerance.cpp.
#pragma once

#include <optional>
#include <utility>

namespace joulepress::solver {

enum class Thermocouple { B, C, J, K, N, R, S };

/// Tolerance [K], to both sides, at a temperature [K]; none where the class (1, 2 or 3) is not defined for
/// the type or the temperature lies outside its range.
std::optional<double> tolerance(Thermocouple type, int tolerance_class, double kelvin);

/// Lowest and highest temperature [K] of the class, both in it; none where it is not defined for the type.
std::optional<std::pair<double, double>> tolerance_range(Thermocouple type, int tolerance_class);

}  // namespace joulepress::solver
