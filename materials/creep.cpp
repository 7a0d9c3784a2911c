#include "materials/creep.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "materials/gas.hpp"

namespace joulepress::materials {
namespace {

constexpr double boltzmann = 1.380649e-23;  // J/K, SI 2019

/// Rate at a stress, for either definition of it.
double rate_as_given(const Creep& c, double stress, double T, std::optional<double> grain) {
  if (c.law == Creep::Law::dislocation) {
    const double modulus = c.shear_modulus * (1.0 + c.modulus_slope * (T - 300.0) / c.melting);
    const double diffusivity = c.diffusion * std::exp(-c.activation_energy / (gas_constant * T));
    return c.factor * diffusivity * modulus * c.burgers / (boltzmann * T) *
           std::pow(stress / modulus, c.exponent);
  }
  const double finer = grain && c.grain > 0.0 ? std::pow(c.grain / *grain, c.grain_exponent) : 1.0;
  return c.rate * std::pow(stress / c.stress, c.exponent) * finer *
         std::exp(-c.activation_energy / gas_constant * (1.0 / T - 1.0 / c.temperature));
}

}  // namespace

double uniaxial_from_power(double strength, double exponent) {
  return strength * std::pow(1.5, 0.5 * (1.0 / exponent + 1.0));
}

double uniaxial_strength(const Creep& creep, double T, std::optional<double> grain) {
  constexpr double unit_stress = 1e6;  // Pa; any will do
  const double strength =
      unit_stress * std::pow(rate_as_given(creep, unit_stress, T, grain), -1.0 / creep.exponent);
  return creep.of_dissipated_power ? uniaxial_from_power(strength, creep.exponent) : strength;
}

double creep_rate(const Creep& creep, double stress, double T, std::optional<double> grain) {
  return std::pow(stress / uniaxial_strength(creep, T, grain), creep.exponent);
}

double closed_die_rate(double exponent, double strength, double stress, double relative_density) {
  const double porosity = 1.0 - relative_density;
  return std::pow(stress / strength, exponent) * std::pow(2.25 * porosity, 0.5 * (exponent + 1.0)) *
         std::pow(relative_density, -0.5 * (3.0 * exponent + 1.0));
}

double radial_stress_ratio(double relative_density) {
  const double phi = relative_density * relative_density;
  const double psi = 2.0 / 3.0 * phi * relative_density / (1.0 - relative_density);
  return (psi - phi / 3.0) / (psi + 2.0 * phi / 3.0);
}

// dD/dt = D rate; over u = ln(1 - D) the integrand is smooth up to full density.
double densification_time(const std::function<double(double)>& rate, double from, double to) {
  constexpr int intervals = 128;  // laws that change at a density do so within a few of them
  const double start = std::log1p(-from), end = std::log1p(-to), width = (end - start) / intervals;
  double time = 0.0;
  for (int k = 0; k < intervals; ++k)
    for (const auto& [node, weight] :
         std::array{std::pair{-std::sqrt(0.6), 5.0}, std::pair{0.0, 8.0}, std::pair{std::sqrt(0.6), 5.0}}) {
      const double porosity = std::exp(start + (k + 0.5 + 0.5 * node) * width), D = 1.0 - porosity;
      time -= weight / 18.0 * width * porosity / (D * rate(D));
    }
  return time;
}

double closed_die_time(double exponent, double strength, double stress, double from, double to) {
  return densification_time([&](double D) { return closed_die_rate(exponent, strength, stress, D); }, from,
                            to);
}

}  // namespace joulepress::materials
