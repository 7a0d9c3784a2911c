#include "materials/mixture.hpp"

#include <algorithm>

namespace joulepress::materials {

double mixture_resistivity(const Mixture& mixture, double temperature, double relative_density) {
  const double share = mixture.fraction * relative_density;
  const double high = 1 / mixture.conducting_resistivity.value(temperature);
  double low = 1 / mixture.insulating_resistivity.value(temperature);
  if (share < 1)
    low *= relative_conductivity(mixture.insulating_law,
                                 (1 - mixture.fraction) * relative_density / (1 - share));
  return 1 / general_effective_medium(share, high, std::min(low, high), mixture.threshold, mixture.exponent);
}

}  // namespace joulepress::materials
