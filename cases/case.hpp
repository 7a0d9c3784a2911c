// Case: the case file as plain structs, SI units, validated by itself; knows where each value stood.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "materials/material.hpp"

namespace joulepress::cases {

/// Where something stood in a file; line and column count from 1, 0 when unknown.
struct Place {
  std::string file;
  int line = 0, column = 0;
};

struct ColumnPart {
  Place place;
  std::string name;
  std::string material;  ///< name of the material
  bool powder = false;
  double diameter = 0;                     ///< m
  double bore = 0;                         ///< m, 0: solid
  std::optional<double> height;            ///< m
  std::optional<double> mass;              ///< kg, powder only (then the height follows from the end density)
  std::optional<double> relative_density;  ///< of the powder at the preload
  std::optional<double> density_pressure;  ///< Pa, where that density was measured
  std::optional<double> end_density;       ///< expected relative density at the end; used for the whole run
};

struct Sleeve {
  Place place;
  std::string name, material;
  double inner_diameter = 0, outer_diameter = 0, height = 0;  ///< m
  std::string centre_on;                                      ///< part whose middle is its middle
  std::string moves_with;
};

struct FoilLayer {
  Place place;
  std::string material;                   ///< default: graphite foil
  std::string along;                      ///< sleeve whose bore it lines; or
  std::string between_low, between_high;  ///< the two column neighbours it separates
  double thickness = 0;                   ///< m
};

/// Totals of foil plus its two touches, or of a bare touch; the touch follows from the total and the foil.
/// Defaults at 20 MPa: Zavaliangos, Zhang, Krammer, Groza 2004, Mater. Sci. Eng. A 379:218, from memory; a
/// factor 2 (axial) or 3 (lateral) either way.
struct ContactTotals {
  Place place;
  double electric_axial = 8e-8, electric_lateral = 1.3e-7;  ///< ohm m2
  double heat_axial = 2400, heat_lateral = 1320;            ///< W/(m2 K)
};

struct CaseSensor {
  Place place;
  std::string name;
  std::string part;                 ///< `in`
  double depth = 0;                 ///< m, bore from the outer surface
  std::optional<double> height;     ///< m above the bottom of the part; none: middle
  double sheath_diameter = 1.5e-3;  ///< m
  double sheath_conductivity = 15;  ///< W/(m K)
  bool stem = true;                 ///< whether the closed-form stem error is subtracted
};

struct ProgrammeStep {
  Place place;
  enum class Kind { ramp, hold, cool_free } kind = Kind::hold;
  double to = 0;                   ///< ramp: K, A, V or W
  std::optional<double> rate;      ///< ramp: K/s (temperature), or
  std::optional<double> duration;  ///< s
  std::string name;
};

struct Programme {
  Place place;
  enum class Driven { temperature, current, voltage, power, nothing } driven = Driven::nothing;
  std::string control;  ///< sensor name, temperature programmes only
  std::vector<ProgrammeStep> steps;
  /// Pressure on powder, Pa in `to`; its last value sets the axial touches, constant through the run.
  std::vector<ProgrammeStep> pressure;
};

struct Press {
  Place place;
  std::string name = "unnamed press";
  std::optional<double> current_limit, voltage_limit, power_limit;  ///< effective A, V, W
  std::optional<double> force_limit;                                ///< N
  double end_film = 880;  ///< W/(m2 K) at both column ends, ram, joint and cooling lumped; source as
                          ///< ContactTotals, factor 2
  double water_temperature = 293.15;      ///< K
  std::optional<double> end_temperature;  ///< K: column ends held at it instead of the film
  bool ends_insulated = false;            ///< no heat through the column ends
};

struct Case {
  std::string file;
  std::string text;  ///< the file word for word, for excerpts in later messages
  int format = 1;
  std::string title;
  Press press;
  std::vector<ColumnPart> column;  ///< bottom to top
  std::vector<Sleeve> sleeves;
  std::vector<FoilLayer> foils;
  ContactTotals contacts;
  double chamber_temperature = 298.15;  ///< K
  double initial_temperature = 298.15;  ///< K
  bool radiating = true;
  std::vector<CaseSensor> sensors;
  Programme programme;
  int refinement = 1;                          ///< divides every cell in both directions
  double history_every = 5;                    ///< s
  std::vector<materials::Material> materials;  ///< every material named above, read
  std::vector<std::string> material_texts;     ///< their files, word for word, for the resolved case
};

}  // namespace joulepress::cases
