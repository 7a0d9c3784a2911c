#include "materials/weibull.hpp"

#include <cmath>
#include <numbers>

namespace joulepress::materials {

double effective_volume(const Specimen& specimen, double modulus) {
  const double section = specimen.width > 0.0 ? specimen.width * specimen.height
                                              : std::numbers::pi / 4.0 * specimen.height * specimen.height;
  const double volume = section * specimen.length;
  if (specimen.loading == Specimen::Loading::tension) return volume;
  const double inner = specimen.loading == Specimen::Loading::four_point ? specimen.inner_span : 0.0;
  return volume * (1.0 + modulus * inner / specimen.length) / (2.0 * (modulus + 1.0) * (modulus + 1.0));
}

double scale_of(const Weibull& weibull, double mean_strength) {
  return mean_strength / std::tgamma(1.0 + 1.0 / weibull.modulus) *
         std::pow(effective_volume(weibull.specimen, weibull.modulus), 1.0 / weibull.modulus);
}

double failure_probability(double risk) {
  return -std::expm1(-risk);
}

}  // namespace joulepress::materials
