// Quantities with units, text -> SI.
#pragma once

#include <optional>
#include <string>
#include <string_view>

namespace joulepress::cases {

enum class Kind {
  length,
  area,
  mass,
  time,
  temperature,             ///< absolute: degC or K
  temperature_difference,  ///< K
  temperature_rate,        ///< degC/min, K/min, K/s
  pressure,
  force,
  current,
  voltage,
  power,
  energy,
  area_resistance,  ///< ohm m2
  film,             ///< W/m2K
  conductivity,     ///< W/mK
  resistivity,      ///< ohm m
  density,
  heat_capacity,   ///< J/kgK
  strain_rate,     ///< 1/s
  molar_energy,    ///< J/mol
  diffusivity,     ///< m2/s
  expansion,       ///< 1/K
  surface_energy,  ///< J/m2
  compliance,      ///< m/N
  seebeck,         ///< V/K
  ratio,           ///< a plain number or %
};

/// SI value, or why the text is not a quantity of this kind.
struct Quantity {
  double value = 0;  ///< of a mistake the value most likely meant, so that checks can go on; 0: no idea
  std::string problem, remedy;  ///< empty when all is well
  bool good() const { return problem.empty(); }
};

/// Without the blanks at its ends.
std::string_view trimmed(std::string_view text);

Quantity parse_quantity(const std::string& text, Kind kind);

/// Factor of a unit of the kind to SI; empty when unknown (used by material tables, offset-free units only).
std::optional<double> unit_factor(const std::string& unit, Kind kind);

/// The unit in which values of the kind are held: "m", "ohm m2"; empty for plain numbers.
std::string si_unit(Kind kind);

std::string kind_name(Kind kind);
std::string units_of(Kind kind);  ///< "mm, cm, m" for messages

/// The way out, for messages and screens.
inline constexpr double zero_celsius = 273.15;  ///< K
inline double in_mm(double metres) {
  return 1e3 * metres;
}
inline double in_celsius(double kelvin) {
  return kelvin - zero_celsius;
}

}  // namespace joulepress::cases
