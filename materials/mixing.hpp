// The dense material that two solids make together.
//
//   density              by volume
//   heat capacity        by mass, exactly
//   heat conductivity    Bruggeman: both solids alike, neither of them the matrix (the general effective
//   medium
//                        with threshold 1/3 and exponent 1).  Two solids of a factor of ten or so do not
//                        percolate, and Bruggeman lies between the bounds of Hashin and Shtrikman (Maxwell's
//                        two answers for either solid as the matrix).
//   resistivity          materials/mixture.hpp at D = 1
//   emissivity, expansion    by volume; expansion strictly by volume and stiffness (Turner), a difference
//   that is
//                        small beside what is known
//   first liquid         the lower one of the two; a eutectic of the two with each other is not known here
// Strengths and elastic modulus do not follow and stay unknown.
#pragma once

#include "materials/material.hpp"

namespace joulepress::materials {

/// Puts the properties of the mixture into a material; its name, notes, creep and porous laws stay.  Of
/// `mixture` the names, curves and law of the solids are filled in here.  Throws std::invalid_argument where
/// the ranges of the two have nothing in common.
void mix(Material& material, const Material& conducting, const Material& insulating, Mixture mixture);

}  // namespace joulepress::materials
