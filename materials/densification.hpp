// Laws by which a powder densifies, given how its dense solid creeps: strain rate (stress / A_u)^n.
//
//   closed die            materials/creep.hpp, the default: axial load, no strain in r
// and two that are isostatic, made for a pressure P from all sides; under a punch the axial stress takes its
// place, so the die wall is taken to press as hard as the punch, which is true near full density only
// (radial_stress_ratio says where).  D0 is the relative density at which the grains just touch.
//   contacts of spheres   D' = 5.3 (D^2 D0)^(1/3) x/R (P1 / 3 A_u)^n,              D < 0.88: necks grow
//                         D' = 1.5 D (1 - D) / (1 - (1 - D)^(1/n))^n (1.5 P / n A_u)^n,   D > 0.92: pores
//                         close x/R = ((D - D0) / (3 (1 - D0)))^(1/2),   P1 = P (1 - D0) / (D^2 (D - D0))
//     Helle, Easterling and Ashby 1985, Acta Metall 33:2163, from memory, power-law creep alone: the branches
//     of boundary and lattice diffusion are left out, since no shipped material has their constants.  The
//     stages do not meet at 0.9 (a factor of 1.5 to 5), so they are joined geometrically from 0.88 to 0.92 as
//     sets of creep are (materials/powder.hpp).
//   effective stress      D'/D = (P1 / A_u)^n ((D - D0) / (1 - D0))^(1 - n),  P1 as above
//     Bernard-Granger and Guizard 2007, Acta Mater 55:3493, from memory.  They write D'/(D mu) = K exp(-Q/RT)
//     / T (b/G)^p (P1 / mu)^n with a shear modulus mu that vanishes at D0 as (D - D0) / (1 - D0); with that
//     of the dense solid put into A_u this is the same: `dislocation` creep carries 1/T and mu(T), `measured`
//     creep has them in its activation energy.  It reaches full density in finite time.
// D' is dD/dt; for a column that keeps its width D'/D is -dh/(h dt).
//
// Domain: D0 < D < 1.  Both are singular at D0, the touches being points; within nearest_to_tap of D0 and
// below it D - D0 is held at nearest_to_tap.  Start from a density that the preload has reached.
#pragma once

#include <span>
#include <string>

namespace joulepress::materials {

struct Densification {
  enum class Law { closed_die, contacts_of_spheres, effective_stress };
  Law law = Law::closed_die;
  double tap_density = 0;  ///< D0, of the isostatic laws
  std::string reason;
};

/// Least D - D0 the isostatic laws are evaluated at; our choice, no source.
inline constexpr double nearest_to_tap = 0.01;

/// P1 / P: how much harder the touches press than the punch.
double contact_pressure_ratio(double relative_density, double tap_density);

/// D'/D [1/s] of each stage by itself; `strength` is A_u [Pa s^(1/n)].
double neck_stage_rate(double exponent, double strength, double pressure, double relative_density,
                       double tap_density);
double pore_stage_rate(double exponent, double strength, double pressure, double relative_density);

/// D'/D [1/s], the two stages joined.
double contacts_of_spheres_rate(double exponent, double strength, double pressure, double relative_density,
                                double tap_density);

/// D'/D [1/s].
double effective_stress_rate(double exponent, double strength, double pressure, double relative_density,
                             double tap_density);

/// -dh/(h dt) [1/s] by the law, closed die included.
double densification_rate(const Densification& densification, double exponent, double strength, double stress,
                          double relative_density);

/// The name material files use, e.g. "closed die".
std::string name_of(Densification::Law law);

/// All laws, for readers and tests.
std::span<const Densification::Law> densification_laws();

}  // namespace joulepress::materials
