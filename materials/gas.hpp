// A gas that fills the chamber: transport in the dilute limit, ideal gas otherwise.
//
// Lemmon and Jacobsen 2004, Int J Thermophys 25:21 (equations and coefficients from memory; their check
// values at zero density are held in tests/materials/test_gas.cpp), T [K], M [g/mol], sigma [nm], eta in uPa
// s, k in mW/(m K), tau = Tc / T:
//   eta = 0.0266958 sqrt(M T) / (sigma^2 Omega),   ln Omega = sum b_i (ln T / (eps/k))^i
//   k = N1 eta + sum N_j tau^t_j
//   cp = R/M [5/2, or 7/2 + Einstein function of theta / T]      (argon; nitrogen)
// Neither depends on pressure.  Range: 100 K to 2000 K for both (their data, from memory); beyond 2000 K the
// forms are continued, argon within 1 % of the exact 15/4 R/M eta of a monatomic gas up to 3000 K.  Nitrogen
// that dissociates is not in it, nor density: below 1 MPa and above 250 K that is less than 3 % (from
// memory).
//
// Beside a wall the temperature of the gas jumps (Smoluchowski; Kennard 1938, Kinetic Theory of Gases, from
// memory), as if the gap were wider on each side by
//   g = (2 - a)/a  2 gamma/(gamma + 1)  lambda / Pr,     lambda = eta / p sqrt(pi R T / (2 M))
// Between plates h = k / (gap + 2 g).  Far below atmospheric pressure this becomes exactly the conductance of
// free molecules, (gamma + 1)/(gamma - 1) a/(2 - a) p sqrt(R / (8 pi M T)), whatever the gap.
#pragma once

#include <array>
#include <optional>
#include <string>

namespace joulepress::materials {

inline constexpr double gas_constant = 8.31446261815324;  ///< J/(mol K), SI
/// Share of its difference of temperature that a molecule gives up at a wall, argon and nitrogen on rough,
/// not degassed graphite.  Own choice, no source; at 1 bar a gap of 0.1 mm hardly knows it.
inline constexpr double accommodation = 0.85;

struct Gas {
  struct Power {
    double factor = 0;    ///< mW/(m K)
    double exponent = 0;  ///< of tau
  };
  std::string name;
  double molar_mass = 0;                      ///< kg/mol
  double well = 0;                            ///< eps/k of the Lennard-Jones potential [K]
  double diameter = 0;                        ///< sigma of it [m]
  double critical_temperature = 0;            ///< K
  double conductivity_by_viscosity = 0;       ///< N1 [mW/(m K) per uPa s]
  std::array<Power, 2> conductivity_besides;  ///< the other terms of k
  double rotations = 0;                       ///< degrees of freedom
  double vibration = 0;                       ///< theta [K]; 0: none
  double pressure = 1e5;                      ///< Pa
};

/// "argon" or "nitrogen" at 1 bar; none of another name.
std::optional<Gas> gas_named(const std::string& name);

double viscosity(const Gas& gas, double T);      ///< Pa s
double conductivity(const Gas& gas, double T);   ///< W/(m K), of the free gas
double heat_capacity(const Gas& gas, double T);  ///< J/(kg K), at constant pressure
double density(const Gas& gas, double T);        ///< kg/m3
double prandtl(const Gas& gas, double T);
double mean_free_path(const Gas& gas, double T);  ///< m

/// What a wall adds to the way of the heat [m].
double jump_length(const Gas& gas, double T);

/// Between two walls `gap` [m] apart, of any width from 0 on, at their mean temperature [W/(m2 K)];
/// convection apart.
double gap_conductance(const Gas& gas, double gap, double T_mean);

}  // namespace joulepress::materials
