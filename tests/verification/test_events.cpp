// What ends a way of driving is located: rules that end a run, the hand-over to a second sensor of a
// programme that is tracked exactly.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "solver/march.hpp"
#include "solver/sensor.hpp"
#include "tests/support/heated_block.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;
using solver::AbortRule;

namespace {

AbortRule rule(AbortRule::What what, double above) {
  AbortRule its;
  its.what = what;
  its.above = above;
  its.sensor = what == AbortRule::What::reading ? 0 : -1;
  return its;
}

/// 0 to 1000 A in 100 s.
solver::Problem rising_current() {
  solver::Problem p = heated_block();
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 100, 0, 1000)};
  return p;
}

/// Stopped by the rule: the time, and that the reason names all of it.
double stopped_at(const solver::Problem& p, const std::string& said) {
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::stopped);
  INFO(result.reason);
  CHECK(result.reason.find(said) != std::string::npos);
  CHECK(result.rows.size() > 1);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  return result.rows.back().time_s;
}

}  // namespace

TEST_CASE("a rule on current, voltage or power ends the run at its instant, and the reason names it") {
  solver::Problem p = rising_current();
  const double G = block_conductance;
  p.drive.aborts = {rule(AbortRule::What::current, 612)};
  CHECK(std::abs(stopped_at(p, "at t = 61.2 s the current rose above 612 A") - 61.2) < 1e-6);
  p.drive.aborts = {rule(AbortRule::What::voltage, 0.25)};
  CHECK(std::abs(stopped_at(p, "the voltage rose above 0.25 V") - 0.025 * G) < 1e-6);
  p.drive.aborts = {rule(AbortRule::What::power, 120)};  // I2/G
  CHECK(std::abs(stopped_at(p, "the power rose above 0.12 kW") - 0.1 * std::sqrt(120 * G)) < 1e-6);
  // Of several the first that is broken.
  p.drive.aborts = {rule(AbortRule::What::current, 900), rule(AbortRule::What::power, 120),
                    rule(AbortRule::What::voltage, 0.9)};
  CHECK(std::abs(stopped_at(p, "the power rose") - 0.1 * std::sqrt(120 * G)) < 1e-6);
  // One that is not broken changes nothing.
  p.drive.aborts = {rule(AbortRule::What::current, 1001)};
  CHECK(solver::run(p).status == solver::RunStatus::completed);
}

TEST_CASE("a jump of the programme past a rule is told as what it is, not as what was near before it") {
  solver::Problem p = rising_current();
  p.drive.segments = {segment(0, 10, 100, 100), segment(10, 20, 1500, 1500)};
  // At 100 A the reading, 309 K, is at 0.97 of its rule and the current at 0.1 of its own.
  p.drive.aborts = {rule(AbortRule::What::reading, 320), rule(AbortRule::What::current, 1000)};
  CHECK(std::abs(stopped_at(p, "the current rose above 1000 A") - 10) < 0.1);
}

TEST_CASE("a rule on a reading waits for the instrument: two first-order lags in closed form") {
  // Body under 50 W: T - T0 = A (1 - exp(-t/tau)), A = P/hA.  Behind it an instrument of response b:
  //   y - T0 = A (1 - (tau exp(-t/tau) - b exp(-t/b)) / (tau - b))        (textbook: two lags in series)
  solver::Problem p = heated_block();
  p.drive.kind = solver::DriveKind::power;
  p.drive.aborts = {rule(AbortRule::What::reading, 473.15)};
  // To an instrument the material goes in straight lines from step to step: short ones.
  p.numerics.largest_step = 0.5;
  for (int k = 0; k < 10; ++k) p.drive.segments.push_back(segment(10 * k, 10 * (k + 1), 50, 50));
  const LumpedBody body = lumped_block();
  const double tau = body.capacity / body.loss, A = 50 / body.loss;
  for (const double b : {0.0, 4.0}) {
    p.sensors[0].response = b;
    const auto y = [&](double t) {
      const double rest = b > 0 ? b * std::exp(-t / b) : 0.0;
      return 300 + A * (1 - (tau * std::exp(-t / tau) - rest) / (tau - b));
    };
    double low = 0, high = 100;
    while (high - low > 1e-9) (y(0.5 * (low + high)) < 473.15 ? low : high) = 0.5 * (low + high);
    CHECK(std::abs(stopped_at(p, "probe read more than 200 degC") - low) < 0.02);
  }
}

TEST_CASE("a rule that holds until a reading does not come back when the stack cools") {
  solver::Problem p = heated_block();
  p.drive.sensor = 0;  // what `until` speaks of
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 60, 250, 250), segment(60, 160, 0, 0), segment(160, 170, 0, 700)};
  p.drive.aborts = {rule(AbortRule::What::current, 600)};
  p.drive.aborts[0].until = 400;
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::completed);
  // It was passed, and the block is below it again when the current rises.
  double hottest = 0;
  for (const solver::HistoryRow& row : result.rows)
    if (row.time_s <= 60) hottest = std::max(hottest, row.sensors[0].reading_K);
  CHECK(hottest > 405);
  const auto turns = std::find_if(result.rows.begin(), result.rows.end(),
                                  [](const solver::HistoryRow& row) { return row.time_s >= 160; });
  CHECK(turns->sensors[0].reading_K < 350);
  p.drive.aborts[0].until = hottest + 1;
  CHECK(std::abs(stopped_at(p, "the current rose above 600 A") - (160 + 10 * 600 / 700.0)) < 1e-6);
}

TEST_CASE("under the controller a rule ends the run with the step that broke it") {
  solver::Problem p = heated_block();
  control(p, {segment(0, 60, 300, 420)});
  p.drive.aborts = {rule(AbortRule::What::reading, 373.15)};
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::stopped);
  CHECK(result.reason.find("probe read more than 100 degC") != std::string::npos);
  const solver::HistoryRow& last = result.rows.back();
  CHECK(last.sensors[0].reading_K > 373.15);
  CHECK(last.sensors[0].reading_K < 373.15 + 2 * 0.5 + 0.1);  // 2 K/s for a sample at the most
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("exact tracking hands over at the instant, then meets the programme from below or from above") {
  // A pyrometer on the skin, set wrong: it reads low (set above the true emissivity) or high.
  for (const double set : {0.9, 0.7}) {
    CAPTURE(set);
    solver::Problem p = heated_block();
    p.initial_temperature = 600;
    p.drive.kind = solver::DriveKind::tracking;
    p.drive.sensor = 0;
    p.drive.segments = {segment(0, 60, 600, 720), segment(60, 90, 720, 720, true)};
    p.drive.current_limit = 700;
    solver::Sensor pyrometer;
    pyrometer.name = "pyrometer";
    pyrometer.kind = solver::SensorKind::pyrometer;
    pyrometer.spot = mesh::spot(p.mesh, p.interfaces, 0, mesh::Side::outer, 0.005, 0.015);
    pyrometer.optics.wavelength = 3e-6;
    pyrometer.optics.emissivity = 0.8;
    pyrometer.optics.set_emissivity = set;
    p.sensors.push_back(pyrometer);
    p.drive.hand_over = solver::HandOver{1, 650};
    p.history_every = 0.5;
    const solver::RunResult result = solver::run(p);
    INFO(result.reason);
    REQUIRE(result.status == solver::RunStatus::completed);
    CHECK(result.ledger.energy_balance_relative() < 1e-10);
    // 600 + 2 t = 650
    const auto first = std::find_if(result.rows.begin(), result.rows.end(),
                                    [](const solver::HistoryRow& row) { return row.control_sensor == 1; });
    REQUIRE(first != result.rows.end());
    CHECK(std::abs(first->time_s - 25) < 1e-6);
    const double ahead = first->sensors[1].reading_K - 650;
    CHECK((set > 0.8 ? -ahead : ahead) > 3);
    REQUIRE(result.limited.size() == 1);
    const solver::LimitedInterval& gap = result.limited[0];
    CHECK(std::abs(gap.start_s - 25) < 1e-6);
    CHECK(gap.mode == (set > 0.8 ? solver::DriveMode::at_limit : solver::DriveMode::off));
    CHECK(gap.end_s > 25.1);
    CHECK(gap.end_s < 60);
    for (const solver::HistoryRow& row : result.rows) {
      if (row.time_s > 25.001 && row.time_s < gap.end_s - 1e-3)
        CHECK(row.current_A == doctest::Approx(set > 0.8 ? 700 : 0).epsilon(1e-9));
      if (row.time_s > gap.end_s + 1)
        CHECK(std::abs(row.sensors[1].reading_K - std::min(600 + 2 * row.time_s, 720.0)) < 0.05);
    }
  }
}
