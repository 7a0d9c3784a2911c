#include "materials/porous.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace joulepress::materials {

namespace {

constexpr double stefan_boltzmann = 5.670374419e-8;  // W/(m2 K4), CODATA 2018

/// (D - D0) / (1 - D0), zero below D0.
double above(double relative_density, double start) {
  return std::max(0.0, (relative_density - start) / (1 - start));
}

}  // namespace

double maxwell_eucken(double relative_density) {
  return 2 * relative_density / (3 - relative_density);
}

double bruggeman(double relative_density) {
  return std::max(0.0, (3 * relative_density - 1) / 2);
}

double koh_fortini(double relative_density) {
  const double porosity = 1 - relative_density;
  return relative_density / (1 + 11 * porosity * porosity);
}

double argento_bouvard(double relative_density, double tap_density) {
  return std::pow(above(relative_density, tap_density), 2 * (1 - tap_density));
}

double power(double relative_density, double exponent) {
  return std::pow(relative_density, exponent);
}

double montes(double relative_density, double tap_density, double exponent) {
  return std::pow(above(relative_density, tap_density), exponent);
}

// Multiplied out the two fractions give  A x^2 - B x - s_high s_low = 0  with
// B = f (A s_high - s_low) + (1 - f) (A s_low - s_high); of the two roots one is never negative.  Scaled with
// `high`, and in the form without cancellation for B < 0.
double general_effective_medium(double fraction_of_high, double high, double low, double threshold,
                                double exponent) {
  if (!(high > 0)) return high;
  const double f = fraction_of_high, a = (1 - threshold) / threshold;
  const double s = std::pow(low / high, 1 / exponent);
  const double b = f * (a - s) + (1 - f) * (a * s - 1);
  const double root = std::sqrt(b * b + 4 * a * s);
  const double x = b > 0 ? (b + root) / (2 * a) : root - b > 0 ? 2 * s / (root - b) : 0;
  return high * std::pow(x, exponent);
}

double pore_radiation(double temperature, double emissivity, double pore_diameter) {
  return 4 * emissivity * stefan_boltzmann * temperature * temperature * temperature * pore_diameter;
}

double relative_conductivity(const PorousLaw& law, double relative_density) {
  const double D = relative_density;
  double K = 0;
  switch (law.kind) {
    case PorousLaw::Kind::maxwell_eucken:
      K = maxwell_eucken(D);
      break;
    case PorousLaw::Kind::bruggeman:
      K = bruggeman(D);
      break;
    case PorousLaw::Kind::koh_fortini:
      K = koh_fortini(D);
      break;
    case PorousLaw::Kind::argento_bouvard:
      K = argento_bouvard(D, law.tap_density);
      break;
    case PorousLaw::Kind::power:
      K = power(D, law.exponent);
      break;
    case PorousLaw::Kind::montes:
      K = montes(D, law.tap_density, law.exponent);
      break;
    case PorousLaw::Kind::mclachlan:
      K = general_effective_medium(D, 1, 0, law.threshold, law.exponent);
      break;
  }
  return std::max(K, least_relative_conductivity);
}

std::string name_of(PorousLaw::Kind kind) {
  switch (kind) {
    case PorousLaw::Kind::maxwell_eucken:
      return "maxwell eucken";
    case PorousLaw::Kind::bruggeman:
      return "bruggeman";
    case PorousLaw::Kind::koh_fortini:
      return "koh fortini";
    case PorousLaw::Kind::argento_bouvard:
      return "argento bouvard";
    case PorousLaw::Kind::power:
      return "power";
    case PorousLaw::Kind::montes:
      return "montes";
    case PorousLaw::Kind::mclachlan:
      break;
  }
  return "mclachlan";
}

std::span<const PorousLaw::Kind> porous_laws() {
  using enum PorousLaw::Kind;
  static constexpr std::array all = {maxwell_eucken, bruggeman, koh_fortini, argento_bouvard,
                                     power,          montes,    mclachlan};
  return all;
}

}  // namespace joulepress::materials
