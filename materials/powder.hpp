// A powder of a material: how fast it closes under a punch, and how it conducts, at the density it has now.
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

/// -dh/(h dt) in a closed die [1/s], positive while it densifies; rises with the stress.  The material must
/// have kinetics.
double closing_rate(const Material& material, const Pressed& at);

/// Heat conductivity of the powder [W/(m K)].
double powder_conductivity(const Material& material, double temperature, double relative_density);

/// Electrical resistivity of the powder [ohm m]; `film_share`, 0 to 1, is what is left of its oxide film.
double powder_resistivity(const Material& material, double temperature, double relative_density,
                          double film_share);

/// What is left of the oxide film once the powder has been as hot as `hottest` [K]: 1 below its window, 0
/// above it; 0 of a material without film.
double film_left(const Material& material, double hottest);

}  // namespace joulepress::materials
