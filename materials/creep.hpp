// How fast the dense solid creeps, and a powder of it densifies in a closed die.
//
// Dense solid, steady creep under a uniaxial stress sigma:   rate = (sigma / A_u)^n,   A_u the strength at T
//   measured      rate = r0 (sigma/s0)^n (g0/g)^p exp( -Q/R (1/T - 1/T0) )
//   dislocation   rate = F D0 exp(-Q/RT) mu b / (k T) (sigma/mu)^n,   mu = mu0 (1 + slope (T - 300 K)/T_melt)
// (Frost and Ashby 1982, Deformation-Mechanism Maps, with F for tensile stress and rate, from memory.)
// Powder, porosity P = 1 - D, flat rigid punches, a rigid die without friction, no strain in r (Skorohod and
// Olevsky; Olevsky and Froyen 2006, Scripta Mater 55:1175, from memory, derived again):
//   -dh/(h dt) = (stress / A_u)^n (9 P/4)^((n+1)/2) D^(-(3n+1)/2),   D h constant
//   radial / axial stress = (psi - phi/3) / (psi + 2 phi/3),   phi = D^2,  psi = (2/3) D^3 / P
// Some sources define the constant by the dissipated power, sigma(W) = A W^m with m = 1/n; then
//   A_u = A (3/2)^((m+1)/2).
// Taking one for the other is worth (3/2)^((n+1)/2) in rate, a factor of 3 at n = 4.6.
// A powder whose mechanism changes as it densifies has several sets, each up to a relative density; how they
// are joined stands in materials/powder.hpp.
#pragma once

#include <functional>
#include <optional>
#include <string>

#include "materials/uncertainty.hpp"

namespace joulepress::materials {

struct Creep {
  enum class Law { measured, dislocation };
  Law law = Law::measured;
  double exponent = 1;           ///< n, of the stress
  double activation_energy = 0;  ///< Q [J/mol]
  // measured: a rate, and the stress, temperature and grain size it belongs to
  bool of_dissipated_power = false;  ///< the rate belongs to sigma(W), not to a uniaxial stress
  double rate = 0;                   ///< 1/s
  double stress = 0;                 ///< Pa
  double temperature = 0;            ///< K
  double grain = 0;                  ///< m; 0: does not depend on it
  double grain_exponent = 0;         ///< p
  // dislocation
  double factor = 0;         ///< F
  double diffusion = 0;      ///< D0 [m2/s]
  double burgers = 0;        ///< b [m]
  double shear_modulus = 0;  ///< mu at 300 K [Pa]
  double modulus_slope = 0;  ///< (T_melt/mu) dmu/dT
  double melting = 0;        ///< K

  double up_to_density = 1;  ///< relative density of the powder where the next set takes over

  std::string source, note;
  Uncertainty uncertainty;  ///< of the rate
};

/// A_u [Pa s^(1/n)] at T [K]; `grain` [m], none: that of the measurement.
double uniaxial_strength(const Creep& creep, double T, std::optional<double> grain = std::nullopt);

/// A_u for a constant that was defined by the dissipated power.
double uniaxial_from_power(double strength, double exponent);

/// Rate of the dense solid under a uniaxial stress [1/s].
double creep_rate(const Creep& creep, double stress, double T, std::optional<double> grain = std::nullopt);

/// -dh/(h dt) of a powder in a closed die [1/s].  Domain: 0 < D < 1.
double closed_die_rate(double exponent, double strength, double stress, double relative_density);

/// Radial over axial stress of a powder in a closed die, whatever its exponent.
double radial_stress_ratio(double relative_density);

/// Time to go from one relative density to another [s]; `rate`: -dh/(h dt) at a relative density [1/s].
/// Domain: 0 < from < to < 1.
double densification_time(const std::function<double(double)>& rate, double from, double to);

/// Time for a powder to go from one relative density to another at a constant stress and strength [s]; the
/// sintering stress and friction at the wall left out.  Domain: 0 < from < to < 1.
double closed_die_time(double exponent, double strength, double stress, double from, double to);

}  // namespace joulepress::materials
