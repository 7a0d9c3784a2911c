// What a material's page says about a powder of it, and words that other screens share.
#pragma once

#include <string>

#include "materials/material.hpp"

namespace joulepress::tools {

/// Oxide film, creep and what it means at the press; empty where nothing of it is known.
std::string powder_lines(const materials::Material& material);

/// A duration in the unit one would say it in: "45 s", "8 min", "26 h".
std::string about(double seconds);

/// Whole degrees, never "-0".
double celsius(double kelvin);

}  // namespace joulepress::tools
