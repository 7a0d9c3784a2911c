// A powder of two solids, one conducting and one insulating, mixed grain by grain.
//
// Current: the general effective medium (materials/porous.hpp) of the conducting solid in everything else,
// its share being that of the WHOLE volume, fraction x D, so that it percolates as the powder densifies:
//   share < threshold    islands in the insulator        share > threshold    a skeleton that carries the
//   current
// Everything else is the insulating solid thinned by the pores, at the relative density it has by itself,
//   (1 - fraction) D / (1 - fraction D),   by the porous law of its own material file.
// Source: McLachlan, Blaszkiewicz and Newnham 1990, J Am Ceram Soc 73:2187, from memory.
#pragma once

#include <string>

#include "materials/curve.hpp"
#include "materials/porous.hpp"
#include "materials/uncertainty.hpp"

namespace joulepress::materials {

struct Mixture {
  std::string conducting, insulating;  ///< names of the two solids
  double fraction = 0;                 ///< volume of the conducting solid over that of both
  double threshold = 0;  ///< share of the whole volume from which the conducting grains hang together
  double exponent = 0;
  Curve conducting_resistivity;  ///< ohm m, dense
  Curve insulating_resistivity;  ///< ohm m, dense
  PorousLaw insulating_law;      ///< of its electric conductivity
  std::string source;
  Uncertainty uncertainty;  ///< of the resistivity
};

/// Resistivity [ohm m] at a temperature [K] and a relative density.
double mixture_resistivity(const Mixture& mixture, double temperature, double relative_density);

}  // namespace joulepress::materials
