// One material on an A4 page: every property against temperature with its range, uncertainty and source.
#pragma once

#include <string>

#include "materials/material.hpp"

namespace joulepress::tools {

/// SVG, 210 x 297 mm, the same bytes for the same material.
std::string material_sheet(const materials::Material& material);

}  // namespace joulepress::tools
