#include "solver/stage.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/sensor.hpp"
#include "solver/thermoelectric.hpp"
#include "solver/touches.hpp"

namespace joulepress::solver {
namespace {

constexpr int sweeps_max = 25, steady_sweeps_max = 300;
constexpr int sweeps_before_refresh = 4;
constexpr double refresh_ratio = 1.1;  // gamma dt may differ by this from the kept factor's
// A sensor whose material warms by less than this of the stack's mean, when the current comes on, lags too
// far behind: to keep it on its programme the current would swing between nothing and its limit.
constexpr double least_answer = 0.02;
constexpr double steady_correction_max = 300;  // K per sweep: radiation linearised on a cold guess overshoots

/// Mean over the heat capacity.
double mean_of(const CellField& values, const CellField& capacity) {
  double sum = 0.0, whole = 0.0;
  for (std::size_t i = 0; i < values.size(); ++i) {
    sum += capacity[i] * values[i];
    whole += capacity[i];
  }
  return sum / whole;
}

/// How the corrections of a stage settle.  What is left after one follows from the contraction; the first of
/// a stage takes over that of the stage before, and none is read from corrections below the tolerance.  One
/// correction larger than the one before only answers to what the other field did; two in a row are the
/// iteration's own.
class Settling {
 public:
  Settling(double contraction, double tolerance)
      : contraction_(std::max(contraction, least)), tolerance_(tolerance) {}
  void take(double size) {
    growths_ = size < before_ ? 0 : growths_ + 1;
    if (before_ > tolerance_ && growths_ != 1) contraction_ = std::max(size / before_, least);
    before_ = size;
  }
  double contraction() const { return contraction_; }

 private:
  static constexpr double least = 0.1;  // never trusted to be faster
  double contraction_, tolerance_, before_ = 0.0;
  int growths_ = -1;
};

/// Where a face has come to conduct much better than the kept matrix knows (a ceramic as it heats up), the
/// iteration overshoots; twice is the bound of two-point fluxes.  Pieces of a contact are taken together cell
/// by cell: where blocks slide, one grows as its neighbour shrinks.
bool still_serves(const Problem& problem, const ElectricFaces& kept, const ElectricFaces& now) {
  constexpr double most = 1.5;
  const auto within = [](const std::vector<double>& was, const std::vector<double>& is) {
    bool good = true;
    for (std::size_t f = 0; f < is.size(); ++f) good &= is[f] <= most * was[f];
    return good;
  };
  const auto by_cell = [&problem](const std::vector<double>& pieces) {
    std::vector<double> sums(problem.mesh.volume.size(), 0.0);
    for (std::size_t f = 0; f < pieces.size(); ++f) {
      sums[problem.interfaces.pair_faces[f].a.cell] += pieces[f];
      sums[problem.interfaces.pair_faces[f].b.cell] += pieces[f];
    }
    return sums;
  };
  return within(kept.inner, now.inner) && within(by_cell(kept.pair), by_cell(now.pair)) &&
         within(kept.outer, now.outer);
}

/// One correction of psi at the present properties; a full solution with a fresh factor where there is none
/// yet or the kept one serves badly.
bool correct_potential(const Problem& problem, Workspace& ws, State& now, Settling& settling, bool& settled) {
  constexpr double hopeless = 0.3;            // share of the power
  constexpr double fresh_contraction = 0.15;  // of the deferred correction with a factor of today
  const double tolerance = problem.numerics.potential_tolerance;
  electric_conductances(problem, ws.properties, ws.electric_faces);
  if (now.electric_matrix && !now.refresh_electric &&
      still_serves(problem, *now.electric_matrix, ws.electric_faces)) {
    if (!use_electric_factor(problem, ws, now)) return false;
    const double change = correct_potential(problem, ws.electric_faces, ws.electric, *now.electric_matrix,
                                            now.potential, ws.currents);
    ++now.counts.triangular_solves;
    settling.take(change);
    settled = potential_settled(change, settling.contraction(), tolerance);
    if (change < hopeless) return true;
    for (std::size_t i = 0; i < now.potential.size(); ++i) now.potential[i] -= ws.currents.change[i];
  }
  const bool first = !now.electric_matrix;
  now.electric_matrix = std::make_shared<ElectricFaces>(ws.electric_faces);
  now.refresh_electric = false;
  ++now.counts.electric_factorisations;
  if (!use_electric_factor(problem, ws, now)) return false;
  if (first) start_potential(problem, *now.electric_matrix, ws.electric, now.potential);
  const PotentialOutcome outcome = solve_potential(
      problem, ws.electric_faces, ws.electric, *now.electric_matrix, tolerance, now.potential, ws.currents);
  now.counts.triangular_solves += outcome.iterations;
  settling = Settling(fresh_contraction, tolerance);
  settled = outcome.converged;
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
  matrix->faces = heat_conductances(problem, ws.properties, ws.flows.chamber, now.edges);
  now.heat_matrix = std::move(matrix);
  now.response = nullptr;
  now.refresh_heat = false;
  ++now.counts.heat_factorisations;
}

/// Joule heat at s as the right side of the correction sees it, added.
void add_joule(const Workspace& ws, double factor, CellField& right_side) {
  for (std::size_t i = 0; i < ws.joule.size(); ++i) right_side[i] += factor * ws.joule[i];
}

/// The s that a programme of current, voltage or power, or a limit, prescribes.
Prescribed given_current(const Problem& problem, const StageEquation& equation, double conductance) {
  const StepDrive& drive = equation.drive;
  if (drive.mode == DriveMode::driven)
    return prescribed(problem.drive, drive.kind, *drive.segment, equation.programme, conductance);
  if (drive.mode == DriveMode::controlled)
    return prescribed(problem.drive, drive.kind, *drive.segment, equation.time, conductance);
  if (drive.mode != DriveMode::at_limit) return {};
  const Ceiling top = ceiling(problem.drive, conductance);
  return {top.s, top.limit};
}

/// Adds thermoelectric heat to the flows, of the current as it is known in this sweep.
void add_thermoelectric_heat(const Problem& problem, Workspace& ws, const StageEquation& equation, State& now,
                             Stage& stage) {
  const double s = equation.drive.mode == DriveMode::tracking
                       ? now.current_squared
                       : given_current(problem, equation, stage.conductance).s;
  stage.powers.thermoelectric =
      add_thermoelectric_heat(problem, ws.properties, ws.currents, stage.conductance,
                              signed_current(problem, s), now.temperature, now.edges, ws.flows)
          .power;
}

/// What a unit of s adds to the temperatures, known once per heat matrix: it only steers the current, the
/// equation holds whatever it is.
bool know_response(const Problem& problem, const Sensor& sensor, Workspace& ws, double per_s, double g,
                   State& now, Stage& stage) {
  if (now.response) return true;
  CellField response(ws.joule.size(), 0.0);
  add_joule(ws, g * per_s, response);
  ws.heat.solve(response);
  ++now.counts.triangular_solves;
  const double answer = change_at(problem, sensor, response);
  if (!std::isfinite(answer)) {
    stage.reason = "temperatures ceased to be finite";
    return false;
  }
  if (!(answer > least_answer * mean_of(response, ws.capacity))) {
    stage.reason = "the sensor \"" + sensor.name +
                   "\" hardly answers to the current, so a programme on it cannot be followed";
    stage.remedy =
        "Put the control sensor nearer to where the heat is made, or give a programme of current or power.";
    return false;
  }
  now.response = std::make_shared<CellField>(std::move(response));
  return true;
}

/// Chooses s; ws.correction holds -residual without Joule heat on entry, the correction on return.
bool correct(const Problem& problem, Workspace& ws, const StageEquation& equation, State& now, Stage& stage) {
  const double g = equation.gamma_dt, conductance = stage.conductance;
  const double per_s = conductance > 0.0 ? 1.0 / (conductance * conductance) : 0.0;
  const bool tracking = equation.drive.mode == DriveMode::tracking;
  stage.limit = Limit::none;
  if (!tracking) {
    const Prescribed given = given_current(problem, equation, conductance);
    now.current_squared = given.s;
    stage.limit = given.limit;
  } else if (!know_response(problem, problem.sensors[equation.drive.sensor], ws, per_s, g, now, stage)) {
    return false;
  }
  add_joule(ws, g * per_s * now.current_squared, ws.correction);
  ws.heat.solve(ws.correction);
  ++now.counts.triangular_solves;
  if (!tracking) return true;
  const Sensor& sensor = problem.sensors[equation.drive.sensor];
  const CellField& response = *now.response;
  const double chamber = chamber_at(problem, equation.time);
  const double wanted =
      material_for_reading(sensor, value_in(*equation.drive.segment, equation.programme), chamber);
  double s = now.current_squared + (wanted - material_at(sensor, now.temperature, now.edges.outer, chamber) -
                                    change_at(problem, sensor, ws.correction)) /
                                       change_at(problem, sensor, response);
  if (equation.drive.clamped) s = std::clamp(s, 0.0, ceiling(problem.drive, conductance).s);
  const double more = s - now.current_squared;
  for (std::size_t i = 0; i < response.size(); ++i) ws.correction[i] += more * response[i];
  now.current_squared = s;
  return true;
}

bool heat_settled(double size, double contraction, double tolerance) {
  if (size <= 0.5 * tolerance) return true;
  return contraction < 0.9 && size <= 5.0 * tolerance &&
         size * contraction <= tolerance * (1.0 - contraction);
}

/// One sweep of every bed, with the work that the punches do in it.  Returns the largest change of a density.
double compact_beds(const Problem& problem, Workspace& ws, const StageEquation& equation, State& now) {
  const double force = force_at(problem, equation.force);
  double largest = 0.0;
  ws.press.assign(ws.mass.size(), 0.0);
  for (std::size_t b = 0; b < problem.beds.size(); ++b) {
    const Bed& bed = problem.beds[b];
    const BedShape& shape = ws.present.shapes()[b];
    const BedCells& base = (*equation.bed_bases)[b];
    const double change = compact(problem, bed, shape, now.temperature, force, base.L, equation.gamma_dt,
                                  (*equation.beds_before)[b].stress, now.beds[b], ws.closings[b]);
    compact_apart(problem, bed, shape, now.temperature, force, ws.closings[b].yields, base.apart,
                  equation.gamma_dt, now.beds[b].apart);
    if (!(change <= largest)) largest = change;
    add_press_work(shape, now.beds[b], ws.closings[b], force, ws.press);
  }
  return largest;
}

std::vector<BedCells> slopes_of_beds(const StageEquation& equation, const State& now) {
  std::vector<BedCells> slopes;
  const auto slope = [&](const CellField& is, const CellField& was) {
    CellField out(is.size());
    for (std::size_t k = 0; k < is.size(); ++k) out[k] = (is[k] - was[k]) / equation.gamma_dt;
    return out;
  };
  for (std::size_t b = 0; b < now.beds.size(); ++b) {
    const BedCells& base = (*equation.bed_bases)[b];
    slopes.push_back({slope(now.beds[b].L, base.L), slope(now.beds[b].apart, base.apart)});
  }
  return slopes;
}

/// Slope and powers from the fluxes that the last correction solved for.
void finish(const Problem& problem, Workspace& ws, const StageEquation& equation, const State& now,
            Stage& stage) {
  const double ratio = now.heat_matrix->gamma_dt / equation.gamma_dt;
  add_linear_flows(problem, now.heat_matrix->faces, ratio, ws.correction, ws.flows);
  stage.slope = ws.flows.into_cells;
  const Losses losses = losses_of(problem, ws.flows, now.edges);
  stage.powers.source = ws.flows.source;
  stage.powers.source_magnitude = ws.flows.source_magnitude;
  stage.powers.radiation = losses.radiation;
  stage.powers.film = losses.film;
  stage.powers.fixed = losses.fixed;
  stage.powers.gas = losses.gas;
  for (std::size_t i = 0; i < ws.press.size(); ++i) {
    stage.slope[i] += ws.press[i];
    stage.powers.press += ws.press[i];
  }
  if (equation.bed_bases) stage.bed_slopes = slopes_of_beds(equation, now);
  if (stage.conductance > 0.0) {
    const double per_s = 1.0 / (stage.conductance * stage.conductance);
    const double heat = now.current_squared * per_s;
    for (std::size_t i = 0; i < ws.joule.size(); ++i) {
      stage.slope[i] += heat * ws.joule[i];
      stage.powers.joule += heat * ws.joule[i];
    }
    stage.powers.electric = now.current_squared / stage.conductance + stage.powers.thermoelectric;
    stage.charge_residual =
        charge_imbalance(problem, ws.currents) * std::sqrt(std::max(now.current_squared, 0.0));
  }
}

}  // namespace

double largest_magnitude(const CellField& values) {
  double largest = 0.0;
  for (const double v : values) {
    if (!std::isfinite(v)) return v;
    largest = std::max(largest, std::abs(v));
  }
  return largest;
}

bool use_heat_factor(const Problem& problem, Workspace& ws, const State& now) {
  if (ws.heat_from == now.heat_matrix) return true;
  ws.heat_from = now.heat_matrix;
  if (ws.heat.factorise(heat_matrix_values(problem, *now.heat_matrix))) return true;
  ws.heat_from = nullptr;
  return false;
}

bool use_electric_factor(const Problem& problem, Workspace& ws, const State& now) {
  if (ws.electric_from == now.electric_matrix) return true;
  ws.electric_from = now.electric_matrix;
  if (ws.electric.factorise(electric_matrix(problem, *now.electric_matrix))) return true;
  ws.electric_from = nullptr;
  return false;
}

Workspace::Workspace(const Problem& problem)
    : mass(cell_masses(problem)),
      electrified(carries_current(problem.drive) && has_electrodes(problem)),
      heat(problem.mesh.n_cells(), face_links(problem)),
      electric(heat.of_same_pattern()),
      joule(problem.mesh.volume.size(), 0.0),
      present(problem),
      closings(problem.beds.size()) {}

Stage solve_stage(const Problem& start, Workspace& ws, const StageEquation& equation, State& now) {
  constexpr double density_share = 0.05;  // of a step's tolerance, where the sweeps may stop
  Stage stage;
  const double tolerance = start.numerics.nonlinear_tolerance;
  const bool steady = equation.base == nullptr;
  const std::span<const Closing> closings =
      equation.bed_bases ? std::span<const Closing>(ws.closings) : std::span<const Closing>();
  Settling heat(now.heat_contraction, tolerance),
      current(now.current_contraction, start.numerics.potential_tolerance);
  for (stage.sweeps = 1; stage.sweeps <= (steady ? steady_sweeps_max : sweeps_max); ++stage.sweeps) {
    ++now.counts.sweeps;
    bool density_is_settled = true;
    if (equation.bed_bases)
      density_is_settled =
          compact_beds(start, ws, equation, now) <= density_share * start.numerics.density_tolerance;
    const Problem& problem = ws.present.at(now.beds);
    properties_at(problem, now.temperature, now.beds, now.highest, ws.properties);
    touches_at(problem, now.temperature, now.edges.pair_a, now.edges.pair_b,
               loads_of(problem, equation.force, closings), ws.properties);
    bool potential_is_settled = true;
    if (ws.electrified) {
      if (!correct_potential(problem, ws, now, current, potential_is_settled)) {
        stage.reason = "the potential could not be solved: does current find a way between the electrodes?";
        return stage;
      }
      const TerminalCurrents currents = terminal_currents(problem, ws.currents);
      stage.conductance = 0.5 * (currents.low + currents.high);
      joule_heat(problem, ws.currents, now.potential, ws.joule);
    }
    heat_flows(problem, ws.properties, now.temperature, equation.time, now.edges, ws.flows);
    if (problem.thermoelectric && ws.electrified) add_thermoelectric_heat(problem, ws, equation, now, stage);
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
    for (std::size_t i = 0; i < ws.press.size(); ++i) ws.correction[i] += equation.gamma_dt * ws.press[i];
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
    // The correction is the residual seen through the factor, in kelvin.
    heat.take(size);
    if (density_is_settled && potential_is_settled && heat_settled(size, heat.contraction(), tolerance)) {
      finish(problem, ws, equation, now, stage);
      now.heat_contraction = heat.contraction();
      now.current_contraction = current.contraction();
      now.refresh_heat = now.refresh_heat || stage.sweeps > sweeps_before_refresh;
      stage.converged = true;
      return stage;
    }
    if (stage.sweeps > sweeps_before_refresh && heat.contraction() > 0.3) now.refresh_heat = true;
    if (!potential_is_settled && current.contraction() > 0.8) now.refresh_electric = true;
  }
  stage.reason = "temperature and current did not settle together";
  return stage;
}

}  // namespace joulepress::solver
