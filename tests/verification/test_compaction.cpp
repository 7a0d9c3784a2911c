// A powder bed between flat punches: closed forms, independent root solves, and what must hold to rounding.

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "cases/build_problem.hpp"
#include "materials/powder.hpp"
#include "solver/march.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;
using solver::BedState, solver::Closing;

namespace {

constexpr double pi = std::numbers::pi, gas_constant = 8.31446261815324;  // J/(mol K), SI 2019, exact

/// Power-law creep that gives `rate` at 50 MPa and 1200 K.
materials::Material creeping(double exponent, double activation_energy = 300e3, double rate = 1e-3) {
  materials::Material m = constant_material("m", 10, 1e-5, 1000, 4000);
  materials::Creep creep;
  creep.exponent = exponent;
  creep.activation_energy = activation_energy;
  creep.rate = rate;
  creep.stress = 50e6;
  creep.temperature = 1200;
  m.creep = {creep};
  return m;
}

/// One block of powder, 10 mm in radius and `height` high, in columns 5 mm wide.
solver::Problem powder_alone(const materials::Material& material, double density, double height = 8e-3,
                             double cell = 5e-3) {
  solver::Problem p = plain_problem({{"powder", 0, 0.0, 10e-3, 0.0, height}}, even_grid(cell), {material});
  p.parts[0].is_powder = true;
  p.parts[0].relative_density = density;
  p.beds = {solver::Bed{}};
  p.rides = {{0.0}};
  p.interfaces = solver::interfaces_for(p);
  p.rows = mesh::reconstruction_of(p.mesh, p.interfaces, mesh::Fluxes::cubic);
  return p;
}

BedState loose(const solver::Problem& p) {
  const auto cells = p.mesh.volume.size();
  const solver::CellField L(cells, solver::L_of(p.parts[0].relative_density));
  return {L, L, {}};
}

/// -dh/(h dt) under the reference stress: A_u = 50 MPa / rate^(1/n) by the definition of the creep law.
double rate_by_hand(double n, double stress, double T, double D, double activation_energy = 300e3) {
  const double arrhenius = std::exp(-activation_energy / gas_constant * (1.0 / T - 1.0 / 1200.0));
  return 1e-3 * arrhenius * std::pow(stress / 50e6, n) * std::pow(2.25 * (1.0 - D), 0.5 * (n + 1.0)) *
         std::pow(D, -0.5 * (3.0 * n + 1.0));
}

}  // namespace

TEST_CASE("two columns at different temperature: one speed, and the stresses of the closed form") {
  // One row: v = h C_j S_j^n in both columns and A_1 S_1 + A_2 S_2 = F give
  //   v^(1/n) = F / sum A_j (h C_j)^(-1/n).
  for (const double n : {1.0, 4.6})
    for (const double colder : {1190.0, 1000.0, 400.0}) {  // the last: viscosities differ by e^60
      CAPTURE(n);
      CAPTURE(colder);
      const solver::Problem p = powder_alone(creeping(n), 0.7, 8e-3, 8e-3);
      REQUIRE(p.mesh.grids[0].n_z() == 1);
      REQUIRE(p.mesh.grids[0].n_r() == 2);
      const solver::BedShape shape = solver::shape_of(p, p.beds[0]);
      const std::vector<double> T{1200.0, colder};
      const double force = 50e6 * pi * 1e-4, h = 8e-3;
      double sum = 0;
      for (const int j : {0, 1})
        sum += shape.area[j] * std::pow(h * rate_by_hand(n, 1.0, T[j], 0.7), -1.0 / n);
      const double speed = std::pow(force / sum, n);
      const Closing closing = solver::closing_of(p, p.beds[0], shape, loose(p), T, force);
      CHECK(closing.speed == relative(speed, 1e-9));
      for (const int j : {0, 1}) {
        CHECK(closing.stress[j] ==
              relative(std::pow(speed / (h * rate_by_hand(n, 1.0, T[j], 0.7)), 1.0 / n), 1e-9));
        CHECK(h * closing.rate[j] == relative(closing.speed, 1e-12));
      }
      CHECK(shape.area[0] * closing.stress[0] + shape.area[1] * closing.stress[1] == relative(force, 1e-12));
    }
}

TEST_CASE("columns keep one mean density to rounding while their cells do not") {
  const solver::Problem p = powder_alone(creeping(3.0), 0.6, 8e-3, 1e-3);
  const solver::BedShape shape = solver::shape_of(p, p.beds[0]);
  std::vector<double> T;
  for (int i = 0; i < p.mesh.n_cells(); ++i) T.push_back(1200 + 4e3 * p.mesh.r[i] + 1e4 * p.mesh.z[i]);
  BedState state = loose(p);
  Closing closing;
  for (int step = 0; step < 60; ++step) {
    const BedState before = state;
    for (int sweep = 0; sweep < 12; ++sweep)
      solver::compact(p, p.beds[0], shape, T, 15e3, before.L, 5.0, before.stress, state, closing);
    solver::level(shape, state);
  }
  const std::vector<double> columns = solver::column_densities(shape, state.L);
  const auto [low, high] = std::minmax_element(columns.begin(), columns.end());
  CHECK(*high - *low < 1e-13);
  CHECK(*high > 0.8);
  const auto [loosest, densest] = std::minmax_element(state.L.begin(), state.L.end());
  CHECK(solver::relative_density(*densest) - solver::relative_density(*loosest) > 0.05);
  double carried = 0;
  for (int j = 0; j < shape.n_r; ++j) carried += shape.area[j] * closing.stress[j];
  CHECK(carried == relative(15e3, 1e-12));
}

TEST_CASE("what friction leaves of the force, by hand") {
  // x = mu k (2/R) l with k = (psi - phi/3)/(psi + 2 phi/3) = 0.4 at D = 0.6 and l = half of 8 mm.
  solver::Problem p = powder_alone(creeping(1.0), 0.6);
  p.beds[0].wall_friction = 0.2;
  const double x = 0.2 * 0.4 * (2.0 / 10e-3) * 4e-3;
  const std::vector<double> T(p.mesh.volume.size(), 1200.0);
  const Closing closing =
      solver::closing_of(p, p.beds[0], solver::shape_of(p, p.beds[0]), loose(p), T, 1000.0);
  CHECK(closing.on_powder == relative(1000.0 * (1.0 - std::exp(-x)) / x, 1e-12));
  CHECK(closing.side_pressure == relative(0.4 * closing.on_powder / (pi * 1e-4), 1e-9));
}

TEST_CASE("side pressure over axial stress in a closed die") {
  // Skorohod and Olevsky (from memory): 0.33, 0.40, 0.70, 0.85, 0.93 at D 0.55, 0.6, 0.8, 0.9, 0.95; in two
  // digits, so that 0.325 stands there as 0.33.
  for (const auto& [density, ratio] : {std::pair{0.55, 0.33}, std::pair{0.6, 0.40}, std::pair{0.8, 0.70},
                                       std::pair{0.9, 0.85}, std::pair{0.95, 0.93}}) {
    const solver::Problem p = powder_alone(creeping(2.0), density);
    const std::vector<double> T(p.mesh.volume.size(), 1200.0);
    const Closing closing =
        solver::closing_of(p, p.beds[0], solver::shape_of(p, p.beds[0]), loose(p), T, 1000.0);
    compare({"side pressure over axial stress at D = " + std::to_string(density).substr(0, 4),
             "Skorohod and Olevsky, from memory", ratio, closing.side_pressure * pi * 1e-4 / 1000.0, 5.001e-3,
             "-", "compaction"});
  }
}

TEST_CASE("no punch pulls: a column that sinters faster stands apart and carries nothing") {
  materials::Material m = creeping(1.0);
  m.surface_energy = materials::Property{};
  m.surface_energy->curve = materials::Curve::constant(1.0);
  solver::Problem p = powder_alone(m, 0.7, 8e-3, 8e-3);
  p.beds[0].grain = 1e-6;  // 6 MJ/m3 x D^2: 2.9 MPa
  m.creep[0].grain = 0;
  const solver::BedShape shape = solver::shape_of(p, p.beds[0]);
  const std::vector<double> T{1200.0, 1000.0};
  const double sintering = 6e6 * 0.49, force = 1e4 * pi * 1e-4;  // 10 kPa
  BedState state = loose(p);
  const Closing closing = solver::closing_of(p, p.beds[0], shape, state, T, force);
  // The hot column closes by itself faster than the cold one under all of the force.
  CHECK(closing.stress[0] == 0.0);
  CHECK(closing.stress[1] == relative(force / shape.area[1], 1e-12));
  CHECK(closing.rate[0] == relative(rate_by_hand(1.0, sintering, 1200, 0.7), 1e-9));
  CHECK(closing.rate[1] == relative(rate_by_hand(1.0, sintering + force / shape.area[1], 1000, 0.7), 1e-9));
  CHECK(closing.rate[0] > 10 * closing.rate[1]);
  // Pressed hard and equally hot, the taller column carries all until both have one height, then they share.
  Closing later;
  for (int step = 0; step < 240; ++step) {
    const bool pressed = step >= 40;
    const std::vector<double> now = pressed ? std::vector<double>{1150.0, 1150.0} : T;
    const BedState before = state;
    for (int sweep = 0; sweep < 8; ++sweep)
      solver::compact(p, p.beds[0], shape, now, pressed ? 10e3 : force, before.L, 0.5, before.stress, state,
                      later);
    solver::level(shape, state);
    const std::vector<double> columns = solver::column_densities(shape, state.L);
    if (step == 39) CHECK(columns[0] - columns[1] > 1e-3);
    if (step == 41) CHECK(later.stress[0] == 0.0);
    if (step == 239) CHECK(std::abs(columns[0] - columns[1]) < 1e-12);
  }
  CHECK(later.stress[0] == relative(later.stress[1], 1e-9));
}

namespace {

/// A bed whose temperatures stay: no heat conducted worth the name, a huge heat capacity.
solver::Problem frozen_heat(double n, double cell) {
  materials::Material m = creeping(n);
  m.conductivity.along.curve = materials::Curve::constant(1e-9);
  m.heat_capacity.curve = materials::Curve::constant(1e12);
  solver::Problem p = powder_alone(m, 0.6, 8e-3, cell);
  p.force = {{0.0, 50e6 * pi * 1e-4}};
  p.drive.segments = {segment(0, 1000, 0, 0)};
  p.drive.segments[0].off = true;
  return p;
}

/// Marches from time 0 in equal steps, the first short one by backward Euler.
solver::State marched(const solver::Problem& p, const std::vector<double>& T, double end, int steps) {
  solver::Workspace ws(p);
  solver::State state = solver::initial_state(p, ws);
  state.temperature = T;
  solver::CellField capacity;
  solver::enthalpy_at(p, ws.mass, T, state.enthalpy, capacity);
  const auto step = [&](double dt) {
    solver::StepOutcome outcome = solver::try_step(p, ws, state, dt, {});
    REQUIRE_MESSAGE(outcome.converged, outcome.reason);
    state = std::move(outcome.state);
  };
  step(1e-6);
  const double dt = (end - state.time) / steps;
  for (int k = 0; k < steps; ++k) step(dt);
  return state;
}

}  // namespace

TEST_CASE("columns by themselves follow the ordinary differential equation of each") {
  const double n = 3.0, end = 200;
  const solver::Problem p = frozen_heat(n, 8e-3);
  const std::vector<double> T{1210.0, 1170.0};
  const solver::State state = marched(p, T, end, 200);
  for (const int j : {0, 1}) {
    // dD/dt = D e by the classical Runge-Kutta method, 20 000 steps.
    double D = 0.6;
    const int steps = 20000;
    const double dt = end / steps;
    const auto slope = [&](double d) { return d * rate_by_hand(n, 50e6, T[j], d); };
    for (int k = 0; k < steps; ++k) {
      const double a = slope(D), b = slope(D + 0.5 * dt * a), c = slope(D + 0.5 * dt * b),
                   d = slope(D + dt * c);
      D += dt / 6.0 * (a + 2 * b + 2 * c + d);
    }
    CHECK(solver::relative_density(state.beds[0].apart[j]) == relative(D, 1e-6));
  }
  // Under one punch both have the same density, between the two.
  CHECK(state.beds[0].L[0] == relative(state.beds[0].L[1], 1e-12));
  CHECK(state.beds[0].L[0] < state.beds[0].apart[0]);
  CHECK(state.beds[0].L[0] > state.beds[0].apart[1]);
}

TEST_CASE("compaction alone is of order four in time") {
  const solver::Problem p = frozen_heat(3.0, 4e-3);
  std::vector<double> T;
  for (int i = 0; i < p.mesh.n_cells(); ++i) T.push_back(1200 + 3e3 * p.mesh.r[i] + 4e3 * p.mesh.z[i]);
  const auto at = [&](int steps) { return marched(p, T, 120, steps).beds[0].L; };
  const solver::CellField a = at(24), b = at(48), c = at(96);
  double coarse = 0, fine = 0;
  for (std::size_t k = 0; k < a.size(); ++k) {
    coarse = std::max(coarse, std::abs(a[k] - b[k]));
    fine = std::max(fine, std::abs(b[k] - c[k]));
  }
  const double order = std::log2(coarse / fine);
  CHECK(order > 3.5);
  CHECK(order < 5.0);
}

namespace {

/// A powder of 60 % and 8 mm under 50 MPa at 1200 K, without current.
solver::RunResult pressed_for(double seconds, const materials::Material& material) {
  solver::Problem p = powder_alone(material, 0.6, 8e-3, 2e-3);
  p.initial_temperature = 1200;
  p.force = {{0.0, 50e6 * pi * 1e-4}};
  p.drive.segments = {segment(0, seconds, 0, 0)};
  p.drive.segments[0].off = true;
  p.powders = {{"powder", 0, 0, -1, 1.0}};
  p.history_every = 0;
  return solver::run(p);
}

}  // namespace

TEST_CASE("the work of the punches is found as heat, to rounding") {
  const solver::RunResult result = pressed_for(300, creeping(1.0, 1e-3));
  REQUIRE(result.status == solver::RunStatus::completed);
  const double lost = result.rows.back().stroke.densification;
  CHECK(result.ledger.press == relative(50e6 * pi * 1e-4 * lost, 1e-4));  // as exact as the densities
  CHECK(result.ledger.stored == relative(result.ledger.press, 1e-13));
  CHECK(result.ledger.energy_balance_relative() < 1e-13);
  const double mass = pi * 1e-4 * 8e-3 * 0.6 * 4000;
  CHECK(result.rows.back().powder->mean_K - 1200 == relative(result.ledger.press / (mass * 1000), 1e-9));
}

TEST_CASE("a powder that has become dense takes no more work") {
  materials::Material m = creeping(1.0, 1e-3);
  m.densification.law = materials::Densification::Law::effective_stress;  // dense after a finite time
  m.densification.tap_density = 0.5;
  const solver::RunResult result = pressed_for(3000, m);
  REQUIRE(result.status == solver::RunStatus::completed);
  REQUIRE(result.rows.back().powder->density_mean == relative(1.0, 2e-6));
  const double lost = 0.4 * 8e-3;  // height of all its pores
  CHECK(result.rows.back().stroke.densification == relative(lost, 1e-5));
  CHECK(result.ledger.press == relative(50e6 * pi * 1e-4 * lost, 1e-3));  // last pores close within a step
  CHECK(result.ledger.stored == relative(result.ledger.press, 1e-13));
  CHECK(result.rows.back().press_W == 0.0);
}

TEST_CASE("closed form of a closed die through the whole program: n = 1 and power laws") {
  // Skorohod and Olevsky (Olevsky and Froyen 2006, Scripta Mater 55:1175, from memory): times at which D is
  // reached from 0.6, worked out by the midpoint rule in 20 000 steps.  n = 1: 50 MPa, 1e10 Pa s.
  struct Row {
    double exponent, rate, density, time;
  };
  for (const Row& row :
       {Row{1, 50e6 / 3e10, 0.80, 131.51}, Row{1, 50e6 / 3e10, 0.95, 461.18},
        Row{1, 50e6 / 3e10, 0.99, 879.70}, Row{2, 1e-3, 0.80, 171.02}, Row{2, 1e-3, 0.95, 1193.2},
        Row{3, 1e-3, 0.90, 686.58}, Row{4.6, 1e-3, 0.80, 108.78}, Row{4.6, 1e-3, 0.95, 6927.0}}) {
    cases::Case c =
        cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/checks/viscous-column.yaml").c;
    for (materials::Material& m : c.materials)
      if (m.name == "viscous solid") {
        m.creep[0].exponent = row.exponent;
        m.creep[0].rate = row.rate;
      }
    c.programme.steps.back().duration = row.time;
    c.programme.pressure.back().duration = row.time;
    solver::Problem p = cases::build_problem(c);
    p.history_every = 0;
    const solver::RunResult result = solver::run(p);
    REQUIRE(result.status == solver::RunStatus::completed);
    const double D = result.rows.back().powder->density_mean;
    // The time by which the run is late or early, from the rate at the end.
    const double slope = D * std::pow(2.25 * (1 - D), 0.5 * (row.exponent + 1)) *
                         std::pow(D, -0.5 * (3 * row.exponent + 1)) * row.rate;
    compare({"closed die, n = " + std::to_string(row.exponent).substr(0, 3) +
                 ": time to D = " + std::to_string(row.density).substr(0, 4),
             "closed form of Skorohod and Olevsky", row.time, row.time + (row.density - D) / slope,
             1e-3 * row.time, "s", "whole program: case file, compaction, moving mesh"});
    CHECK(result.ledger.energy_balance_relative() < 1e-8);
  }
}
