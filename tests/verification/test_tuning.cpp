// Gains from a step of the model where the answer is known, and what an unhindered programme needs.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "solver/half.hpp"
#include "solver/march.hpp"
#include "solver/need.hpp"
#include "solver/tuning.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

mesh::GridRule coarse() {
  mesh::GridRule rule;
  rule.smallest = 0.2e-3;
  rule.largest = 4e-3;
  return rule;
}

/// A short thick bar between two electrodes, so conducting that it is one temperature; C in J/K.
solver::Problem bar(double& C) {
  const double r = 0.02, height = 0.02;
  C = std::numbers::pi * r * r * height * 2000.0 * 1500.0;
  solver::Problem p = plain_problem({{"bar", 0, 0, r, 0, height}}, even_grid(5e-3),
                                    {constant_material("bar", 1e5, 1e-5, 1500, 2000)});
  side_of(p, 0, mesh::Side::bottom).electrode = solver::Electrode::low;
  side_of(p, 0, mesh::Side::top).electrode = solver::Electrode::high;
  add_probe(p, 0, 0.0, 0.01);
  p.drive.kind = solver::DriveKind::tracking;
  p.drive.sensor = 0;
  p.drive.segments = {segment(0, 100, 300, 800), segment(100, 200, 800, 800, true)};
  solver::Controller controller;
  controller.highest = 10e3;
  p.drive.controller = controller;
  return p;
}

}  // namespace

TEST_CASE("a body of one temperature: slope 1/C, no delay of its own, K = C / (2 T), Ti = 8 T") {
  double C = 0;
  solver::Problem p = bar(C);
  p.drive.controller->period = 2.0;
  const solver::Gains gains = solver::suggested_gains(p);
  REQUIRE(gains.why_not == "");
  CHECK(gains.at_K == 800);
  CHECK(gains.slope == relative(1.0 / C, 1e-6));
  CHECK(std::abs(gains.delay - 2.0) < 1e-3);  // the period alone
  CHECK(gains.gain == relative(C / 4.0, 1e-3));
  CHECK(gains.integral_time == relative(16.0, 1e-3));
}

TEST_CASE("a sensor that lags delays the step by its response time") {
  // First order: the steepest tangent of the answer to a ramp is met after a few response times, and cuts the
  // axis at one of them (textbook).
  double C = 0;
  solver::Problem p = bar(C);
  p.sensors[0].response = 6.0;
  const solver::Gains gains = solver::suggested_gains(p);
  REQUIRE(gains.why_not == "");
  CHECK(std::abs(gains.delay - (6.0 + 1.0)) < 0.05);
}

TEST_CASE("an output of current is taken along dP/dI = 2 R I where the stack holds") {
  double C = 0;
  solver::Problem p = bar(C);
  side_of(p, 0, mesh::Side::outer).film = 200;  // W/m2K to 300 K
  side_of(p, 0, mesh::Side::outer).film_temperature = 300;
  p.drive.controller->by_power = false;
  p.drive.controller->highest = 5000;
  const solver::Gains gains = solver::suggested_gains(p);
  REQUIRE(gains.why_not == "");
  const double R = 1e-5 * 0.02 / (std::numbers::pi * 4e-4);              // ohm
  const double losses = 200 * 2 * std::numbers::pi * 0.02 * 0.02 * 500;  // W at 800 K
  const double I = std::sqrt(losses / R);
  CHECK(gains.gain == relative(C / 2.0 / (2 * R * I), 0.01));
}

TEST_CASE("gains are those of the whole stack, whether it is solved whole or by its half") {
  for (const bool by_power : {true, false}) {
    CAPTURE(by_power);
    double C = 0;
    solver::Problem p = bar(C);
    side_of(p, 0, mesh::Side::outer).film = 200;
    side_of(p, 0, mesh::Side::outer).film_temperature = 300;
    p.drive.controller->by_power = by_power;
    p.drive.controller->highest = by_power ? 10e3 : 5000;
    const solver::Gains whole = solver::suggested_gains(p);
    p.half = solver::half_of(p);
    REQUIRE(p.half);
    const solver::Gains half = solver::suggested_gains(p);
    CHECK(half.gain == relative(whole.gain, 1e-4));
    CHECK(half.slope == relative(whole.slope, 1e-4));
    CHECK(half.integral_time == relative(whole.integral_time, 1e-4));
  }
}

TEST_CASE("the loop with these gains overshoots its hold no more than theory says") {
  solver::Problem p = small_stack({.rule = coarse()});
  track(p, {segment(0, 300, 298.15, 900), segment(300, 500, 900, 900, true)});
  solver::Controller controller;
  controller.highest = 20e3;
  p.drive.controller = controller;
  const solver::Gains gains = solver::suggested_gains(p);
  REQUIRE(gains.why_not == "");
  p.drive.controller->gain = gains.gain;
  p.drive.controller->integral_time = gains.integral_time;
  const solver::RunResult result = solver::run(p);
  REQUIRE_MESSAGE(result.status == solver::RunStatus::completed, result.reason);
  double highest = 0;
  for (const solver::HistoryRow& row : result.rows)
    highest = std::max(highest, row.sensors[0].reading_K - 900);
  // An integrator behind a delay d in a loop with these gains passes a corner of its ramp by 1.96 times what
  // the ramp goes in d (integrated numerically, independent of this program); here heat leaks away as well.
  CHECK(highest < 1.96 * (900 - 298.15) / 300 * gains.delay);
  CHECK(std::abs(result.rows.back().sensors[0].reading_K - 900) < 0.5);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("what the programme would have needed is what the same run without limits takes") {
  solver::Problem p = small_stack({.rule = coarse()});
  track(p, {segment(0, 150, 298.15, 850), segment(150, 300, 850, 850, true)});
  const solver::RunResult free = solver::run(p);
  double most = 0;
  for (const solver::HistoryRow& row : free.rows) most = std::max(most, row.current_A);
  p.drive.current_limit = 0.85 * most;
  const solver::RunResult limited = solver::run(p);
  const std::vector<solver::Need> needs = solver::needs_of(p, limited);
  REQUIRE(needs.size() >= 1);
  // At the start of the ramp and from its second half into the hold, where it needs most.
  REQUIRE(needs.size() == 2);
  CHECK(needs[0].needs < 0.95 * most);
  CHECK(needs[1].programme);
  CHECK(needs[1].needs == relative(most, 1e-6));
  CHECK(needs[1].gives == relative(0.85 * most));
  CHECK(needs[1].rate_K_s == relative((850 - 298.15) / 150.0, 1e-9));
  CHECK(needs[1].set_K == relative(850.0, 1e-9));
  CHECK(solver::needs_of(p, free).empty());
}
