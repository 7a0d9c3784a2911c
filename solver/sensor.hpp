// What an instrument shows of a temperature of the stack.
//
//   thermocouple   material at the bottom of its bore  ->  tip of its sheath         (solver/stem.hpp)
//   pyrometer      surface in its spot                 ->  what its colours tell     (solver/radiometry.hpp)
//   furnace        wall of the chamber                ->  as it is
//   couple, pyrometer   what it reads too high, by a certificate or a fit, is added to what it would show
//   all            dy/dt = (settled - y) / response                                  (first order)
// The map from material to settled reading rises strictly, so that a programme on a reading has one material
// temperature to it.  Tests: tests/solver/test_sensor.cpp.
#pragma once

#include <span>

#include "solver/problem.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// Temperature that the sensor answers to [K], from cells and outer surfaces of the stack, or from the
/// chamber's wall.
double material_at(const Sensor& sensor, std::span<const double> temperature,
                   std::span<const double> outer_edges, double chamber);

/// Change of it that goes with a change of the cells: exact for a couple, for a pyrometer as if the surface
/// followed the cells below it.  Not asked of a furnace.
double change_at(const Problem& problem, const Sensor& sensor, std::span<const double> change);

/// What the instrument shows when it has settled [K]; below the sight of a pyrometer its lowest value, which
/// is one of its display: what it reads too high does not move it.
double settled_reading(const Sensor& sensor, double material, double ambient);

/// material - settled reading of a couple at the most [K] by its stem alone, not counting what it reads too
/// high, by a closed form (solver/stem.hpp); 0 for an exact sensor, NaN for a pyrometer, whose error is known
/// as well as its emissivity.
double error_bound(const Sensor& sensor, double material, double ambient);

/// Whether the instrument sees anything.
bool is_in_sight(const Sensor& sensor, double material);

/// The material temperature at which the instrument shows `shown` [K] (below a pyrometer's sight: would show,
/// if it saw); about 1 K where none is cold enough.
double material_for_reading(const Sensor& sensor, double shown, double ambient);

/// Of the sensor of a problem in a state, or at the time t: what it would show without its response time [K],
/// what it shows, whether it sees.
double settled(const Problem& problem, int sensor, const CellField& temperature,
               const EdgeTemperatures& edges, double t);
double settled(const Problem& problem, int sensor, const State& state);
double shown(const Problem& problem, int sensor, const State& state);
bool sees(const Problem& problem, int sensor, const State& state);

/// What the sensors show `dt` [s] after the state `before`, at the temperatures there are then.
std::vector<double> readings_after(const Problem& problem, const State& before, double dt,
                                   const CellField& temperature, const EdgeTemperatures& edges);

/// What a first-order instrument shows `dt` [s] after it showed `before`, while the settled reading went in a
/// straight line from `from` to `to` [K].
double lagged(double before, double from, double to, double dt, double response);

}  // namespace joulepress::solver
