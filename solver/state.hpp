// State: all that changes during a run.  Rejecting a step is dropping a copy; a checkpoint is writing it.
#pragma once

#include <memory>
#include <vector>

#include "solver/properties.hpp"
#include "solver/results.hpp"

namespace joulepress::solver {

/// Surface temperatures, the unknowns of the faces: both sides of every pair face and every outer face [K].
struct EdgeTemperatures {
  std::vector<double> pair_a, pair_b, outer;
};

/// Two-point conductances per face, linearised [W/K]: what the heat matrix is made of.
struct HeatFaces {
  std::vector<double> inner;
  std::vector<double> pair;
  std::vector<double> outer;
};

/// Conductance per face [S], and of the pieces on the border of a block the series it is made of.
struct ElectricFaces {
  std::vector<double> inner, pair, outer;
  std::vector<double> half_a, half_b, half_outer;  ///< from the cell to its edge [ohm]
};

/// What a kept heat factor was formed from.
struct HeatMatrix {
  double gamma_dt = 0;  ///< s
  CellField capacity;   ///< J/K
  HeatFaces faces;
};

/// Powers [W] at one instant, positive into the stack for electric and source, outward for losses.
struct Powers {
  double electric = 0, joule = 0, source = 0, radiation = 0, film = 0, fixed = 0;
  double source_magnitude = 0;  ///< heats and colds of the source counted positive
  double press = 0;             ///< work of the punches on the powder
  double gas = 0;               ///< natural convection
  double thermoelectric = 0;    ///< sum of Peltier and Thomson heats, part of `electric`
};

/// Where things were going at the end of the last step: start values of the next one.
struct Trend {
  CellField potential;         ///< per s
  double current_squared = 0;  ///< A2/s
};

/// Of the cells of a bed, numbered as in its block, columns outward.
struct BedCells {
  CellField L;      ///< -ln(1 - D) per cell, D the relative density; or its slope [1/s]
  CellField apart;  ///< the same if every column closed by itself
};

/// What a bed has become.
struct BedState : BedCells {
  std::vector<double> stress;  ///< axial, per column [Pa]: start values
};

/// Memory of the control of a temperature programme.
struct ControlState {
  int sensor = -1;      ///< that controls at present; -1: as at the start
  double waited = 0;    ///< clock less time of the programme [s]
  double skipped = 0;   ///< of the programme when the sensor began to see; the force does not skip it [s]
  bool stands = false;  ///< it stands still at present
  int segment = -1;     ///< of the programme, that was entered last
  int arrived = -1;     ///< last hold whose timer has started
  std::vector<double> delays;  ///< per segment left: `waited` at its end [s]
  bool blind = false;          ///< constant power: the sensor does not see yet
  int samples = 0;
  double sampled_at = 0;                ///< s
  double from = 0, to = 0;              ///< output at that sample and at the next [W or A]
  double integral = 0, derivative = 0;  ///< parts of the output
  double reading = 0;                   ///< at that sample [K]
  double conductance = 0;               ///< of the stack after the last step [S]
  double highest = 0;                   ///< that the sensor in control has shown [K]
};

struct State {
  double time = 0;         ///< s
  CellField enthalpy;      ///< J per cell above 298.15 K
  CellField temperature;   ///< K, follows from the enthalpy
  CellField slope;         ///< dH/dt [W], last stage of the last step; empty: start afresh
  Powers slope_powers;     ///< that belong to the slope
  CellField potential;     ///< at unit voltage [-]
  Trend trend;             ///< empty after a jump
  EdgeTemperatures edges;  ///< start values of the surface balances
  std::vector<BedState> beds;
  std::vector<BedCells> bed_slopes;  ///< like `slope`
  DriveMode mode = DriveMode::off;
  Limit limit = Limit::none;
  ControlState control;
  std::vector<double> readings;                   ///< what the sensors show [K]; empty: settled
  double current_squared = 0;                     ///< A2
  double next_step = 0;                           ///< s
  std::shared_ptr<const HeatMatrix> heat_matrix;  ///< of the kept factors
  std::shared_ptr<const ElectricFaces> electric_matrix;
  std::shared_ptr<const CellField> response;  ///< what a unit of s adds through the heat matrix [K/A2]
  bool refresh_heat = false, refresh_electric = false;  ///< a kept matrix served badly: form it anew
  bool two_point = false;  ///< cubic fluxes did not settle: the run goes on with two-point ones
  double heat_contraction = 1, current_contraction = 1;  ///< of the last corrections of the last stage
  Ledger ledger;
  Counts counts;
  CellField lowest, highest;  ///< K, per cell, met so far
};

}  // namespace joulepress::solver
