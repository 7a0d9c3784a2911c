#include "solver/steady.hpp"

#include "solver/drive.hpp"

namespace joulepress::solver {

Steady solve_steady(const Problem& problem, double time) {
  Workspace workspace(problem);
  Steady result;
  result.state = initial_state(problem, workspace);
  result.state.time = time;
  StageEquation equation;
  equation.time = time;
  equation.programme = equation.force = time;
  equation.drive.segment = segment_at(problem.drive, time);
  equation.drive.kind = problem.drive.kind;
  equation.drive.sensor = problem.drive.sensor;
  if (equation.drive.segment && !equation.drive.segment->off && carries_current(problem.drive))
    equation.drive.mode = problem.drive.kind == DriveKind::tracking ? DriveMode::tracking : DriveMode::driven;
  result.stage = solve_stage(problem, workspace, equation, result.state);
  result.converged = result.stage.converged;
  result.reason = result.stage.reason;
  result.state.mode = equation.drive.mode;
  CellField capacity;
  enthalpy_at(problem, workspace.mass, result.state.temperature, result.state.enthalpy, capacity);
  return result;
}

}  // namespace joulepress::solver
