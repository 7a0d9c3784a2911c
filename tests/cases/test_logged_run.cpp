// A run driven as its log says: the heat of the log in few straight pieces, forces, means and effective
// values, what is compared and what is refused.
#include "cases/logged_run.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <limits>
#include <numbers>

#include "cases/reader/case_reader.hpp"
#include "solver/drive.hpp"
#include "solver/march.hpp"
#include "solver/noise.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using cases::Logged;
using test::relative;

namespace {

const std::filesystem::path shipped = std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases";

cases::LoggedColumn column(Logged what, std::string sensor = {}) {
  cases::LoggedColumn c;
  c.heading = sensor.empty() ? "column" : sensor;
  c.what = what;
  c.sensor = std::move(sensor);
  return c;
}

/// A current that rises, wavers about a level, jumps down and ends; a reading that says nothing.
cases::PressLog rising(double noise) {
  cases::PressLog log;
  log.file = "rising.csv";
  cases::LoggedColumn current = column(Logged::current),
                      reading = column(Logged::reading, "couple in the cylinder");
  for (int i = 0; i <= 300; ++i) {
    const double t = 2.0 * i;
    const double level = t < 120.0   ? 8.0 * t
                         : t < 400.0 ? 960.0 + 30.0 * std::sin(t / 9.0)
                         : t < 520.0 ? 500.0
                                     : 0.0;
    log.time.push_back(t);
    current.values.push_back(level *
                             (1.0 + noise * solver::normal_deviate(1, 1, static_cast<std::uint64_t>(i))));
    reading.values.push_back(300.0);
  }
  log.columns = {current, reading};
  return log;
}

std::string first_of(const cases::ErrorList& errors) {
  try {
    errors.throw_if_any();
  } catch (const cases::InputErrors& problem) {
    return problem.errors().front().problem;
  }
  return {};
}

double heat_of(const cases::PressLog& log, double until) {
  double sum = 0.0;
  const auto& I = log.columns[0].values;
  for (std::size_t i = 1; i < I.size() && log.time[i] <= until; ++i)
    sum += (I[i] * I[i] + I[i] * I[i - 1] + I[i - 1] * I[i - 1]) / 3.0 * (log.time[i] - log.time[i - 1]);
  return sum;
}

double heat_of(const std::vector<solver::Segment>& segments, double until) {
  double sum = 0.0;
  for (const solver::Segment& s : segments) {
    const double end = std::min(s.end, until);
    if (end <= s.start) break;
    const double to = s.from + (s.to - s.from) * (end - s.start) / (s.end - s.start);
    sum += (end - s.start) / 3.0 * (s.from * s.from + s.from * to + to * to);
  }
  return sum;
}

}  // namespace

TEST_CASE("few straight pieces bring the heat of the log at every moment") {
  const cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  for (const double noise : {0.0, 0.005}) {
    cases::ErrorList errors;
    const cases::PressLog log = rising(noise);
    const cases::LoggedRun run = cases::logged_run(c, log, errors);
    REQUIRE(errors.empty());
    INFO(run.segments.size() << " pieces of " << log.time.size() << " values");
    CHECK(run.segments.size() < 60);
    // Where noise alone would lead the heat from a line between two values, at most.
    double square = 0.0;
    const auto& I = log.columns[0].values;
    for (const double i : I) square += std::pow(2.0 * noise * i * i * 2.0, 2);
    const double all = heat_of(log, 600.0), led_astray = 0.5 * std::sqrt(square);
    for (double t = 0.0; t <= 600.0; t += 2.0)
      CHECK(std::abs(heat_of(run.segments, t) - heat_of(log, t)) <= std::max(2.1e-4 * all, 4.0 * led_astray));
    for (std::size_t k = 1; k < run.segments.size(); ++k)
      CHECK(run.segments[k].start == run.segments[k - 1].end);
    CHECK(run.segments.back().off);
  }
}

TEST_CASE("a ramp of few rows is that ramp") {
  cases::PressLog log;
  log.file = "ramp.csv";
  cases::LoggedColumn current = column(Logged::current),
                      reading = column(Logged::reading, "couple in the cylinder");
  for (int i = 0; i <= 12; ++i) {
    log.time.push_back(15.0 * i);
    current.values.push_back(std::min(200.0 * i, 800.0));
    reading.values.push_back(300.0);
  }
  log.columns = {current, reading};
  cases::ErrorList errors;
  const cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  const cases::LoggedRun run = cases::logged_run(c, log, errors);
  errors.throw_if_any();
  REQUIRE(run.segments.size() == 2);
  CHECK(run.segments[0].end == 60.0);
  CHECK(std::abs(run.segments[0].from) < 1e-9);
  CHECK(run.segments[0].to == relative(800.0, 1e-9));
  CHECK(run.segments[1].from == relative(800.0, 1e-9));
  CHECK(run.segments[1].to == relative(800.0, 1e-9));
}

TEST_CASE("the noise of a meter is no reason for a corner") {
  const cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  for (std::uint64_t seed = 1; seed <= 20; ++seed) {
    cases::PressLog log = rising(0.0);
    for (std::size_t i = 0; i < log.time.size(); ++i)
      log.columns[0].values[i] = 500.0 * (1.0 + 0.005 * solver::normal_deviate(seed, 1, i));
    cases::ErrorList errors;
    const cases::LoggedRun run = cases::logged_run(c, log, errors);
    REQUIRE(errors.empty());
    CHECK(run.segments.size() <= 3);
    for (const solver::Segment& s : run.segments) {
      CHECK(s.from == relative(500.0, 0.01));
      CHECK(s.to == relative(500.0, 0.01));
    }
  }
}

TEST_CASE("what is nothing to the end of the log is nothing in the run") {
  const cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  cases::PressLog log = rising(0.0);
  auto& I = log.columns[0].values;
  for (std::size_t i = 0; i < I.size(); ++i)
    I[i] = i < 200 ? 1700.0 * (1.0 + 0.003 * solver::normal_deviate(1, 1, i)) : i == 200 ? 420.0 : 0.0;
  cases::ErrorList errors;
  const cases::LoggedRun run = cases::logged_run(c, log, errors);
  REQUIRE(errors.empty());
  REQUIRE(I.size() > 210);
  CHECK(run.segments.back().off);
  CHECK(run.segments.back().start == log.time[201]);
  CHECK(run.segments.size() <= 4);
}

TEST_CASE("a run of a log is the run of its current") {
  cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  c.accuracy = 1.0;
  cases::ErrorList errors;
  const cases::LoggedRun run = cases::logged_run(c, rising(0.0), errors);
  const solver::Problem problem = cases::logged_problem(c, run);
  CHECK(problem.drive.kind == solver::DriveKind::current);
  CHECK(!std::isfinite(problem.drive.current_limit));
  const solver::RunResult result = solver::run(problem);
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(result.rows.back().time_s == relative(600.0, 1e-12));
  double hottest = 0.0;
  for (const solver::HistoryRow& row : result.rows) hottest = std::max(hottest, row.sensors[0].reading_K);
  CHECK(hottest > 1000.0);
  cases::ComparedColumn reading{1, 0, 1.0};
  CHECK(cases::shown_of(c, run, reading, result.rows.back()) == result.rows.back().sensors[0].reading_K);
}

TEST_CASE("forces of the log press the column, with what the gauge does not show") {
  cases::Case c = cases::read_case(shipped / "alumina-20mm.yaml");
  c.press.vacuum_pull = 700.0;
  cases::PressLog log = rising(0.0);
  log.columns[1].sensor = "die thermocouple";
  cases::LoggedColumn force = column(Logged::force);
  for (const double t : log.time) force.values.push_back(t < 100.0 ? 5000.0 : 15700.0);
  cases::LoggedColumn gauge = column(Logged::gauge_pressure);
  for (const double newton : force.values) gauge.values.push_back(newton / 20e-4);
  for (const cases::LoggedColumn& shows : {force, gauge}) {
    cases::ErrorList errors;
    cases::PressLog with = log;
    with.columns.push_back(shows);
    const cases::LoggedRun run = cases::logged_run(c, with, errors);
    REQUIRE(errors.empty());
    REQUIRE(run.force.size() >= 4);
    CHECK(run.force.front().force == relative(5700.0, 1e-6));
    CHECK(run.force.back().force == relative(16400.0, 1e-6));
    for (std::size_t k = 1; k < run.force.size(); ++k) CHECK(run.force[k].time > run.force[k - 1].time);
    CHECK(cases::logged_problem(c, run).force.size() == run.force.size());
  }
  cases::ErrorList errors;
  const cases::LoggedRun without = cases::logged_run(c, log, errors);
  CHECK(without.force.empty());
  CHECK(without.remarks.at(0).find("no force") != std::string::npos);
}

// Flat pulses, 12 on and 2 off: effective = mean / sqrt(12 / 14), by definition.
TEST_CASE("a mean current drives by its effective value") {
  cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  cases::PressLog log = rising(0.0);
  log.columns[0].mean = true;
  cases::ErrorList errors;
  cases::logged_run(c, log, errors);
  REQUIRE(errors.size() == 1);
  CHECK(first_of(errors).find("mean current") != std::string::npos);
  c.press.pulse = cases::CasePulse{12.0, 2.0, {}, {}};
  c.programme.pulses = true;
  cases::ErrorList none;
  const cases::LoggedRun run = cases::logged_run(c, log, none);
  REQUIRE(none.empty());
  CHECK(heat_of(run.segments, 600.0) == relative(heat_of(log, 600.0) * 14.0 / 12.0, 1e-9));
}

TEST_CASE("what is compared, by what it is good for; what is not used; what is refused") {
  cases::Case c = cases::read_case(shipped / "graphite-column.yaml");
  c.sensors[0].noise = 0.3;
  cases::PressLog log = rising(0.0);
  log.columns[1].digit = 1.0;
  cases::LoggedColumn stroke = column(Logged::stroke), stranger = column(Logged::reading, "T7"),
                      voltage = column(Logged::voltage);
  for (std::size_t i = 0; i < log.time.size(); ++i) {
    stroke.values.push_back(i < 3 ? std::numeric_limits<double>::quiet_NaN()
                                  : 0.002 + 1e-6 * static_cast<double>(i));
    stranger.values.push_back(400.0);
    voltage.values.push_back(3.0);
  }
  voltage.digit = 0.01;
  log.columns.insert(log.columns.end(), {stroke, stranger, voltage});
  cases::ErrorList errors;
  const cases::LoggedRun run = cases::logged_run(c, log, errors);
  REQUIRE(errors.empty());
  REQUIRE(run.compared.size() == 3);
  CHECK(run.compared[0].sensor == 0);
  CHECK(run.compared[0].deviation == relative(std::sqrt(0.09 + 1.0 / 12.0), 1e-12));  // even within a digit
  // 0.3 % of 3 V (meters of the press) and a digit of 10 mV
  CHECK(run.compared[2].deviation == relative(std::hypot(0.009, 0.01 / std::sqrt(12.0)), 1e-12));
  CHECK(run.log.columns[2].values[3] == 0.0);
  CHECK(run.log.columns[2].values[13] == relative(1e-5, 1e-9));
  CHECK(run.unused == std::vector<std::string>{"T7"});
  cases::PressLog no_sensor = rising(0.0);
  no_sensor.columns[1].sensor = "T7";
  cases::PressLog no_current = rising(0.0);
  no_current.columns.erase(no_current.columns.begin());
  cases::PressLog no_heat = rising(0.0);
  for (double& amperes : no_heat.columns[0].values) amperes = 0.0;
  for (const cases::PressLog& bad : {no_sensor, no_current, no_heat}) {
    cases::ErrorList refused;
    cases::logged_run(c, bad, refused);
    CHECK(refused.size() == 1);
  }
}
