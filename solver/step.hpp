// One step of the march, a pure function: the old state is never touched, so rejection costs nothing.
//
// Each stage solves   H(T) - H* - g ( F(T) + s q ) = 0   for the temperatures T and, when a sensor is
// tracked, for s = I^2; q is the Joule heat per s. Block Gauss-Seidel on (psi, T) with kept factors:
//   properties -> potential -> Joule heat and flows -> one correction of T -> again.
// The fluxes that belong to the last correction advance H, so that energy closes to rounding whatever the
// nonlinear tolerance.  The workspace (factors, buffers) may change the speed, never a bit: what a kept
// factor was formed from travels in the State.
#pragma once

#include <string>
#include <vector>

#include "solver/electric.hpp"
#include "solver/esdirk.hpp"
#include "solver/state.hpp"
#include "solver/thermal.hpp"

namespace joulepress::solver {

struct Workspace {
  explicit Workspace(const Problem& problem);
  CellField mass;            ///< kg
  bool electrified = false;  ///< the stack has both electrodes and a drive
  Factor heat, electric;
  std::shared_ptr<const HeatMatrix> heat_from;  ///< what the factors hold at present
  std::shared_ptr<const ElectricFaces> electric_from;
  Properties properties;
  ElectricFaces electric_faces;
  Currents currents;
  HeatFlows flows;
  CellField enthalpy, capacity, joule, correction, response;
};

/// Makes the workspace's electric factor the one the state names.  False when it cannot be factorised.
bool use_electric_factor(const Problem& problem, Workspace& workspace, const State& state);

/// What drives the current during one step.
struct StepDrive {
  DriveMode mode = DriveMode::off;
  const Segment* segment = nullptr;
  bool clamped =
      false;  ///< keep a tracked s inside its limits (where modes would alternate without progress)
};

/// The equation of one stage: H(T) - base - gamma_dt (F + s q) = 0; without storage: F + s q = 0.
struct StageEquation {
  double time = 0, gamma_dt = 1;
  const CellField* base = nullptr;  ///< null: steady state
  StepDrive drive;
};

struct Stage {
  bool converged = false;
  std::string reason;  ///< why not
  std::string remedy;  ///< empty: the usual ones
  int sweeps = 0;
  CellField slope;  ///< dH/dt [W]
  Powers powers;
  double current_squared = 0, conductance = 0;
  Limit limit = Limit::none;
  double charge_residual = 0;  ///< A
};

/// Solves a stage; `now` brings the start values of temperature, potential, surfaces and kept matrices, and
/// receives theirs at the solution.
Stage solve_stage(const Problem& problem, Workspace& workspace, const StageEquation& equation, State& now);

struct StepOutcome {
  bool converged = false;
  std::string reason, remedy;
  double error = 0;  ///< estimated error over the tolerance; accept when <= 1
  State state;
  std::vector<CellField> slopes;        ///< per stage, for the dense output
  std::vector<double> current_squared;  ///< per stage
  double conductance = 0;               ///< at the end [S]
};

/// Tries a step from `old`: ESDIRK, or backward Euler when `old.slope` is empty (start and after a jump,
/// where the explicit first stage has no slope on the slow manifold yet).
StepOutcome try_step(const Problem& problem, Workspace& workspace, const State& old, double dt,
                     const StepDrive& drive);

/// Enthalpies within an accepted step, theta in [0, 1].
CellField dense_enthalpy(const State& before, const StepOutcome& step, double theta);

/// s within an accepted step, linear between the stages: it is shown, never integrated [A2].
double dense_current_squared(const StepOutcome& step, double theta);

/// The state at the start of the run.
State initial_state(const Problem& problem, const Workspace& workspace);

}  // namespace joulepress::solver
