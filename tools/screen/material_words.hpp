// Materials in words: what is known, between which temperatures, how surely, and from where.
#pragma once

#include <string>
#include <vector>

#include "materials/material.hpp"

namespace joulepress::tools {

/// One property as it is shown: in the units of the trade.
struct ShownProperty {
  std::string name, unit;
  double factor = 1;  ///< shown value = SI value / factor
  const materials::Property* property = nullptr;
};

/// Every property a material has, across the layers too, in the order of the data files.
std::vector<ShownProperty> shown_properties(const materials::Material& material);

/// "15 %, one standard deviation" or "a factor of 2 either way"; empty when none is stated.
std::string uncertainty_text(const materials::Uncertainty& uncertainty);

/// Heading and a line for each material: range, melting, what is least sure.
std::string material_lines(const std::vector<materials::Material>& materials);

/// The same with advice what to ask next.
std::string materials_table(const std::vector<materials::Material>& materials);

/// Everything about one material.
std::string material_page(const materials::Material& material);

}  // namespace joulepress::tools
