// Vectors in the cells against closed forms.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "solver/fields.hpp"
#include "solver/march.hpp"
#include "solver/steady.hpp"
#include "tests/support/problems.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double pi = std::numbers::pi;

solver::CellFields steady_fields(solver::Problem p) {
  p.numerics.nonlinear_tolerance = 1e-10;
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  solver::Workspace workspace(p);
  return solver::fields_of(p, solver::frame_of(p, workspace, s.state));
}

/// A tube of two parts in touch, 800 K inside and 300 K outside, k = 20 W/(m K).
solver::Problem hot_tube(int refinement) {
  solver::Problem p = plain_problem({{"inner", 0, 0.01, 0.018, 0, 0.01}, {"outer", 1, 0.018, 0.03, 0, 0.01}},
                                    even_grid(0.002, refinement), {constant_material("m", 20)});
  side_of(p, 0, Side::inner) = held_at(800);
  side_of(p, 1, Side::outer) = held_at(300);
  return p;
}

/// Largest error of the heat flux in the tube, relative to that at its outer surface.
double flux_error(int refinement) {
  const solver::Problem p = hot_tube(refinement);
  const solver::CellFields fields = steady_fields(p);
  const double strength = 20 * 500 / std::log(3.0);  // q r, W/m: logarithmic law of a tube wall
  double worst = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i) {
    worst = std::max(worst, std::abs(fields.heat_flux[i][0] * p.mesh.r[i] / strength - 1));
    CHECK(std::abs(fields.heat_flux[i][1]) < 1e-6 * strength);
  }
  return worst;
}

}  // namespace

TEST_CASE("a rod of two pieces: j = I / A downward, E = rho j, Joule heat rho j^2, nothing sideways") {
  // High electrode on top.  Two pieces whose grid lines do not match.
  constexpr double radius = 0.005, rho = 2e-5, current = 120;
  solver::Problem p = plain_problem({{"low", 0, 0, radius, 0, 0.02}, {"high", 1, 0, radius, 0.02, 0.05}},
                                    even_grid(0.001), {constant_material("m", 60, rho)});
  side_of(p, 0, Side::bottom).electrode = solver::Electrode::low;
  side_of(p, 1, Side::top).electrode = solver::Electrode::high;
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 2, current, current)};
  p.numerics.potential_tolerance = 1e-11;
  solver::CellFields last;
  const solver::RunResult result = solver::run(
      p, {.progress = {}, .row = {}, .fields = [&](const solver::CellFields& fields) { last = fields; }});
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(last.time == 2.0);
  const double j = current / (pi * radius * radius);
  for (int i = 0; i < p.mesh.n_cells(); ++i) {
    CHECK(last.current_density[i][1] == doctest::Approx(-j).epsilon(1e-9));
    CHECK(std::abs(last.current_density[i][0]) < 1e-9 * j);
    CHECK(last.electric_potential[i] == doctest::Approx(rho * j * p.mesh.z[i]).epsilon(1e-9));
    CHECK(last.joule_heat[i] == doctest::Approx(rho * j * j).epsilon(1e-9));
    CHECK(last.relative_density[i] == 1.0);
  }
}

TEST_CASE("heat through a tube: q = k (Ti - To) / (r ln(ro/ri)), across a touch of parts, order above 2") {
  // Incropera and DeWitt, Fundamentals of Heat and Mass Transfer, section 3.3 (formula from memory).
  const double coarse = flux_error(1), fine = flux_error(2), finest = flux_error(4);
  CHECK(std::log2(coarse / fine) > 2.4);
  CHECK(std::log2(fine / finest) > 2.4);
  CHECK(finest < 1e-4);
}

TEST_CASE("heat made evenly in a rod: q = source r / 2, to the axis and to rounding") {
  // Carslaw and Jaeger, Conduction of Heat in Solids, section 7.2 (formula from memory).
  solver::Problem p =
      plain_problem({{"rod", 0, 0, 0.02, 0, 0.01}}, even_grid(0.002), {constant_material("m", 20)});
  p.heat_source = [](double, double, double) { return 2e7; };
  side_of(p, 0, Side::outer) = held_at(300);
  const solver::CellFields fields = steady_fields(p);
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    CHECK(fields.heat_flux[i][0] == doctest::Approx(1e7 * p.mesh.r[i]).epsilon(1e-7));
}

TEST_CASE("fields of a stack without a drive: no current, no potential, heat none when all is even") {
  solver::Problem p =
      plain_problem({{"rod", 0, 0, 0.02, 0, 0.01}}, even_grid(0.005), {constant_material("m", 20)});
  side_of(p, 0, Side::outer) = held_at(p.initial_temperature);
  const solver::CellFields fields = steady_fields(p);
  REQUIRE(fields.electric_potential.size() == p.mesh.volume.size());
  for (int i = 0; i < p.mesh.n_cells(); ++i) {
    CHECK(fields.electric_potential[i] == 0.0);
    CHECK(fields.current_density[i] == std::array<double, 2>{0.0, 0.0});
    CHECK(std::abs(fields.heat_flux[i][0]) < 1e-6);
  }
}
