#include "solver/convection.hpp"

#include <cmath>

namespace joulepress::solver {
namespace {

constexpr double gravity = 9.80665;  // m/s2

double prandtl_vertical(double prandtl) {
  return 1.0 + std::pow(0.492 / prandtl, 9.0 / 16.0);
}

double nusselt(Orientation orientation, bool hot, double rayleigh, double prandtl) {
  if (orientation == Orientation::vertical) return nusselt_vertical(rayleigh, prandtl);
  return (orientation == Orientation::up) == hot ? nusselt_leaving(rayleigh, prandtl)
                                                 : nusselt_held(rayleigh, prandtl);
}

/// c / ln(1 + c/N): N where it is large, above it where the layer of warm gas is thick.
double thick_layer(double c, double N) {
  return N > 0.0 ? c / std::log1p(c / N) : 0.0;
}

}  // namespace

double nusselt_vertical(double rayleigh, double prandtl) {
  const double root =
      0.825 + 0.387 * std::pow(rayleigh, 1.0 / 6.0) / std::pow(prandtl_vertical(prandtl), 8.0 / 27.0);
  return root * root;
}

double nusselt_leaving(double rayleigh, double prandtl) {
  const double laminar = thick_layer(
      1.4, 0.835 * 0.671 * std::pow(prandtl_vertical(prandtl), -4.0 / 9.0) * std::pow(rayleigh, 0.25));
  const double turbulent = 0.14 * std::cbrt(rayleigh);
  return std::pow(std::pow(laminar, 10) + std::pow(turbulent, 10), 0.1);
}

double nusselt_held(double rayleigh, double prandtl) {
  return thick_layer(
      2.5, 0.527 * std::pow(1.0 + std::pow(1.9 / prandtl, 0.9), -2.0 / 9.0) * std::pow(rayleigh, 0.2));
}

double film(const materials::Gas& gas, Orientation orientation, double length, double surface_T,
            double gas_T) {
  const double T = 0.5 * (surface_T + gas_T), k = materials::conductivity(gas, T);
  const double density = materials::density(gas, T);
  const double nu = materials::viscosity(gas, T) / density,
               alpha = k / (density * materials::heat_capacity(gas, T));
  const double rayleigh = gravity / T * std::abs(surface_T - gas_T) * length * length * length / (nu * alpha);
  const double Nu = nusselt(orientation, surface_T > gas_T, rayleigh, nu / alpha);
  return k * Nu / (length + Nu * materials::jump_length(gas, T));
}

}  // namespace joulepress::solver
