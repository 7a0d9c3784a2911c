// What a run hands out: history rows, the energy ledger, outcomes, and the summary computed from them.
#pragma once

#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "solver/tolerance.hpp"

namespace joulepress::solver {

struct Enclosure;

/// driven: current, voltage or power prescribed; controlled: set by the press's controller
enum class DriveMode { off, tracking, at_limit, driven, controlled };
enum class Limit { none, current, voltage, power };

inline constexpr double dense_porosity = 1e-6;  ///< at it a powder is called dense

struct SensorValue {
  double material_K = 0;    ///< of the part at the junction, of the surface in the spot
  double reading_K = 0;     ///< what the instrument shows
  double stem_bound_K = 0;  ///< a couple's: upper bound of material - settled (bare sheath in vacuum)
  double settled_K = std::numeric_limits<double>::quiet_NaN();  ///< without its response time; NaN: the same
  bool in_sight = true;  ///< a pyrometer's: above the lowest it can show
};

struct PowderValue {
  double mean_K = 0, centre_K = 0, edge_K = 0, min_K = 0, max_K = 0;
  double wall_K = 0;  ///< die side of the lateral contact at mid-height
  double outside_K = std::numeric_limits<double>::quiet_NaN();     ///< surface of the stack at mid-height
  double inner_edge_K = std::numeric_limits<double>::quiet_NaN();  ///< bore of a ring at mid-height
  double density_mean = 1, density_min = 1, density_max = 1;  ///< relative; the mean is solid over volume
  double layer_min = 1, layer_max = 1;                        ///< of the layers along the height, their means
  /// Densest minus loosest column if every column closed by itself: the bound of radial differences, which
  /// are not predicted.
  double apart_spread = 0;
};

/// The stroke the press logs, positive while the punches come together [m]; zero at the start.
struct Stroke {
  double densification = 0, elastic = 0, frame = 0, growth = 0, foil = 0;  ///< solver/stroke.hpp
  double total() const { return densification + elastic + frame + growth + foil; }
};

/// Instant values at one time.  Power counts positive into the stack.
struct HistoryRow {
  double time_s = 0;
  DriveMode mode = DriveMode::off;
  Limit limit = Limit::none;
  double target = 0;       ///< programme value (SI of the drive), NaN where there is none
  double programme_s = 0;  ///< time of the programme: later than it where the press waited
  int control_sensor = -1;
  double current_A = 0, voltage_V = 0, power_W = 0;  ///< effective, effective between the ends, mean
  double current_mean_A = 0, voltage_mean_V = 0;     ///< of pulses; their product is not the mean power
  double taps_V = 0;                                 ///< effective, between the taps
  std::vector<SensorValue> sensors;
  /// Over all bodies: means weighted by volume (of centres and edges too), the lowest and the highest.
  std::optional<PowderValue> powder;
  std::vector<PowderValue> powders;  ///< each body
  /// Through the powder at mid-height, mean over the bodies by volume; none without current.
  std::optional<double> current_share_powder;
  double tool_max_K = 0, tool_max_r = 0, tool_max_z = 0;
  int tool_max_part = 0;
  std::vector<double> joule_by_part_W;      ///< contact heat given half to each side included
  double contact_heat_W = 0;                ///< the part of it made in contacts
  std::vector<double> radiation_by_part_W;  ///< net loss to the chamber
  double film_low_W = 0, film_high_W = 0;   ///< net loss through films below and above mid-column
  double gas_W = 0;                         ///< net loss by natural convection
  double fixed_W = 0;                       ///< net loss through prescribed surface temperatures
  double stored_W = 0;                      ///< rate of change of stored heat
  double press_W = 0;                       ///< work of the punches on the powder
  double seebeck_V = 0;         ///< between the ends, against the current where above 0; part of the voltage
  double thermoelectric_W = 0;  ///< sum of Peltier and Thomson heats, part of the power
  double force_N = 0;           ///< on the column
  double side_pressure_Pa = 0;  ///< of the powder on its wall, mean over the height of the first body
  double on_powder_N = 0;  ///< what friction at the wall leaves of it, mean over the height of the first body
  Stroke stroke;
};

/// Energies since the start [J], integrated with the stepper's own weights.
struct Ledger {
  double electric = 0;        ///< integral of terminal current x voltage
  double joule = 0;           ///< sum of the heats face by face; electric less thermoelectric to rounding
  double thermoelectric = 0;  ///< sum of Peltier and Thomson heats, part of electric
  double source = 0;          ///< prescribed volumetric heat
  double press = 0;           ///< work of the punches on the powder
  double radiation = 0, film = 0, fixed = 0, gas = 0;  ///< net losses; gas: natural convection
  double stored = 0;                                   ///< change of enthalpy, by difference of the states
  double largest_current = 0;                          ///< A
  double worst_charge_residual = 0;  ///< A, largest sum of |current imbalance| over cells met in a step
  double delivered = 0;              ///< sum of the absolute energies through every path
  double held = 0;                   ///< heat in the stack at the start, counted positive cell by cell

  double charge_balance_relative() const;
  /// |stored - (electric + press + source - losses)| / max(all energy delivered, |stored|, 1e-6 held); 0 when
  /// nothing moved.  The last, so that the rounding of a hot stack that exchanges nothing is no miss.
  double energy_balance_relative() const;
};

struct LimitedInterval {
  double start_s = 0, end_s = 0;
  DriveMode mode = DriveMode::off;  ///< off (programme falls faster than the stack cools) or at_limit
  Limit limit = Limit::none;
};

/// What the tools bear at one instant, of the stack that is solved (a half where there is one).
struct Snapshot {
  double time_s = 0, force_N = 0;
  std::vector<double> temperature, relative_density;  ///< per cell
  std::vector<std::vector<double>> heights;           ///< of the lines of every block [m]
  std::vector<double> side_pressure;                  ///< per bed: on its wall, mean over the height [Pa]
};

struct Counts {
  int steps = 0, rejected = 0, stages = 0, sweeps = 0;
  int heat_factorisations = 0, electric_factorisations = 0, triangular_solves = 0;
};

/// Names that the rows refer to by index, and the programme's holds.
struct HistoryFrame {
  std::vector<std::string> part_names, sensor_names, powder_names;
  struct SensorTraits {
    bool pyrometer = false;
    bool in_column = false;  ///< sees the powder along the axis, not through the die
    std::optional<Thermocouple> type;
    int tolerance_class = 2;
    bool furnace = false;      ///< reads the chamber's wall
    double reads_high_by = 0;  ///< K
  };
  std::vector<SensorTraits> sensor_traits;  ///< empty: couples in the die
  int control_sensor = -1;                  ///< at the start
  bool thermoelectric = false;              ///< its heats count
  bool gas = false;                         ///< a gas fills the chamber
  struct Hold {
    std::string name;
    double start_s, end_s;
    double set_K;  ///< NaN where another quantity is programmed
  };
  std::vector<Hold> holds;
};

enum class RunStatus { completed, stopped, failed, interrupted };

struct RunResult {
  RunStatus status = RunStatus::completed;
  std::string reason;  ///< why it failed: where, when, likely cause, what to try
  HistoryFrame frame;
  std::vector<HistoryRow> rows;
  std::vector<Snapshot> snapshots;  ///< ascending in time; none where no strength is asked for
  std::vector<LimitedInterval> limited;
  Ledger ledger;
  Counts counts;
  std::vector<std::string> warnings;  ///< from the run itself, e.g. a property held at the end of its range
  /// What open walls see of each other, of the half where a half was solved; null: they do not exchange.
  std::shared_ptr<const Enclosure> enclosure;
};

}  // namespace joulepress::solver
