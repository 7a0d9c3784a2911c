// One instant of a run with everything that follows from its temperatures: currents, flows, surfaces,
// readings.
#pragma once

#include "solver/step.hpp"

namespace joulepress::solver {

/// Everything known at one instant; the fields refer to cells and faces of the problem.
struct Frame {
  double time = 0, programme = 0, force_time = 0;  ///< s; by the clock, of the programme and of its force
  int control_sensor = -1;
  std::vector<double> readings;      ///< of the sensors [K]
  CellField temperature, potential;  ///< K; at unit voltage
  CellField hottest;                 ///< K, per cell, met before
  std::vector<BedState> beds;
  std::vector<Closing> closings;
  EdgeTemperatures edges;  ///< K
  Currents currents;       ///< at unit voltage [S]
  Properties properties;
  HeatFlows flows;                                                     ///< W
  CellField joule;                                                     ///< W per cell
  double current = 0, voltage = 0, contact_heat = 0, conductance = 0;  ///< voltage of the resistance alone
  double seebeck = 0;                                                  ///< V, counted against the current
  double thermoelectric = 0;                                           ///< W
};

/// The frame at theta in [0, 1] of an accepted step, from its dense output.
Frame frame_within(const Problem& problem, Workspace& workspace, const State& before, const StepOutcome& step,
                   double theta);

/// Frame of a state.  What the state brings as start values and kept matrices is left untouched.
Frame frame_of(const Problem& problem, Workspace& workspace, const State& state);

}  // namespace joulepress::solver
