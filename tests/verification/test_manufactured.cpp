// Orders of the scheme in space and time on smooth problems, from both sides.  Identity: the heat source is
// the residual of a chosen temperature field (method of manufactured solutions; Roache 1998, AIAA J 36:696).
#include <doctest/doctest.h>

#include <cmath>

#include "solver/march.hpp"
#include "solver/steady.hpp"
#include "solver/step.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

// T = 800 + 200 cos(a r^2) sin(b z) with k = 20 + 0.02 (T - 800), in a block 0 < r < 0.02, 0 < z < 0.03.
constexpr double a = 3000, b = 80;
double field(double r, double z) {
  return 800 + 200 * std::cos(a * r * r) * std::sin(b * z);
}
double conductivity(double T) {
  return 20 + 0.02 * (T - 800);
}

/// -div(k grad T), by the product rule with derivatives written out by hand.
double source(double r, double z) {
  const double c = std::cos(a * r * r), s = std::sin(a * r * r), sz = std::sin(b * z), cz = std::cos(b * z);
  const double Tr = -200 * 2 * a * r * s * sz, Tz = 200 * b * c * cz;
  const double Trr = -200 * 2 * a * (s + 2 * a * r * r * c) * sz, Tzz = -200 * b * b * c * sz;
  const double Tr_over_r = -200 * 2 * a * s * sz;
  const double k = conductivity(field(r, z));
  return -(k * (Trr + Tr_over_r + Tzz) + 0.02 * (Tr * Tr + Tz * Tz));
}

materials::Material smooth_material() {
  materials::Material m = constant_material("m", 1);
  m.conductivity.along.curve = materials::Curve::polynomial({{4.0, 0}, {0.02, 1}}, 200, 2000);
  return m;
}

void hold_surfaces(solver::Problem& p) {
  solver::SideCondition exact;
  exact.fixed_temperature = [](double r, double z, double) { return field(r, z); };
  for (auto& sides : p.sides)
    for (solver::SideCondition& side : sides) side = exact;
}

double steady_error(const mesh::Layout& layout, int refinement) {
  mesh::GridRule rule;
  rule.smallest = 0.7e-3;
  rule.growth = 0.2;
  rule.largest = 2e-3;
  rule.refinement = refinement;
  solver::Problem p = plain_problem(layout, rule, {smooth_material()});
  hold_surfaces(p);
  p.heat_source = [](double r, double z, double) { return source(r, z); };
  p.initial_temperature = 800;
  p.numerics.nonlinear_tolerance = 1e-8;
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  double worst = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    worst = std::max(worst, std::abs(s.state.temperature[i] - field(p.mesh.r[i], p.mesh.z[i])));
  return worst;
}

}  // namespace

TEST_CASE("steady r-z field with k(T) on a graded block: order 2 in the largest error") {
  const mesh::Layout layout{{"block", 0, 0, 0.02, 0, 0.03}};
  const double e2 = steady_error(layout, 2), e4 = steady_error(layout, 4);
  compare({"order in space, manufactured field with k(T), graded block", "two-point means of k(T) leave 2", 2,
           std::log2(e2 / e4), 0.2, "1", "fluxes, sources, surfaces"});
}

TEST_CASE("the same field across blocks whose grid lines do not match: still order 2") {
  // The third block's corner puts a line into the first one only; gradings differ on both sides.
  const mesh::Layout layout{
      {"a", 0, 0, 0.008, 0, 0.03}, {"b", 0, 0.008, 0.02, 0, 0.013}, {"c", 0, 0.008, 0.02, 0.013, 0.03}};
  const double e2 = steady_error(layout, 2), e4 = steady_error(layout, 4);
  compare({"the same across blocks whose lines do not match", "two-point means of k(T) leave 2", 2,
           std::log2(e2 / e4), 0.3, "1", "traces"});
}

TEST_CASE("a linear axial field passes non-matching radial neighbours exactly") {
  const auto slope_error = [](double cell_a, double cell_b) {
    // Two rings meshed apart: the row counts follow from a third block that touches only one of them.
    mesh::Layout layout{{"inner", 0, 0.01, 0.02, 0, 0.02}, {"outer", 1, 0.02, 0.03, 0, 0.02}};
    solver::Problem p =
        plain_problem(layout, even_grid(cell_a), {constant_material("a", 30), constant_material("b", 3)});
    // Exchange the second grid for one with other rows.
    mesh::BlockGrid low = mesh::build_mesh({layout[0]}, even_grid(cell_a)).grids[0];
    mesh::BlockGrid high = mesh::build_mesh({layout[1]}, even_grid(cell_b)).grids[0];
    high.block = 1;
    const mesh::Mesh joined = mesh::mesh_of(layout, {low, high});
    p.mesh = joined;
    p.interfaces = mesh::interfaces_at(joined, std::vector<double>{0.0, 0.0});
    p.rows = mesh::reconstruction_of(joined, p.interfaces, mesh::Fluxes::cubic);
    p.contacts.assign(p.interfaces.pairs.size(), {});
    for (const int block : {0, 1}) {
      side_of(p, block, Side::bottom) = held_at(300);
      side_of(p, block, Side::top) = held_at(500);
    }
    p.numerics.nonlinear_tolerance = 1e-11;
    const solver::Steady s = solver::solve_steady(p);
    REQUIRE(s.converged);
    double worst = 0;
    for (int i = 0; i < joined.n_cells(); ++i)
      worst = std::max(worst, std::abs(s.state.temperature[i] - (300 + 200 * joined.z[i] / 0.02)));
    return worst;
  };
  CHECK(slope_error(0.002, 0.02 / 15) < 1e-9);
  CHECK(slope_error(0.002, 0.02 / 13) < 1e-9);
  CHECK(slope_error(0.0005, 0.002) < 1e-9);
}

namespace {

/// A bar whose surface temperature swings smoothly; enthalpy after 8 s with a constant step.
double after_constant_steps(int n_steps) {
  solver::Problem p = plain_problem({{"bar", 0, 0, 0.01, 0, 0.01}}, even_grid(0.002), {smooth_material()});
  solver::SideCondition swing;
  swing.fixed_temperature = [](double, double, double t) {
    return 800 + 100 * std::sin(0.7 * t) * std::sin(0.7 * t);
  };
  side_of(p, 0, Side::outer) = swing;
  p.initial_temperature = 800;
  p.numerics.nonlinear_tolerance = 1e-11;
  solver::Workspace ws(p);
  solver::State state = solver::initial_state(p, ws);
  state.slope.assign(state.enthalpy.size(), 0.0);  // the exact slope at the start: everything is at rest
  const double dt = 8.0 / n_steps;
  for (int k = 0; k < n_steps; ++k) {
    const solver::StepOutcome step = solver::try_step(p, ws, state, dt, {});
    REQUIRE(step.converged);
    state = step.state;
  }
  double sum = 0;
  for (const double h : state.enthalpy) sum += h;
  return sum;
}

}  // namespace

TEST_CASE("order 4 in time with a moving surface temperature") {
  const double reference = after_constant_steps(640);
  const double e1 = std::abs(after_constant_steps(40) - reference);
  const double e2 = std::abs(after_constant_steps(80) - reference);
  const double e3 = std::abs(after_constant_steps(160) - reference);
  CHECK(std::log2(e1 / e2) > 2.5);  // still coming into its own: the swing is sampled four times
  compare({"order in time, a surface that swings",
           "ESDIRK4(3)6L, Kennedy and Carpenter 2003: 4 (from memory)", 4, std::log2(e2 / e3), 0.5, "1",
           "stages, base values, dense starts"});
}

TEST_CASE("marching to steady equals the steady solver") {
  solver::Problem p = plain_problem({{"block", 0, 0, 0.01, 0, 0.02}}, even_grid(0.002), {smooth_material()});
  p.heat_source = [](double, double z, double) { return 1e7 * z / 0.02; };
  side_of(p, 0, Side::bottom) = held_at(400);
  side_of(p, 0, Side::outer).emissivity = 0.8;
  p.numerics.nonlinear_tolerance = 1e-8;
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  p.drive.segments = {segment(0, 3000, 0, 0)};
  p.drive.segments[0].off = true;
  p.numerics.time_tolerance = 1e-4;
  p.history_every = 0;
  add_probe(p, 0, 0.004, 0.015);
  const solver::RunResult result = solver::run(p);
  CHECK(result.rows.back().sensors[0].material_K ==
        doctest::Approx(p.sensors[0].junction.of(s.state.temperature)).epsilon(1e-8));
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}
