// A stack in a furnace: the chamber's wall goes by the programme, and no current flows.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <numbers>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/drive.hpp"
#include "solver/march.hpp"
#include "solver/observe.hpp"
#include "solver/sensor.hpp"
#include "solver/steady.hpp"
#include "solver/summary.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

/// Gives the problem a furnace and its own reading.
void heat_by_furnace(solver::Problem& p, std::vector<solver::Segment> segments) {
  p.drive.kind = solver::DriveKind::furnace;
  p.drive.segments = std::move(segments);
  p.chamber_temperature = p.drive.segments.front().from;
  solver::Sensor furnace;
  furnace.name = "furnace";
  furnace.kind = solver::SensorKind::furnace;
  furnace.part = -1;
  furnace.exact = true;
  p.drive.sensor = static_cast<int>(p.sensors.size());
  p.sensors.push_back(std::move(furnace));
}

constexpr double emissivity = 0.9, start = 400;  // -, K

/// A body of nearly one temperature (conductivity 1e7 W/(m K)), radius 10 mm, height 20 mm, that radiates all
/// round.
solver::Problem radiating_body() {
  solver::Problem p = plain_problem({{"ball", 0, 0, 0.01, 0, 0.02}}, even_grid(0.005),
                                    {constant_material("m", 1e7, 1e-5, 1000, 2000)});
  for (const Side side : {Side::outer, Side::bottom, Side::top}) side_of(p, 0, side).emissivity = emissivity;
  p.initial_temperature = start;
  p.numerics.time_tolerance = 1e-4;
  p.numerics.nonlinear_tolerance = 1e-6;
  return p;
}

/// c of dT/dt = c (wall^4 - T^4)  [1/(K3 s)].
double exchange_rate() {
  const double volume = std::numbers::pi * 1e-4 * 0.02,
               area = std::numbers::pi * (2 * 1e-4 + 2 * 0.01 * 0.02);
  return emissivity * solver::stefan_boltzmann * area / (volume * 2e6);
}

/// The same equation by the classical Runge-Kutta method in 2 ms steps, whose corners are steps too: an error
/// of some 1e-12 K here.
double by_runge_kutta(const std::vector<solver::Segment>& wall) {
  constexpr double h = 2e-3;
  const double c = exchange_rate();
  double T = start;
  for (const solver::Segment& s : wall) {
    const auto slope = [&](double t, double x) {
      return c * (std::pow(s.from + (s.to - s.from) * t / (s.end - s.start), 4) - std::pow(x, 4));
    };
    const long n = std::lround((s.end - s.start) / h);
    for (long k = 0; k < n; ++k) {
      const double t = static_cast<double>(k) * h;
      const double a = slope(t, T), b = slope(t + h / 2, T + h / 2 * a), d = slope(t + h / 2, T + h / 2 * b),
                   e = slope(t + h, T + h * d);
      T += h / 6 * (a + 2 * b + 2 * d + e);
    }
  }
  return T;
}

/// A coarse die stack whose column ends pass no heat.
solver::Problem stack_in_furnace(std::vector<solver::Segment> segments) {
  mesh::GridRule rule;
  rule.smallest = 0.4e-3;
  rule.largest = 6e-3;
  solver::Problem p = small_stack({.rule = rule});
  for (auto& sides : p.sides)
    for (solver::SideCondition& side : sides) side.film = 0;
  heat_by_furnace(p, std::move(segments));
  return p;
}

}  // namespace

TEST_CASE("furnace: the wall is that of the programme, without one that of the chamber") {
  solver::Problem p = radiating_body();
  p.chamber_temperature = 321;
  CHECK(solver::chamber_at(p, 5) == 321);
  heat_by_furnace(p, {segment(0, 100, 300, 500), segment(100, 200, 500, 500, true)});
  CHECK(solver::chamber_at(p, 0) == 300);
  CHECK(solver::chamber_at(p, 25) == relative(350));
  CHECK(solver::chamber_at(p, 150) == 500);
  CHECK(solver::chamber_at(p, 200) == 500);
  CHECK_FALSE(solver::carries_current(p.drive));
}

TEST_CASE("furnace: lumped body under a constant wall, the closed form with logarithm and arc tangent") {
  // t = (F(T) - F(T0)) / (2 c W^3),  F(T) = ln((W + T) / (W - T)) / 2 + atan(T / W):  the integral of
  // dT / (W^4 - T^4).
  constexpr double wall = 1500, duration = 30;
  solver::Problem p = radiating_body();
  heat_by_furnace(p, {segment(0, duration, wall, wall, true)});
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  const auto F = [](double T) { return 0.5 * std::log((wall + T) / (wall - T)) + std::atan(T / wall); };
  double low = start, high = wall;
  for (int k = 0; k < 200; ++k) {
    const double T = 0.5 * (low + high);
    (F(T) - F(start) < 2 * exchange_rate() * std::pow(wall, 3) * duration ? low : high) = T;
  }
  CHECK(low < 1450);  // still on its way
  CHECK(low > 900);
  compare({"body in a furnace of 1500 K, 30 s from 400 K",
           "closed form of dT/dt = c (W^4 - T^4), logarithm and arc tangent", low,
           result.rows.back().tool_max_K, 1e-6 * low, "K",
           "wall of a furnace, radiation into the stack, time"});
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("furnace: lumped body under a ramp, a hold and a ramp down, against another integration") {
  const std::vector<solver::Segment> wall{segment(0, 300, 400, 1400), segment(300, 400, 1400, 1400, true),
                                          segment(400, 600, 1400, 700)};
  solver::Problem p = radiating_body();
  heat_by_furnace(p, wall);
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  const double expected = by_runge_kutta(wall);
  compare({"body in a furnace that rises, holds and falls", "Runge-Kutta of order 4 in 2 ms steps", expected,
           result.rows.back().tool_max_K, 1e-6 * expected, "K", "wall of a furnace over corners, time"});
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  // The wall read back: what the furnace's own sensor shows at every row.
  for (const solver::HistoryRow& row : result.rows) {
    CHECK(row.sensors[0].reading_K == doctest::Approx(solver::chamber_at(p, row.time_s)).epsilon(1e-12));
    CHECK(row.target == doctest::Approx(row.sensors[0].reading_K).epsilon(1e-12));
  }
}

TEST_CASE("furnace: the error of a ramp stays below the tolerance of a step and falls with it") {
  const std::vector<solver::Segment> wall{segment(0, 300, 400, 1400)};
  const double expected = by_runge_kutta(wall);
  double before = 0;
  for (const double tolerance : {1e-1, 1e-1 / 16, 1e-1 / 256}) {
    solver::Problem p = radiating_body();
    heat_by_furnace(p, wall);
    p.numerics.time_tolerance = tolerance;
    p.numerics.unseen_heat = 1;
    p.numerics.first_step = 1e-3;
    const double error = std::abs(solver::run(p).rows.back().tool_max_K - expected);
    CAPTURE(tolerance);
    CHECK(error < tolerance);
    if (before > 1e-6) CHECK(error < before / 4);
    before = error;
  }
}

TEST_CASE("furnace: a stack soaked at a constant wall comes to it everywhere, without current") {
  constexpr double wall = 1200;
  solver::Problem p = stack_in_furnace({segment(0, 600, 300, wall), segment(600, 40000, wall, wall, true)});
  solver::Observers observers;
  std::vector<solver::CellFields> fields;
  observers.fields = [&](const solver::CellFields& its) { fields.push_back(its); };
  const solver::RunResult result = solver::run(p, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  const auto [coldest, hottest] =
      std::minmax_element(fields.back().temperature.begin(), fields.back().temperature.end());
  CHECK(*coldest == doctest::Approx(wall).epsilon(1e-5));
  CHECK(*hottest == doctest::Approx(wall).epsilon(1e-5));
  CHECK(result.ledger.energy_balance_relative() < 1e-8);
  CHECK(result.ledger.electric == 0.0);
  CHECK(result.ledger.largest_current == 0.0);
  CHECK(result.ledger.radiation < 0.0);
  for (const solver::HistoryRow& row : result.rows) {
    CHECK(row.current_A == 0.0);
    CHECK(row.voltage_V == 0.0);
    CHECK_FALSE(row.current_share_powder.has_value());
  }
  // By another way: the steady state.
  p.numerics.nonlinear_tolerance = 1e-5;
  const solver::Steady steady = solver::solve_steady(p, 20000);
  REQUIRE(steady.converged);
  for (const double T : steady.state.temperature) CHECK(T == doctest::Approx(wall).epsilon(1e-6));
}

TEST_CASE("furnace: the offset is powder less furnace, and its terms sum to it") {
  solver::Problem p = stack_in_furnace({segment(0, 900, 300, 1300), segment(900, 1500, 1300, 1300, true)});
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  REQUIRE(summary.holds.size() == 1);
  const solver::HoldSummary& hold = summary.holds[0];
  CHECK(hold.sensor_K == relative(1300));
  CHECK(*hold.offset_mean_K == hold.powder->mean_K - hold.sensor_K);
  CHECK(hold.sensor_error_K == 0.0);
  REQUIRE(hold.parts.has_value());
  CHECK(hold.parts->sum() == doctest::Approx(*hold.offset_mean_K).epsilon(1e-9));
  // Heat goes inward: every term is a fall.
  CHECK(hold.parts->surface_K < -0.1);
  CHECK(hold.parts->wall_drop_K < 0);
  CHECK(hold.parts->lateral_contact_K < 0);
  CHECK(hold.parts->powder_gradient_K < 0);
  CHECK(hold.parts->along_axis_K == 0);
  CHECK(hold.taken_up_start_W > hold.taken_up_W);
  CHECK(hold.taken_up_W > hold.taken_up_end_W);
  CHECK(hold.power_W == 0);
  // What the furnace gave by trapezoids between rows of 5 s, and by the march's own weights.
  REQUIRE(summary.furnace.has_value());
  CHECK(summary.furnace->given_J - summary.furnace->taken_back_J ==
        doctest::Approx(-result.ledger.radiation).epsilon(1e-3));
  CHECK(summary.furnace->taken_back_J == 0.0);
}

TEST_CASE("furnace: the upper half alone gives the whole") {
  cases::Case c =
      cases::read_case(std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / "furnace-heated-20mm.yaml");
  c.accuracy = 1;
  c.programme.steps = {c.programme.steps.front()};
  c.programme.steps.front().to = 900;
  const solver::Problem folded = cases::build_problem(c);
  REQUIRE(folded.half);
  c.mirror = false;
  const solver::RunResult half = solver::run(folded), whole = solver::run(cases::build_problem(c));
  REQUIRE(whole.status == solver::RunStatus::completed);
  REQUIRE(half.status == solver::RunStatus::completed);
  const solver::PowderValue &a = *half.rows.back().powder, &b = *whole.rows.back().powder;
  CHECK(std::abs(a.mean_K - b.mean_K) < 1e-3);
  CHECK(std::abs(a.outside_K - b.outside_K) < 1e-3);
  CHECK(a.outside_K > a.mean_K);
  CHECK(half.ledger.radiation == doctest::Approx(whole.ledger.radiation).epsilon(1e-5));
}
