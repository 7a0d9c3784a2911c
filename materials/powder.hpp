// A powder of a material: how fast it closes under a punch, and how it conducts, at the density it has now.
//
// Where the mechanism changes with density the material has several sets of creep.  Between neighbours the
// rates are joined over +-creep_blend of relative density about the border b:
//   rate = rate_1^(1 - w) rate_2^w,   w = s^2 (3 - 2 s),   s = (D - b + creep_blend) / (2 creep_blend) held
//   to 0..1
// Geometrically, because the two may differ by decades: an arithmetic mean would be the faster one as soon as
// it has a percent of the weight, and the stress exponent would jump with it; this way the exponent slides
// from n_1 to n_2.  With a continuous slope, because the speed of the punch is found by Newton's method.
#pragma once

#include <optional>

#include "materials/material.hpp"

namespace joulepress::materials {

/// What a powder feels at one place.
struct Pressed {
  double stress = 0;            ///< Pa, axial, that of the pores' surfaces included
  double temperature = 0;       ///< K
  double relative_density = 0;  ///< 0 < D < 1
  std::optional<double> grain;  ///< m; none: that of the kinetic data
};

/// Half the width in relative density over which one set of creep gives way to the next; our choice, no
/// source.
inline constexpr double creep_blend = 0.02;

/// -dh/(h dt) of a column that keeps its width [1/s], positive while it densifies; rises with the stress.  By
/// the material's law of densification: a closed die, or an isostatic law that takes the axial stress for a
/// pressure from all sides and whose domain begins at its tap density.  The material must have creep.
double closing_rate(const Material& material, const Pressed& at);

/// Pressure under which a powder yields at once, by the contacts of its grains below D = 0.9 and as a solid
/// with holes above, joined over +-0.02 [Pa]:
///   2.97 D^2 (D - D0)/(1 - D0) sigma_y,   2/3 sigma_y ln( 1/(1 - D) )
/// D0 the density at which the grains begin to touch.  Domain: D0 <= D < 1.  The material must have a yield
/// strength.  Source: Helle, Easterling and Ashby 1985, Acta Metall 33:2163, from memory.
double yield_pressure(const Material& material, double temperature, double relative_density, double loose);

/// The D0 by which a powder pressed cold to that density has yielded just so far; not below 0.
double loose_density(const Material& material, double temperature, double relative_density, double pressure);

/// Time to go on to the relative density `to` at that stress and temperature [s]; the sintering stress and
/// friction at the wall left out.  Domain: relative density < to < 1.
double closing_time(const Material& material, const Pressed& at, double to);

/// What the surfaces of the pores add to the stress [Pa], 3 alpha D^2 / r of grains of radius r [m] (Skorohod
/// and Olevsky; Olevsky 1998, Mater Sci Eng R 23:41, from memory); 0 where the surface energy alpha is not
/// known.
double sintering_stress(const Material& material, double grain_radius, double temperature,
                        double relative_density);

/// Heat conductivity of the powder [W/(m K)].
double powder_conductivity(const Material& material, double temperature, double relative_density);

/// Electrical resistivity of the powder [ohm m]; `film_share`, 0 to 1, is what is left of its oxide film.
double powder_resistivity(const Material& material, double temperature, double relative_density,
                          double film_share);

/// What is left of the oxide film once the powder has been as hot as `hottest` [K]: 1 below its window, 0
/// above it; 0 of a material without film.
double film_left(const Material& material, double hottest);

}  // namespace joulepress::materials
