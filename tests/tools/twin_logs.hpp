// Logs that a press would have made of a case, and what fits ask of them.
#pragma once

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/march.hpp"
#include "solver/noise.hpp"
#include "tests/support/folder.hpp"
#include "tools/study/fit_study.hpp"

namespace joulepress::test {

inline const std::filesystem::path shipped = std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases";

/// A rod between two blocks with a couple in it: seconds of computing are hundreds of runs.
inline const char* const small_rod = R"(format: 1
title: a rod between two blocks
press:
  name: bench
  meters: {current: effective, voltage: effective, every: 5 s, noise: 0.3 %}
  column ends: {film: 900 W/m2K, water: 20 degC}
column:
  - {name: lower block, material: isotropic graphite, diameter: 40 mm, height: 20 mm}
  - {name: rod, material: isotropic graphite, diameter: 14 mm, height: 30 mm}
  - {name: upper block, material: isotropic graphite, diameter: 40 mm, height: 20 mm}
surroundings: {chamber: 25 degC, atmosphere: vacuum, walls see: chamber only}
sensors:
  - {name: couple, kind: thermocouple, in: rod, depth: 5 mm, height: middle, sheath: 1 mm, noise: 0.5 K}
programme:
  current: [{ramp to: 500 A, in: 60 s}, {hold: 240 s, name: soak}, {cool: free, for: 60 s}]
numerics: {accuracy: 2 K, fluxes: two-point}
)";

inline cases::Case small_case(const Folder& folder) {
  return cases::read_case(folder.write("small.yaml", small_rod));
}

/// What the press would have logged of a case, each value every `every` seconds.
inline cases::PressLog log_of(const cases::Case& truth, double every, std::uint64_t seed) {
  solver::Problem problem = cases::build_problem(truth);
  problem.strength.wanted = false;
  cases::PressLog log;
  log.file = "twin.csv";
  const auto column = [&](cases::Logged what, std::string sensor, double digit) {
    cases::LoggedColumn c;
    c.heading = sensor.empty() ? "column" : sensor;
    c.what = what;
    c.sensor = std::move(sensor);
    c.digit = digit;
    log.columns.push_back(std::move(c));
  };
  column(cases::Logged::current, "", 0.0);
  column(cases::Logged::voltage, "", 0.0);
  for (const cases::CaseSensor& sensor : truth.sensors) column(cases::Logged::reading, sensor.name, 0.0);
  solver::Observers observers;
  observers.sample_every = every;
  observers.sample = [&](const solver::HistoryRow& row) {
    if (!log.time.empty() && !(row.time_s > log.time.back())) return;
    const auto n = static_cast<std::uint64_t>(log.time.size());
    log.time.push_back(row.time_s);
    log.columns[0].values.push_back(row.current_A);
    log.columns[1].values.push_back(row.voltage_V * (1.0 + 0.003 * solver::normal_deviate(seed, 2, n)));
    for (std::size_t k = 0; k < truth.sensors.size(); ++k)
      log.columns[2 + k].values.push_back(row.sensors[k].reading_K +
                                          truth.sensors[k].noise * solver::normal_deviate(seed, 3 + k, n));
  };
  const solver::RunResult result = solver::run(problem, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  return log;
}

inline tools::FitRuns runs_of(const cases::Case& c, cases::PressLog log, double accuracy) {
  cases::ErrorList errors;
  std::vector<cases::LoggedRun> logs{cases::logged_run(c, std::move(log), errors)};
  errors.throw_if_any();
  return tools::FitRuns(c, shipped, std::move(logs), accuracy, 0, {});
}

/// The case with its inputs at scores.
inline cases::Case at_scores(const tools::FitRuns& runs, const inverse::Point& scores) {
  cases::ErrorList errors;
  cases::Case c = cases::read_case(runs.document_at(scores), shipped, errors);
  errors.throw_if_any();
  return c;
}

}  // namespace joulepress::test
