// Effective conductivity of a porous solid against its relative density D = 1 - porosity.
//
// Every law returns K, the conductivity of the porous over that of the dense solid, for 0 < D <= 1; K(1) = 1.
// Pores carry nothing unless said otherwise; radiation across them is a term of its own (pore_radiation).
// Forms and sources are from memory; tests/materials/test_porous.cpp holds three-digit values of all of them.
#pragma once

#include <span>
#include <string>

namespace joulepress::materials {

/// Maxwell-Eucken, closed pores: K = 2 D / (3 - D).  The most an isotropic body can carry (upper bound of
/// Hashin and Shtrikman 1962); exact for few pores, 1 - 3/2 (1 - D).  Too high for loose powder.  Source:
/// Eucken 1932.
double maxwell_eucken(double relative_density);

/// Bruggeman symmetric: K = (3 D - 1) / 2, zero below D = 1/3; exact for few pores.  Source: Bruggeman 1935.
double bruggeman(double relative_density);

/// Koh-Fortini: K = D / (1 + 11 (1 - D)^2), fitted to sintered metals of D > 0.4 or so; always positive. Near
/// full density it loses 1 instead of 3/2 of the first pores and stands up to 0.6 % above the bound of
/// Maxwell-Eucken (D > 0.955).  Source: Koh and Fortini 1973, Int J Heat Mass Transfer 16:2013.
double koh_fortini(double relative_density);

/// Argento-Bouvard, spheres that grow necks: K = ((D - D0) / (1 - D0))^(2 (1 - D0)), D0 the tap density, zero
/// below it. Source: Argento and Bouvard 1996, Int J Heat Mass Transfer 39:1343.
double argento_bouvard(double relative_density, double tap_density);

/// Power law: K = D^exponent, exponent 1.5 (few spherical pores) to 3.  Source: Montes, Aivazov and
/// Domashnev.
double power(double relative_density, double exponent);

/// Montes, pressed powder: K = (1 - porosity / tap porosity)^exponent, exponent 1.5 or more, zero below the
/// tap density D0 = 1 - tap porosity.  The oxide film, a term in series until it breaks down, is not in it
/// (materials/oxide_film.hpp).
/// Source: Ternero, Rosa, Urban, Montes and Cuevas 2021, Metals 11:730; exponent from memory.
double montes(double relative_density, double tap_density, double exponent);

/// General effective medium (McLachlan) of two phases, in the unit of the two conductivities:
///   sum of fraction_i (s_i - x) / (s_i + A x) = 0,   s = sigma^(1/t),  x = result^(1/t),  A = (1 - c) / c
/// with the percolation threshold c of the better conductor (0.16-0.33) and the exponent t (1.6-2).  With two
/// phases it is a quadratic in x and is solved in closed form.  t = 1, c = 1/3 is Bruggeman. Domain: 0 <=
/// fraction <= 1, 0 <= low <= high, 0 < threshold < 1, exponent > 0. Source: McLachlan, Blaszkiewicz and
/// Newnham 1990, J Am Ceram Soc 73:2187.
double general_effective_medium(double fraction_of_high, double high, double low, double threshold,
                                double exponent);

/// Radiation across pores [W/(m K)], parallel to the solid: 4 emissivity sigma T^3 diameter (T in K, diameter
/// in m); 0.047 times the emissivity for 100 um at 1273 K, nothing for fine powder.  The shape factor of the
/// pores, near 1, is left out.  Source: Loeb 1954, J Am Ceram Soc 37:96.
double pore_radiation(double temperature, double emissivity, double pore_diameter);

/// One of the laws with its parameters, as a material file names it.
struct PorousLaw {
  enum class Kind { maxwell_eucken, bruggeman, koh_fortini, argento_bouvard, power, montes, mclachlan };
  Kind kind = Kind::maxwell_eucken;
  double tap_density = 0;  ///< argento_bouvard, montes
  double exponent = 0;     ///< power, montes, mclachlan
  double threshold = 0;    ///< mclachlan: the relative density at which the solid begins to hang together
};

/// What is left of the dense solid's conductivity where a law says zero.  Loose powder still conducts at its
/// touches and the field equations need a positive value; a thousandth is our choice, no source.
inline constexpr double least_relative_conductivity = 1e-3;

/// K of the law, never below least_relative_conductivity.
double relative_conductivity(const PorousLaw& law, double relative_density);

/// The name material files use, e.g. "koh fortini".
std::string name_of(PorousLaw::Kind kind);

/// All laws, for readers and tests.
std::span<const PorousLaw::Kind> porous_laws();

/// How a powder of a material conducts, and why these laws were chosen.
struct Porous {
  PorousLaw heat;     ///< of the heat conductivity
  PorousLaw current;  ///< of the electric conductivity
  std::string reason;
};

}  // namespace joulepress::materials
