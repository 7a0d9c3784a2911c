// Case: the case file as plain structs, SI units, validated by itself; knows where each value stood.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "materials/material.hpp"

namespace joulepress::cases {

/// Where something stood in a file; line and column count from 1, 0 when unknown.
struct Place {
  std::string file;
  int line = 0, column = 0;
  int length = 1;  ///< bytes of what stood there, for the mark below an excerpt
};

/// Where an entry and each of its values stood.
struct Written {
  std::string path;  ///< key path of the entry, e.g. column[2]
  Place place;
  std::vector<std::pair<std::string, Place>> values;

  /// Whether the key stood there.
  bool has(std::string_view key) const;
  /// Place of the value of a key; of the whole entry when the key is absent.
  const Place& at(std::string_view key) const;
  std::string path_of(std::string_view key) const;
};

struct ColumnPart {
  Written written;
  std::string name;
  std::string material;  ///< name of the material
  bool powder = false;
  bool cavity = false;                     ///< of a tool set, not filled yet
  double diameter = 0;                     ///< m
  double bore = 0;                         ///< m, 0: solid
  double worn_by = 0;                      ///< m, tools: the outer diameter is smaller by this
  std::optional<double> height;            ///< m
  std::optional<double> mass;              ///< kg, powder only (then the height follows from the end density)
  std::optional<double> relative_density;  ///< of the powder at the preload
  std::optional<double> density_pressure;  ///< Pa, where that density was measured
  double end_density = 0;     ///< expected relative density at the end; used for the whole run where nothing
                              ///< densifies it
  bool densification = true;  ///< powder: whether it densifies, where its kinetics are known
  bool oxide_film = true;     ///< powder: whether its grains begin with their film
  std::optional<double> grain;  ///< m, powder
  double wall_friction = 0;     ///< powder: coefficient of friction at the wall
};

struct Sleeve {
  Written written;
  std::string name, material;
  double inner_diameter = 0;              ///< m; 0: solid, a core rod
  double outer_diameter = 0, height = 0;  ///< m
  double worn_by = 0;                     ///< m: the bore is wider by this; a core rod is thinner by this
  std::string centre_on;                  ///< part whose middle is its middle
  std::string moves_with;
};

struct FoilLayer {
  Written written;
  std::string material;                   ///< default: graphite foil
  std::string along;                      ///< sleeve whose bore it lines
  bool outside = false;                   ///< it lines the outside of that sleeve, not its bore; or
  std::string between_low, between_high;  ///< the two column neighbours it separates
  double thickness = 0;                   ///< m
};

/// Totals of foil plus its two touches, or of a bare touch; the touch follows from the total and the foil.
struct ContactTotals {
  double electric_axial = 0, electric_lateral = 0;  ///< ohm m2
  double heat_axial = 0, heat_lateral = 0;          ///< W/(m2 K)
};

struct CaseSensor {
  Written written;
  std::string name;
  std::string part;                ///< `in`
  double depth = 0;                ///< m, bore from the outer surface
  std::optional<double> height;    ///< m above the bottom of the part; none: middle
  double sheath_diameter = 0;      ///< m
  double sheath_conductivity = 0;  ///< W/(m K)
  bool stem = false;               ///< whether the closed-form stem error is subtracted
};

struct ProgrammeStep {
  Written written;
  enum class Kind { ramp, hold, cool_free } kind = Kind::hold;
  double to = 0;                   ///< ramp: K, A, V or W
  std::optional<double> rate;      ///< ramp: K/s (temperature), or
  std::optional<double> duration;  ///< s
  std::string name;
  // Of the pressure: what ends a hold instead of its time, settled into `duration` when the case has been
  // read.
  std::optional<double> until;  ///< K, first reached by the temperature programme
  std::string until_start_of;   ///< name of a step of the programme
};

struct Programme {
  Written written;
  enum class Driven { temperature, current, voltage, power, nothing } driven = Driven::nothing;
  std::string control;  ///< sensor name, temperature programmes only
  std::vector<ProgrammeStep> steps;
  /// Pressure on powder, Pa in `to`; after its steps it stays.  Its highest value sets the axial touches,
  /// constant through the run.
  std::vector<ProgrammeStep> pressure;
};

struct Press {
  Written written;
  std::string name;
  std::optional<double> current_limit, voltage_limit, power_limit;  ///< effective A, V, W
  std::optional<double> force_limit;                                ///< N
  double vacuum_pull = 0, moving_weight = 0;  ///< N, on the column besides what the gauge says
  double frame_compliance = 0;                ///< m/N
  double end_film = 0;                        ///< W/(m2 K) at both column ends: ram, joint and cooling lumped
  double water_temperature = 0;               ///< K
  std::optional<double> end_temperature;      ///< K: column ends held at it instead of the film
  bool ends_insulated = false;                ///< no heat through the column ends
};

/// A file a case includes by name.
struct IncludedFile {
  std::string name;  ///< as written in the case
  std::string file;  ///< where it was found
  std::string text;  ///< word for word
};

/// Every default stands in the key table (cases/reader/keys.hpp), none here.
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
  double chamber_temperature = 0;  ///< K
  double initial_temperature = 0;  ///< K
  bool radiating = false;
  std::vector<CaseSensor> sensors;
  Programme programme;
  double accuracy = 0.1;                       ///< numerical error aimed at [K]
  bool two_point_fluxes = false;               ///< instead of cubic ones
  bool mirror = true;                          ///< use the mirror symmetry of the stack where it has one
  int refinement = 1;                          ///< divides every cell in both directions
  bool strict = false;                         ///< leaving the range of a material's data is an error
  double history_every = 0;                    ///< s
  std::optional<double> fields_every;          ///< s; none: fields at corners only
  std::vector<IncludedFile> included;          ///< press and tooling files
  std::vector<materials::Material> materials;  ///< every material named above, read
  std::vector<std::string> material_texts;     ///< their files, word for word, for the resolved case
};

}  // namespace joulepress::cases
