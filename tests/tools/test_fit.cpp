// What logs teach: values far off and missing, slopes, a calibrated case, what is asked twice, a melt event
// and its trap, the page.
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
#include "solver/march.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tests/tools/twin_logs.hpp"
#include "tools/html/fit_page.hpp"
#include "tools/html/word_list.hpp"
#include "tools/store/files.hpp"
#include "tools/study/fit_study.hpp"
#include "tools/study/programme_runs.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using test::at_scores;
using test::Folder;
using test::log_of;
using test::relative;
using test::runs_of;
using test::shipped;
using test::small_case;
using test::small_rod;
namespace fs = std::filesystem;

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
    const inverse::Learned learned = inverse::learn(runs.problem(tools::no_model_error));
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
  const inverse::LearnProblem problem = runs.problem(tools::no_model_error);
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
  const fs::path case_file = folder.write("small.yaml", small_rod);
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

  // The walls of a slender rod see each other little, and what they see is told either way.
  const auto& walls = json["model_choices"][0];
  CHECK(walls["taken"] == "walls see the chamber only");
  CHECK(walls["runs"] == true);
  CHECK(std::abs(walls["ln_likelihood_more"].get<double>()) < 20.0);
  CHECK(walls["share"].get<double>() ==
        relative(1.0 / (1.0 + std::exp(-walls["ln_likelihood_more"].get<double>())), 1e-6));

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
  const fs::path other = folder.write("other.yaml", std::string(small_rod) + "start temperature: 24 degC\n");
  options.case_file = other;
  CHECK(tools::fit_case(options) == tools::bad_input);  // the folder answers another question
}

TEST_CASE("what the model has wrong beyond the logs goes on as an error of the instrument, once") {
  const Folder folder("fit-beyond");
  const cases::Case c = small_case(folder);
  const tools::FitRuns runs = runs_of(c, log_of(c, 5.0, 0), 2.0);
  tools::FitStudy study;
  study.scores.assign(runs.inputs().size(), 0.0);
  for (const cases::UncertainInput& input : runs.inputs())
    if (input.name == "instrument error of couple" || input.name == "film of column ends") {
      const cases::UncertainValue& value = input.values.front();
      study.inputs.push_back(
          {input.name, input.amount, 0.0, 0.5, {{value.address, value.unit, value.spread}}});
    }
  REQUIRE(study.inputs.size() == 2);
  const bool first = study.inputs[0].name == "instrument error of couple";
  const double own = 0.5 * study.inputs[first ? 0 : 1].values[0].before.size;
  study.correlation = inverse::Table(2, 2);
  study.correlation.values = {1.0, 0.6, 0.6, 1.0};
  study.powder.emplace_back().sensor = "couple";
  const auto calibrated = [&] { return *tools::calibrated_case(runs, study).calibration; };
  const auto instrument_of = [&](const cases::Calibration& all) { return all.inputs.at(first ? 0 : 1); };
  // A model that has nothing wrong adds nothing.
  CHECK(instrument_of(calibrated()).values[0].deviation == relative(own, 1e-9));
  CHECK(instrument_of(calibrated()).name == "instrument error of couple");
  study.powder[0].beyond_logs_K = 30.0;
  const cases::Calibration calibration = calibrated();
  const double whole = std::hypot(own, 30.0);
  CHECK(instrument_of(calibration).values[0].deviation == relative(whole, 1e-9));
  CHECK(instrument_of(calibration).left == relative(0.5 * whole / own, 1e-9));
  CHECK(instrument_of(calibration).name == "instrument error of couple and error of the model");
  CHECK(calibration.inputs.at(first ? 1 : 0).left == 0.5);
  // What they have in common stays.
  CHECK(calibration.correlation[1] * whole == relative(0.6 * own, 1e-9));
  CHECK(calibration.correlation[3] == 1.0);
  // A later calibration has it already: the same error of the same model is not there twice.
  tools::FittedInput& again = study.inputs[first ? 0 : 1];
  again.name = instrument_of(calibration).name;
  again.left = 1.0;
  for (const double had : {40.0, 20.0}) {
    again.values[0].before.size = had;
    CHECK(instrument_of(calibrated()).values[0].deviation == relative(std::max(had, 30.0), 1e-9));
    CHECK(instrument_of(calibrated()).name == again.name);
  }
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
  const inverse::Learned learned = inverse::learn(right.problem(tools::no_model_error));
  std::size_t at = 0, melt = 0;
  for (const tools::FitSeries& series : right.series()) {
    if (series.melt >= 0) melt = at;
    at += series.values.size();
  }
  CHECK(std::abs(learned.after[melt]) < 6.0);
  CHECK(1.96 * inverse::deviation_of(learned.covariance, learned.slope.row(right.watched_at(0))) < 25.0);
}

TEST_CASE("a temperature is as unsure as the logs leave it, other models have it and the model is wrong") {
  const Folder folder("fit-unsure");
  const tools::FitRuns runs = with_melt(folder, "copper");
  const cases::LoggedRun& log = runs.logs()[0];
  const auto range_of = [&log](const cases::ComparedColumn& compared) {
    const std::vector<double>& shown = log.log.columns[static_cast<std::size_t>(compared.column)].values;
    const auto [low, high] = std::minmax_element(shown.begin(), shown.end());
    return *high - *low;
  };
  const auto couple = std::find_if(log.compared.begin(), log.compared.end(),
                                   [](const cases::ComparedColumn& c) { return c.sensor == 0; });
  REQUIRE(couple != log.compared.end());
  const auto n = static_cast<int>(runs.inputs().size());
  inverse::Learned learned;
  learned.scores.assign(static_cast<std::size_t>(n), 0.0);
  learned.covariance = inverse::Table(n, n);
  learned.covariance(0, 0) = 0.25;
  const int powder = runs.watched_at(0);
  learned.slope = inverse::Table(powder + 1, n);
  learned.slope(powder, 0) = 40.0;                                   // K by the first score
  learned.after.assign(static_cast<std::size_t>(powder) + 1, -3.0);  // K, all along
  learned.models.push_back({learned.scores, std::vector<double>(learned.after.size(), 9.0), 0.0, 0.5});
  const double wrong = 0.005 * range_of(*couple);
  CHECK(runs.missed(learned.after, 0) == relative(-3.0, 1e-12));
  CHECK(runs.beyond_logs(learned.after, 0) == relative(std::hypot(3.0, wrong), 0.03));  // ends are trimmed
  CHECK(runs.deviation_of(learned, learned.covariance, 0) ==
        relative(std::hypot(20.0, std::sqrt(0.5) * 12.0, runs.beyond_logs(learned.after, 0)), 1e-9));
  // A voltage is taken to be wrong by twice as much of its range as a reading; the very model by nothing.
  const inverse::LearnProblem asked = runs.problem(tools::usual_model_error),
                              same = runs.problem(tools::no_model_error);
  CHECK(same.other_models.empty());
  CHECK_FALSE(asked.other_models.empty());
  for (std::size_t k = 0; k < runs.series().size(); ++k) {
    CHECK(same.series[k].model_deviation == 0.0);
    if (runs.series()[k].melt >= 0) continue;
    const cases::ComparedColumn& compared = log.compared[static_cast<std::size_t>(runs.series()[k].column)];
    const bool voltage =
        log.log.columns[static_cast<std::size_t>(compared.column)].what == cases::Logged::voltage;
    CHECK(asked.series[k].model_deviation == relative((voltage ? 0.010 : 0.005) * range_of(compared), 0.03));
  }
}

TEST_CASE("all that the page of a fit says has a German text") {
  for (const tools::html::WordEntry& entry : tools::html::words_of_fit()) {
    CHECK_FALSE(entry.german.empty());
    CHECK(std::count(entry.english.begin(), entry.english.end(), '{') ==
          std::count(entry.german.begin(), entry.german.end(), '{'));
  }
}
