// One stage of a step, or a steady state: temperatures, potential and current that belong together.
//
//   H(T) - H* - g ( F(T) + s q ) = 0
// for T and, when a sensor is tracked, for s = I^2; q is the Joule heat per s.  Block Gauss-Seidel on (psi,
// T) with kept factors:
//   beds close -> parts move -> properties -> one correction of psi -> Joule heat and flows
//   -> one correction of T and s -> again.
// The fluxes that belong to the last correction advance H, so that energy closes to rounding whatever the
// nonlinear tolerance.  The workspace (factors, buffers) may change the speed, never a bit: what a kept
// factor was formed from travels in the State.
#pragma once

#include <string>
#include <vector>

#include "solver/compaction.hpp"
#include "solver/electric.hpp"
#include "solver/motion.hpp"
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
  CellField enthalpy, capacity, joule, correction;
  Present present;                ///< the stack as its beds lie
  std::vector<Closing> closings;  ///< of the last sweep
  CellField press;                ///< work of the punches per cell [W]
};

/// Largest |value|, or the first that is not finite.
double largest_magnitude(const CellField& values);

/// Make the workspace's factors those the state names.  False when one cannot be factorised.
bool use_heat_factor(const Problem& problem, Workspace& workspace, const State& state);
bool use_electric_factor(const Problem& problem, Workspace& workspace, const State& state);

/// What drives the current during one step.
struct StepDrive {
  DriveMode mode = DriveMode::off;
  /// Of the programme; of a controller its output (then in clock time).
  const Segment* segment = nullptr;
  DriveKind kind = DriveKind::none;  ///< what the segment says
  int sensor = -1;                   ///< that is tracked
  bool clamped =
      false;  ///< keep a tracked s inside its limits (where modes would alternate without progress)
};

/// The equation of one stage: H(T) - base - gamma_dt (F + s q) = 0; without storage: F + s q = 0.
struct StageEquation {
  double time = 0, gamma_dt = 1;
  double programme = 0, force = 0;                     ///< times of the programme and of its force then [s]
  const CellField* base = nullptr;                     ///< null: steady state, beds as they are
  const std::vector<BedCells>* bed_bases = nullptr;    ///< of L [-], with beds and a base
  const std::vector<BedState>* beds_before = nullptr;  ///< at the start of the step
  StepDrive drive;
};

struct Stage {
  bool converged = false;
  std::string reason;  ///< why not
  std::string remedy;  ///< empty: the usual ones
  int sweeps = 0;
  CellField slope;  ///< dH/dt [W]
  std::vector<BedCells> bed_slopes;
  Powers powers;
  double conductance = 0;  ///< S
  Limit limit = Limit::none;
  double charge_residual = 0;  ///< A
};

/// Solves a stage; `now` brings the start values of temperature, potential, surfaces and current and the kept
/// matrices, and receives theirs at the solution.
Stage solve_stage(const Problem& problem, Workspace& workspace, const StageEquation& equation, State& now);

}  // namespace joulepress::solver
