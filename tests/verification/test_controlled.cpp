// A stack under the press's own controller: against the exact discrete loop, at limits, waiting.  Couplings
// of everything, checkpoints and halves: test_controlled_stack.cpp; events: test_events.cpp.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "solver/control.hpp"
#include "solver/march.hpp"
#include "tests/support/heated_block.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

struct Steps {
  std::vector<double> time, reading;
  solver::RunResult result;
};

/// A run with the time and the reading after every accepted step.
Steps steps_of(const solver::Problem& p) {
  Steps steps;
  steps.result = solver::run(p, {.progress = [&steps](const solver::Progress& progress) {
                               steps.time.push_back(progress.time_s);
                               steps.reading.push_back(progress.sensor_K);
                               return true;
                             }});
  return steps;
}

double reading_at(const Steps& steps, double t) {
  for (std::size_t k = 0; k < steps.time.size(); ++k)
    if (std::abs(steps.time[k] - t) < 1e-8) return steps.reading[k];
  FAIL("no step ends at " << t);
  return 0;
}

double highest(const std::vector<double>& values) {
  return *std::max_element(values.begin(), values.end());
}

}  // namespace

TEST_CASE("a block of one temperature under the controller is the exact discrete loop to 0.005 K") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 60, 300, 420), segment(60, 120, 420, 420), segment(120, 160, 420, 360)});
  solver::Controller& c = *p.drive.controller;
  SUBCASE("power") {}
  SUBCASE("current") {
    c.by_power = false;
    c.gain = 40;
  }
  const Steps steps = steps_of(p);
  REQUIRE(steps.result.status == solver::RunStatus::completed);
  // The controller itself is held against the textbook in tests/solver/test_control.cpp.
  const LumpedBody body = lumped_block();
  const auto set = [](double t) { return t < 60 ? 300 + 2 * t : t < 120 ? 420.0 : 420 - 1.5 * (t - 120); };
  const auto power = [&c](double output) {
    return c.by_power ? output : output * output / block_conductance;
  };
  solver::ControlState memory;
  double T = 300, worst = 0;
  for (int k = 0; k < 320; ++k) {
    const double t = 0.5 * k;
    if (k > 0) worst = std::max(worst, std::abs(T - reading_at(steps, t)));
    take_sample(c, t, set(t), T, memory.to, memory);
    // The power of a straight line of current is a parabola: in 50 pieces.
    const int pieces = c.by_power ? 1 : 50;
    for (int i = 0; i < pieces; ++i) {
      const auto output = [&](double share) { return memory.from + share * (memory.to - memory.from); };
      T = body.after(T, power(output(double(i) / pieces)), power(output((i + 1.0) / pieces)), 0.5 / pieces);
    }
  }
  CHECK(worst < 5e-3);
  CHECK(T < 380);
  CHECK(std::abs(T - steps.result.rows.back().sensors[0].reading_K) < 5e-3);
  CHECK(steps.result.rows.back().time_s == relative(160.0));
}

TEST_CASE("a steady ramp is followed late by rate hA Ti / K, whatever the period") {
  // The output grows by hA rate T per sample; the proportional part stands still, so that K e T / Ti is that.
  for (const double period : {1.0, 0.25}) {
    solver::Problem p = heated_block();
    control(p, {segment(0, 100, 300, 500)});
    p.drive.controller->period = period;
    p.drive.controller->gain = 3;
    const Steps steps = steps_of(p);
    const double late = 2.0 * lumped_block().loss * 8 / 3;
    CHECK(500 - steps.result.rows.back().sensors[0].reading_K == relative(late, 1e-4));
  }
}

TEST_CASE(
    "gains that a shorter period allows: the largest departure from a programme falls with the period") {
  // K = C/(3T), Ti = 6T: the loop is the same in samples, so that after a corner of the ramp the reading
  // falls behind by a fixed share of what the programme rises in a period.  Order 1; exact tracking has none
  // of it.
  const std::vector<solver::Segment> programme{segment(0, 40, 300, 380), segment(40, 60, 380, 380)};
  std::vector<double> worst;
  for (const double period : {2.0, 1.0, 0.5, 0.25}) {
    solver::Problem p = heated_block();
    control(p, programme);
    p.drive.controller->period = period;
    p.drive.controller->gain = lumped_block().capacity / (3 * period);
    p.drive.controller->integral_time = 6 * period;
    p.drive.controller->derivative_time = 0;
    const Steps steps = steps_of(p);
    double largest = 0;
    for (std::size_t k = 0; k < steps.time.size(); ++k)
      largest = std::max(largest, std::abs(steps.reading[k] - (300 + 2 * std::min(steps.time[k], 40.0))));
    worst.push_back(largest);
  }
  const double order = std::log2(worst[2] / worst[3]);
  INFO(worst[0] << " " << worst[1] << " " << worst[2] << " " << worst[3]);
  CHECK(order > 0.9);
  CHECK(order < 1.1);
  CHECK(worst[3] < 1.5);
  solver::Problem exact = heated_block();
  control(exact, programme);
  exact.drive.controller.reset();
  exact.drive.current_limit = 5000;
  const Steps steps = steps_of(exact);
  double largest = 0;
  for (std::size_t k = 0; k < steps.time.size(); ++k)
    largest = std::max(largest, std::abs(steps.reading[k] - (300 + 2 * std::min(steps.time[k], 40.0))));
  CHECK(largest < 0.01 * worst[3]);
}

TEST_CASE("at a limit of the press: one interval, never above it, and no windup behind it") {
  // 40 K/s of programme ask for 250 W at once; the limits allow 60 W.
  for (const solver::Limit which : {solver::Limit::current, solver::Limit::voltage, solver::Limit::power}) {
    solver::Problem p = heated_block();
    control(p, {segment(0, 4, 300, 460), segment(4, 64, 460, 460)});
    const double current = std::sqrt(60 * block_conductance);
    if (which == solver::Limit::current) p.drive.current_limit = current;
    if (which == solver::Limit::voltage) p.drive.voltage_limit = current / block_conductance;
    if (which == solver::Limit::power) p.drive.power_limit = 60;
    p.history_every = 0.2;
    const Steps steps = steps_of(p);
    REQUIRE(steps.result.status == solver::RunStatus::completed);
    REQUIRE(steps.result.limited.size() == 1);
    const solver::LimitedInterval& interval = steps.result.limited[0];
    CHECK(interval.mode == solver::DriveMode::at_limit);
    CHECK(interval.limit == which);
    CHECK(interval.start_s < 1.5);
    // Comes off where K e/Ti = K y': nothing stored.  There 160 - x = Ti (60 - hA x)/C, x above the start, on
    // the way x = 60/hA (1 - exp(-t/tau)); a period later at the most, the first half of one being lost.
    const LumpedBody body = lumped_block();
    const double x = (160 - 8 * 60 / body.capacity) / (1 - 8 * body.loss / body.capacity);
    const double comes_off = -body.capacity / body.loss * std::log(1 - x * body.loss / 60);
    CHECK(interval.end_s > comes_off);
    CHECK(interval.end_s < comes_off + 1.0);
    double most = 0;
    for (const solver::HistoryRow& row : steps.result.rows) most = std::max(most, row.current_A);
    CHECK(most <= current * (1 + 1e-6));
    CHECK(most >= current * (1 - 1e-6));
    CHECK(highest(steps.reading) < 460 + 2);
    CHECK(std::abs(steps.reading.back() - 460) < 0.05);
    CHECK(steps.result.ledger.energy_balance_relative() < 1e-10);
  }
}

TEST_CASE("a hold lasts as long as it says from the arrival on, and the run ends later by the wait") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 4, 300, 460), segment(4, 34.3, 460, 460, true), segment(34.3, 40.1, 460, 440)});
  p.drive.power_limit = 60;
  const Steps steps = steps_of(p);
  REQUIRE(steps.result.status == solver::RunStatus::completed);
  REQUIRE(steps.result.frame.holds.size() == 1);
  const auto& hold = steps.result.frame.holds[0];
  const double wait = hold.start_s - 4;
  // 157 K at 60 W by the closed form is the soonest.
  CHECK(hold.start_s > -50 * std::log(1 - 157 * lumped_block().loss / 60));
  CHECK(hold.end_s - hold.start_s == relative(30.3));
  double arrived = 0;
  for (std::size_t k = 0; k < steps.time.size() && arrived == 0; ++k)
    if (steps.reading[k] >= 457) arrived = steps.time[k];
  CHECK(hold.start_s >= arrived - 1e-9);
  CHECK(hold.start_s <= arrived + 0.5);
  CHECK(steps.result.rows.back().time_s == relative(40.1 + wait));
  // Between the two the programme stands.
  for (const solver::HistoryRow& row : steps.result.rows) {
    if (row.time_s < 4.5) continue;
    CHECK(row.programme_s ==
          doctest::Approx(row.time_s < hold.start_s ? 4.0 : row.time_s - wait).epsilon(1e-9));
  }
}

TEST_CASE("no step goes past a sample, and what is written down changes nothing") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 7.3, 300, 340), segment(7.3, 15.1, 340, 340, true)});
  p.drive.controller->period = 0.7;
  const Steps often = [&p] {
    p.history_every = 0.13;
    return steps_of(p);
  }();
  p.history_every = 100;
  const Steps seldom = steps_of(p);
  double before = 0;
  for (const double t : often.time) {
    const double sample = 0.7 * std::ceil(before / 0.7 + 1e-9);  // the next one after the last step's end
    CHECK(t <= sample + 1e-9);
    before = t;
  }
  CHECK(often.time == seldom.time);
  CHECK(often.reading == seldom.reading);
  CHECK(often.result.ledger.stored == seldom.result.ledger.stored);
  CHECK(often.result.counts.sweeps == seldom.result.counts.sweeps);
  CHECK(often.result.rows.size() > seldom.result.rows.size() + 50);
}

TEST_CASE("a press that waits for what does not come fails with a sentence") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 40, 300, 500), segment(40, 60, 500, 500, true)});
  p.drive.controller->period = 20;
  p.drive.controller->gain = 0.3;
  p.drive.power_limit = 10;  // holds it at 380 K
  std::string said = "does not arrive at its hold";
  SUBCASE("a hold") {}
  SUBCASE("a start") {
    p.drive.controller->start_power = 5;
    p.drive.controller->start_until = 400;
    said = "the power of the start does not bring";
  }
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::failed);
  INFO(result.reason);
  CHECK(result.reason.find(said) != std::string::npos);
  CHECK(result.reason.find("\"probe\"") != std::string::npos);
  CHECK(result.rows.back().time_s > 3600);
  CHECK(result.rows.back().time_s < 4000);
}

TEST_CASE("after more samples than a march may have changes of mode a step may still be rejected") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 40, 300, 500)});
  std::optional<solver::Checkpoint> kept;
  solver::Observers observers;
  observers.checkpoint_every = 1;
  observers.checkpoint = [&kept](const solver::Checkpoint& checkpoint) {
    if (checkpoint.state.time > 20 && !kept) kept = checkpoint;
  };
  solver::run(p, observers);
  REQUIRE(kept.has_value());
  kept->attempts = 20010;  // as if it had gone on for hours; 10 per sample are allowed besides
  p.numerics.time_tolerance = 1e-11;
  const solver::RunResult result = solver::run(p, {}, &*kept);
  INFO(result.reason);
  CHECK(result.status == solver::RunStatus::completed);
  CHECK(result.counts.rejected > kept->state.counts.rejected);
}

TEST_CASE("the current cut in the middle of a programme: off, free cooling, then the controller goes on") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 50, 300, 400), segment(50, 80, 400, 400), segment(80, 140, 355, 415)});
  p.drive.segments[1].off = true;
  p.drive.controller->derivative_time = 2;
  p.history_every = 1;
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(result.limited.empty());
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  double at_55 = 0, most = 0;
  for (const solver::HistoryRow& row : result.rows) {
    if (std::abs(row.time_s - 55) < 1e-9) at_55 = row.sensors[0].reading_K;
    if (row.time_s > 80) most = std::max(most, row.power_W);
    // At 50 s the sample that cuts it, at 50.5 s nothing flows any more.
    if (row.time_s < 50.6 || row.time_s > 80.1) {
      if (row.time_s > 0) CHECK(row.mode == solver::DriveMode::controlled);
      continue;
    }
    CHECK(row.mode == solver::DriveMode::off);
    CHECK(row.current_A == 0.0);
    if (row.time_s > 55)  // closed form
      CHECK(row.sensors[0].reading_K ==
            doctest::Approx(300 + (at_55 - 300) * std::exp(-(row.time_s - 55) / 50)).epsilon(1e-6));
  }
  // 1 K/s and the loss at 355 to 415 K take 13 to 21 W.  It meets the ramp from about the same temperature;
  // the rate of 30 s of cooling, taken for one sample's, would add K Td 40 K / (Tf + T), some 400 W.
  CHECK(most < 60);
  CHECK(std::abs(result.rows.back().sensors[0].reading_K - 415) < 1);
}
