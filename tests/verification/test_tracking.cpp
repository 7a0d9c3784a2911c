// Tracking a sensor: exact, never negative power, modes located, limits kept.
#include <doctest/doctest.h>

#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "materials/scaling.hpp"
#include "solver/march.hpp"
#include "solver/step.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

constexpr double start = 298.15;

mesh::GridRule coarse() {
  mesh::GridRule rule;
  rule.smallest = 0.2e-3;
  rule.largest = 4e-3;
  return rule;
}

const solver::HistoryRow& row_at(const solver::RunResult& result, double t) {
  const solver::HistoryRow* best = &result.rows.front();
  for (const solver::HistoryRow& row : result.rows)
    if (std::abs(row.time_s - t) < std::abs(best->time_s - t)) best = &row;
  REQUIRE(std::abs(best->time_s - t) < 1e-6);
  return *best;
}

}  // namespace

TEST_CASE("while tracking, the reading is the programme") {
  solver::Problem p = small_stack({.rule = coarse()});
  track(p, {segment(0, 300, start, 900), segment(300, 360, 900, 900, true)});
  // At every accepted step to the nonlinear tolerance (0.004 K); rows in between come from the dense output.
  int steps = 0;
  const solver::RunResult result = solver::run(
      p, {.progress =
              [&](const solver::Progress& progress) {
                const solver::Segment* now = &p.drive.segments[progress.time_s < 300 ? 0 : 1];
                const double shares = (progress.time_s - now->start) / (now->end - now->start);
                CHECK(std::abs(progress.sensor_K - (now->from + shares * (now->to - now->from))) < 0.01);
                ++steps;
                return true;
              },
          .row = {},
          .fields = {}});
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(steps > 10);
  int tracked = 0;
  for (const solver::HistoryRow& row : result.rows) {
    if (row.mode != solver::DriveMode::tracking || row.time_s == 0) continue;
    ++tracked;
    CHECK(std::abs(row.sensors[0].reading_K - row.target) < 0.05);
    CHECK(row.current_A >= 0);  // 0 where it has just come on again
  }
  CHECK(tracked > 60);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  CHECK(result.ledger.charge_balance_relative() < 1e-8);
}

TEST_CASE(
    "a programme of -500 K/min in vacuum: current exactly 0, one limited interval, cooling as undriven") {
  solver::Problem p = small_stack({.rule = coarse()});
  p.initial_temperature = 1600;
  track(p, {segment(0, 20, 1600, 1600), segment(20, 80, 1600, 1100)});
  p.drive.segments[0].off = false;
  // Start undriven from a uniform 1600 K: the hold needs current, the fall cannot be followed.
  p.sensors[0].exact = true;
  const solver::RunResult driven = solver::run(p);
  REQUIRE(driven.status == solver::RunStatus::completed);
  CHECK(driven.ledger.energy_balance_relative() < 1e-10);
  int intervals = 0;
  double from = 0;
  for (const solver::LimitedInterval& interval : driven.limited) {
    if (interval.mode != solver::DriveMode::off || interval.start_s < 19.999) continue;
    ++intervals;
    from = interval.start_s;
  }
  CHECK(intervals == 1);
  CHECK(from == doctest::Approx(20.0).epsilon(1e-6));
  // The same hold, then no drive at all.
  solver::Problem q = p;
  q.drive.segments[1].off = true;
  const solver::RunResult undriven = solver::run(q);
  for (double t = 25; t <= 80; t += 5) {
    const solver::HistoryRow &a = row_at(driven, t), &b = row_at(undriven, t);
    CHECK(a.current_A == 0.0);
    CHECK(std::abs(a.powder->mean_K - b.powder->mean_K) < 1e-9);
    CHECK(std::abs(a.sensors[0].material_K - b.sensors[0].material_K) < 1e-9);
  }
}

TEST_CASE("the press reaches its current limit, says so, and the reading returns to the programme") {
  solver::Problem p = small_stack({.rule = coarse()});
  track(p, {segment(0, 150, start, 850), segment(150, 600, 850, 850, true)});
  p.drive.current_limit = 900;
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  REQUIRE(!result.limited.empty());
  CHECK(result.limited.front().mode == solver::DriveMode::at_limit);
  CHECK(result.limited.front().limit == solver::Limit::current);
  for (const solver::HistoryRow& row : result.rows) CHECK(row.current_A <= 900 * (1 + 1e-6));
  const solver::HistoryRow& last = result.rows.back();
  CHECK(last.mode == solver::DriveMode::tracking);
  CHECK(std::abs(last.sensors[0].reading_K - 850) < 0.05);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("a change of mode inside a ramp is located, and tighter tolerances converge to the same instant") {
  const auto switch_time = [](double tolerance) {
    solver::Problem p = small_stack({.rule = coarse()});
    track(p, {segment(0, 240, start, 1100)});
    p.drive.current_limit = 900;
    p.numerics.time_tolerance = tolerance;
    p.numerics.nonlinear_tolerance = 0.01 * tolerance;
    const solver::RunResult result = solver::run(p);
    REQUIRE(!result.limited.empty());
    return result.limited.front().start_s;
  };
  const double reference = switch_time(0.0005), loose = switch_time(0.05), tight = switch_time(0.005);
  CHECK(std::abs(loose - reference) < 0.05);
  CHECK(std::abs(tight - reference) < 0.01);
}

TEST_CASE("a sensor that the current hardly reaches ends the run with a sentence, not with wild currents") {
  solver::Problem p = small_stack({.rule = coarse()});
  track(p, {segment(0, 60, start, 400)});
  // A couple in a part of its own that neither carries current nor touches well.
  p.sensors[0].junction.weights.assign(p.sensors[0].junction.weights.size(), 0.0);
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::failed);
  CHECK(result.reason.find("hardly answers") != std::string::npos);
}

TEST_CASE("a programme that starts above the reading is met at the press's limit, then followed") {
  solver::Problem p = small_stack({.rule = coarse()});
  track(p, {segment(0, 100, 600, 650), segment(100, 250, 700, 700, true)});  // jumps of 300 K and 50 K
  p.drive.current_limit = 1500;
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  REQUIRE(!result.limited.empty());
  CHECK(result.limited.front().start_s == 0.0);
  CHECK(result.limited.front().mode == solver::DriveMode::at_limit);
  CHECK(result.limited.front().limit == solver::Limit::current);
  for (const solver::HistoryRow& row : result.rows) CHECK(row.current_A <= 1500 * (1 + 1e-9));
  CHECK(result.rows.back().mode == solver::DriveMode::tracking);
  CHECK(std::abs(result.rows.back().sensors[0].reading_K - 700) < 0.01);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("voltage and power limits bind as the current limit does, and each is named") {
  for (const solver::Limit which : {solver::Limit::voltage, solver::Limit::power}) {
    solver::Problem p = small_stack({.rule = coarse()});
    track(p, {segment(0, 120, start, 1000)});
    if (which == solver::Limit::voltage) p.drive.voltage_limit = 2.5;
    if (which == solver::Limit::power) p.drive.power_limit = 2500;
    const solver::RunResult result = solver::run(p);
    REQUIRE(result.status == solver::RunStatus::completed);
    REQUIRE(!result.limited.empty());
    CHECK(result.limited.back().limit == which);
    const solver::HistoryRow& last = result.rows.back();
    CHECK(last.mode == solver::DriveMode::at_limit);
    const double bound = which == solver::Limit::voltage ? last.voltage_V / 2.5 : last.power_W / 2500;
    CHECK(std::abs(bound - 1) < 1e-6);
  }
}

TEST_CASE("a sensor in a part that makes no heat of its own cannot be tracked, and the run says so") {
  solver::Problem p = small_stack({.rule = coarse(), .lateral_heat = 1300});
  // A die of a good metal: its heat comes through the lateral contact, tens of seconds behind the current.
  p.materials.push_back(constant_material("metal", 130, 5e-8, 260, 10200));
  p.parts[p.sensors[0].part].material = static_cast<int>(p.materials.size()) - 1;
  p.drive.voltage_limit = 10.0;
  track(p, {segment(0, 600, start, start + 1000), segment(600, 660, start + 1000, start + 1000, true)});
  const solver::RunResult result = solver::run(p, {});
  CHECK(result.status == solver::RunStatus::failed);
  INFO(result.reason);
  CHECK(result.reason.find("\"die thermocouple\" hardly answers to the current") != std::string::npos);
  CHECK(result.reason.find("slower ramp") == std::string::npos);
  // The same stack under a programme of current runs.
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 120, 0, 800), segment(120, 300, 800, 800)};
  CHECK(solver::run(p, {}).status == solver::RunStatus::completed);
}

TEST_CASE(
    "a sensor that lags behind the heat of the foil: on and off do not take turns all through the hold") {
  cases::Case c = cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/alumina-20mm.yaml").c;
  c.contacts.electric_axial = 1.8e-7;
  c.contacts.electric_lateral = 5.2e-7;
  c.contacts.heat_lateral = 970;
  c.contacts.ageing = 1.6;
  c.sensors[0].depth = 11.7e-3;
  for (materials::Material& m : c.materials)
    if (m.name == "graphite foil") materials::scale(m, "resistivity", 0.42);
  c.accuracy = 1.0;
  const solver::Problem p = cases::build_problem(c);
  const solver::RunResult result = solver::run(p, {});
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(result.counts.steps < 200);  // some 5000 where they do
  const double hold = 1350 + 273.15, arrived = 795 + 20, left = 795 + 300;
  for (const solver::HistoryRow& row : result.rows)
    if (row.time_s > arrived && row.time_s < left) CHECK(std::abs(row.sensors[0].reading_K - hold) < 0.1);
}
