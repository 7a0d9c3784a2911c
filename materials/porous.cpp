#include "materials/porous.hpp"

#include <algorithm>

namespace joulepress::materials {

double maxwell_eucken(double relative_density) {
  return 2 * relative_density / (3 - relative_density);
}

double bruggeman(double relative_density) {
  return std::max(0.0, (3 * relative_density - 1) / 2);
}

}  // namespace joulepress::materials
