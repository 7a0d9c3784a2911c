// Effective properties of a porous solid against its relative density D (pores carry nothing).
#pragma once

namespace joulepress::materials {

/// Maxwell-Eucken, closed pores: K = 2 D / (3 - D).  Conductivity of the porous over that of the dense solid.
/// Source: Eucken 1932 (form from memory); exact dilute limit 1 - 3/2 (1 - D).  Domain 0 < D <= 1; good for
/// isolated pores, too high for loose powder.
double maxwell_eucken(double relative_density);

/// Bruggeman symmetric: K = (3 D - 1) / 2, zero below D = 1/3.  Source: Bruggeman 1935 (from memory).
double bruggeman(double relative_density);

}  // namespace joulepress::materials
