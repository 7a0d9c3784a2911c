#include "materials/gas.hpp"

#include <cmath>
#include <numbers>

namespace joulepress::materials {
namespace {

double collision_integral(double reduced_temperature) {
  constexpr std::array b{0.431, -0.4623, 0.08406, 0.005341, -0.00331};
  const double x = std::log(reduced_temperature);
  return std::exp(b[0] + x * (b[1] + x * (b[2] + x * (b[3] + x * b[4]))));
}

/// Heat capacity of an oscillator over R, x = theta / T.
double einstein(double x) {
  const double half = std::sinh(0.5 * x);
  return 0.25 * x * x / (half * half);
}

double heat_capacity_over_R(const Gas& gas, double T) {
  return 2.5 + 0.5 * gas.rotations + (gas.vibration > 0.0 ? einstein(gas.vibration / T) : 0.0);
}

/// The jump beside a wall where the conductivity k is known: lambda / Pr = k sqrt(pi R T / (2 M)) / (p cp).
double jump_of(const Gas& gas, double T, double k) {
  const double cp = heat_capacity_over_R(gas, T), gamma = cp / (cp - 1.0), R = gas_constant / gas.molar_mass;
  return (2.0 - accommodation) / accommodation * 2.0 * gamma / (gamma + 1.0) * k *
         std::sqrt(0.5 * std::numbers::pi * R * T) / (gas.pressure * cp * R);
}

Gas argon() {
  Gas gas;
  gas.name = "argon";
  gas.molar_mass = 39.948e-3;
  gas.well = 143.2;
  gas.diameter = 0.335e-9;
  gas.critical_temperature = 150.687;
  gas.conductivity_by_viscosity = 0.8158;
  gas.conductivity_besides = {{{-0.4320, -0.77}, {0.0, -1.0}}};
  return gas;
}

Gas nitrogen() {
  Gas gas;
  gas.name = "nitrogen";
  gas.molar_mass = 28.01348e-3;
  gas.well = 98.94;
  gas.diameter = 0.3656e-9;
  gas.critical_temperature = 126.192;
  gas.conductivity_by_viscosity = 1.511;
  gas.conductivity_besides = {{{2.117, -1.0}, {-3.332, -0.7}}};
  gas.rotations = 2;
  gas.vibration = 3393;
  return gas;
}

}  // namespace

std::optional<Gas> gas_named(const std::string& name) {
  for (const Gas& gas : {argon(), nitrogen()})
    if (gas.name == name) return gas;
  return std::nullopt;
}

double viscosity(const Gas& gas, double T) {
  const double M = 1e3 * gas.molar_mass, sigma = 1e9 * gas.diameter;  // g/mol, nm
  return 1e-6 * 0.0266958 * std::sqrt(M * T) / (sigma * sigma * collision_integral(T / gas.well));
}

double conductivity(const Gas& gas, double T) {
  const double tau = gas.critical_temperature / T;
  double k = gas.conductivity_by_viscosity * 1e6 * viscosity(gas, T);
  for (const Gas::Power& term : gas.conductivity_besides)
    if (term.factor != 0.0) k += term.factor * std::pow(tau, term.exponent);
  return 1e-3 * k;
}

double heat_capacity(const Gas& gas, double T) {
  return gas_constant / gas.molar_mass * heat_capacity_over_R(gas, T);
}

double density(const Gas& gas, double T) {
  return gas.pressure * gas.molar_mass / (gas_constant * T);
}

double prandtl(const Gas& gas, double T) {
  return viscosity(gas, T) * heat_capacity(gas, T) / conductivity(gas, T);
}

double mean_free_path(const Gas& gas, double T) {
  return viscosity(gas, T) / gas.pressure *
         std::sqrt(0.5 * std::numbers::pi * gas_constant * T / gas.molar_mass);
}

double jump_length(const Gas& gas, double T) {
  return jump_of(gas, T, conductivity(gas, T));
}

double gap_conductance(const Gas& gas, double gap, double T_mean) {
  const double k = conductivity(gas, T_mean);
  return k / (gap + 2.0 * jump_of(gas, T_mean, k));
}

}  // namespace joulepress::materials
