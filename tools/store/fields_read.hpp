// The cell fields of a run read back from results.h5 (docs/output_format.md).
#pragma once

#include <filesystem>
#include <vector>

#include "tools/store/results_read.hpp"

namespace joulepress::tools {

/// [output, cell], vectors [output, cell, 2] with the components r and z; SI and kelvin.
struct StoredFields {
  std::vector<double> times;          ///< s, [output]
  std::vector<double> z_low, z_high;  ///< m
  std::vector<double> temperature;    ///< K
  std::vector<double> electric_potential, current_density, joule_heat, heat_flux, relative_density;
};

/// Throws FileError when they cannot be read or do not fit the cells of `results`.
StoredFields read_fields(const std::filesystem::path& folder, const StoredResults& results);

}  // namespace joulepress::tools
