// Steady state:   F(T) + s q = 0, the same sweeps as a stage of the march, without storage.
#pragma once

#include "solver/step.hpp"

namespace joulepress::solver {

struct Steady {
  bool converged = false;
  std::string reason;
  State state;  ///< temperature, potential, surfaces, current_squared; time as given
  Stage stage;  ///< powers, conductance, residual of charge
};

/// Solves the steady state under the programme value at `time`, starting from the initial temperature.
/// A temperature programme is met exactly by its sensor.  Nothing throws; see `converged`.
Steady solve_steady(const Problem& problem, double time = 0.0);

}  // namespace joulepress::solver
