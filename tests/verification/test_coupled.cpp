// Current and heat together.  Voltage-temperature theorem (Kohlrausch 1900; Holm, Electric Contacts; from
// memory): when all heat leaves through the two electrodes at T0,  V^2/8 = integral of rho k dT from T0 to
// the hottest point, whatever the shape and the property curves.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>

#include "solver/march.hpp"
#include "solver/observe.hpp"
#include "solver/steady.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double lorenz = 2.44e-8;  // V2/K2

/// rho k = L T with both depending on temperature.
materials::Material metal() {
  materials::Material m = constant_material("metal", 1);
  m.conductivity.along.curve = materials::Curve::polynomial({{200.0, -0.3}}, 200, 3000);
  m.resistivity.along.curve = materials::Curve::polynomial({{lorenz / 200.0, 1.3}}, 200, 3000);
  return m;
}

double hottest(const mesh::Layout& layout, int refinement, double volts) {
  mesh::GridRule rule;
  rule.smallest = 0.1e-3;
  rule.largest = 1e-3;
  rule.growth = 0.4;
  rule.refinement = refinement;
  solver::Problem p = plain_problem(layout, rule, {metal()});
  const int last = static_cast<int>(layout.size()) - 1;
  side_of(p, 0, Side::bottom) = held_at(300);
  side_of(p, last, Side::top) = held_at(300);
  side_of(p, 0, Side::bottom).electrode = solver::Electrode::low;
  side_of(p, last, Side::top).electrode = solver::Electrode::high;
  p.initial_temperature = 300;
  p.drive.kind = solver::DriveKind::voltage;
  p.drive.segments = {segment(0, 1, volts, volts)};
  p.numerics.nonlinear_tolerance = 1e-7;
  p.numerics.potential_tolerance = 1e-10;
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  solver::Workspace workspace(p);
  const solver::Frame frame = solver::frame_of(p, workspace, s.state);
  return solver::row_of(p, workspace, frame, s.state.mode, solver::Limit::none).tool_max_K;
}

}  // namespace

TEST_CASE("voltage-temperature theorem on a plain rod") {
  struct Row {
    double volts, kelvin;
  };
  const mesh::Layout rod{{"a", 0, 0, 0.002, 0, 0.02}, {"b", 0, 0, 0.002, 0.02, 0.04}};
  for (const Row& row : {Row{0.1, 438.70}, Row{0.2, 706.99}, Row{0.3, 1006.05}, Row{0.5, 1628.34}}) {
    CAPTURE(row.volts);
    const double e1 = hottest(rod, 1, row.volts) - row.kelvin, e2 = hottest(rod, 2, row.volts) - row.kelvin;
    compare({fmt::format("rod heated by its own current, {:g} V: hottest place, extrapolated", row.volts),
             "Kohlrausch: V^2 / 8 = integral of rho k dT (from memory)", row.kelvin,
             row.kelvin + (4 * e2 - e1) / 3, 0.03, "K", "current and heat coupled, k(T), rho(T)"});
    // The cubic in psi and T is exact enough; what is left is the mean of the resistivity between two cells.
    if (row.volts > 0.25) CHECK(std::log2(std::abs(e1 / e2)) == doctest::Approx(2.0).epsilon(0.15));
  }
}

TEST_CASE("voltage-temperature theorem on a constricted shape") {
  const mesh::Layout neck{{"low", 0, 0, 0.006, 0, 0.008},
                          {"neck", 0, 0, 0.002, 0.008, 0.012},
                          {"high", 0, 0, 0.006, 0.012, 0.02}};
  const double one = hottest(neck, 1, 0.3), two = hottest(neck, 2, 0.3);
  compare({"constricted rod, 0.3 V: hottest place whatever the shape", "Kohlrausch (from memory)", 1006.05,
           two, 0.5, "K", "re-entrant corners, Joule heat"});
  CHECK(std::abs(two - 1006.05) < std::abs(one - 1006.05) + 0.02);
}

TEST_CASE("current-, voltage- and power-driven steady states agree") {
  solver::Problem p = small_stack({});
  p.numerics.nonlinear_tolerance = 1e-7;
  const auto steady = [&](solver::DriveKind kind, double value) {
    p.drive.kind = kind;
    p.drive.segments = {segment(0, 1, value, value)};
    const solver::Steady s = solver::solve_steady(p);
    REQUIRE(s.converged);
    return s;
  };
  const solver::Steady by_current = steady(solver::DriveKind::current, 1100);
  const double volts = 1100 / by_current.stage.conductance, watts = 1100 * volts;
  for (const solver::Steady& other :
       {steady(solver::DriveKind::voltage, volts), steady(solver::DriveKind::power, watts)}) {
    double worst = 0;
    for (std::size_t i = 0; i < other.state.temperature.size(); ++i)
      worst = std::max(worst, std::abs(other.state.temperature[i] - by_current.state.temperature[i]));
    CHECK(worst < 1e-6);
    CHECK(std::sqrt(other.state.current_squared) == doctest::Approx(1100).epsilon(1e-8));
  }
}

TEST_CASE("a tracked steady state is the current-driven one whose sensor reads the programme") {
  solver::Problem p = small_stack({.conducting_powder = true});
  p.numerics.nonlinear_tolerance = 1e-7;
  track(p, {segment(0, 1, 1300, 1300)});
  const solver::Steady tracked = solver::solve_steady(p);
  REQUIRE(tracked.converged);
  p.drive.kind = solver::DriveKind::current;
  const double amperes = std::sqrt(tracked.state.current_squared);
  p.drive.segments = {segment(0, 1, amperes, amperes)};
  const solver::Steady driven = solver::solve_steady(p);
  REQUIRE(driven.converged);
  CHECK(p.sensors[0].junction.of(driven.state.temperature) ==
        doctest::Approx(p.sensors[0].junction.of(tracked.state.temperature)).epsilon(1e-8));
}

TEST_CASE("a current-driven stack marches to its steady state; charge and energy close") {
  solver::Problem p = small_stack({});
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 60, 0, 900), segment(60, 3000, 900, 900)};
  p.numerics.time_tolerance = 0.01;
  p.numerics.nonlinear_tolerance = 1e-5;
  p.history_every = 0;
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  p.numerics.nonlinear_tolerance = 1e-7;
  const solver::Steady s = solver::solve_steady(p, 2999);
  REQUIRE(s.converged);
  CHECK(result.rows.back().powder->mean_K ==
        doctest::Approx(solver::powder_mean(p, s.state.temperature)).epsilon(1e-6));
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  CHECK(result.ledger.charge_balance_relative() < 1e-8);
  CHECK(result.ledger.joule == doctest::Approx(result.ledger.electric).epsilon(1e-9));
  // Instant balance of a row: made = lost + stored.
  const solver::HistoryRow& row = result.rows.back();
  double lost = row.film_low_W + row.film_high_W + row.fixed_W + row.stored_W;
  for (const double w : row.radiation_by_part_W) lost += w;
  CHECK(lost == doctest::Approx(row.power_W).epsilon(1e-6));
}

TEST_CASE("rows between steps carry the programme's current, not one drawn between stages") {
  solver::Problem p = small_stack({});
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 60, 0, 600), segment(60, 90, 600, 600, true)};
  p.history_every = 2.0;
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  for (const solver::HistoryRow& row : result.rows)
    CHECK(row.current_A == doctest::Approx(std::min(10 * row.time_s, 600.0)).epsilon(1e-12));
}
