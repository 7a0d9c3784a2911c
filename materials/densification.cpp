#include "materials/densification.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "materials/creep.hpp"
#include "materials/smooth.hpp"

namespace joulepress::materials {
namespace {

constexpr double necks_to = 0.88,
                 pores_from = 0.92;  // relative densities between which the stages are joined

/// (D - D0) / (1 - D0), held above zero.
double beyond_tap(double relative_density, double tap_density) {
  return std::max(relative_density - tap_density, nearest_to_tap) / (1 - tap_density);
}

}  // namespace

double contact_pressure_ratio(double relative_density, double tap_density) {
  return 1 / (relative_density * relative_density * beyond_tap(relative_density, tap_density));
}

double neck_stage_rate(double exponent, double strength, double pressure, double relative_density,
                       double tap_density) {
  const double D = relative_density;
  const double neck = std::sqrt(beyond_tap(D, tap_density) / 3);
  const double stress = pressure * contact_pressure_ratio(D, tap_density) / 3;
  return 5.3 * std::cbrt(D * D * tap_density) * neck * std::pow(stress / strength, exponent) / D;
}

double pore_stage_rate(double exponent, double strength, double pressure, double relative_density) {
  const double porosity = 1 - relative_density;
  return 1.5 * porosity *
         std::pow(1.5 * pressure / (exponent * strength * (1 - std::pow(porosity, 1 / exponent))), exponent);
}

double contacts_of_spheres_rate(double exponent, double strength, double pressure, double relative_density,
                                double tap_density) {
  const double weight = smooth_step((relative_density - necks_to) / (pores_from - necks_to));
  if (!(weight < 1)) return pore_stage_rate(exponent, strength, pressure, relative_density);
  const double necks = neck_stage_rate(exponent, strength, pressure, relative_density, tap_density);
  if (!(weight > 0)) return necks;
  return std::pow(necks, 1 - weight) *
         std::pow(pore_stage_rate(exponent, strength, pressure, relative_density), weight);
}

double effective_stress_rate(double exponent, double strength, double pressure, double relative_density,
                             double tap_density) {
  const double stress = pressure * contact_pressure_ratio(relative_density, tap_density);
  return std::pow(stress / strength, exponent) *
         std::pow(beyond_tap(relative_density, tap_density), 1 - exponent);
}

double densification_rate(const Densification& densification, double exponent, double strength, double stress,
                          double relative_density) {
  switch (densification.law) {
    case Densification::Law::contacts_of_spheres:
      return contacts_of_spheres_rate(exponent, strength, stress, relative_density,
                                      densification.tap_density);
    case Densification::Law::effective_stress:
      return effective_stress_rate(exponent, strength, stress, relative_density, densification.tap_density);
    case Densification::Law::closed_die:
      break;
  }
  return closed_die_rate(exponent, strength, stress, relative_density);
}

std::string name_of(Densification::Law law) {
  switch (law) {
    case Densification::Law::contacts_of_spheres:
      return "contacts of spheres";
    case Densification::Law::effective_stress:
      return "effective stress";
    case Densification::Law::closed_die:
      break;
  }
  return "closed die";
}

std::span<const Densification::Law> densification_laws() {
  using enum Densification::Law;
  static constexpr std::array all = {closed_die, contacts_of_spheres, effective_stress};
  return all;
}

}  // namespace joulepress::materials
