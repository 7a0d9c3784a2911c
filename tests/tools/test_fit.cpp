// What logs teach: noisy twins of the same model over many seeds, twins of another model, a melt event and
// its trap, values far off and missing, what is asked twice, a calibrated case and its page.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/march.hpp"
#include "solver/noise.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tools/html/fit_page.hpp"
#include "tools/html/word_list.hpp"
#include "tools/store/files.hpp"
#include "tools/study/fit_study.hpp"
#include "tools/study/programme_runs.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using cases::Logged;
using solver::normal_deviate;
using test::Folder;
using test::relative;
namespace fs = std::filesystem;

namespace {

const fs::path shipped = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";

/// A rod between two blocks with a couple in it: seconds of computing are hundreds of runs.
const char* const small = R"(format: 1
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

cases::Case small_case(const Folder& folder) {
  return cases::read_case(folder.write("small.yaml", small));
}

/// What the press would have logged of a case, each value every `every` seconds.
cases::PressLog log_of(const cases::Case& truth, double every, std::uint64_t seed) {
  solver::Problem problem = cases::build_problem(truth);
  problem.strength.wanted = false;
  cases::PressLog log;
  log.file = "twin.csv";
  const auto column = [&](Logged what, std::string sensor, double digit) {
    cases::LoggedColumn c;
    c.heading = sensor.empty() ? "column" : sensor;
    c.what = what;
    c.sensor = std::move(sensor);
    c.digit = digit;
    log.columns.push_back(std::move(c));
  };
  column(Logged::current, "", 0.0);
  column(Logged::voltage, "", 0.0);
  for (const cases::CaseSensor& sensor : truth.sensors) column(Logged::reading, sensor.name, 0.0);
  solver::Observers observers;
  observers.sample_every = every;
  observers.sample = [&](const solver::HistoryRow& row) {
    if (!log.time.empty() && !(row.time_s > log.time.back())) return;
    const auto n = static_cast<std::uint64_t>(log.time.size());
    log.time.push_back(row.time_s);
    log.columns[0].values.push_back(row.current_A);
    log.columns[1].values.push_back(row.voltage_V * (1.0 + 0.003 * normal_deviate(seed, 2, n)));
    for (std::size_t k = 0; k < truth.sensors.size(); ++k)
      log.columns[2 + k].values.push_back(row.sensors[k].reading_K +
                                          truth.sensors[k].noise * normal_deviate(seed, 3 + k, n));
  };
  const solver::RunResult result = solver::run(problem, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  return log;
}

tools::FitRuns runs_of(const cases::Case& c, cases::PressLog log, double accuracy) {
  cases::ErrorList errors;
  std::vector<cases::LoggedRun> logs{cases::logged_run(c, std::move(log), errors)};
  errors.throw_if_any();
  return tools::FitRuns(c, shipped, std::move(logs), accuracy, 0, {});
}

/// The case with its inputs at scores.
cases::Case at_scores(const tools::FitRuns& runs, const inverse::Point& scores) {
  cases::ErrorList errors;
  cases::Case c = cases::read_case(runs.document_at(scores), shipped, errors);
  errors.throw_if_any();
  return c;
}

}  // namespace

TEST_CASE("slow: noisy twins of the same model, a hundred seeds: intervals hold what is behind the log") {
  const Folder folder("fit-twins");
  const cases::Case c = small_case(folder);
  const tools::FitRuns centre = runs_of(c, log_of(c, 5.0, 0), 2.0);
  const std::size_t n = centre.inputs().size();
  std::vector<int> inside(n, 0);
  std::vector<std::vector<double>> errors(n), widths(n);
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    inverse::Point truth;
    for (std::size_t k = 0; k < n; ++k) truth.push_back(std::clamp(normal_deviate(seed, 9, k), -2.5, 2.5));
    cases::Case behind = at_scores(centre, truth);
    const tools::FitRuns runs = runs_of(c, log_of(behind, 5.0, seed), 2.0);
    const inverse::Learned learned = inverse::learn(runs.problem());
    REQUIRE(learned.end != inverse::Learned::End::none);
    for (std::size_t k = 0; k < n; ++k) {
      const double half = 1.96 * std::sqrt(learned.covariance(static_cast<int>(k), static_cast<int>(k)));
      const double error = learned.scores[k] - truth[k];
      inside[k] += std::abs(error) <= half ? 1 : 0;
      errors[k].push_back(error);
      widths[k].push_back(half);
    }
  }
  for (std::size_t k = 0; k < n; ++k) {
    double square = 0.0;
    for (const double e : errors[k]) square += e * e;
    const double scatter = 1.96 * std::sqrt(square / 100.0);
    std::nth_element(widths[k].begin(), widths[k].begin() + 50, widths[k].end());
    MESSAGE(centre.inputs()[k].name << ": " << inside[k] << " of 100, half width " << widths[k][50]
                                    << ", 1.96 scatter " << scatter);
    CHECK(inside[k] >= 89);
    CHECK(widths[k][50] <= 1.5 * scatter);
  }
}
