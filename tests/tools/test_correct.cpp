// What to enter: found, typed in and run, the powder has what was wished.  The check is a plain run of the
// case that `correct` leaves, by tests of their own on its rows.  Powders that insulate, conduct and
// percolate.
#include <doctest/doctest.h>

#include <cmath>
#include <fstream>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tests/support/folder.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using namespace joulepress::test;
using Json = nlohmann::json;

namespace {

/// A shipped case, coarse, its tools not judged, on a bench press without limits and thus without a
/// controller.
std::string coarse_case(const std::string& name, const std::string& press = "{name: bench press}") {
  std::string text =
      tools::read_whole(std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / (name + ".yaml"));
  const std::size_t at = text.find("press: presses/");
  text.replace(at, text.find('\n', at) - at, "press: " + press);
  return text + "numerics: {accuracy: 2 K}\nstrength: {judge: off}\n";
}

std::string replaced(std::string text, const std::string& from, const std::string& to) {
  const std::size_t at = text.find(from);
  REQUIRE(at != std::string::npos);
  return text.replace(at, from.size(), to);
}

struct Answer {
  int code = 0;
  Json json;
  solver::RunResult run;  ///< of the corrected case, made here
  solver::Summary summary;
};

Answer corrected(const Folder& folder, const std::string& case_text, tools::CorrectRequest request = {},
                 const std::string& out = "out") {
  tools::CorrectOptions options;
  options.case_file = folder.write(out + ".yaml", case_text);
  options.folder = folder.path / out;
  options.quiet = true;
  options.request = std::move(request);
  Answer answer;
  answer.code = tools::correct_case(options);
  if (answer.code == tools::bad_input) return answer;
  answer.json = Json::parse(tools::read_whole(options.folder / "correct.json"));
  answer.run = solver::run(cases::load_case(options.folder / "corrected_case.yaml").problem);
  REQUIRE(answer.run.status == solver::RunStatus::completed);
  answer.summary = solver::summarise(answer.run.frame, answer.run.rows);
  return answer;
}

/// Powder mean of the run's rows at a time.
double powder_mean(const solver::RunResult& run, double time) {
  for (std::size_t k = 1; k < run.rows.size(); ++k) {
    const auto &a = run.rows[k - 1], &b = run.rows[k];
    if (time > b.time_s || !(b.time_s > a.time_s)) continue;
    const double share = (time - a.time_s) / (b.time_s - a.time_s);
    return a.powder->mean_K + share * (b.powder->mean_K - a.powder->mean_K);
  }
  return run.rows.back().powder->mean_K;
}

/// The wish of one ramp and one hold against the run, every few seconds of both.
void check_wish(const Answer& answer, double top_K, double rate, double hold_s) {
  const double start = 298.15, ramp_s = (top_K - start) / rate, end = ramp_s + hold_s;
  double settled = 0.0, sum = 0.0, largest = 0.0;
  int n = 0, held = 0;
  for (double t = 0.0; t <= end; t += 2.0, ++n) {
    const double miss = powder_mean(answer.run, t) - std::min(top_K, start + rate * t);
    sum += miss * miss;
    largest = std::max(largest, std::abs(miss));
    if (t < end - 0.5 * hold_s) continue;
    settled += miss;
    ++held;
  }
  CHECK(std::abs(settled / held) < 2.0);
  CHECK(std::abs(answer.json["holds"][0]["met_K"].get<double>() - top_K - settled / held) < 0.2);
  // What is said of the rest is so.
  CHECK(std::abs(std::sqrt(sum / n) - answer.json["rms_K"].get<double>()) < 1.0);
  CHECK(std::abs(largest - std::abs(answer.json["largest_K"].get<double>())) < 2.0);
  CHECK(answer.json["rms_K"].get<double>() < 15.0);
}

double highest_of(const Json& programme) {
  double highest = 0.0;
  for (const Json& step : programme) highest = std::max(highest, step["to_K"].get<double>());
  return highest;
}

}  // namespace

TEST_CASE("full: an insulating powder gets its wish, and the same question is not asked twice") {
  const Folder folder("correct-alumina");
  const std::string text = coarse_case("alumina-20mm");
  const Answer answer = corrected(folder, text);
  CHECK(answer.code == tools::done);
  check_wish(answer, 1350.0 + 273.15, 100.0 / 60.0, 300.0);
  // Typed in as it stands the powder would be hundreds of kelvin hotter: what the case is about.
  CHECK(answer.json["as_it_stands_K"][0].get<double>() > 1350.0 + 273.15 + 150.0);
  CHECK(highest_of(answer.json["programme"]) < 1200.0 + 273.15);
  CHECK(answer.json["programme"].size() <= 8);
  CHECK(answer.json["runs"].get<int>() < 60);
  for (const Json& step : answer.json["programme"]) {
    // Whole degrees and seconds, as the press takes them.
    const double degrees = step["to_K"].get<double>() - 273.15, seconds = step["length_s"].get<double>();
    CHECK(std::abs(degrees - std::round(degrees)) < 1e-6);
    CHECK(std::abs(seconds - std::round(seconds)) < 1e-6);
  }
  const std::string card = tools::read_whole(folder.path / "out" / "card.txt");
  CHECK(card.find("1350") != std::string::npos);

  tools::CorrectOptions again;
  again.case_file = folder.path / "out.yaml";
  again.folder = folder.path / "out";
  again.quiet = true;
  const std::string before = tools::read_whole(folder.path / "out" / "correct.json");
  CHECK(tools::correct_case(again) == tools::done);
  CHECK(tools::read_whole(folder.path / "out" / "correct.json") == before);
  again.request.meant = tools::MeantFor::coldest;
  CHECK(tools::correct_case(again) == tools::bad_input);
  CHECK(tools::read_whole(folder.path / "out" / "correct.json") == before);
}

TEST_CASE("slow: powders that conduct and percolate get their wish") {
  {
    const Folder folder("correct-nickel");
    const Answer answer = corrected(folder, coarse_case("nickel-20mm"));
    CHECK(answer.code == tools::done);
    check_wish(answer, 1000.0 + 273.15, 100.0 / 60.0, 300.0);
  }
  const Folder folder("correct-zirconia-tin");
  const Answer answer = corrected(folder, coarse_case("zirconia-tin-30mm"));
  CHECK(answer.code == tools::done);
  for (const Json& hold : answer.json["holds"])
    CHECK(std::abs(hold["met_K"].get<double>() - hold["wished_K"].get<double>()) < 2.0);
}

TEST_CASE("full: coldest powder, and a density at the end") {
  const Folder folder("correct-coldest");
  tools::CorrectRequest request;
  request.meant = tools::MeantFor::coldest;
  const Answer coldest = corrected(folder, coarse_case("zirconia-40mm"), request, "coldest");
  REQUIRE(coldest.summary.holds.size() == 1);
  CHECK(std::abs(coldest.summary.holds[0].powder->min_K - (950.0 + 273.15)) < 2.0);
  CHECK(coldest.summary.holds[0].powder->mean_K > 950.0 + 273.15 + 5.0);

  tools::CorrectRequest dense;
  dense.density = 0.90;
  const Answer density = corrected(folder, coarse_case("alumina-20mm"), dense, "dense");
  REQUIRE(density.summary.holds.size() == 1);
  CHECK(std::abs(density.summary.holds[0].last.powder->density_mean - 0.90) < 0.005);
  CHECK(density.json["wished_density"].get<double>() == 0.90);
}

TEST_CASE("slow: asked again it is the same answer, whatever the threads") {
  const Folder folder("correct-threads");
  const std::string text = coarse_case("zirconia-40mm");
  tools::CorrectRequest one;
  one.threads = 1;
  const Answer first = corrected(folder, text, one, "one"), second = corrected(folder, text, {}, "two");
  CHECK(first.json == second.json);
}

TEST_CASE("slow: what a press cannot give is answered with the best and the limit") {
  const Folder folder("correct-weak");
  // At its hold the stack takes 4.1 kW: it is not reached at all.
  const std::string text =
      replaced(coarse_case("alumina-20mm",
                           "{name: weak press, limits: {power: 4 kW}, controller: {proportional "
                           "band: 200 K, integral time: 60 s, period: 5 s}}"),
               "rate: 100 degC/min", "rate: 400 degC/min");
  const Answer answer = corrected(folder, text);
  REQUIRE(!answer.json["limits_met"].empty());
  CHECK(answer.json["limits_met"][0]["limit"] == "power");
  CHECK(std::abs(answer.json["largest_K"].get<double>()) > 20.0);
  CHECK(answer.json["holds"][0]["met_K"].get<double>() < 1350.0 + 273.15 - 2.0);
  CHECK(answer.json["peak_power_W"].get<double>() <= 4000.0 * 1.001);
  const std::string card = tools::read_whole(folder.path / "out" / "card.txt");
  CHECK(card.find("the power was at the press's limit") != std::string::npos);
}

TEST_CASE("slow: a twin: what the powder had on one stack, it gets on another") {
  const Folder folder("correct-twin");
  const std::string first = replaced(coarse_case("alumina-20mm"), "ramp to: 1350 degC", "ramp to: 1100 degC");
  tools::RunOptions run;
  run.case_file = folder.write("first.yaml", first);
  run.folder = folder.path / "first";
  run.quiet = true;
  tools::RunTold told;
  REQUIRE(tools::run_case(run, &told) == tools::done);
  const solver::Summary had = solver::summarise(told.result.frame, told.result.rows);
  tools::CorrectRequest request;
  request.like = run.folder;
  // On the very same stack: what was entered there.
  const Answer same = corrected(folder, first, request, "same");
  CHECK(std::abs(highest_of(same.json["programme"]) - (1100.0 + 273.15)) < 2.0);
  CHECK(same.json["rms_K"].get<double>() < 5.0);
  // A thicker die, with its couple elsewhere.
  std::string other = replaced(first, "outer diameter: 50 mm", "outer diameter: 62 mm");
  other = replaced(other, "depth: 11 mm", "depth: 5 mm");
  const Answer answer = corrected(folder, other, request, "other");
  REQUIRE(answer.summary.holds.size() == 1);
  CHECK(std::abs(answer.summary.holds[0].powder->mean_K - had.holds[0].powder->mean_K) < 2.0);
  CHECK(std::abs(highest_of(answer.json["programme"]) - (1100.0 + 273.15)) > 10.0);
  for (const double t : {300.0, 500.0, 700.0, 900.0})
    CHECK(std::abs(powder_mean(answer.run, t) - powder_mean(told.result, t)) < 30.0);
  CHECK(answer.json["like"] == "20 mm alumina disc, 1350 degC for 5 min");
}

TEST_CASE("cases that have no programme for a powder are refused, and nothing is left") {
  const Folder folder("correct-refused");
  const std::string text = coarse_case("alumina-20mm");
  tools::CorrectOptions options;
  options.folder = folder.path / "out";
  options.quiet = true;
  const auto refused = [&](const std::string& case_text, const std::string& why) {
    options.case_file = folder.write("case.yaml", case_text);
    try {
      tools::correct_case(options);
      FAIL("not refused");
    } catch (const cases::InputErrors& problem) {
      CHECK(std::string(problem.what()).find(why) != std::string::npos);
    }
    CHECK(!std::filesystem::exists(options.folder));
  };
  refused(coarse_case("alumina-20mm", "{name: few, programme entry: {steps: 2}}"),
          "The programme has 3 steps, the press takes 2.");
  const std::size_t at = text.find("  temperature: [");
  std::string current = text;
  current.replace(at, text.find('\n', at) - at, "  current: [{ramp to: 1 kA, in: 5 min}, {hold: 5 min}]");
  refused(current, "Only a programme of temperature");
  options.case_file = folder.write("case.yaml", text);
  options.request.like = folder.path;
  CHECK(tools::correct_case(options) == tools::bad_input);
  CHECK(!std::filesystem::exists(options.folder));
}
