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

}  // namespace joulepress::materials
