#include "solver/step.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"

namespace joulepress::solver {
namespace {

/// What a stage has found; the next ones start from it.
struct Found {
  CellField temperature, potential, capacity;
  double current_squared;
  std::vector<BedState> beds;
};
constexpr std::array<int, n_stages> in_time{0, 2, 1, 3, 4, 5};  // the stages ordered by their instants

/// Weight of node `at(j)` at x in the polynomial through the nodes from `first` up to `end`.
template <class Node>
double lagrange_weight(int first, int end, int j, double x, Node&& at) {
  double weight = 1.0;
  for (int k = first; k < end; ++k)
    if (k != j) weight *= (x - at(k)) / (at(j) - at(k));
  return weight;
}

void add_multiple(double weight, const CellField& values, CellField& sum) {
  for (std::size_t i = 0; i < sum.size(); ++i) sum[i] += weight * values[i];
}

void add_to_bed(double weight, const BedCells& slope, BedCells& bed) {
  add_multiple(weight, slope.L, bed.L);
  add_multiple(weight, slope.apart, bed.apart);
}

void clear_bed(BedCells& bed) {
  std::fill(bed.L.begin(), bed.L.end(), 0.0);
  std::fill(bed.apart.begin(), bed.apart.end(), 0.0);
}

/// What is extrapolated never grows looser, nor denser than dense.
void hold_in_range(const BedState& old, BedState& bed) {
  for (std::size_t k = 0; k < bed.L.size(); ++k) {
    bed.L[k] = std::clamp(bed.L[k], old.L[k], std::max(old.L[k], dense_L));
    bed.apart[k] = std::clamp(bed.apart[k], old.apart[k], std::max(old.apart[k], dense_L));
  }
}

/// Bases of L for a stage: the beds of before and what the slopes so far bring.
std::vector<BedCells> bases_of(const State& old, const std::vector<std::vector<BedCells>>& slopes,
                               std::span<const double> weights) {
  std::vector<BedCells> bases;
  for (std::size_t b = 0; b < old.beds.size(); ++b) {
    BedCells base = old.beds[b];
    for (std::size_t j = 0; j < weights.size(); ++j) add_to_bed(weights[j], slopes[j][b], base);
    bases.push_back(std::move(base));
  }
  return bases;
}

constexpr double last_porosity = 1e-3;  // of a cell that becomes dense within a step; own choice

/// Estimated error of the densities over their tolerance: porosity times that of L.  No estimate sees where
/// within a step a cell became dense; so only those do that have next to no pores left, for else the work of
/// closing them would be missed.
double density_error(const State& old, const std::vector<std::vector<BedCells>>& slopes,
                     std::span<const double> weights, const State& now, double tolerance) {
  double largest = 0.0;
  for (std::size_t b = 0; b < old.beds.size(); ++b)
    for (std::size_t k = 0; k < old.beds[b].L.size(); ++k) {
      double error = 0.0;
      for (std::size_t j = 0; j < weights.size(); ++j) error += weights[j] * slopes[j][b].L[k];
      double of_density = std::abs(error) * std::exp(-now.beds[b].L[k]) / tolerance;
      if (now.beds[b].L[k] >= dense_L && old.beds[b].L[k] < dense_L)
        of_density = std::max(of_density, std::exp(-old.beds[b].L[k]) / last_porosity);
      if (!(of_density <= largest)) largest = of_density;
    }
  return largest;
}

/// Start values of a stage: extrapolated through the stages so far, which lie on the slow manifold.
void predict(const State& old, const CellField& capacity, const std::vector<Found>& found, double dt,
             State& now) {
  const auto& c = esdirk().c;
  const int stage = static_cast<int>(found.size());
  CellField& guess = now.temperature;
  if (stage == 1) {
    const double ahead = c[1] * dt;
    for (std::size_t i = 0; i < guess.size(); ++i)
      guess[i] = old.temperature[i] + ahead * old.slope[i] / capacity[i];
    for (std::size_t i = 0; i < old.trend.potential.size(); ++i)
      now.potential[i] += ahead * old.trend.potential[i];
    now.current_squared += ahead * old.trend.current_squared;
    for (std::size_t b = 0; b < old.beds.size(); ++b) add_to_bed(ahead, old.bed_slopes[b], now.beds[b]);
  } else {
    // Lagrange through the last (up to three) known points 0, c_1, ..., c_(stage-1).
    const int first = std::max(0, stage - 3);
    std::fill(guess.begin(), guess.end(), 0.0);
    std::fill(now.potential.begin(), now.potential.end(), 0.0);
    now.current_squared = 0.0;
    for (BedState& bed : now.beds) clear_bed(bed);
    for (int j = first; j < stage; ++j) {
      const double weight = lagrange_weight(first, stage, j, c[stage], [&](int k) { return c[k]; });
      add_multiple(weight, found[j].temperature, guess);
      add_multiple(weight, found[j].potential, now.potential);
      now.current_squared += weight * found[j].current_squared;
      for (std::size_t b = 0; b < now.beds.size(); ++b) add_to_bed(weight, found[j].beds[b], now.beds[b]);
    }
  }
  for (std::size_t b = 0; b < now.beds.size(); ++b) hold_in_range(old.beds[b], now.beds[b]);
  // A stiff cell's slope is noise times its stiffness: never start further off than the cell can have moved.
  for (std::size_t i = 0; i < guess.size(); ++i)
    guess[i] = std::clamp(guess[i], 0.8 * old.temperature[i], 1.25 * old.temperature[i]);
}

/// Slopes of the parabolas through the last three stages, at their end.
Trend trend_of(const std::vector<Found>& found, double dt) {
  const auto& c = esdirk().c;
  const int last = n_stages - 1;
  Trend trend;
  trend.potential.assign(found[last].potential.size(), 0.0);
  for (int j = last - 2; j <= last; ++j) {
    double product = 1.0, sum = 0.0;  // of the Lagrange polynomial: 1/leading factor, numerator of its slope
    for (int k = last - 2; k <= last; ++k) {
      if (k == j) continue;
      product *= c[j] - c[k];
      sum += c[last] - c[k];
    }
    const double slope = sum / product / dt;
    add_multiple(slope, found[j].potential, trend.potential);
    trend.current_squared += slope * found[j].current_squared;
  }
  return trend;
}

/// What the stages did not see of the heat capacities on the way: the largest difference between the enthalpy
/// taken up and the trapezoids through the stages, in kelvin.  A peak between two stages shows here and
/// nowhere else.
double unseen_heat(const std::vector<Found>& found, const CellField& before, const CellField& after) {
  double largest = 0.0;
  for (std::size_t i = 0; i < before.size(); ++i) {
    double seen = 0.0;
    for (int k = 1; k < n_stages; ++k) {
      const Found &a = found[in_time[k - 1]], &b = found[in_time[k]];
      seen += 0.5 * (a.capacity[i] + b.capacity[i]) * (b.temperature[i] - a.temperature[i]);
    }
    const double unseen = std::abs(after[i] - before[i] - seen) / found.front().capacity[i];
    if (!(unseen <= largest)) largest = unseen;
  }
  return largest;
}

void add_energies(const Powers& p, double seconds, Ledger& ledger) {
  ledger.electric += seconds * p.electric;
  ledger.joule += seconds * p.joule;
  ledger.thermoelectric += seconds * p.thermoelectric;
  ledger.source += seconds * p.source;
  ledger.press += seconds * p.press;
  ledger.radiation += seconds * p.radiation;
  ledger.film += seconds * p.film;
  ledger.gas += seconds * p.gas;
  ledger.fixed += seconds * p.fixed;
  ledger.delivered +=
      std::abs(seconds) * (std::abs(p.electric) + p.source_magnitude + std::abs(p.press) +
                           std::abs(p.radiation) + std::abs(p.film) + std::abs(p.gas) + std::abs(p.fixed));
}

/// Takes a solved stage into the books of the step.
void note_stage(const Stage& stage, State& now) {
  ++now.counts.stages;
  now.ledger.worst_charge_residual = std::max(now.ledger.worst_charge_residual, stage.charge_residual);
  now.ledger.largest_current =
      std::max(now.ledger.largest_current, std::sqrt(std::max(now.current_squared, 0.0)));
}

void close_step(const Problem& problem, const Workspace& ws, const State& old, double dt, const Stage& last,
                State& now) {
  now.time = old.time + dt;
  now.slope = last.slope;
  now.slope_powers = last.powers;
  now.bed_slopes = last.bed_slopes;
  for (std::size_t b = 0; b < now.beds.size(); ++b) level(ws.present.shapes()[b], now.beds[b]);
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
  const auto run_stage = [&](double time, double gamma_dt, const CellField& base,
                             const std::vector<BedCells>& bed_bases) {
    StageEquation equation;
    equation.time = time;
    equation.programme = programme_time(old, time);
    equation.force = force_time(old, time);
    equation.gamma_dt = gamma_dt;
    equation.base = &base;
    if (!bed_bases.empty()) {
      equation.bed_bases = &bed_bases;
      equation.beds_before = &old.beds;
    }
    equation.drive = drive;
    Stage stage = solve_stage(problem, ws, equation, now);
    if (stage.converged) {
      note_stage(stage, now);
      outcome.slopes.push_back(stage.slope);
      outcome.bed_slopes.push_back(stage.bed_slopes);
      outcome.current_squared.push_back(now.current_squared);
      outcome.conductance = stage.conductance;
    } else {
      outcome.reason = stage.reason;
      outcome.remedy = stage.remedy;
    }
    return stage;
  };

  if (euler) {
    const Stage stage = run_stage(old.time + dt, dt, old.enthalpy, bases_of(old, {}, {}));
    if (!stage.converged) return outcome;
    for (std::size_t i = 0; i < n; ++i) now.enthalpy[i] = old.enthalpy[i] + dt * stage.slope[i];
    now.trend = {};
    add_energies(stage.powers, dt, now.ledger);
    close_step(problem, ws, old, dt, stage, now);
    outcome.converged = true;
    return outcome;
  }

  outcome.slopes.push_back(old.slope);
  outcome.bed_slopes.push_back(old.bed_slopes);
  outcome.current_squared.push_back(old.current_squared);
  add_energies(old.slope_powers, dt * scheme.b[0], now.ledger);
  CellField capacity, base(n);
  enthalpy_at(problem, ws.mass, old.temperature, base, capacity);
  std::vector<Found> found{{old.temperature, old.potential, capacity, old.current_squared, old.beds}};
  Stage stage;
  for (int i = 1; i < n_stages; ++i) {
    base = old.enthalpy;
    for (int j = 0; j < i; ++j) {
      const double weight = dt * scheme.a[i][j];
      const CellField& slope = outcome.slopes[j];
      for (std::size_t k = 0; k < n; ++k) base[k] += weight * slope[k];
    }
    predict(old, capacity, found, dt, now);
    std::vector<double> weights;
    for (int j = 0; j < i; ++j) weights.push_back(dt * scheme.a[i][j]);
    stage = run_stage(old.time + scheme.c[i] * dt, scheme.gamma * dt, base,
                      bases_of(old, outcome.bed_slopes, weights));
    if (!stage.converged) return outcome;
    found.push_back({now.temperature, now.potential, ws.capacity, now.current_squared, now.beds});
    add_energies(stage.powers, dt * scheme.b[i], now.ledger);
  }
  now.trend = trend_of(found, dt);
  for (Found& stage_found : found) outcome.potentials.push_back(std::move(stage_found.potential));
  CellField error(n, 0.0);
  std::vector<double> differences;
  now.enthalpy = old.enthalpy;
  for (int j = 0; j < n_stages; ++j) {
    const double weight = dt * scheme.b[j], difference = dt * (scheme.b[j] - scheme.b_embedded[j]);
    differences.push_back(difference);
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
  // The estimate falls with the fourth power of the step, what trapezoids miss with its square.
  const double unseen = unseen_heat(found, old.enthalpy, now.enthalpy) / problem.numerics.unseen_heat;
  outcome.error = std::max(
      {largest_magnitude(error) / problem.numerics.time_tolerance, unseen * unseen,
       density_error(old, outcome.bed_slopes, differences, now, problem.numerics.density_tolerance)});
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

std::vector<BedState> dense_beds(const State& before, const StepOutcome& step, double theta) {
  std::vector<BedState> beds = before.beds;
  const double dt = step.state.time - before.time;
  for (std::size_t b = 0; b < beds.size(); ++b) {
    beds[b].stress = step.state.beds[b].stress;
    if (step.bed_slopes.size() == 1) {
      add_to_bed(theta * dt, step.bed_slopes[0][b], beds[b]);
    } else {
      const auto weights = dense_weights(theta);
      for (int j = 0; j < n_stages; ++j) add_to_bed(dt * weights[j], step.bed_slopes[j][b], beds[b]);
    }
    hold_in_range(before.beds[b], beds[b]);
  }
  return beds;
}

double dense_current_squared(const StepOutcome& step, double theta) {
  if (step.current_squared.size() == 1) return step.current_squared[0];
  const auto& c = esdirk().c;
  for (int k = 0; k + 1 < n_stages; ++k) {
    const int i = in_time[k], j = in_time[k + 1];
    if (theta > c[j]) continue;
    const double share = (theta - c[i]) / (c[j] - c[i]);
    return step.current_squared[i] + share * (step.current_squared[j] - step.current_squared[i]);
  }
  return step.current_squared.back();
}

CellField dense_potential(const StepOutcome& step, double theta) {
  if (step.potentials.empty()) return step.state.potential;
  // The parabola through three stages around theta.
  const auto& c = esdirk().c;
  int first = 0;
  while (first + 3 < n_stages && theta > c[in_time[first + 2]]) ++first;
  CellField potential(step.state.potential.size(), 0.0);
  for (int j = first; j < first + 3; ++j) {
    const double weight = lagrange_weight(first, first + 3, j, theta, [&](int k) { return c[in_time[k]]; });
    add_multiple(weight, step.potentials[in_time[j]], potential);
  }
  return potential;
}

State initial_state(const Problem& problem, const Workspace& workspace) {
  const std::size_t n = problem.mesh.volume.size();
  State state;
  state.temperature.assign(n, problem.initial_temperature);
  CellField capacity;
  enthalpy_at(problem, workspace.mass, state.temperature, state.enthalpy, capacity);
  for (const double heat : state.enthalpy) state.ledger.held += std::abs(heat);
  state.lowest = state.highest = state.temperature;
  state.potential.assign(n, 0.5);
  state.edges.pair_a.assign(problem.interfaces.pair_faces.size(), problem.initial_temperature);
  state.edges.pair_b = state.edges.pair_a;
  state.edges.outer.assign(problem.interfaces.outer_faces.size(), problem.initial_temperature);
  state.next_step = problem.numerics.first_step;
  for (std::size_t b = 0; b < problem.beds.size(); ++b) {
    const double D = problem.parts[problem.mesh.layout[problem.beds[b].block].part].relative_density;
    const CellField L(workspace.present.shapes()[b].dense.size() * workspace.present.shapes()[b].area.size(),
                      L_of(D));
    state.beds.push_back({{L, L}, {}});
  }
  return state;
}

}  // namespace joulepress::solver
