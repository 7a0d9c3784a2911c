// The same bits: repeated runs, other output intervals, a used workspace; and no NaN gets through.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "solver/march.hpp"
#include "solver/step.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

solver::Problem short_case(bool conducting) {
  mesh::GridRule rule;
  rule.smallest = 0.2e-3;
  rule.largest = 4e-3;
  solver::Problem p = small_stack({.conducting_powder = conducting, .rule = rule});
  track(p, {segment(0, 100, 298.15, 500), segment(100, 140, 500, 500, true), segment(140, 160, 0, 0)});
  p.drive.segments[2].off = true;
  return p;
}

bool same_bits(const solver::HistoryRow& a, const solver::HistoryRow& b) {
  return a.time_s == b.time_s && a.current_A == b.current_A && a.voltage_V == b.voltage_V &&
         a.powder->mean_K == b.powder->mean_K && a.powder->max_K == b.powder->max_K &&
         a.sensors[0].reading_K == b.sensors[0].reading_K && a.joule_by_part_W == b.joule_by_part_W &&
         a.radiation_by_part_W == b.radiation_by_part_W;
}

}  // namespace

TEST_CASE("A, B, A in one process: the two A are the same to the bit") {
  const solver::RunResult first = solver::run(short_case(false));
  const solver::RunResult other = solver::run(short_case(true));
  const solver::RunResult again = solver::run(short_case(false));
  REQUIRE(first.rows.size() == again.rows.size());
  for (std::size_t k = 0; k < first.rows.size(); ++k) CHECK(same_bits(first.rows[k], again.rows[k]));
  CHECK(first.ledger.electric == again.ledger.electric);
  CHECK(other.ledger.electric != first.ledger.electric);
}

TEST_CASE("what is written never changes the answer") {
  const auto at = [](double every) {
    solver::Problem p = short_case(false);
    p.history_every = every;
    return solver::run(p);
  };
  const solver::RunResult often = at(1), seldom = at(7), never = at(0);
  for (const solver::RunResult* other : {&seldom, &never}) {
    CHECK(other->ledger.electric == often.ledger.electric);
    CHECK(other->ledger.stored == often.ledger.stored);
    CHECK(same_bits(other->rows.back(), often.rows.back()));
    CHECK(other->counts.steps == often.counts.steps);
  }
  CHECK(often.rows.size() > 3 * seldom.rows.size());
  // Rows at times that two histories share: corners, and multiples of both intervals.
  int common = 0;
  for (const solver::RunResult* other : {&seldom, &never})
    for (const solver::HistoryRow& row : other->rows)
      for (const solver::HistoryRow& own : often.rows) {
        if (own.time_s != row.time_s) continue;
        ++common;
        CHECK(same_bits(own, row));
      }
  CHECK(common > 25);
}

TEST_CASE("a row is written where a step ends on a multiple of the interval") {
  std::vector<double> ends;
  solver::Observers observers;
  observers.checkpoint_every = 1;
  observers.checkpoint = [&](const solver::Checkpoint& checkpoint) { ends.push_back(checkpoint.state.time); };
  solver::run(short_case(false), observers);
  REQUIRE(ends.size() > 6);
  const double end = ends[4];  // inside the first ramp, no corner
  solver::Problem p = short_case(false);
  p.history_every = end;
  const solver::RunResult result = solver::run(p);
  CHECK(std::any_of(result.rows.begin(), result.rows.end(),
                    [end](const solver::HistoryRow& row) { return row.time_s == end; }));
}

TEST_CASE("a workspace that served another state changes no bit of a step") {
  const solver::Problem p = short_case(false);
  solver::Workspace fresh(p), used(p);
  solver::StepDrive drive{solver::DriveMode::tracking, &p.drive.segments[0], p.drive.kind, p.drive.sensor};
  const solver::State start = solver::initial_state(p, fresh);
  const solver::StepOutcome first = solver::try_step(p, used, start, 0.05, drive);
  REQUIRE(first.converged);
  const solver::StepOutcome away =
      solver::try_step(p, used, first.state, 3.0, drive);  // leaves other factors behind
  REQUIRE(away.converged);
  const solver::StepOutcome a = solver::try_step(p, used, first.state, 1.0, drive);
  const solver::StepOutcome b = solver::try_step(p, fresh, first.state, 1.0, drive);
  REQUIRE(a.converged);
  CHECK(a.state.enthalpy == b.state.enthalpy);
  CHECK(a.error == b.error);
}

TEST_CASE("a source that turns NaN ends the run as failed, where and when, and no row holds one") {
  solver::Problem p = short_case(false);
  p.heat_source = [](double, double, double t) { return t > 12.0 ? std::nan("") : 0.0; };
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::failed);
  CHECK(result.reason.find("at t =") != std::string::npos);
  CHECK(result.reason.find("Hottest place") != std::string::npos);
  CHECK(result.reason.find("finite") != std::string::npos);  // not blamed on the sensor
  REQUIRE(result.rows.size() > 1);  // what was computed before is kept, and it was still cold
  INFO(result.reason);
  CHECK(result.rows.back().time_s > 5);
  CHECK(result.rows.back().time_s <= 12);
  for (const solver::HistoryRow& row : result.rows) {
    CHECK(std::isfinite(row.current_A));
    CHECK(std::isfinite(row.voltage_V));
    CHECK(std::isfinite(row.powder->mean_K));
    CHECK(std::isfinite(row.powder->max_K));
    CHECK(std::isfinite(row.sensors[0].reading_K));
    CHECK(std::isfinite(row.stored_W));
    for (const double w : row.joule_by_part_W) CHECK(std::isfinite(w));
    for (const double w : row.radiation_by_part_W) CHECK(std::isfinite(w));
  }
  CHECK(std::isfinite(result.ledger.electric));
  CHECK(std::isfinite(result.ledger.stored));
}

TEST_CASE("fields handed out or not: every row the same bits; start, corners, multiples and end, each once") {
  const solver::RunResult without = solver::run(short_case(false));
  solver::Problem p = short_case(false);
  p.fields_every = 8.0;
  std::vector<double> times;
  std::size_t rows = 0;
  const solver::RunResult with =
      solver::run(p, {.progress = {},
                      .row = [&](const solver::HistoryRow&) { ++rows; },
                      .fields = [&](const solver::CellFields& fields) { times.push_back(fields.time); }});
  REQUIRE(with.rows.size() == without.rows.size());
  CHECK(rows == with.rows.size());
  for (std::size_t k = 0; k < with.rows.size(); ++k) CHECK(same_bits(with.rows[k], without.rows[k]));
  CHECK(with.counts.steps == without.counts.steps);
  CHECK(with.counts.sweeps == without.counts.sweeps);
  CHECK(with.ledger.electric == without.ledger.electric);
  std::vector<double> expected{100, 140};  // the corners; 160, the end, is a multiple
  for (int k = 0; k <= 20; ++k) expected.push_back(8.0 * k);
  std::sort(expected.begin(), expected.end());
  REQUIRE(times.size() == expected.size());
  for (std::size_t k = 0; k < times.size(); ++k)
    CHECK(times[k] == doctest::Approx(expected[k]).epsilon(1e-9));
  for (const double corner : {100.0, 140.0, 160.0})
    CHECK(std::count(times.begin(), times.end(), corner) == 1);
}

TEST_CASE("a run stopped from outside hands out its last state") {
  int steps = 0;
  std::vector<solver::CellFields> all;
  const solver::RunResult result =
      solver::run(short_case(false), {.progress = [&](const solver::Progress&) { return ++steps < 7; },
                                      .row = {},
                                      .fields = [&](const solver::CellFields& f) { all.push_back(f); }});
  CHECK(result.status == solver::RunStatus::interrupted);
  REQUIRE(all.size() == 2);
  CHECK(all[0].time == 0.0);
  CHECK(all[1].time > 0.0);
  CHECK(*std::max_element(all[1].temperature.begin(), all[1].temperature.end()) > 298.2);
}
