// The cell fields of a run, declared once for every file that holds them: results.h5 and fields/*.vtu.
#pragma once

#include <array>
#include <string>
#include <vector>

#include "solver/fields.hpp"

namespace joulepress::tools {

/// One field; either a scalar or a vector (r, z).
struct FieldColumn {
  const char* name;
  const char* unit;  ///< "1" for pure numbers
  solver::CellField solver::CellFields::*scalar = nullptr;
  std::vector<std::array<double, 2>> solver::CellFields::*vector = nullptr;
};

inline constexpr std::array<FieldColumn, 6> field_columns{{
    {"temperature", "K", &solver::CellFields::temperature, nullptr},
    {"electric_potential", "V", &solver::CellFields::electric_potential, nullptr},
    {"current_density", "A/m2", nullptr, &solver::CellFields::current_density},
    {"joule_heat", "W/m3", &solver::CellFields::joule_heat, nullptr},
    {"heat_flux", "W/m2", nullptr, &solver::CellFields::heat_flux},
    {"relative_density", "1", &solver::CellFields::relative_density, nullptr},
}};

}  // namespace joulepress::tools
