// One step of the march, a pure function: the old state is never touched, so rejection costs nothing.
//
// ESDIRK stages (solver/esdirk.hpp, solver/stage.hpp), each started from what the stages before it foretell.
#pragma once

#include <string>
#include <vector>

#include "solver/esdirk.hpp"
#include "solver/stage.hpp"

namespace joulepress::solver {

struct StepOutcome {
  bool converged = false;
  std::string reason, remedy;
  double error = 0;  ///< estimated error over the tolerance; accept when <= 1
  State state;
  std::vector<CellField> slopes;                  ///< per stage, for the dense output
  std::vector<std::vector<BedCells>> bed_slopes;  ///< per stage and bed
  std::vector<double> current_squared;            ///< per stage
  std::vector<CellField> potentials;              ///< per stage, start values of what is shown between
  double conductance = 0;                         ///< at the end [S]
};

/// Tries a step from `old`: ESDIRK, or backward Euler when `old.slope` is empty (start and after a jump,
/// where the explicit first stage has no slope on the slow manifold yet).
StepOutcome try_step(const Problem& problem, Workspace& workspace, const State& old, double dt,
                     const StepDrive& drive);

/// Enthalpies within an accepted step, theta in [0, 1].
CellField dense_enthalpy(const State& before, const StepOutcome& step, double theta);

/// Beds within an accepted step.
std::vector<BedState> dense_beds(const State& before, const StepOutcome& step, double theta);

/// s and psi within an accepted step, between the stages: s is shown, never integrated [A2], and psi a start
/// value.
double dense_current_squared(const StepOutcome& step, double theta);
CellField dense_potential(const StepOutcome& step, double theta);

/// The state at the start of the run.
State initial_state(const Problem& problem, const Workspace& workspace);

}  // namespace joulepress::solver
