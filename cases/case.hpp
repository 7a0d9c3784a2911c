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

/// A hole along the axis that does not go through.
struct BlindBore {
  double diameter = 0;   ///< m
  double leaves = 0;     ///< m of the part's height, between its bottom and the other face
  bool from_top = true;  ///< which face it is drilled from
};

struct ColumnPart {
  Written written;
  std::string name;
  std::string material;  ///< name of the material
  bool powder = false;
  bool cavity = false;                     ///< of a tool set, not filled yet
  double diameter = 0;                     ///< m
  double bore = 0;                         ///< m, 0: solid
  std::optional<BlindBore> blind_bore;     ///< tools
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
  /// One of three: the part of the column whose middle is its middle, or the part on whose upper face it
  /// stands, or below whose lower face it hangs.
  std::string centre_on, stands_on, hangs_below;
  std::string moves_with;  ///< part of the column; empty: whatever it is placed by
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
  bool follow = false;                              ///< touches follow pressure and temperature
  double ageing = 1;                                ///< how many times more they resist than new ones
  double foil_fit = 0;                              ///< Pa
  double foil_stiffness = 0;                        ///< Pa
};

struct CaseSensor {
  Written written;
  std::string name;
  bool pyrometer = false;
  std::string part;              ///< `in` or `looks at`
  std::optional<double> height;  ///< m above the bottom of the part; none: middle
  double response = 0;           ///< s
  double noise = 0;              ///< K
  double reads_high_by = 0;      ///< K, what the instrument shows above the truth
  // thermocouple
  double depth = 0;                ///< m, bore from the outer surface
  double sheath_diameter = 0;      ///< m
  double sheath_conductivity = 0;  ///< W/(m K)
  bool stem = false;               ///< whether heat lost along the stem lowers the reading
  double tip_contact = 0;          ///< W/(m2 K)
  double gas = 0;                  ///< W/(m2 K)
  std::string type;                ///< letter by IEC 60584; empty: not said
  int tolerance_class = 2;
  // pyrometer
  bool in_bore = false;   ///< looks at the bottom of the part's blind bore, not at its outer surface
  double spot = 0;        ///< m, diameter
  double wavelength = 0;  ///< m
  std::optional<double> second_wavelength;              ///< m
  std::optional<double> emissivity, second_emissivity;  ///< true ones; none: of the material
  std::optional<double> set_emissivity;
  double set_ratio = 1, window = 1;
  bool wien = false;
  double sees_from = 0;  ///< K
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

struct CaseAbortRule {
  Written written;
  std::optional<double> current, voltage, power, reading;  ///< A, V, W, K; one of them
  std::string of;                                          ///< sensor of the reading
  std::optional<double> until;                             ///< K
};

/// What a furnace's own reading is called, which controls it.
inline constexpr const char* furnace_name = "furnace";

struct Programme {
  Written written;
  bool by_furnace = false;     ///< heated by the chamber's wall, whose temperature the steps are; no current
  bool by_controller = false;  ///< instead of exactly
  bool pulses = false;
  bool thermoelectric = false;
  std::string hand_over_to;                        ///< sensor; empty: none
  double hand_over_at = 0;                         ///< K
  std::optional<double> start_power, start_until;  ///< W, K
  std::vector<CaseAbortRule> aborts;
  enum class Driven { temperature, current, voltage, power, nothing } driven = Driven::nothing;
  std::string control;  ///< sensor name, temperature programmes only
  std::vector<ProgrammeStep> steps;
  /// Pressure on powder, Pa in `to`; after its steps it stays.  Its highest value sets the axial touches,
  /// constant through the run.
  std::vector<ProgrammeStep> pressure;
};

struct CaseController {
  double period = 0;  ///< s
  bool by_power = true;
  std::optional<double> proportional_band;      ///< K; none: from a step of the model
  std::optional<double> integral_time;          ///< s; the same
  double derivative_time = 0;                   ///< s
  double least_output = 0, largest_output = 1;  ///< of the full one
  double full_sweep = 0;                        ///< s
  double arrival = 0;                           ///< K
};

/// What can be typed in as a temperature programme.
struct ProgrammeEntry {
  bool given = false;                  ///< the press file says something of it
  int steps = 0;                       ///< at most, ramps, holds and coolings together
  std::optional<double> fastest_rate;  ///< K/s, up or down
  double temperature = 0, time = 0;    ///< last digits: K, s
};

struct CasePulse {
  double on = 0, off = 0;                        ///< s
  std::vector<std::pair<double, double>> ratio;  ///< output, effective over mean
  std::optional<double> largest_mean;            ///< A
};

struct Meters {
  bool mean_current = false, mean_voltage = false;  ///< shown; else the effective ones
  std::vector<std::string> taps;                    ///< two faces, lower first; empty: ends of the column
  double every = 0;                                 ///< s
  double temperature = 0, current = 0, voltage = 0, force = 0, stroke = 0;  ///< last digits: K, A, V, N, m
  double noise = 0;                                                         ///< of current and voltage [-]
};

struct Press {
  Written written;
  std::string name;
  std::string usual_sensor;  ///< empty: none
  CaseController controller;
  ProgrammeEntry entry;
  bool positive_below = false;  ///< the current enters at the lower end
  std::optional<CasePulse> pulse;
  std::optional<Meters> meters;
  std::optional<double> gauge_area;                                 ///< m2
  std::optional<double> current_limit, voltage_limit, power_limit;  ///< effective A, V, W
  std::optional<double> force_limit;                                ///< N
  double vacuum_pull = 0, moving_weight = 0;  ///< N, on the column besides what the gauge says
  double frame_compliance = 0;                ///< m/N
  double end_film = 0;                        ///< W/(m2 K) at both column ends: ram, joint and cooling lumped
  double water_temperature = 0;               ///< K
  std::optional<double> end_temperature;      ///< K: column ends held at it instead of the film
  bool ends_insulated = false;                ///< no heat through the column ends
};

/// A property of a material times a factor, whatever its curve.
struct MaterialScale {
  Written written;
  std::string material, property;  ///< names; of the property as materials::scalable() has them
  double factor = 1;
};

/// A value whose spread comes from a fit to measured runs, instead of from the key table or a material file.
struct CalibratedValue {
  std::string
      address;        ///< as of an edit: contacts.lateral.thermal, materials[isotropic graphite].resistivity
  double factor = 0;  ///< log-normal: two deviations of the logarithm, >= 1 [-]; 0: normal
  double deviation = 0;  ///< normal: standard deviation, SI; of a property of a material, of its factor
};

/// One standard score that moves all its values together.
struct CalibratedInput {
  std::string name;
  std::vector<CalibratedValue> values;
  double left = 1;  ///< share of the earlier standard deviation that is left [-]
};

/// A measured run that was learned from.
struct CalibrationLog {
  std::string file, sha256;
  std::string began;  ///< ISO date and time; empty: the log does not say
  std::string case_title;
};

/// How unsure the fitted values of a case still are and how they hang together; the values themselves stand
/// at their keys and in the scales.
struct Calibration {
  Written written;
  std::vector<CalibrationLog> logs;
  std::vector<CalibratedInput> inputs;
  std::vector<double> correlation;     ///< row-major, inputs x inputs, ones on the diagonal [-]
  std::vector<std::string> not_taken;  ///< addresses of a calibration file that this case does not have
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
  double chamber_temperature = 0;     ///< K
  double initial_temperature = 0;     ///< K
  bool starts_as_chamber = false;     ///< it was not written: that of the chamber
  std::optional<materials::Gas> gas;  ///< in the chamber; none: vacuum
  bool radiating = false;
  bool walls_see_each_other = true;  ///< open walls; else the chamber alone
  bool judge_strength = true;        ///< of the tools
  std::vector<CaseSensor> sensors;
  Programme programme;
  double safety_factor = 0;                    ///< asked of every margin, strength over stress
  double ejection_friction = 0;                ///< coefficient, of compact and foil in the bore
  double accuracy = 0.1;                       ///< numerical error aimed at [K]
  bool two_point_fluxes = false;               ///< instead of cubic ones
  bool mirror = true;                          ///< use the mirror symmetry of the stack where it has one
  int refinement = 1;                          ///< divides every cell in both directions
  bool strict = false;                         ///< leaving the range of a material's data is an error
  double history_every = 0;                    ///< s
  std::optional<double> fields_every;          ///< s; none: a twelfth of the programme
  std::vector<IncludedFile> included;          ///< press and tooling files
  std::vector<MaterialScale> scales;           ///< applied to `materials` already
  std::optional<Calibration> calibration;      ///< its values are applied already
  std::vector<materials::Material> materials;  ///< every material named above, read
  std::vector<std::string> material_texts;     ///< their files, word for word, for the resolved case
};

/// Where a temperature programme begins [K]: the stack's temperature, or that of the furnace.
inline double start_of_programme(const Case& c) {
  return c.programme.by_furnace ? c.chamber_temperature : c.initial_temperature;
}

}  // namespace joulepress::cases
