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
#include "solver/inverse/covariance.hpp"
#include "solver/inverse/programme_search.hpp"
#include "solver/inverse/robust.hpp"
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

namespace {

/// Standard scores that a seed draws, none of them far out.
inverse::Point drawn(std::size_t n, std::uint64_t seed) {
  inverse::Point scores;
  for (std::size_t k = 0; k < n; ++k) scores.push_back(std::clamp(normal_deviate(seed, 9, k), -2.5, 2.5));
  return scores;
}

struct Twins {
  std::vector<int> inside;
  std::vector<std::vector<double>> errors, widths;
};

}  // namespace

TEST_CASE("slow: noisy twins of the same model, a hundred seeds: intervals hold what is behind the log") {
  const Folder folder("fit-twins");
  const cases::Case c = small_case(folder);
  const tools::FitRuns centre = runs_of(c, log_of(c, 5.0, 0), 2.0);
  const std::size_t n = centre.inputs().size();
  Twins twins{std::vector<int>(n, 0), std::vector<std::vector<double>>(n),
              std::vector<std::vector<double>>(n)};
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const inverse::Point truth = drawn(n, seed);
    const tools::FitRuns runs = runs_of(c, log_of(at_scores(centre, truth), 5.0, seed), 2.0);
    const inverse::Learned learned = inverse::learn(runs.problem(0.0));
    REQUIRE(learned.end != inverse::Learned::End::none);
    for (std::size_t k = 0; k < n; ++k) {
      const double half = 1.96 * std::sqrt(learned.covariance(static_cast<int>(k), static_cast<int>(k)));
      const double error = learned.scores[k] - truth[k];
      twins.inside[k] += std::abs(error) <= half ? 1 : 0;
      twins.errors[k].push_back(error);
      twins.widths[k].push_back(half);
    }
  }
  for (std::size_t k = 0; k < n; ++k) {
    double square = 0.0;
    for (const double e : twins.errors[k]) square += e * e;
    const double scatter = 1.96 * std::sqrt(square / 100.0), half = inverse::median_of(twins.widths[k]);
    MESSAGE(centre.inputs()[k].name << ": " << twins.inside[k] << " of 100, half width " << half
                                    << ", 1.96 scatter " << scatter);
    CHECK(twins.inside[k] >= 89);
    CHECK(half <= 1.5 * scatter);
  }
}

// The logs come from another model: graphite with curves of another shape, a finer grid with other fluxes,
// walls that see the chamber alone.  No score makes them the same; what counts is the temperature of the
// powder.
TEST_CASE("slow: twins of another model, a hundred seeds: the range holds the temperature of the powder") {
  const Folder folder("fit-others");
  folder.write("workshop-graphite.yaml", tools::read_whole(shipped / "logs" / "workshop-graphite.yaml"));
  const std::string head =
      "format: 1\ntitle: a small stack\npress: {name: bench, meters: {current: effective, voltage: "
      "effective, every: 5 s, noise: 0.3 %}, column ends: {film: 900 W/m2K, water: 20 degC}}\n";
  const auto stack = [&](const std::string& graphite, const std::string& walls, const std::string& numerics) {
    return head +
           fmt::format(
               "column:\n"
               "  - {{name: lower punch, material: {0}, diameter: 20 mm, height: 25 mm}}\n"
               "  - {{name: powder, powder: alumina, diameter: 20 mm, mass: 6 g, densification: off}}\n"
               "  - {{name: upper punch, material: {0}, diameter: 20 mm, height: 25 mm}}\n"
               "sleeves:\n"
               "  - {{name: die, material: {0}, inner diameter: 20.4 mm, outer diameter: 50 mm, height: 36 "
               "mm, centre "
               "on: powder}}\n"
               "foils: [{{along: bore of die, thickness: 0.2 mm}}]\n"
               "surroundings: {{chamber: 25 degC, walls see: {1}}}\n"
               "sensors: [{{name: couple, kind: thermocouple, in: die, depth: 8 mm, noise: 0.5 K}}]\n"
               "programme:\n"
               "  current: [{{ramp to: 1500 A, in: 60 s}}, {{hold: 180 s, name: soak}}, {{cool: free, for: "
               "60 s}}]\n"
               "numerics: {{{2}}}\n",
               graphite, walls, numerics);
  };
  const cases::Case c = cases::read_case(
      folder.write("asked.yaml", stack("isotropic graphite", "each other", "accuracy: 2 K")));
  const cases::Case other =
      cases::read_case(folder.write("behind.yaml", stack("workshop graphite", "chamber only",
                                                         "accuracy: 2 K, fluxes: two-point, refinement: 2")));
  const tools::FitRuns behind = runs_of(other, log_of(other, 5.0, 0), 2.0);
  int inside = 0;
  std::vector<double> errors, widths;
  for (std::uint64_t seed = 1; seed <= 100; ++seed) {
    const cases::Case truth = at_scores(behind, drawn(behind.inputs().size(), seed));
    const cases::PressLog log = log_of(truth, 5.0, seed);
    const tools::FitRuns runs = runs_of(c, log, 2.0);
    const inverse::LearnProblem problem = runs.problem(tools::usual_model_error);
    const inverse::Learned learned = inverse::learn(problem);
    REQUIRE(learned.end != inverse::Learned::End::none);
    // The mean of the powder over the hottest spell, of the model behind the log.
    const solver::RunResult result = solver::run(cases::build_problem(truth));
    const tools::HotSpell hot = *runs.hot(0);
    std::vector<double> times, means;
    for (const solver::HistoryRow& row : result.rows)
      times.push_back(row.time_s), means.push_back(row.powder->mean_K);
    const double met = inverse::mean_over(times, means, hot.from_s, hot.to_s);
    std::size_t at = 0;
    for (const tools::FitSeries& series : runs.series()) at += series.values.size();
    std::vector<double> slope;
    for (int k = 0; k < problem.unknowns; ++k) slope.push_back(learned.slope(static_cast<int>(at), k));
    const double half =
        1.96 * std::hypot(inverse::deviation_of(learned.covariance, slope), runs.missed(learned.after, 0));
    inside += std::abs(learned.after[at] - met) <= half ? 1 : 0;
    errors.push_back(std::abs(learned.after[at] - met));
    widths.push_back(half);
    if (seed % 10 == 0) MESSAGE(inside << " of " << seed);
  }
  MESSAGE("powder within its range in " << inside << " of 100; median error " << inverse::median_of(errors)
                                        << " K, median half width " << inverse::median_of(widths) << " K");
  CHECK(inside >= 90);
}

TEST_CASE("full: a log of a rod teaches what it can, values far off and gaps or not") {
  const Folder folder("fit-rod");
  const cases::Case c = small_case(folder);
  const tools::FitRuns centre = runs_of(c, log_of(c, 5.0, 0), 2.0);
  const auto index_of = [&](const std::string& name) {
    for (std::size_t k = 0; k < centre.inputs().size(); ++k)
      if (centre.inputs()[k].name == name) return static_cast<int>(k);
    FAIL("no input ", name);
    return -1;
  };
  const int film = index_of("film of column ends"), resistivity = index_of("graphite resistivity");
  inverse::Point truth(centre.inputs().size(), 0.0);
  truth[static_cast<std::size_t>(film)] = 1.2;
  truth[static_cast<std::size_t>(resistivity)] = -0.9;
  cases::PressLog log = log_of(at_scores(centre, truth), 5.0, 5);
  cases::PressLog spoilt = log;
  for (std::size_t i = 4; i < spoilt.time.size(); i += 15) spoilt.columns[2].values[i] += 300.0;
  for (std::size_t i = 7; i < spoilt.time.size(); i += 11)
    spoilt.columns[2].values[i] = std::numeric_limits<double>::quiet_NaN();
  for (const cases::PressLog& with : {log, spoilt}) {
    const tools::FitRuns runs = runs_of(c, with, 2.0);
    const inverse::Learned learned = inverse::learn(runs.problem(0.0));
    for (const int k : {film, resistivity}) {
      const double deviation = std::sqrt(learned.covariance(k, k));
      INFO(centre.inputs()[static_cast<std::size_t>(k)].name
           << ": " << learned.scores[static_cast<std::size_t>(k)] << " +- " << deviation);
      CHECK(deviation < 0.5);
      CHECK(std::abs(learned.scores[static_cast<std::size_t>(k)] - truth[static_cast<std::size_t>(k)]) <
            3.0 * deviation);
    }
  }
}

// Slopes are central differences of whole runs: against a run with a tenth of the step.
TEST_CASE("full: slopes by the inputs are those of finer differences") {
  const Folder folder("fit-slopes");
  cases::Case c = small_case(folder);
  c.accuracy = 0.2;
  const tools::FitRuns runs = runs_of(c, log_of(c, 20.0, 1), 0.2);
  inverse::LearnRules rules;
  rules.several_starts = false;
  const inverse::LearnProblem problem = runs.problem(0.0);
  const inverse::Learned learned = inverse::learn(problem, rules);
  int compared = 0;
  for (int k = 0; k < problem.unknowns; ++k) {
    if (std::sqrt(learned.covariance(k, k)) > 0.5) continue;
    const double step = 0.02;
    std::vector<inverse::Point> points(2, learned.scores);
    points[0][static_cast<std::size_t>(k)] += step;
    points[1][static_cast<std::size_t>(k)] -= step;
    const auto answers = problem.misfit(points);
    double size = 0.0, off = 0.0;
    for (std::size_t i = 0; i < answers[0].size(); ++i) {
      const double fine = (answers[0][i] - answers[1][i]) / (2.0 * step);
      size += fine * fine;
      off += std::pow(learned.slope(static_cast<int>(i), k) - fine, 2);
    }
    INFO(runs.inputs()[static_cast<std::size_t>(k)].name);
    CHECK(std::sqrt(off / size) < 0.03);
    ++compared;
  }
  CHECK(compared >= 2);
}

namespace {

/// A log as the press writes it, of a case as it stands.
fs::path log_file(const Folder& folder, const std::string& name, const fs::path& case_file) {
  tools::RunOptions options{case_file, folder.path / (name + "-run"), true};
  options.log = folder.path / (name + ".csv");
  REQUIRE(tools::run_case(options) == tools::done);
  return options.log;
}

tools::FitOptions asked(const fs::path& case_file, const fs::path& log, const fs::path& folder) {
  tools::FitOptions options;
  options.case_file = case_file;
  options.folder = folder;
  options.quiet = true;
  options.request.logs = {log};
  return options;
}

}  // namespace

TEST_CASE("full: fit writes a calibrated case that other verbs take, once a question") {
  const Folder folder("fit-verb");
  const fs::path case_file = folder.write("small.yaml", small);
  const fs::path log = log_file(folder, "bench", case_file);
  tools::FitOptions options = asked(case_file, log, folder.path / "out");
  REQUIRE(tools::fit_case(options) == tools::done);
  const auto json = nlohmann::json::parse(tools::read_whole(folder.path / "out" / "fit.json"));
  CHECK(json["schema"] == "joulepress.fit/1");
  CHECK(json["settled"] == true);
  CHECK(json["logs"][0]["sha256"] == tools::sha256(tools::read_whole(log)));
  CHECK(json["inputs"][0]["left"].get<double>() < 0.3);
  // Its own model is behind it, which a fit does not know.
  const auto& heated = json["columns"][0]["heated"];
  CHECK(heated["rms"].get<double>() < 0.5 * heated["deviation"].get<double>());

  const cases::Case calibrated = cases::read_case(folder.path / "out" / "calibrated_case.yaml");
  REQUIRE(calibrated.calibration);
  CHECK(calibrated.calibration->logs.at(0).file == "bench.csv");
  const auto inputs = cases::uncertain_inputs(calibrated, cases::resolved_document(calibrated));
  CHECK(std::any_of(inputs.begin(), inputs.end(),
                    [](const auto& input) { return input.name.starts_with("calibrated:"); }));

  CHECK(tools::fit_case(options) == tools::done);  // the same question: nothing is done again
  tools::FitOptions again = asked(folder.path / "out" / "calibrated_case.yaml", log, folder.path / "again");
  CHECK(tools::fit_case(again) == tools::bad_input);  // the log would count twice
  CHECK_FALSE(fs::exists(folder.path / "again"));
  const fs::path other = folder.write("other.yaml", std::string(small) + "start temperature: 24 degC\n");
  options.case_file = other;
  CHECK(tools::fit_case(options) == tools::bad_input);  // the folder answers another question
}

namespace {

/// Two references to what melts in the powder: one right, one forgetting the carbon.
tools::FitRuns with_melt(const Folder& folder, const std::string& what) {
  const fs::path case_file = folder.write(what + ".yaml", fmt::format(R"(format: 1
title: a disc that melts
press: {{name: bench, meters: {{current: effective, voltage: effective, every: 5 s, noise: 0.3 %}}, column ends: {{film: 900 W/m2K, water: 20 degC}}}}
column:
  - {{name: lower punch, material: isotropic graphite, diameter: 20 mm, height: 25 mm}}
  - {{name: powder, powder: alumina, diameter: 20 mm, mass: 6 g, densification: off}}
  - {{name: upper punch, material: isotropic graphite, diameter: 20 mm, height: 25 mm}}
sleeves:
  - {{name: die, material: isotropic graphite, inner diameter: 20.4 mm, outer diameter: 50 mm, height: 36 mm, centre on: powder}}
foils: [{{along: bore of die, thickness: 0.2 mm}}]
sensors: [{{name: couple, kind: thermocouple, in: die, depth: 8 mm, noise: 0.5 K}}]
programme:
  current: [{{ramp to: 1900 A, in: 60 s}}, {{hold: 240 s, name: soak}}]
numerics: {{accuracy: 2 K}}
)"));
  const cases::Case c = cases::read_case(case_file);
  log_file(folder, what, case_file);
  // When the powder's centre passes the eutectic of nickel and carbon in the run behind the log.
  const solver::RunResult result = solver::run(cases::build_problem(c));
  double moment = 0.0;
  for (const solver::HistoryRow& row : result.rows)
    if (moment == 0.0 && row.powder->centre_K >= 1329.0 + 273.15) moment = row.time_s;
  REQUIRE(moment > 0.0);
  folder.write(what + "-map.yaml",
               fmt::format("format: 1\nevents: [{{melts: {}, at: {} s}}]\n", what, moment));
  cases::ErrorList errors;
  std::vector<cases::LoggedRun> logs{cases::logged_run(
      c, cases::read_press_log(folder.path / (what + ".csv"), folder.path / (what + "-map.yaml")), errors)};
  errors.throw_if_any();
  return tools::FitRuns(c, shipped, std::move(logs), 2.0, 0, {});
}

}  // namespace

// Ni-C 1329 degC, Ni 1455 degC (Machin 2013, Metrologia; Bedford 1996, Metrologia 33:133, from memory): the
// pure metal's point for a disc in graphite would put the powder 126 K too high.
TEST_CASE("full: a disc that melts narrows the powder, the pure metal's point in graphite is warned of") {
  const Folder folder("fit-melts");
  const tools::FitRuns right = with_melt(folder, "nickel-carbon"), wrong = with_melt(folder, "nickel");
  const auto warned = [](const tools::FitRuns& runs) {
    const auto& remarks = runs.logs()[0].log.remarks;
    return std::any_of(remarks.begin(), remarks.end(),
                       [](const std::string& remark) { return remark.find("126 K") != std::string::npos; });
  };
  CHECK_FALSE(warned(right));
  CHECK(warned(wrong));
  const inverse::LearnProblem problem = right.problem(0.0);
  const inverse::Learned learned = inverse::learn(problem);
  std::size_t first = 0, melt = 0;
  for (const tools::FitSeries& series : right.series()) {
    if (series.melt >= 0) melt = first;
    first += series.values.size();
  }
  CHECK(std::abs(learned.after[melt]) < 6.0);
  std::vector<double> slope;
  for (int k = 0; k < problem.unknowns; ++k) slope.push_back(learned.slope(static_cast<int>(first), k));
  CHECK(1.96 * inverse::deviation_of(learned.covariance, slope) < 25.0);
}

TEST_CASE("all that the page of a fit says has a German text") {
  for (const tools::html::WordEntry& entry : tools::html::words_of_fit()) {
    CHECK_FALSE(entry.german.empty());
    CHECK(std::count(entry.english.begin(), entry.english.end(), '{') ==
          std::count(entry.german.begin(), entry.german.end(), '{'));
  }
}
