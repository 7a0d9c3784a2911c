// Problem: all that stays constant during a run.  Plain structs, SI units, kelvin.
#pragma once

#include <array>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "materials/gas.hpp"
#include "materials/material.hpp"
#include "mesh/interfaces.hpp"
#include "mesh/mesh.hpp"
#include "mesh/reconstruction.hpp"
#include "mesh/watch.hpp"
#include "solver/closure.hpp"
#include "solver/enclosure.hpp"
#include "solver/pulse.hpp"
#include "solver/radiometry.hpp"
#include "solver/stem.hpp"
#include "solver/tolerance.hpp"

namespace joulepress::solver {

inline constexpr double stefan_boltzmann = 5.670374419e-8;  ///< W/(m2 K4), CODATA 2018
inline constexpr double zero_celsius = 273.15;              ///< K

struct Part {
  std::string name;
  int material = 0;                  ///< index into Problem::materials
  std::optional<mesh::Axis> across;  ///< direction through the sheet, for layered materials
  bool is_powder = false;
  bool is_foil = false;
  bool in_column = false;       ///< carries the force: a part of the column or a foil between two
  double relative_density = 1;  ///< powder: at the start, and through the run where nothing densifies it
  bool oxide_film = true;       ///< powder: its grains begin with their film, where the material has one
};

/// A powder that densifies: the cells of one block, in columns between two flat punches
/// (solver/compaction.hpp).
struct Bed {
  int block = 0;
  std::optional<double> grain;  ///< m; none: that of the kinetic data
  double loose = 0;             ///< relative density at which its grains begin to touch; 0: yield not known
  double wall_friction = 0;     ///< coefficient of friction at the wall
  double dragged = 0.5;         ///< longest way along the wall over its height: 1/2 where the die floats
};

/// Force on the column, linear between points and constant beyond them.
struct ForcePoint {
  double time = 0;   ///< s
  double force = 0;  ///< N
};

/// What stands between two block edges of a BlockPair.
struct ContactLaw {
  /// Electrical resistance of the touch [ohm m2]; infinity: no current passes (a gap).
  double electric_resistance = 0;
  /// Heat conductance of the touch [W/(m2 K)]; infinity: perfect; 0: a gap.
  double heat_conductance = std::numeric_limits<double>::infinity();
  /// Exchange factor of radiation across on side a's area [-], in parallel to the touch; 0: none.
  double radiation = 0;
  bool follows = false;  ///< the touch follows pressure and temperature (solver/touches.hpp)
};

/// Exchange factor of two grey walls close to each other, on the area of the first:
/// 1 / (1/e_a + (A_a/A_b) (1/e_b - 1)); exact for long coaxial cylinders (textbook).
inline double grey_exchange(double emissivity_a, double emissivity_b, double area_ratio = 1.0) {
  return 1.0 / (1.0 / emissivity_a + area_ratio * (1.0 / emissivity_b - 1.0));
}

/// Current enters at high and leaves at low, unless Problem::positive_below.
enum class Electrode { none, low, high };

/// What happens on the outer faces of one side of a block.
struct SideCondition {
  /// Prescribed surface temperature [K] at (r, z, t); empty: not prescribed.
  std::function<double(double r, double z, double t)> fixed_temperature;
  double film = 0;              ///< W/(m2 K) to film_temperature
  double film_temperature = 0;  ///< K
  double emissivity = 0;        ///< radiates when positive: to all it sees, or to the chamber alone
  Electrode electrode = Electrode::none;
};

/// furnace: the furnace's own instrument, which shows the chamber's wall as it is
enum class SensorKind { thermocouple, pyrometer, furnace };

struct Sensor {
  std::string name;
  SensorKind kind = SensorKind::thermocouple;
  int part = 0;                      ///< -1: none, of a furnace
  double r = 0, z = 0;               ///< junction at the bottom of the bore, or middle of the spot [m]
  mesh::Watch junction;              ///< a couple's: material temperature there
  mesh::Spot spot;                   ///< a pyrometer's: surface temperature there
  bool exact = false;                ///< reads the material or the surface without error
  Stem stem;                         ///< a couple's
  Pyrometer optics;                  ///< a pyrometer's
  double response = 0;               ///< time in which it follows a step to 1 - 1/e [s]
  std::optional<Thermocouple> type;  ///< a couple's letter by IEC 60584
  int tolerance_class = 2;
  double noise = 0;          ///< standard deviation of what is logged and controlled on [K]
  double reads_high_by = 0;  ///< what the instrument shows above the truth, at every temperature [K]
};

/// How the stack is heated: by a current that is set so, or (furnace) by the chamber's wall, without current.
enum class DriveKind { none, current, voltage, power, tracking, furnace };

/// A second sensor takes over control when the first one reads `at` and the second one sees.
struct HandOver {
  int sensor = 0;
  double at = 0;  ///< K
};

/// The press's own controller (solver/control.hpp): a sampled PID whose output, power or current, goes in a
/// straight line from sample to sample.
struct Controller {
  double period = 1.0;                                       ///< s
  bool by_power = true;                                      ///< output is power [W]; else current [A]
  double gain = 0;                                           ///< W/K or A/K
  double integral_time = 0;                                  ///< s; 0: none
  double derivative_time = 0;                                ///< s
  double lowest = 0;                                         ///< of the output, W or A
  double highest = std::numeric_limits<double>::infinity();  ///< of the output
  double rate = std::numeric_limits<double>::infinity();     ///< of the output, per s
  std::optional<double> start_power;                         ///< W, until the sensor sees
  double start_until = 0;                                    ///< K, and reads this
  double arrival = 3.0;  ///< K: a hold begins when the reading has come this near
};

/// Ends the run when something passes a value.
struct AbortRule {
  enum class What { current, voltage, power, reading } what = What::current;
  int sensor = -1;   ///< of a reading
  double above = 0;  ///< A, V, W or K
  double told = 0;   ///< the same as the case says it, where a half has half of it
  double until = std::numeric_limits<double>::infinity();  ///< K: holds until the control sensor reads this
};

/// A stretch of the programme: the driven quantity goes linearly from `from` to `to`.
struct Segment {
  double start = 0, end = 0;  ///< s
  double from = 0, to = 0;    ///< A, V, W or K (reading of the control sensor, wall of a furnace)
  bool off = false;           ///< current cut, whatever the values say
  bool hold = false;          ///< reported as a hold
  std::string name;
};

struct Drive {
  DriveKind kind = DriveKind::none;
  int sensor = -1;                ///< control sensor when tracking; a furnace's own
  std::vector<Segment> segments;  ///< abut in time; the run ends with the last
  double current_limit = std::numeric_limits<double>::infinity();  ///< effective A
  double voltage_limit = std::numeric_limits<double>::infinity();  ///< V between the electrodes
  double power_limit = std::numeric_limits<double>::infinity();    ///< W
  std::optional<Controller> controller;  ///< follows a temperature programme; none: exact tracking
  std::optional<HandOver> hand_over;
  std::vector<AbortRule> aborts;
};

/// A face between which and another one the press takes its voltage.
struct Tap {
  int block = 0;
  mesh::Side side = mesh::Side::top;
};

/// A powder body and the wall from which the chain to the control sensor starts.
struct PowderBody {
  std::string name;
  int part = 0, block = 0;
  int wall_block = -1;  ///< sleeve around it; -1: none
  double volume = 1;    ///< m3 at the start, the body's weight in means over several
};

struct Numerics {
  double time_tolerance = 0.08;        ///< K per step, never above 0.1: the estimate is blind beyond 0.2
  double nonlinear_tolerance = 0.004;  ///< K, last correction of a stage
  double potential_tolerance = 4e-6;   ///< error of psi, root of its power over the stack's [-]
  double density_tolerance = 2e-5;     ///< error of the relative density per step
  double first_step = 0.05;            ///< s, backward Euler after a jump
  double largest_step = 60;            ///< s, in programmes of minutes; longer segments allow a twentieth
  double unseen_heat = 0.04;    ///< K per step: peaks of a heat capacity must not fall between the stages
  double smallest_step = 1e-7;  ///< s; below it the run fails
  bool strict = false;          ///< a property used outside its range fails the run
};

/// What the strength of the tools is judged by (solver/solid/).
struct StrengthRules {
  bool wanted = true;
  double safety_factor = 2.0;      ///< asked of every margin, strength over stress
  double ejection_friction = 0.2;  ///< coefficient of friction of compact and foil in the bore
};

struct Half;  // solver/half.hpp

struct Problem {
  mesh::Mesh mesh;
  mesh::Interfaces interfaces;
  mesh::Reconstruction rows;  ///< of mesh and interfaces: two-point or cubic fluxes
  std::vector<Part> parts;
  std::vector<materials::Material> materials;
  std::vector<ContactLaw> contacts;                 ///< one per interfaces.pairs
  std::vector<std::array<SideCondition, 4>> sides;  ///< one per block, indexed by mesh::Side
  std::vector<Bed> beds;
  /// Per block: how far it rises per metre that each bed grows.  Mesh, interfaces and rows above are those of
  /// the start; where they lie later: solver/motion.hpp.
  std::vector<std::vector<double>> rides;
  /// Where touches follow pressure and temperature: per block how it fits the sleeve around it (radius 0:
  /// none does) and which that is.  Empty: touches are constant.
  std::vector<Fit> fits;
  std::vector<int> sleeve_of;
  std::vector<ForcePoint> force;        ///< ascending in time; empty: none
  double frame_compliance = 0;          ///< of the press, m/N
  double chamber_temperature = 298.15;  ///< K, what radiating faces see; of a furnace at the start
  std::optional<materials::Gas> gas;    ///< fills the chamber; none: vacuum
  /// Whether open walls radiate to each other too (solver/enclosure.hpp); else to the chamber alone.
  bool walls_exchange = false;
  std::shared_ptr<const Exchange> exchange;  ///< as the parts lie at present; set by solver/motion
  double initial_temperature = 298.15;       ///< K
  /// Volumetric heat [W/m3] besides Joule heat, at (r, z, t); empty: none.
  std::function<double(double r, double z, double t)> heat_source;
  std::vector<Sensor> sensors;
  std::vector<PowderBody> powders;
  Drive drive;
  std::optional<Pulse> pulse;   ///< the form of the current; none: continuous
  double largest_mean = 0;      ///< mean current at the full output, for measured ratios [A]
  bool thermoelectric = false;  ///< Peltier and Thomson heat count (solver/thermoelectric.hpp)
  bool positive_below = false;  ///< current enters at the low electrode; matters to those heats alone
  std::vector<Tap> taps;  ///< lower, upper; of a half the upper one, whose other is its image; none: the ends
  StrengthRules strength;
  Numerics numerics;
  double history_every = 5.0;  ///< s between history rows (interpolated, never a stop)
  double fields_every = 0;     ///< s between cell fields besides the corners (interpolated); 0: corners only
  std::shared_ptr<const Half> half;  ///< what a run solves instead, where the stack is its own mirror image
};

}  // namespace joulepress::solver
