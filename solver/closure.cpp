#include "solver/closure.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::solver {
namespace {

bool has_foil(const Fit& fit) {
  return fit.foil_thickness > 0 && fit.foil_modulus > 0;
}

double compliance(const Fit& fit) {
  const double foil = has_foil(fit) ? fit.foil_thickness / fit.foil_modulus : 0.0;
  const double punch = fit.radius / fit.punch_modulus * (1 - fit.punch_poisson);
  // (K^2 + 1)/(K^2 - 1), in the form that holds for a wall without end.
  const double wall = 1 + 2 / (fit.die_ratio * fit.die_ratio - 1);
  return foil + punch + fit.radius / fit.die_modulus * (wall + fit.die_poisson);
}

// The order of the arguments of std::max lets NaN through: it is for the caller to refuse.
double spots(double pressure_over_hardness) {
  return std::pow(std::max(pressure_over_hardness, 0.0), 0.95);
}

}  // namespace

double closing(const Fit& fit, double axial_pressure, double punch_strain, double die_strain) {
  const double swelling = fit.punch_poisson * axial_pressure / fit.punch_modulus;
  return fit.radius * (swelling + punch_strain - die_strain);
}

double lateral_pressure(const Fit& fit, double axial_pressure, double punch_strain, double die_strain) {
  const double cold = has_foil(fit) && fit.gap <= 0 ? fit.fit_pressure : 0.0;
  const double delta = closing(fit, axial_pressure, punch_strain, die_strain);
  return std::max(cold + (delta - fit.gap) / compliance(fit), fit.floor_pressure);
}

double touch_factor(double pressure, double reference_pressure) {
  return std::max(spots(pressure / reference_pressure), least_touch_factor);
}

double touch_conductance(double k_a, double k_b, double slope_over_roughness, double pressure,
                         double hardness) {
  return 1.25 * (2 * k_a * k_b / (k_a + k_b)) * slope_over_roughness * spots(pressure / hardness);
}

}  // namespace joulepress::solver
