// A weight that goes from 0 to 1 without a kink.
#pragma once

#include <algorithm>

namespace joulepress::materials {

/// 0 up to x = 0, 1 from x = 1, a cubic with a continuous slope between.
inline double smooth_step(double x) {
  const double inside = std::clamp(x, 0.0, 1.0);
  return inside * inside * (3 - 2 * inside);
}

}  // namespace joulepress::materials
