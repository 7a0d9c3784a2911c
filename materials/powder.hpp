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

/// Electrical resistivity of the powder [ohm m].
double powder_resistivity(const Material& material, double temperature, double relative_density);

}  // namespace joulepress::materials
