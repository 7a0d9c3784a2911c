// `bound` from made-up summaries whose answers are known: shares of a linear model, quantiles of the normal
// distribution, the interval of three levels, and what is left out.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <nlohmann/json.hpp>

#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/inverse/pick_freeze.hpp"
#include "solver/inverse/sampling.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tools/store/files.hpp"
#include "tools/study/bound_study.hpp"

using namespace joulepress;
using test::Folder;
using test::relative;
using tools::BoundPlan;
using tools::BoundStudy;
using tools::Finished;
using tools::Outcome;
namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

namespace {

/// Offset of a sample by the scores of its inputs.
using Model = std::function<double(const std::vector<double>&)>;

double linear(const std::vector<double>& z) {
  return 100 + 3 * z[0] - 4 * z[1];
}

Json summary(double cells, double offset) {
  return {{"schema", "joulepress.summary/1"},
          {"cells", cells},
          {"peak", {{"current_A", 1500.0}}},
          {"end", {{"time_s", 1395.0}}},
          {"holds", {{{"name", "sinter"}, {"offset_mean_K", offset}, {"power_W", 5000.0}}}}};
}

/// A study of so many samples and three inputs, the last of no effect; levels of order 2 about 100 K.
struct Made {
  Folder folder{"bound"};
  BoundPlan plan;
  tools::CrewResult result;

  explicit Made(int samples, const Model& model = linear, std::uint64_t seed = 1) {
    plan.title = "made up";
    plan.request = {.samples = samples, .seed = seed};
    plan.own = 2;
    plan.choices = {{"walls", "walls see each other", "walls see the chamber only", {}},
                    {"stem", "the stem leads off heat", "it does not", {}}};
    for (const char* name : {"first", "second", "third"})
      plan.inputs.push_back({name, "factor 2", "made up", {}});
    plan.shares = inverse::sobol_points(samples, 3, seed);
    plan.not_included = {"pulses"};
    for (int k = 0; k < 3; ++k) {
      // h = 1 / root of the cells: 0.0125, 0.025 and 0.05; f = 100 + 400 h^2.
      const double h = 0.0125 * (1 << k);
      add(fmt::format("level-{}", k + 1), summary(1 / (h * h), 100 + 400 * h * h));
    }
    add("choice-walls", summary(400, 101 + 54.5));
    add("choice-stem", summary(400, 101 - 19.5));
    for (int row = 0; row < samples; ++row) {
      std::vector<double> z;
      for (int column = 0; column < 3; ++column)
        z.push_back(inverse::standard_score(plan.shares(row, column)));
      add(fmt::format("sample-{:04}", row + 1), summary(400, model(z)));
    }
  }

  void add(const std::string& id, const Json& json) {
    plan.members.push_back({id, id, "text"});
    const fs::path home = folder.path / id;
    fs::create_directories(home);
    tools::write_whole(home / "summary.json", json.dump());
    result.members.push_back(Finished{Outcome::completed, {}, home});
  }
  void leave_out(const std::string& id, Outcome outcome, const std::string& reason) {
    for (std::size_t k = 0; k < plan.members.size(); ++k)
      if (plan.members[k].id == id) result.members[k] = Finished{outcome, reason, folder.path / id};
  }
  BoundStudy study() const { return tools::bound_study(plan, result); }
};

const tools::RankedInput& ranked(const BoundStudy& study, int input) {
  for (const tools::RankedInput& one : study.holds.at(0).ranking)
    if (one.input == input) return one;
  FAIL("not ranked: " << input);
  return study.holds[0].ranking[0];
}

}  // namespace

TEST_CASE("bound: a linear model gives the shares 9/25 and 16/25, and its own slopes") {
  // Var(3 z1 - 4 z2) = 9 + 16; the third input is left out.
  const Made made(256);
  const BoundStudy study = made.study();
  CHECK(study.complete);
  CHECK(study.samples_used == 256);
  REQUIRE(study.holds.size() == 1);
  const auto& hold = study.holds[0];
  REQUIRE(hold.ranking.size() == 2);
  CHECK(hold.ranking[0].input == 1);
  CHECK(std::abs(ranked(study, 0).index.first - 9.0 / 25) < 0.01);
  CHECK(std::abs(ranked(study, 1).index.first - 16.0 / 25) < 0.01);
  CHECK(std::abs(ranked(study, 1).index.total - 16.0 / 25) < 0.01);
  CHECK(std::abs(ranked(study, 0).linear_share - 9.0 / 25) < 0.02);
  CHECK(std::abs(ranked(study, 0).slope - 3) < 0.01);
  CHECK(std::abs(ranked(study, 1).slope + 4) < 0.01);
  CHECK(hold.q2 > 0.999);
  CHECK(hold.linear_r2.value_or(0) > 0.999);
}

TEST_CASE("bound: quantiles are those of the normal distribution, and their intervals hold them") {
  const Made made(512);
  const BoundStudy study = made.study();
  const auto* offset = tools::offset_of(study.holds.at(0));
  REQUIRE(offset);
  CHECK(offset->value == 101.0);
  REQUIRE(offset->quantiles.size() == 3);
  const double end = 1.959964 * 5;  // tables of the normal distribution; deviation 5
  const std::array truth{100 - end, 100.0, 100 + end};
  for (std::size_t k = 0; k < 3; ++k) {
    CHECK(std::abs(offset->quantiles[k].value - truth[k]) < 0.5);
    CHECK(offset->quantiles[k].low <= truth[k]);
    CHECK(offset->quantiles[k].high >= truth[k]);
  }
  REQUIRE(offset->moments);
  CHECK(std::abs(offset->moments->mean - 100) < 0.05);
  CHECK(std::abs(offset->moments->standard_deviation - 5) < 0.1);
}

TEST_CASE("bound: the numerical interval is that of three levels about the case's own") {
  Made made(16);
  for (const int own : {2, 0}) {
    made.plan.own = own;
    const BoundStudy study = made.study();
    const auto* offset = tools::offset_of(study.holds.at(0));
    REQUIRE(offset);
    REQUIRE(offset->numerical);
    CHECK(offset->numerical->order == relative(2.0, 1e-9));
    CHECK(offset->numerical->extrapolated == relative(100.0, 1e-9));
    CHECK(offset->numerical->half_width == relative(1.25 * std::abs(offset->value - 100), 1e-6));
    CHECK(offset->value == relative(own == 2 ? 101.0 : 100.0625));
  }
}

TEST_CASE("bound: what a choice is worth is the other less the taken one") {
  Made made(16);
  made.leave_out("choice-stem", Outcome::failed, "no step, however small");
  const BoundStudy study = made.study();
  const auto& choices = study.holds.at(0).choices;
  REQUIRE(choices.size() == 2);
  CHECK(choices[0].difference.value_or(0) == relative(54.5));
  CHECK(choices[0].taken == "walls see each other");
  CHECK(!choices[1].difference);
  CHECK(choices[1].reason == "no step, however small");
  REQUIRE(study.left_out.size() == 1);
  CHECK(study.left_out[0].id == "choice-stem");
  CHECK(tools::bound_screen(study).find("walls see each other -> walls see the chamber only: +54.5 K") !=
        std::string::npos);
}

TEST_CASE("bound: no uncertainty gives none") {
  const Made made(32, [](const std::vector<double>&) { return 101.0; });
  const BoundStudy study = made.study();
  const auto* offset = tools::offset_of(study.holds.at(0));
  REQUIRE(offset);
  REQUIRE(offset->quantiles.size() == 3);
  for (const auto& quantile : offset->quantiles) {
    CHECK(quantile.value == 101.0);
    CHECK(quantile.low == 101.0);
    CHECK(quantile.high == 101.0);
  }
  CHECK(offset->moments->standard_deviation == 0.0);
  CHECK(study.holds[0].ranking.empty());
  for (const std::string& text : {tools::bound_screen(study), tools::bound_json(study)})
    CHECK(text.find("nan") == std::string::npos);
}

TEST_CASE("bound: the same seed gives the same bits, another seed another sample") {
  const auto text = [](std::uint64_t seed) {
    const Made made(64, linear, seed);
    return tools::bound_json(made.study()) + tools::samples_csv(made.plan, made.result);
  };
  const std::string once = text(1);
  CHECK(text(1) == once);
  CHECK(text(2) != once);
}

TEST_CASE("bound: samples that failed or were refused are left out, and named") {
  Made made(64);
  const BoundStudy whole = made.study();
  made.leave_out("sample-0003", Outcome::failed, "no step, however small");
  made.leave_out("sample-0007", Outcome::refused, "the bore ends outside");
  made.leave_out("sample-0011", Outcome::stopped, "current above 2 kA");
  const BoundStudy study = made.study();
  CHECK(study.samples_used == 61);
  REQUIRE(study.left_out.size() == 3);
  CHECK(study.left_out[1].id == "sample-0007");
  CHECK(study.left_out[1].reason == "the bore ends outside");
  CHECK(study.complete);
  CHECK(std::abs(ranked(study, 1).index.first - 16.0 / 25) < 0.05);
  CHECK(ranked(study, 1).index.first != ranked(whole, 1).index.first);
  const std::string screen = tools::bound_screen(study);
  CHECK(screen.find("61 of 64 samples are behind these ranges; left out:") != std::string::npos);
  CHECK(screen.find("sample-0011: current above 2 kA") != std::string::npos);
  // The row stays, without numbers.
  const std::string csv = tools::samples_csv(made.plan, made.result);
  CHECK(std::count(csv.begin(), csv.end(), '\n') == 65);
  CHECK(csv.find("sample-0003") != std::string::npos);
}

TEST_CASE("bound: what cannot be said is said so") {
  SUBCASE("a level that failed") {
    Made made(16);
    made.leave_out("level-1", Outcome::failed, "too fine");
    const BoundStudy study = made.study();
    CHECK(study.holds.empty());
    REQUIRE(study.problems.size() == 1);
    CHECK(study.problems[0].find("three accuracies has not come to its end") != std::string::npos);
  }
  SUBCASE("too few samples") {
    const BoundStudy study = Made(7).study();
    CHECK(tools::offset_of(study.holds.at(0))->quantiles.empty());
    CHECK(study.holds[0].ranking.empty());
    REQUIRE(study.problems.size() == 1);
    CHECK(study.problems[0] == "7 samples came to their end; quantiles need at least 8.");
  }
  SUBCASE("a sample without the number") {
    const Made made(16, [](const std::vector<double>& z) { return z[0] > 1 ? std::nan("") : z[0]; });
    const BoundStudy study = made.study();
    const auto* offset = tools::offset_of(study.holds.at(0));
    CHECK(offset->quantiles.empty());
    CHECK(study.holds[0].ranking.empty());
    CHECK(offset->value == 101.0);
  }
  SUBCASE("not all have ended") {
    Made made(16);
    made.result.members.back().reset();
    CHECK(!made.study().complete);
  }
}

TEST_CASE("bound: bound.json and samples.csv hold the numbers of the study") {
  const Made made(16);
  const BoundStudy study = made.study();
  const Json json = Json::parse(tools::bound_json(study));
  CHECK(json["schema"] == "joulepress.bound/1");
  CHECK(json["complete"] == true);
  CHECK(json["samples"] == 16);
  CHECK(json["seed"] == 1);
  CHECK(json["not_included"][0] == "pulses");
  const Json& offset = json["holds"][0]["values"][0];
  CHECK(offset["name"] == "offset");
  CHECK(offset["value"] == 101.0);
  CHECK(offset["numerical"]["half_width"].get<double>() == relative(1.25, 1e-6));
  CHECK(offset["quantiles"][0]["share"] == 0.025);
  CHECK(json["holds"][0]["choices"][0]["offset_difference_K"].get<double>() == relative(54.5));
  const std::string csv = tools::samples_csv(made.plan, made.result);
  CHECK(
      csv.starts_with("id,first [sigma],second [sigma],third [sigma],peak.current_A,end.time_s,"
                      "holds[sinter].offset_mean_K,holds[sinter].power_W\nsample-0001,"));
}

TEST_CASE("bound: the plan of a case: levels, choices, samples, in this order, all of them cases") {
  const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";
  cases::Case c = cases::read_case(folder / "alumina-20mm.yaml");
  const BoundPlan plan = tools::bound_plan(c, folder, {.samples = 4});
  REQUIRE(plan.members.size() == 3 + plan.choices.size() + 4);
  CHECK(plan.own == 2);
  CHECK(plan.accuracies[0] == relative(0.01));  // 0.1 K is the case's own
  CHECK(plan.accuracies[1] == relative(0.1 / std::sqrt(10.0)));
  CHECK(plan.accuracies[2] == 0.1);
  CHECK(plan.members[0].id == "level-1");
  CHECK(plan.members[3].id == "choice-densification");
  CHECK(plan.members.back().id == "sample-0004");
  for (const tools::Member& member : plan.members) CHECK(member.refused == "");
  // The level of the case is the case itself.
  CHECK(cases::read_case(folder / "case.yaml", plan.members[2].case_text).accuracy == c.accuracy);
  // The finest that may be asked for is 0.01 K: below ten times that the case's own is the finest.
  c.accuracy = 0.05;
  const BoundPlan fine = tools::bound_plan(c, folder, {.samples = 1});
  CHECK(fine.own == 0);
  CHECK(fine.accuracies[0] == 0.05);
  CHECK(fine.accuracies[2] == relative(0.5));
}

TEST_CASE("bound: of a calibrated case it says on what, once, and what has no effect here") {
  const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "all_keys";
  const cases::Case c = cases::read_case(folder / "case-calibrated.yaml");
  const BoundPlan plan = tools::bound_plan(c, folder, {.samples = 2});
  for (const tools::Member& member : plan.members) CHECK(member.refused == "");
  CHECK(plan.inputs.back().name.starts_with("calibrated: "));
  Made made(16);
  made.plan.calibrated_on = plan.calibrated_on;
  const std::string screen = tools::bound_screen(made.study());
  const std::string words = "Calibrated on run-12.csv (began 2026-03-02 07:15), run-13.csv.";
  const auto at = screen.find(words);
  CHECK(at != std::string::npos);
  CHECK(screen.find("Calibrated on", at + 1) == std::string::npos);
  CHECK(tools::bound_screen(Made(16).study()).find("alibrated") == std::string::npos);
  const auto idle = [&plan] {
    return std::any_of(plan.not_included.begin(), plan.not_included.end(), [](const std::string& sentence) {
      return sentence.starts_with("Of the calibration, without effect in this case");
    });
  };
  CHECK_FALSE(idle());
  cases::Case with = c;
  with.calibration->inputs[3].values[0].address = "contacts.foil fit";
  const BoundPlan other = tools::bound_plan(with, folder, {.samples = 1});
  CHECK(std::find(other.not_included.begin(), other.not_included.end(),
                  "Of the calibration, without effect in this case: contacts.foil fit.") !=
        other.not_included.end());
}

TEST_CASE("bound: the full design of a linear model, of the inputs that matter") {
  // Alone and in all: 9/25 and 16/25, for nothing is done together.
  Made made(64);
  made.plan.folder = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";
  const cases::Case c = cases::read_case(made.plan.folder / "heated-rod.yaml");
  made.plan.resolved = cases::resolved_document(c);
  BoundStudy study = made.study();
  const tools::IndicesPlan indices = tools::indices_plan(made.plan, study);
  CHECK(indices.inputs == std::vector<int>{1, 0});
  REQUIRE(indices.rows == 32);
  REQUIRE(indices.members.size() == 32 * 4);
  const inverse::Table shares = inverse::pick_freeze_points(32, 2, made.plan.request.seed + 1);
  tools::CrewResult runs;
  for (std::size_t k = 0; k < indices.members.size(); ++k) {
    CHECK(indices.members[k].refused == "");
    const int row = static_cast<int>(k);
    made.add(indices.members[k].id, summary(400, linear({inverse::standard_score(shares(row, 1)),
                                                         inverse::standard_score(shares(row, 0))})));
    runs.members.push_back(made.result.members.back());
  }
  tools::add_indices(indices, runs, study);
  REQUIRE(study.holds[0].full.size() == 2);
  CHECK(study.holds[0].full[0].input == 1);
  CHECK(std::abs(study.holds[0].full[0].index.first - 16.0 / 25) < 0.1);
  CHECK(std::abs(study.holds[0].full[0].index.total - 16.0 / 25) < 0.1);
  CHECK(std::abs(study.holds[0].full[1].index.total - 9.0 / 25) < 0.1);
  CHECK(Json::parse(tools::bound_json(study))["holds"][0]["full_design"].size() == 2);

  // Where hardly any run came to its end there are none, and the failed ones are named.
  BoundStudy failed = made.study();
  for (auto& member : runs.members) member->outcome = Outcome::failed;
  tools::add_indices(indices, runs, failed);
  CHECK(failed.holds[0].full.empty());
  CHECK(failed.left_out.size() == 32 * 4);
  CHECK(failed.problems.size() == 1);
}
