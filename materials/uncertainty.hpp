// How unsure a number is.
#pragma once

#include <string>

namespace joulepress::materials {

/// Members of one group move together in a study (same relative sign).
struct Uncertainty {
  enum class Kind { none, relative, factor };
  Kind kind = Kind::none;
  double size =
      0;  ///< relative: one standard deviation as a fraction; factor: the 2-sigma factor, log-normal
  std::string group;  ///< correlation group; empty: independent
};

/// Two standard deviations as a factor; 1: nothing is known of it.
inline double two_sigma_factor(const Uncertainty& u) {
  return u.kind == Uncertainty::Kind::relative ? 1 + 2 * u.size
         : u.kind == Uncertainty::Kind::factor ? u.size
                                               : 1;
}

}  // namespace joulepress::materials
