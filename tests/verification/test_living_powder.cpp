// Whole stacks while their powder densifies: what motion must not disturb, its order in time, and heat that
// changes a phase.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/build_problem.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "solver/step.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

cases::Case shipped(const std::string& name) {
  return cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/" + name + ".yaml").c;
}

std::vector<solver::Segment> off_for(double seconds) {
  std::vector<solver::Segment> segments{segment(0, seconds, 0, 0)};
  segments[0].off = true;
  return segments;
}

}  // namespace

TEST_CASE("parts that slide at no force leave a uniform temperature uniform and every joule in place") {
  // Alumina of 0.1 um sinters by its own surface; nothing leaves the insulated stack, the punches follow.
  cases::Case c = shipped("checks/viscous-column");
  c.column[1].material = "viscous solid";
  c.column[1].grain = 0.1e-6;
  for (cases::ProgrammeStep& step : c.programme.pressure) step.to = 0.0;
  c.programme.steps.back().duration = 200;
  c.programme.pressure.back().duration = 200;
  solver::Problem p = cases::build_problem(c);
  double off = 0.0, heights = 0.0;
  solver::Observers observers;
  observers.fields = [&](const solver::CellFields& fields) {
    for (const double T : fields.temperature) off = std::max(off, std::abs(T - p.initial_temperature));
    heights = fields.placement.back().front();
  };
  const solver::RunResult result = solver::run(p, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(result.rows.back().powder->density_mean > 0.7);
  CHECK(result.rows.back().stroke.densification > 1e-3);
  CHECK(off < 1e-9 * p.initial_temperature);
  CHECK(std::abs(result.ledger.stored) < 1e-9 * 1e5);  // J; the stack holds some 1e5
  CHECK(result.ledger.press == 0.0);
  CHECK(heights != p.mesh.grids.back().z_lines.front());  // the die did move
}

TEST_CASE("the die rides on what it moves with: the bore of the couple walks past the powder") {
  const auto at_end = [](const char* with, double& die_down, double& powder_down) {
    cases::Case c = shipped("checks/viscous-column");
    c.sleeves[0].moves_with = with;
    c.programme.steps.back().duration = 100;
    c.programme.pressure.back().duration = 100;
    const solver::Problem p = cases::build_problem(c);
    const std::size_t die = p.mesh.layout.size() - 2;
    REQUIRE(p.mesh.layout[die].name == "die");
    const auto middle = [](const std::vector<double>& lines) { return 0.5 * (lines.front() + lines.back()); };
    solver::Observers observers;
    observers.fields = [&](const solver::CellFields& fields) {
      die_down = p.mesh.layout[die].z_bottom - fields.placement[die].front();
      powder_down = middle(p.mesh.grids[1].z_lines) - middle(fields.placement[1]);
    };
    const solver::RunResult result = solver::run(p, observers);
    REQUIRE(result.status == solver::RunStatus::completed);
    CHECK(result.ledger.energy_balance_relative() < 1e-8);
    return (p.half != nullptr) == (std::string(with) == "powder");
  };
  double die = 0, powder = 0;
  CHECK(at_end("powder", die, powder));
  CHECK(powder > 1e-3);
  CHECK(die == relative(powder, 1e-9));
  CHECK(at_end("lower punch", die, powder));
  CHECK(std::abs(die) < 1e-12);
  CHECK(powder > 1e-3);
  CHECK(at_end("upper punch", die, powder));
  CHECK(die == relative(2 * powder, 1e-9));
}

namespace {

/// The state of a run at the first checkpoint after a time.
solver::State state_at(const solver::Problem& p, double time) {
  solver::State state;
  solver::Observers observers;
  observers.checkpoint_every = 1;
  observers.checkpoint = [&](const solver::Checkpoint& checkpoint) { state = checkpoint.state; };
  observers.progress = [&](const solver::Progress& progress) { return progress.time_s < time; };
  solver::run(p, observers);
  return state;
}

}  // namespace

namespace {

struct Orders {
  double heat = 0, density = 0;  ///< observed, from three runs in 4, 8 and 16 equal steps
  double coarse_K = 0, fine_K = 0;
};

/// Marches the same stretch in ever smaller equal steps.
Orders orders_of(const solver::Problem& p, const solver::State& start, double seconds,
                 const solver::StepDrive& drive) {
  const auto ends = [&](int steps) {
    solver::Workspace ws(p);
    solver::State state = start;
    for (int k = 0; k < steps; ++k) {
      solver::StepOutcome outcome = solver::try_step(p, ws, state, seconds / steps, drive);
      REQUIRE_MESSAGE(outcome.converged, outcome.reason);
      state = std::move(outcome.state);
    }
    return state;
  };
  const solver::State a = ends(4), b = ends(8), c = ends(16);
  REQUIRE(c.beds[0].L[0] - start.beds[0].L[0] > 0.05);  // it does densify
  const auto largest = [](const solver::CellField& x, const solver::CellField& y) {
    double most = 0;
    for (std::size_t i = 0; i < x.size(); ++i) most = std::max(most, std::abs(x[i] - y[i]));
    return most;
  };
  Orders orders;
  orders.coarse_K = largest(a.temperature, b.temperature);
  orders.fine_K = largest(b.temperature, c.temperature);
  orders.heat = std::log2(orders.coarse_K / orders.fine_K);
  orders.density = std::log2(largest(a.beds[0].L, b.beds[0].L) / largest(b.beds[0].L, c.beds[0].L));
  return orders;
}

void solve_closely(solver::Problem& p) {
  p.numerics.nonlinear_tolerance = 1e-5;
  p.numerics.potential_tolerance = 1e-6;
  p.numerics.density_tolerance = 1e-8;
}

}  // namespace

TEST_CASE("order in time of a column that conducts, heats, densifies and moves") {
  // Nothing slides: punch, powder, punch.
  materials::Material tool = constant_material("tool", 60, 1e-5, 1500, 1800);
  materials::Material powder = constant_material("powder", 8, 3e-5, 1000, 4000);
  materials::Creep creep;
  creep.exponent = 2;
  creep.activation_energy = 300e3;
  creep.rate = 1e-2;
  creep.stress = 50e6;
  creep.temperature = 1300;
  powder.creep = {creep};
  solver::Problem p = plain_problem({{"lower", 0, 0, 10e-3, 0, 20e-3},
                                     {"powder", 1, 0, 10e-3, 20e-3, 28e-3},
                                     {"upper", 2, 0, 10e-3, 28e-3, 48e-3}},
                                    even_grid(1e-3), {tool, powder, tool});
  p.parts[1].is_powder = true;
  p.parts[1].relative_density = 0.6;
  solver::Bed bed;
  bed.block = 1;
  p.beds = {bed};
  p.rides = {{0.0}, {0.0}, {1.0}};
  p.interfaces = solver::interfaces_for(p);
  p.rows = mesh::reconstruction_of(p.mesh, p.interfaces, mesh::Fluxes::cubic);
  p.contacts.assign(p.interfaces.pairs.size(), {});
  side_of(p, 0, Side::bottom) = held_at(1150);
  side_of(p, 2, Side::top) = held_at(1150);
  side_of(p, 0, Side::bottom).electrode = solver::Electrode::low;
  side_of(p, 2, Side::top).electrode = solver::Electrode::high;
  for (int block : {0, 1, 2}) side_of(p, block, Side::outer).emissivity = 0.8;
  p.initial_temperature = 1150;
  p.force = {{0.0, 50e6 * std::numbers::pi * 1e-4}};
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 1000, 300, 300)};
  solve_closely(p);
  solver::Workspace ws(p);
  solver::State start = solver::initial_state(p, ws);
  const solver::StepDrive drive{solver::DriveMode::driven, &p.drive.segments[0], p.drive.kind};
  for (const double dt : {1e-3, 0.2, 0.5, 1.0, 2.0, 2.0, 2.0, 2.0}) {
    solver::StepOutcome outcome = solver::try_step(p, ws, start, dt, drive);
    REQUIRE_MESSAGE(outcome.converged, outcome.reason);
    start = std::move(outcome.state);
  }
  const Orders orders = orders_of(p, start, 24, drive);
  MESSAGE("orders: temperature ", orders.heat, ", density ", orders.density, "; ", orders.fine_K, " K");
  CHECK(orders.heat > 3.0);
  CHECK(orders.heat < 6.0);
  CHECK(orders.density > 3.0);
  CHECK(orders.density < 6.0);
}

TEST_CASE(
    "full: a stack whose punches slide: steps of 16 s are within hundredths of a kelvin, halves closer") {
  // Where rows pass each other the fluxes along a sliding contact have kinks of the size of the error of the
  // grid, so that no order above two can show below it.  Alumina: the yield of a metal has kinks of its own.
  cases::Case c = shipped("alumina-20mm");
  for (cases::ColumnPart& part : c.column)
    if (part.powder) part.grain = 0.5e-6;
  c.accuracy = 1.0;
  solver::Problem whole = cases::build_problem(c);
  whole.numerics.time_tolerance = 0.01;
  // A point on the force's own line is an exact stop, so that the stretch looked at does not hang on the
  // steps.
  const double begin = 620, force = solver::force_at(whole, begin);
  whole.force.push_back({begin, force});
  whole.half = solver::half_of(whole);
  REQUIRE(whole.half);
  solver::Problem p = whole.half->problem;
  solve_closely(p);
  const solver::State start = state_at(whole, begin);
  REQUIRE(start.time == relative(begin, 1e-12));
  REQUIRE_FALSE(start.slope.empty());
  const auto ramp = std::find_if(p.drive.segments.begin(), p.drive.segments.end(),
                                 [&](const solver::Segment& s) { return s.end > start.time; });
  const Orders orders = orders_of(p, start, 64, {start.mode, &*ramp, p.drive.kind, p.drive.sensor});
  MESSAGE("orders: temperature ", orders.heat, ", density ", orders.density, "; ", orders.fine_K, " K");
  CHECK(orders.coarse_K < 0.05);
  CHECK(orders.fine_K < 0.5 * orders.coarse_K);
}

TEST_CASE("full: zirconia with titanium nitride: the current moves in as the powder densifies") {
  cases::Case c = shipped("zirconia-tin-30mm");
  c.accuracy = 0.5;
  const solver::RunResult result = solver::run(cases::build_problem(c));
  REQUIRE(result.status == solver::RunStatus::completed);
  double at_60 = 0, hold = 0;
  for (const solver::HistoryRow& row : result.rows) {
    if (row.powder->density_mean < 0.6 && row.current_share_powder) at_60 = *row.current_share_powder;
    if (row.current_share_powder) hold = *row.current_share_powder;
  }
  CHECK(at_60 > 0.0);
  CHECK(hold > 10 * at_60);
  CHECK(result.ledger.energy_balance_relative() < 1e-8);
  CHECK(result.ledger.charge_balance_relative() < 1e-8);
}

TEST_CASE("melting front in a bar: the closed form of Neumann") {
  // Equal properties in both phases, at the melting point throughout, one end 50 K above it:
  //   s = 2 lambda sqrt(alpha t),  lambda exp(lambda^2) erf(lambda) = Ste / sqrt(pi)   (Carslaw and
  //   Jaeger 11.2)
  const double melting = 1200, latent = 1e5, cp = 1000, k = 20, density = 5000, hotter = 50, width = 2.0;
  materials::Material m = constant_material("m", k, 1e-5, cp, density);
  // Latent heat as a triangle of `width` kelvin on top of cp, begun at the melting point.
  const double peak = cp + 2 * latent / width;
  m.heat_capacity.curve = materials::Curve::joined(
      {materials::Curve::table({{300, cp}, {melting, cp}}),
       materials::Curve::table({{melting, cp}, {melting + 0.5 * width, peak}}),
       materials::Curve::table({{melting + 0.5 * width, peak}, {melting + width, cp}}),
       materials::Curve::table({{melting + width, cp}, {2000, cp}})});
  const double stefan = cp * hotter / latent;
  double low = 0.0, high = 2.0;
  for (int i = 0; i < 100; ++i) {
    const double x = 0.5 * (low + high);
    (x * std::exp(x * x) * std::erf(x) > stefan / std::sqrt(std::numbers::pi) ? high : low) = x;
  }
  const double lambda = 0.5 * (low + high);
  const double length = 0.04, time = 100, alpha = k / (density * cp);
  solver::Problem p = plain_problem({{"bar", 0, 0.0, 5e-3, 0.0, length}}, even_grid(length / 160), {m});
  p.initial_temperature = melting;
  side_of(p, 0, Side::bottom) = held_at(melting + hotter);
  p.drive.segments = off_for(time);
  p.numerics.time_tolerance = 0.05;
  p.numerics.unseen_heat = 0.02;
  double front = 0;
  solver::Observers observers;
  observers.fields = [&](const solver::CellFields& fields) {
    const mesh::BlockGrid& grid = p.mesh.grids[0];
    for (int j = 0; j + 1 < grid.n_z(); ++j) {
      const double T = fields.temperature[grid.cell(0, j)], next = fields.temperature[grid.cell(0, j + 1)];
      if (T >= melting + 0.5 * width && next < melting + 0.5 * width) {
        const double z = 0.5 * (grid.z_lines[j] + grid.z_lines[j + 1]), dz = length / grid.n_z();
        front = z + dz * (T - melting - 0.5 * width) / (T - next);
      }
    }
  };
  const solver::RunResult result = solver::run(p, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  const double expected = 2 * lambda * std::sqrt(alpha * time);
  compare({"melting front after 100 s", "Neumann's closed form, Carslaw and Jaeger 11.2 (from memory)",
           expected, front, 0.02 * expected, "m", "latent heat by enthalpy"});
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("a titanium bar heated through its transition and cooled gives back what it took") {
  materials::Material titanium;
  const cases::Case c = shipped("titanium-20mm");
  for (const materials::Material& m : c.materials)
    if (m.name == "titanium") titanium = m;
  solver::Problem p = plain_problem({{"bar", 0, 0.0, 5e-3, 0.0, 20e-3}}, even_grid(2e-3), {titanium});
  p.initial_temperature = 1100;
  solver::SideCondition end;
  end.fixed_temperature = [](double, double, double t) {
    return t < 100 ? 1100 + t : t < 200 ? 1200 - (t - 100) : 1100.0;
  };
  side_of(p, 0, Side::bottom) = end;
  p.drive.segments = {segment(0, 100, 0, 0), segment(100, 200, 0, 0), segment(200, 900, 0, 0)};
  for (solver::Segment& s : p.drive.segments) s.off = true;
  solver::Observers observers;
  double hottest = 0, mean = 0;
  observers.fields = [&](const solver::CellFields& fields) {
    for (const double T : fields.temperature) hottest = std::max(hottest, T);
    mean = fields.temperature.back();
  };
  const solver::RunResult result = solver::run(p, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(hottest > 1165);  // through 1155 K
  CHECK(mean == relative(1100.0, 1e-5));
  // Heat in = heat out: what is left in the bar is what its temperature says, and the books close.
  CHECK(std::abs(result.ledger.stored + result.ledger.fixed) < 1e-10 * result.ledger.delivered);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  CHECK(std::abs(result.ledger.stored) < 1e-4 * result.ledger.delivered);
}

TEST_CASE("a press that lets go at the hold leaves the column in touch, and the powder where it was") {
  cases::Case c = shipped("nickel-20mm");
  c.accuracy = 1.0;
  c.programme.steps = {c.programme.steps[0], c.programme.steps[1]};
  c.programme.steps[1].duration = 60;
  cases::ProgrammeStep hold = c.programme.pressure[0], release = c.programme.pressure[1];
  hold.to = c.programme.pressure[1].to;
  hold.duration = 585.0 - 240.0;
  release.to = 0.0;
  release.duration = 5.0;
  c.programme.pressure.push_back(hold);
  c.programme.pressure.push_back(release);
  const solver::Problem p = cases::build_problem(c);
  const solver::RunResult result = solver::run(p);
  REQUIRE_MESSAGE(result.status == solver::RunStatus::completed, result.reason);
  CHECK(result.rows.back().force_N == 0.0);
  CHECK(result.rows.back().on_powder_N == 0.0);
  double at_release = 0;
  for (const solver::HistoryRow& row : result.rows)
    if (row.time_s <= 590) at_release = row.powder->density_mean;
  CHECK(at_release > 0.95);
  CHECK(result.rows.back().powder->density_mean == relative(at_release, 1e-3));  // no force, no creep
  CHECK(result.ledger.energy_balance_relative() < 1e-8);
}
