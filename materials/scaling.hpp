// What of a material is known to a factor: curves and rates that a case or a study scales as a whole.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "materials/material.hpp"

namespace joulepress::materials {

/// Everything that can be scaled in some material, by the names of the material file: "resistivity",
/// "resistivity across", "creep" (the rate), "oxide film" (its resistivity), "gas in pores" (their factor)
/// ...
std::vector<std::string> scalable();

/// How unsure it is; none where the material does not have it.  Of several sets of creep the least sure.
Uncertainty uncertainty_of(const Material& material, std::string_view property);

/// Whether the material has it.
bool has(const Material& material, std::string_view property);

/// Multiplies it at every temperature.  The resistivity of a mixture is that of both its solids.  Throws
/// std::invalid_argument with the reason where the material does not have it, for a factor that is not
/// positive, and for an emissivity or a Poisson ratio that would rise above its bound.
void scale(Material& material, std::string_view property, double factor);

/// The factor by which the emissivity would become 1, or the Poisson ratio 0.45, where it is highest within
/// its range [-]; infinity for every other property.
double largest_factor(const Material& material, std::string_view property);

}  // namespace joulepress::materials
