#include "solver/step.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/sensor.hpp"

namespace joulepress::solver {
namespace {

constexpr int sweeps_max = 25, steady_sweeps_max = 300;
constexpr int sweeps_before_refresh = 4;
constexpr double refresh_ratio = 1.1;  // gamma dt may differ by this from the kept factor's
// A sensor whose material warms by less than this of the stack's mean, when the current comes on, lags too
// far behind: to keep it on its programme the current would swing between nothing and its limit.
constexpr double least_answer = 0.02;
constexpr double steady_correction_max = 300;  // K per sweep: radiation linearised on a cold guess overshoots

double largest_magnitude(const CellField& values) {
  double largest = 0.0;
  for (const double v : values) {
    if (!std::isfinite(v)) return v;
    largest = std::max(largest, std::abs(v));
  }
  return largest;
}

/// Mean over the heat capacity.
double mean_of(const CellField& values, const CellField& capacity) {
  double sum = 0.0, whole = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    sum += capacity[i] * values[i];
    whole += capacity[i];
  }
  return sum / whole;
}

/// Makes the workspace's heat factor the one the state names.
bool use_heat_factor(const Problem& problem, Workspace& ws, const State& now) {
  if (ws.heat_from == now.heat_matrix) return true;
  ws.heat_from = now.heat_matrix;
  if (ws.heat.factorise(heat_matrix_values(problem, *now.heat_matrix))) return true;
  ws.heat_from = nullptr;
  return false;
}

/// Potential at the present properties, with a fresh factor when the kept one serves badly.
bool update_potential(const Problem& problem, Workspace& ws, State& now, double& residual) {
  constexpr int iterations_before_refresh = 12;
  electric_conductances(problem, ws.properties, ws.electric_faces);
  const auto refresh = [&] {
    now.electric_matrix = std::make_shared<ElectricFaces>(ws.electric_faces);
    ++now.counts.electric_factorisations;
  };
  PotentialOutcome outcome;
  const auto solve = [&] {
    if (!use_electric_factor(problem, ws, now)) return false;
    outcome = solve_potential(problem, ws.electric_faces, ws.electric, *now.electric_matrix,
                              problem.numerics.potential_tolerance, now.potential, ws.currents);
    now.counts.triangular_solves += outcome.iterations;
    return true;
  };
  const bool fresh = !now.electric_matrix;
  if (fresh) refresh();
  if (!solve()) return false;
  if (!fresh && (!outcome.converged || outcome.iterations > iterations_before_refresh)) {
    refresh();
    if (!solve()) return false;
  }
  residual = outcome.residual;
  return outcome.converged;
}

bool heat_matrix_is_stale(const State& now, const StageEquation& equation) {
  if (!now.heat_matrix || now.refresh_heat || !equation.base) return true;
  const double ratio = equation.gamma_dt / now.heat_matrix->gamma_dt;
  return !(ratio < refresh_ratio && ratio > 1.0 / refresh_ratio);
}

void form_heat_matrix(const Problem& problem, Workspace& ws, const StageEquation& equation, State& now) {
  auto matrix = std::make_shared<HeatMatrix>();
  matrix->gamma_dt = equation.gamma_dt;
  matrix->capacity = equation.base ? ws.capacity : CellField(ws.capacity.size(), 0.0);
  matrix->faces = heat_conductances(problem, ws.properties, now.edges);
  now.heat_matrix = std::move(matrix);
  now.refresh_heat = false;
  ++now.counts.heat_factorisations;
}

/// Chooses s and combines the corrections; ws.correction holds -residual on entry, the correction on return.
bool correct(const Problem& problem, Workspace& ws, const StageEquation& equation, State& now, Stage& stage) {
  const double g = equation.gamma_dt, conductance = stage.conductance;
  const double per_s = conductance > 0.0 ? 1.0 / (conductance * conductance) : 0.0;
  const StepDrive& drive = equation.drive;
  stage.limit = Limit::none;
  if (drive.mode != DriveMode::tracking) {
    stage.current_squared = 0.0;
    if (drive.mode == DriveMode::driven) {
      const Prescribed p = prescribed(problem.drive, *drive.segment, equation.time, conductance);
      stage.current_squared = p.s;
      stage.limit = p.limit;
    } else if (drive.mode == DriveMode::at_limit) {
      const Ceiling top = ceiling(problem.drive, conductance);
      stage.current_squared = top.s;
      stage.limit = top.limit;
    }
    if (stage.current_squared > 0.0)
      for (std::size_t i = 0; i < ws.joule.size(); ++i)
        ws.correction[i] += g * stage.current_squared * per_s * ws.joule[i];
    ws.heat.solve(ws.correction);
    ++now.counts.triangular_solves;
    return true;
  }
  ws.response.resize(ws.joule.size());
  for (std::size_t i = 0; i < ws.joule.size(); ++i) ws.response[i] = g * per_s * ws.joule[i];
  ws.heat.solve(ws.correction);
  ws.heat.solve(ws.response);
  now.counts.triangular_solves += 2;
  const Sensor& sensor = problem.sensors[problem.drive.sensor];
  const double wanted =
      material_for_reading(sensor, value_in(*drive.segment, equation.time), problem.chamber_temperature);
  const double answer = sensor.junction.of(ws.response);
  if (!std::isfinite(answer)) {
    stage.reason = "temperatures ceased to be finite";
    return false;
  }
  if (!(answer > least_answer * mean_of(ws.response, ws.capacity))) {
    stage.reason = "the sensor \"" + sensor.name +
                   "\" hardly answers to the current, so a programme on it cannot be followed";
    stage.remedy =
        "Put the control sensor nearer to where the heat is made, or give a programme of current or power.";
    return false;
  }
  stage.current_squared =
      (wanted - sensor.junction.of(now.temperature) - sensor.junction.of(ws.correction)) / answer;
  if (drive.clamped)
    stage.current_squared = std::clamp(stage.current_squared, 0.0, ceiling(problem.drive, conductance).s);
  for (std::size_t i = 0; i < ws.joule.size(); ++i)
    ws.correction[i] += stage.current_squared * ws.response[i];
  return true;
}

/// Slope and powers from the fluxes that the last correction solved for.
void finish(const Problem& problem, Workspace& ws, const StageEquation& equation, const State& now,
            Stage& stage) {
  const double ratio = now.heat_matrix->gamma_dt / equation.gamma_dt;
  add_linear_flows(problem, now.heat_matrix->faces, ratio, ws.correction, ws.flows);
  stage.slope = ws.flows.into_cells;
  const Losses losses = losses_of(problem, ws.flows, now.edges);
  stage.powers = {0.0,         0.0,          ws.flows.source,          losses.radiation,
                  losses.film, losses.fixed, ws.flows.source_magnitude};
  if (stage.conductance > 0.0) {
    const double per_s = 1.0 / (stage.conductance * stage.conductance);
    const double heat = stage.current_squared * per_s;
    for (std::size_t i = 0; i < ws.joule.size(); ++i) {
      stage.slope[i] += heat * ws.joule[i];
      stage.powers.joule += heat * ws.joule[i];
    }
    stage.powers.electric = stage.current_squared / stage.conductance;
    stage.charge_residual *= std::sqrt(std::max(stage.current_squared, 0.0));
  } else {
    stage.charge_residual = 0.0;
  }
}

}  // namespace

bool use_electric_factor(const Problem& problem, Workspace& ws, const State& now) {
  if (ws.electric_from == now.electric_matrix) return true;
  ws.electric_from = now.electric_matrix;
  if (ws.electric.factorise(electric_matrix(problem, *now.electric_matrix))) return true;
  ws.electric_from = nullptr;
  return false;
}

Workspace::Workspace(const Problem& problem)
    : mass(cell_masses(problem)),
      electrified(problem.drive.kind != DriveKind::none && has_electrodes(problem)),
      heat(problem.mesh.n_cells(), face_links(problem)),
      electric(problem.mesh.n_cells(), face_links(problem)),
      joule(problem.mesh.volume.size(), 0.0) {}

Stage solve_stage(const Problem& problem, Workspace& ws, const StageEquation& equation, State& now) {
  Stage stage;
  const double tolerance = problem.numerics.nonlinear_tolerance;
  const bool steady = equation.base == nullptr;
  double before = 0.0;
  for (stage.sweeps = 1; stage.sweeps <= (steady ? steady_sweeps_max : sweeps_max); ++stage.sweeps) {
    ++now.counts.sweeps;
    properties_at(problem, now.temperature, ws.properties);
    if (ws.electrified) {
      if (!update_potential(problem, ws, now, stage.charge_residual)) {
        stage.reason = "the potential could not be solved: does current find a way between the electrodes?";
        return stage;
      }
      const TerminalCurrents currents = terminal_currents(problem, ws.currents);
      stage.conductance = 0.5 * (currents.low + currents.high);
      joule_heat(problem, ws.currents, now.potential, ws.joule);
    }
    heat_flows(problem, ws.properties, now.temperature, equation.time, now.edges, ws.flows);
    enthalpy_at(problem, ws.mass, now.temperature, ws.enthalpy, ws.capacity);
    if (heat_matrix_is_stale(now, equation)) form_heat_matrix(problem, ws, equation, now);
    if (!use_heat_factor(problem, ws, now)) {
      stage.reason = "the heat matrix is singular: no part of the stack stores heat or loses any";
      return stage;
    }
    ws.correction.resize(ws.mass.size());
    for (std::size_t i = 0; i < ws.mass.size(); ++i)
      ws.correction[i] =
          equation.gamma_dt * ws.flows.into_cells[i] - (steady ? 0.0 : ws.enthalpy[i] - (*equation.base)[i]);
    if (!correct(problem, ws, equation, now, stage)) return stage;
    const double size = largest_magnitude(ws.correction);
    if (!std::isfinite(size)) {
      stage.reason = "temperatures ceased to be finite";
      return stage;
    }
    const double damping = steady ? std::min(1.0, steady_correction_max / size) : 1.0;
    for (std::size_t i = 0; i < now.temperature.size(); ++i) {
      now.temperature[i] += damping * ws.correction[i];
      if (!(now.temperature[i] > 1.0)) {
        stage.reason = "a temperature fell below absolute zero on the way to the solution";
        return stage;
      }
    }
    // The correction is the residual seen through the factor, in kelvin; what is left after it follows from
    // the observed contraction.
    const double contraction = stage.sweeps > 1 ? size / before : 1.0;
    const bool small = size <= 0.5 * tolerance;
    const bool converging =
        contraction < 0.9 && size <= 5.0 * tolerance && size * contraction / (1.0 - contraction) <= tolerance;
    if (small || converging) {
      finish(problem, ws, equation, now, stage);
      stage.converged = true;
      return stage;
    }
    if (stage.sweeps > sweeps_before_refresh && contraction > 0.3) now.refresh_heat = true;
    before = size;
  }
  stage.reason = "temperature and current did not settle together";
  return stage;
}

namespace {

/// Start value of a stage temperature: extrapolated through the stages so far, which lie on the slow
/// manifold.
void predict(const State& old, const CellField& capacity, const std::vector<CellField>& temperatures,
             int stage, double dt, CellField& guess) {
  const auto& c = esdirk().c;
  if (stage == 1) {
    for (std::size_t i = 0; i < guess.size(); ++i)
      guess[i] = old.temperature[i] + c[1] * dt * old.slope[i] / capacity[i];
  } else {
    // Lagrange through the last (up to three) known points 0, c_1, ..., c_(stage-1).
    const int first = std::max(0, stage - 3);
    std::fill(guess.begin(), guess.end(), 0.0);
    for (int j = first; j < stage; ++j) {
      double weight = 1.0;
      for (int k = first; k < stage; ++k)
        if (k != j) weight *= (c[stage] - c[k]) / (c[j] - c[k]);
      const CellField& T = temperatures[j];
      for (std::size_t i = 0; i < guess.size(); ++i) guess[i] += weight * T[i];
    }
  }
  // A stiff cell's slope is noise times its stiffness: never start further off than the cell can have moved.
  for (std::size_t i = 0; i < guess.size(); ++i)
    guess[i] = std::clamp(guess[i], 0.8 * old.temperature[i], 1.25 * old.temperature[i]);
}

void add_energies(const Powers& p, double seconds, Ledger& ledger) {
  ledger.electric += seconds * p.electric;
  ledger.joule += seconds * p.joule;
  ledger.source += seconds * p.source;
  ledger.radiation += seconds * p.radiation;
  ledger.film += seconds * p.film;
  ledger.fixed += seconds * p.fixed;
  ledger.delivered += std::abs(seconds) * (std::abs(p.electric) + p.source_magnitude + std::abs(p.radiation) +
                                           std::abs(p.film) + std::abs(p.fixed));
}

/// Takes a solved stage into the books of the step.
void note_stage(const Stage& stage, State& now) {
  ++now.counts.stages;
  now.ledger.worst_charge_residual = std::max(now.ledger.worst_charge_residual, stage.charge_residual);
  now.ledger.largest_current =
      std::max(now.ledger.largest_current, std::sqrt(std::max(stage.current_squared, 0.0)));
  if (stage.sweeps > sweeps_before_refresh) now.refresh_heat = true;
}

void close_step(const Problem& problem, const Workspace& ws, const State& old, double dt, const Stage& last,
                State& now) {
  now.time = old.time + dt;
  now.slope = last.slope;
  now.slope_powers = last.powers;
  now.current_squared = last.current_squared;
  now.limit = last.limit;
  temperature_from_enthalpy(problem, ws.mass, now.enthalpy, now.temperature);
  for (std::size_t i = 0; i < now.enthalpy.size(); ++i) {
    now.ledger.stored += now.enthalpy[i] - old.enthalpy[i];
    now.lowest[i] = std::min(now.lowest[i], now.temperature[i]);
    now.highest[i] = std::max(now.highest[i], now.temperature[i]);
  }
  ++now.counts.steps;
}

}  // namespace

StepOutcome try_step(const Problem& problem, Workspace& ws, const State& old, double dt,
                     const StepDrive& drive) {
  StepOutcome outcome;
  outcome.state = old;
  State& now = outcome.state;
  const Tableau& scheme = esdirk();
  const std::size_t n = old.enthalpy.size();
  const bool euler = old.slope.empty();
  const auto run_stage = [&](double time, double gamma_dt, const CellField& base) {
    StageEquation equation;
    equation.time = time;
    equation.gamma_dt = gamma_dt;
    equation.base = &base;
    equation.drive = drive;
    Stage stage = solve_stage(problem, ws, equation, now);
    if (stage.converged) {
      note_stage(stage, now);
      outcome.slopes.push_back(stage.slope);
      outcome.current_squared.push_back(stage.current_squared);
      outcome.conductance = stage.conductance;
    } else {
      outcome.reason = stage.reason;
      outcome.remedy = stage.remedy;
    }
    return stage;
  };

  if (euler) {
    const Stage stage = run_stage(old.time + dt, dt, old.enthalpy);
    if (!stage.converged) return outcome;
    for (std::size_t i = 0; i < n; ++i) now.enthalpy[i] = old.enthalpy[i] + dt * stage.slope[i];
    add_energies(stage.powers, dt, now.ledger);
    close_step(problem, ws, old, dt, stage, now);
    outcome.converged = true;
    return outcome;
  }

  outcome.slopes.push_back(old.slope);
  outcome.current_squared.push_back(old.current_squared);
  add_energies(old.slope_powers, dt * scheme.b[0], now.ledger);
  std::vector<CellField> temperatures{old.temperature};
  CellField capacity, base(n);
  enthalpy_at(problem, ws.mass, old.temperature, base, capacity);
  Stage stage;
  for (int i = 1; i < n_stages; ++i) {
    base = old.enthalpy;
    for (int j = 0; j < i; ++j) {
      const double weight = dt * scheme.a[i][j];
      const CellField& slope = outcome.slopes[j];
      for (std::size_t k = 0; k < n; ++k) base[k] += weight * slope[k];
    }
    predict(old, capacity, temperatures, i, dt, now.temperature);
    stage = run_stage(old.time + scheme.c[i] * dt, scheme.gamma * dt, base);
    if (!stage.converged) return outcome;
    temperatures.push_back(now.temperature);
    add_energies(stage.powers, dt * scheme.b[i], now.ledger);
  }
  CellField error(n, 0.0);
  now.enthalpy = old.enthalpy;
  for (int j = 0; j < n_stages; ++j) {
    const double weight = dt * scheme.b[j], difference = dt * (scheme.b[j] - scheme.b_embedded[j]);
    const CellField& slope = outcome.slopes[j];
    for (std::size_t k = 0; k < n; ++k) {
      now.enthalpy[k] += weight * slope[k];
      error[k] += difference * slope[k];
    }
  }
  // Seen through the heat factor the estimate is in kelvin and blind to what stiff cells damp at once.
  if (!use_heat_factor(problem, ws, now)) return outcome;
  ws.heat.solve(error);
  ++now.counts.triangular_solves;
  outcome.error = largest_magnitude(error) / problem.numerics.time_tolerance;
  close_step(problem, ws, old, dt, stage, now);
  outcome.converged = true;
  return outcome;
}

CellField dense_enthalpy(const State& before, const StepOutcome& step, double theta) {
  CellField enthalpy(before.enthalpy);
  const double dt = step.state.time - before.time;
  const auto add = [&](double weight, const CellField& slope) {
    for (std::size_t i = 0; i < enthalpy.size(); ++i) enthalpy[i] += weight * slope[i];
  };
  if (step.slopes.size() == 1) {
    add(theta * dt, step.slopes[0]);
    return enthalpy;
  }
  const auto weights = dense_weights(theta);
  for (int j = 0; j < n_stages; ++j) add(dt * weights[j], step.slopes[j]);
  return enthalpy;
}

double dense_current_squared(const StepOutcome& step, double theta) {
  if (step.current_squared.size() == 1) return step.current_squared[0];
  constexpr std::array<int, n_stages> in_time{0, 2, 1, 3, 4, 5};
  const auto& c = esdirk().c;
  for (int k = 0; k + 1 < n_stages; ++k) {
    const int i = in_time[k], j = in_time[k + 1];
    if (theta > c[j]) continue;
    const double share = (theta - c[i]) / (c[j] - c[i]);
    return step.current_squared[i] + share * (step.current_squared[j] - step.current_squared[i]);
  }
  return step.current_squared.back();
}

State initial_state(const Problem& problem, const Workspace& workspace) {
  const std::size_t n = problem.mesh.volume.size();
  State state;
  state.temperature.assign(n, problem.initial_temperature);
  CellField capacity;
  enthalpy_at(problem, workspace.mass, state.temperature, state.enthalpy, capacity);
  state.lowest = state.highest = state.temperature;
  state.potential.assign(n, 0.5);
  state.edges.pair_a.assign(problem.interfaces.pair_faces.size(), problem.initial_temperature);
  state.edges.pair_b = state.edges.pair_a;
  state.edges.outer.assign(problem.interfaces.outer_faces.size(), problem.initial_temperature);
  state.next_step = problem.numerics.first_step;
  return state;
}

}  // namespace joulepress::solver
