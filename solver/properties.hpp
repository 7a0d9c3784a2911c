// Material properties per cell at the present temperatures, and the enthalpy they imply.
//
//   H = m h(T),  h(T) = integral of cp from 298.15 K,  m = relative density x solid density x volume at the
//   start: mass stays in its cell while a bed closes
//
// The unknown of the march is H; T follows by inversion, so that stored energy closes exactly where cp is
// steep.  Resistivities 1/k and rho_e are kept (not conductivities): a face then needs one division.
#pragma once

#include <span>
#include <string>
#include <vector>

#include "solver/problem.hpp"

namespace joulepress::solver {

using CellField = std::vector<double>;
struct BedState;  // solver/state.hpp

struct Properties {
  CellField heat_resistivity_r, heat_resistivity_z;          ///< 1/k [m K/W]
  CellField electric_resistivity_r, electric_resistivity_z;  ///< [ohm m]
  /// Of touches, per pair face [ohm m2], [W/(m2 K)]; empty: as Problem::contacts has them.
  std::vector<double> touch_resistance, touch_conductance;
};

/// The curve that serves a direction in a part: through its layers where it has some across it.
const materials::Curve& curve_along(const materials::DirectionalProperty& property, const Part& part,
                                    mesh::Axis axis);

/// Mass per cell [kg].
CellField cell_masses(const Problem& problem);

/// `beds`: one per Problem::beds.  `hottest`: per cell, the highest temperature met before [K], which the
/// film on the grains of a metal remembers.
void properties_at(const Problem& problem, std::span<const double> temperature,
                   std::span<const BedState> beds, std::span<const double> hottest, Properties& out);

/// Relative density per cell: 1 in tools, of powders as `beds` has it or constant.
CellField relative_densities(const Problem& problem, std::span<const BedState> beds);

/// H [J] and dH/dT [J/K] per cell.
void enthalpy_at(const Problem& problem, std::span<const double> mass, std::span<const double> temperature,
                 CellField& enthalpy, CellField& capacity);

/// Inverts H(T); `temperature` holds the guess and receives the result [K].
void temperature_from_enthalpy(const Problem& problem, std::span<const double> mass,
                               std::span<const double> enthalpy, CellField& temperature);

/// One sentence for every property used outside its stated range between the two temperature fields
/// (lowest and highest met per cell).
std::vector<std::string> range_warnings(const Problem& problem, std::span<const double> lowest,
                                        std::span<const double> highest);

}  // namespace joulepress::solver
