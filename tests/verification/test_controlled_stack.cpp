// Everything at once under the press's controller: balances, checkpoints in the middle of it, half and whole.
#include <doctest/doctest.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <functional>
#include <optional>
#include <vector>

#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

constexpr double room = 298.15;
constexpr int die = 7;  // block of the small stack

mesh::GridRule coarse() {
  mesh::GridRule rule;
  rule.smallest = 1e-3;
  rule.largest = 6e-3;
  rule.cells_across_min = 1;
  rule.mirror = 47.7e-3;  // the mid-plane of the small stack
  return rule;
}

/// A blind start, limits, lag and noise of a couple, hand-over to a pyrometer, a hold that is waited for,
/// rules that are not broken, pulses.
solver::Problem everything() {
  solver::Problem p = small_stack({.conducting_powder = true, .rule = coarse()});
  solver::Sensor& couple = p.sensors[0];
  couple.response = 1.5;
  couple.noise = 0.3;
  solver::Sensor pyrometer;
  pyrometer.name = "pyrometer";
  pyrometer.kind = solver::SensorKind::pyrometer;
  pyrometer.part = die;
  const mesh::Block& b = p.mesh.layout[die];
  const double middle = 0.5 * (b.z_bottom + b.z_top);
  pyrometer.spot = mesh::spot(p.mesh, p.interfaces, die, mesh::Side::outer, middle - 4e-3, middle + 4e-3);
  REQUIRE_FALSE(pyrometer.spot.faces.empty());
  pyrometer.optics.wavelength = 3e-6;
  pyrometer.optics.lower_limit = 420;
  pyrometer.response = 0.2;
  p.sensors.push_back(pyrometer);
  track(p, {segment(0, 25, room, 540), segment(25, 35, 540, 540, true), segment(35, 50, 540, 500),
            segment(50, 60, 500, 500)});
  p.drive.segments.back().off = true;
  p.drive.current_limit = 1100;
  p.drive.voltage_limit = 20;
  p.drive.power_limit = 50e3;
  p.drive.hand_over = solver::HandOver{1, 380};
  solver::Controller c;
  c.period = 0.8;
  c.gain = 80;
  c.integral_time = 15;
  c.derivative_time = 1;
  c.highest = 20e3;
  c.rate = 2000;
  c.arrival = 0.4;
  c.start_power = 900;
  c.start_until = 330;
  p.drive.controller = c;
  p.drive.aborts = {{solver::AbortRule::What::power, -1, 40e3, 0},
                    {solver::AbortRule::What::voltage, -1, 15, 0},
                    {solver::AbortRule::What::reading, 0, 900, 0}};
  p.pulse = solver::Pulse{0.036, 0.006, {}};
  p.history_every = 1.0;
  return p;
}

std::vector<std::uint64_t> bits_of(const solver::RunResult& result) {
  solver::Checkpoint all;
  all.rows = result.rows;
  all.limited = result.limited;
  all.state.ledger = result.ledger;
  all.state.counts = result.counts;
  std::vector<std::uint64_t> bits;
  for (const double value : solver::flatten(all)) bits.push_back(std::bit_cast<std::uint64_t>(value));
  for (const auto& hold : result.frame.holds) bits.push_back(std::bit_cast<std::uint64_t>(hold.start_s));
  return bits;
}

}  // namespace

TEST_CASE("everything at once: all of it happens, energy and charge balance") {
  const solver::Problem p = everything();
  const solver::RunResult result = solver::run(p);
  INFO(result.reason);
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  CHECK(result.ledger.charge_balance_relative() < 1e-8);
  bool stood = false, handed_over = false, cut = false;
  double most = 0;
  for (const solver::HistoryRow& row : result.rows) {
    stood = stood || (row.time_s > 2 && row.programme_s == 0.0);
    handed_over = handed_over || row.control_sensor == 1;
    cut = cut || (row.time_s > 60 && row.current_A == 0.0);
    most = std::max(most, row.current_A);
    if (row.mode == solver::DriveMode::controlled)
      CHECK(row.current_mean_A == doctest::Approx(row.current_A * std::sqrt(36.0 / 42)).epsilon(1e-12));
  }
  CHECK(stood);
  CHECK(handed_over);
  CHECK(cut);
  CHECK_FALSE(result.limited.empty());
  CHECK(most <= 1100 * (1 + 1e-6));
  CHECK(result.frame.holds.size() == 1);
  CHECK(result.frame.holds[0].start_s > 51);  // 28 s blind, 22 of programme, and the wait
}

TEST_CASE(
    "from a checkpoint amid a blind start, a limit, a wait and a rest the rest is the same to the last bit") {
  const solver::Problem p = everything();
  const std::vector<std::function<bool(const solver::Checkpoint&)>> when{
      [](const solver::Checkpoint& c) { return c.state.control.blind && c.state.counts.steps > 5; },
      [](const solver::Checkpoint& c) { return c.open.has_value(); },
      [](const solver::Checkpoint& c) {
        return c.state.control.sensor == 1 && c.state.control.stands && !c.state.control.blind;
      },
      [](const solver::Checkpoint& c) { return c.state.mode == solver::DriveMode::off; },
      // between two samples
      [](const solver::Checkpoint& c) {
        const double since = c.state.time - c.state.control.sampled_at;
        return since > 0.05 && since < 0.75 && c.state.mode == solver::DriveMode::controlled;
      }};
  std::vector<std::optional<std::vector<double>>> kept(when.size());
  solver::Observers observers;
  observers.checkpoint_every = 1;
  observers.checkpoint = [&](const solver::Checkpoint& checkpoint) {
    for (std::size_t k = 0; k < when.size(); ++k)
      if (!kept[k] && when[k](checkpoint)) kept[k] = solver::flatten(checkpoint);
  };
  const std::vector<std::uint64_t> whole = bits_of(solver::run(p, observers));
  for (std::size_t k = 0; k < when.size(); ++k) {
    CAPTURE(k);
    REQUIRE(kept[k].has_value());
    const solver::Checkpoint from = solver::unflatten(*kept[k]);
    REQUIRE(solver::fits(from, p));
    CHECK(bits_of(solver::run(p, {}, &from)) == whole);
  }
}

TEST_CASE("whole and half under the controller: the same but for rounding") {
  solver::Problem p = everything();
  p.numerics.nonlinear_tolerance = 1e-5;
  p.numerics.potential_tolerance = 5e-7;
  bool stopped = false;
  SUBCASE("power") {}
  SUBCASE("current") {
    solver::Controller& c = *p.drive.controller;
    c.by_power = false;
    c.gain = 15;
    c.highest = 2000;
    c.rate = 400;
  }
  SUBCASE("stopped by a voltage") {
    p.drive.aborts[1].above = 2.0;
    stopped = true;
  }
  p.half = solver::half_of(p);
  REQUIRE(p.half != nullptr);
  const solver::RunResult half = solver::run(p);
  p.half = nullptr;
  const solver::RunResult whole = solver::run(p);
  CHECK(whole.status == (stopped ? solver::RunStatus::stopped : solver::RunStatus::completed));
  CHECK(half.status == whole.status);
  CHECK(half.reason == whole.reason);
  REQUIRE(half.rows.size() == whole.rows.size());
  double T = 0, I = 0, U = 0, P = 0, programme = 0, most = 0;
  for (std::size_t k = 0; k < whole.rows.size(); ++k) {
    const solver::HistoryRow &a = whole.rows[k], &b = half.rows[k];
    CHECK(std::abs(a.time_s - b.time_s) < 1e-6);  // how long it waited: rounding of a reading over its rate
    CHECK(a.mode == b.mode);
    CHECK(a.limit == b.limit);
    CHECK(a.control_sensor == b.control_sensor);
    for (std::size_t s = 0; s < a.sensors.size(); ++s)
      T = std::max(T, std::abs(a.sensors[s].reading_K - b.sensors[s].reading_K));
    I = std::max(I, std::abs(a.current_A - b.current_A));
    U = std::max(U, std::abs(a.voltage_V - b.voltage_V));
    P = std::max(P, std::abs(a.power_W - b.power_W));
    programme = std::max(programme, std::abs(a.programme_s - b.programme_s));
    most = std::max(most, a.current_A);
  }
  CHECK(most > 500);
  CHECK(T < 5e-5);
  CHECK(I < 5e-5 * 1100);
  CHECK(U < 5e-5 * 3);
  CHECK(P < 5e-5 * 3000);
  CHECK(programme < 1e-6);
  REQUIRE(half.limited.size() == whole.limited.size());
  for (std::size_t k = 0; k < whole.limited.size(); ++k) {
    CHECK(std::abs(half.limited[k].start_s - whole.limited[k].start_s) < 1e-6);
    CHECK(std::abs(half.limited[k].end_s - whole.limited[k].end_s) < 1e-6);
    CHECK(half.limited[k].limit == whole.limited[k].limit);
  }
}
