// Comparison by the relative difference alone: doctest's Approx adds 1 to the scale, which for lengths, areas
// and contact resistances in SI units would accept almost anything.
#pragma once

#include <doctest/doctest.h>

namespace joulepress::test {

inline doctest::Approx relative(double target, double tolerance = 1e-12) {
  // Around zero there is no relative difference: rounding of numbers of the order of a millimetre.
  return doctest::Approx(target).epsilon(tolerance).scale(target == 0.0 ? 1e-3 : 0.0);
}

}  // namespace joulepress::test
