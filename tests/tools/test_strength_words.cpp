// What screen, summary, page and results.h5 say of whether the tools hold: of a judgement made up here, so
// that every number is known.  The judgement itself: tests/verification/test_strength.cpp; files for viewers:
// tests/tools/readers.py.
#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "solver/half.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/stack.hpp"
#include "tools/html/page.hpp"
#include "tools/html/pictures.hpp"
#include "tools/screen/report.hpp"
#include "tools/screen/report_strength.hpp"
#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"
#include "tools/store/results_h5.hpp"
#include "tools/store/strength_json.hpp"
#include "tools/store/strength_read.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using solid::LoadCase;

namespace {

const solver::HistoryFrame frame = [] {
  solver::HistoryFrame f;
  f.part_names = {"upper punch", "die"};
  return f;
}();

solid::Worst worst_of(int part, LoadCase load_case, double time, bool tension, double stress,
                      double strength) {
  solid::Worst worst;
  worst.part = part;
  worst.load_case = load_case;
  worst.time_s = time;
  worst.force_N = 20e3;
  worst.tension = tension;
  worst.spot = {.r = 3.2e-3, .z = -11.5e-3, .temperature = 866.15, .stress = stress, .strength = strength};
  return worst;
}

/// Punch 140/54 under pressure while cooling, die 40/8 in tension in the hold.
solid::Strength judgement(double punch_stress = 54e6) {
  solid::Strength s;
  s.asked = 2.5;
  const solid::Worst punch = worst_of(0, LoadCase::cooling, 1395, false, punch_stress, 140e6),
                     die = worst_of(1, LoadCase::hold, 900, true, 8e6, 40e6);
  s.cases[static_cast<std::size_t>(LoadCase::cooling)] = punch;
  s.cases[static_cast<std::size_t>(LoadCase::hold)] = die;
  s.parts = {{0, std::nullopt, punch, std::nullopt}, {1, die, std::nullopt, 2e-4}};
  s.worst = punch;
  solid::TubeFormula tube;
  tube.part = 1;
  tube.time_s = 800;
  tube.side_pressure_Pa = 30e6;
  tube.ratio = 2.0;
  tube.hoop_Pa = 30e6 * 5.0 / 3.0;  // p (K2 + 1)/(K2 - 1), Lame
  tube.computed_Pa = 26e6;
  tube.by_force_Pa = 15e6;
  tube.height_share = 0.14;
  s.formula = tube;
  solid::GripJudged grip;
  grip.lock = {1180, 1397.15, solid::Lock::Found::by_creep};
  grip.at_end_K = 866.15;
  grip.at_end_Pa = 4e6;
  grip.cold_Pa = 12.4e6;
  grip.cold_largest_Pa = 18e6;
  grip.push_out_N = 3.14e3;
  grip.on_punch_Pa = 10e6;
  grip.margin = 4.19;
  s.grip = grip;
  s.largest = {{false, 0, 31e3, 98.7e6}, {true, 1395, 20.8e3, 66.2e6}};
  for (const double time : {0.0, 600.0, 900.0, 1395.0, 1395.0}) {
    solid::Judged at;
    at.time_s = time;
    at.force_N = 20e3;
    at.load_case = s.instants.size() == 4 ? LoadCase::push_out
                   : time > 1000          ? LoadCase::cooling
                   : time > 800           ? LoadCase::hold
                                          : LoadCase::rise;
    solid::PartLoad load;
    load.part = 0;
    load.compression = solid::Spot{0, 0, 300, time > 1000 ? punch_stress : 20e6, 140e6};
    if (time > 0.0) at.loads = {load};
    s.instants.push_back(at);
  }
  s.remarks = {"\"die\" in tension is held against the bending strength of graphite, which is higher"};
  return s;
}

solver::Problem stack() {
  mesh::GridRule rule;
  rule.smallest = 1e-3;
  rule.largest = 6e-3;
  rule.cells_across_min = 1;
  return test::small_stack({.rule = rule});
}

/// Without the breaks of lines, which are where the words happen to end.
std::string flat(const std::string& text) {
  std::istringstream words(text);
  std::string out;
  for (std::string word; words >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

void says(const std::string& text, const std::string& part) {
  CHECK_MESSAGE(flat(text).find(flat(part)) != std::string::npos, part);
}

void silent(const std::string& text, const std::string& part) {
  CHECK_MESSAGE(flat(text).find(flat(part)) == std::string::npos, part);
}

/// A run without force, and its summary with another judgement.
struct Results {
  test::Folder folder{"strength-page"};
  std::filesystem::path out = folder.path / "out";
  Results() {
    tools::run_case({std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / "heated-rod.yaml", out, true});
  }
  nlohmann::ordered_json summary() const {
    return nlohmann::ordered_json::parse(tools::read_whole(out / "summary.json"));
  }
  void put(const nlohmann::ordered_json& summary) const {
    tools::write_whole(out / "summary.json", summary.dump());
  }
  void judge(const nlohmann::ordered_json& strength) const {
    auto json = summary();
    json["strength"] = strength;
    put(json);
  }
  std::string page(tools::html::Language language = tools::html::Language::english) const {
    return tools::html::page_of(tools::html::matter_of(out, language));
  }
};

}  // namespace

TEST_CASE("strength: a margin that misses never reads as if it met what is asked") {
  for (const auto& [margin, text] : std::vector<std::pair<double, std::string>>{{2.4999, "2.4"},
                                                                                {2.5, "2.5"},
                                                                                {2.3, "2.3"},
                                                                                {0.9999, "0.99"},
                                                                                {1.0, "1.0"},
                                                                                {9.99, "9.9"},
                                                                                {31.7, "31"},
                                                                                {100.5, ">100"},
                                                                                {INFINITY, "-"}})
    CHECK(tools::margin_text(margin) == text);
}

TEST_CASE("strength: the answer on the screen, holding, not as asked, breaking") {
  says(tools::strength_answer(judgement(), frame),
       "The tools hold: least margin 2.5 (asked 2.5): upper punch under pressure, 54 MPa of 140 MPa, at 593 "
       "degC, cooling, 1395 s.");
  says(tools::strength_answer(judgement(100e6), frame),
       "The tools do NOT hold with the margin asked for: least margin 1.4 (asked 2.5)");
  says(tools::strength_answer(judgement(150e6), frame),
       "Something BREAKS by this model (margin below 1): least margin 0.93");
}

TEST_CASE("strength: the section on the screen, no line wider than 100") {
  const solver::Problem p = stack();
  const std::string text = tools::strength_section(judgement(), p, frame);
  for (const char* part : {"Do the tools hold?", "r 3.2 mm, 11.5 mm below its middle in height",
                           "hold 5.0 die in tension 8.0 MPa 40 MPa 593 degC 900 s",
                           "cooling 2.5 upper punch under pressure 54 MPa 140 MPa 593 degC 1395 s",
                           "largest force for 2.5, cold 31 kN, 99 MPa on the powder",
                           "largest force for 2.5, hot 21 kN, 66 MPa on the powder, as at 1395 s",
                           "chance to break, indicative, by Weibull's weakest link", "die 0.0002",
                           "held against the bending strength", "guards closed", "Never pull on graphite",
                           "limits of the press and tool makers"})
    says(text, part);
  says(text,
       "the largest hoop stress at the bore is 26 MPa. The formula of an endless tube says 50 MPa (side "
       "pressure 30 MPa, outer over inner radius 2.00). The powder bears on 14 % of the height, so that the "
       "force brings 15 MPa; growth by heat adds 11 MPa.");
  says(text,
       "From 1124 degC on (1180 s) the compact is solid; cold it is gripped with 12 MPa (at most 18 MPa). "
       "Pushing it out takes about 3.1 kN, 10 MPa on the punch; the least margin then is 4.1. Where the run "
       "ends, at 593 degC, the grip is 4.0 MPa.");
  silent(text, "its image");
  solver::Problem mirrored = stack();
  mirrored.half = std::make_shared<const solver::Half>();
  says(tools::strength_section(judgement(), mirrored, frame), "each part stands for itself and its image");
  silent(text, "core");
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) CHECK_MESSAGE(line.size() <= 100, line);
}

TEST_CASE("strength: what is loose, what is not known, why nothing was judged") {
  const solver::Problem p = stack();
  solid::Strength s = judgement();
  s.grip->cold_Pa = 0.99e5;
  says(tools::strength_section(s, p, frame), "it shrinks away from the die and lies free.");
  silent(tools::strength_section(s, p, frame), "Pushing it out");
  s.grip->cold_core_Pa = 161e6;
  solver::Problem ring = stack();
  ring.mesh.layout[ring.powders.front().block].r_inner = 4e-3;
  says(
      tools::strength_section(s, ring, frame),
      "it shrinks away from the die, but on its core it presses with 161 MPa. Pushing it out takes about 3.1 "
      "kN");
  s.formula->by_force_Pa = 30e6;
  says(tools::strength_section(s, p, frame), "growth by heat takes off 4.0 MPa.");
  s.grip->lock.found = solid::Lock::Found::no_creep;
  says(tools::strength_section(s, p, frame), "the worst there is: how it creeps is not known");
  s.grip->lock.found = solid::Lock::Found::hot_end;
  says(tools::strength_section(s, p, frame), "cooled more slowly it would be gripped less");
  s.worst.reset();
  says(tools::strength_section(s, p, frame), "Not judged: the strength of no tool is known.");
  CHECK(tools::strength_answer(s, frame).empty());
  s.refused = "no force stands on the column";
  const std::string refused = tools::strength_section(s, p, frame);
  says(refused, "Not judged: no force stands on the column.");
  silent(refused, "gripped");
}

TEST_CASE("strength: what does not hold stands before all answers of the report") {
  solver::Problem p = stack();
  test::track(p, {test::segment(0, 20, 293.15, 400)});
  const solver::RunResult result = solver::run(p);
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const solid::Strength breaks = judgement(150e6), holds = judgement();
  tools::ReportHead head{"t", "0", 0, 0.1, {}, {}};
  head.strength = &breaks;
  const std::string bad = tools::terminal_report(head, p, result, summary);
  const std::size_t first = bad.find("Something BREAKS");
  REQUIRE(first != std::string::npos);
  CHECK(first < bad.find("Hottest in the whole run"));
  CHECK(bad.find("Something BREAKS", first + 1) > bad.find("Do the tools hold?"));
  head.strength = &holds;
  const std::string good = tools::terminal_report(head, p, result, summary);
  CHECK(good.find("The tools hold") > good.find("Do the tools hold?"));
  head.strength = nullptr;
  silent(tools::terminal_report(head, p, result, summary), "tools hold");
}

TEST_CASE("strength: summary.json, and what is read back of it") {
  const auto json = tools::strength_json(judgement(), frame);
  for (const char* key :
       {"refused", "asked_margin", "margin", "holds", "worst", "load_cases", "parts", "tube_formula", "grip",
        "largest_force_cold", "largest_force_hot", "instants", "remarks"})
    CHECK_MESSAGE(json.contains(key), key);
  CHECK(json["holds"] == true);
  CHECK(json["worst"]["part"] == "upper punch");
  CHECK(json["instants"][0]["margin"].is_null());  // nothing bears
  const auto read = tools::strength_of(nlohmann::json{{"strength", json}});
  REQUIRE(read);
  CHECK(read->holds());
  CHECK(read->worst->margin == judgement().margin());
  CHECK(read->worst->z_from_middle_of_part_m == -11.5e-3);
  CHECK(!read->worst->tension);
  REQUIRE(read->load_cases.size() == 2);
  CHECK(read->load_cases[0].load_case == "hold");
  CHECK(read->parts[1].break_chance == 2e-4);
  CHECK(!read->parts[0].tension);
  CHECK(read->tube->formula_hoop_Pa == 50e6);
  CHECK(read->grip->cold_margin == 4.19);
  CHECK(read->largest[1].force_N == 20.8e3);
  CHECK(std::isnan(read->instants[0].margin));
  CHECK(read->instants[1].margin == 7.0);
  CHECK(read->instants.back().load_case == "push-out");
  CHECK(!tools::strength_of(nlohmann::json{{"strength", nullptr}}));
  CHECK(!tools::strength_of(nlohmann::json::object()));
  solid::Strength refused;
  refused.refused = "why";
  CHECK(tools::strength_of(nlohmann::json{{"strength", tools::strength_json(refused, frame)}})->refused ==
        "why");
}

TEST_CASE("strength: the page, in both languages, and without a judgement") {
  const Results results;
  const std::string without = results.page();
  says(without, "Not judged: <span>no force stands on the column.</span>");
  auto old = results.summary();
  old.erase("strength");
  results.put(old);
  silent(results.page(), "tools hold");
  results.judge(nullptr);
  silent(results.page(), "tools hold");

  results.judge(tools::strength_json(judgement(), frame));
  const std::string page = results.page();
  const std::size_t sentence = page.find("The tools hold: least margin 2.5 (asked 2.5).");
  REQUIRE(sentence != std::string::npos);
  // In the answer, below its numbers.
  CHECK(sentence > page.find("<table"));
  CHECK(sentence < page.find("</section>"));
  for (const char* part :
       {"<section id=\"strength\"", "<table id=\"strength-cases\"", "<table id=\"strength-parts\"",
        "upper punch under pressure, 54 MPa of 140 MPa, at 593 °C, cooling, 1395 s; r 3.2 mm, −11.5 mm",
        "endless tube says 50 MPa", "Growth by heat adds 11 MPa.",
        "gripped by the die with 12 MPa (at most 18 MPa)", "takes about 3.1 kN", "<td>0.0002</td>",
        "asked: 2.5", "Never pull on graphite"})
    says(page, part);
  const auto pictures =
      tools::html::pictures_of(tools::html::matter_of(results.out, tools::html::Language::english));
  CHECK(pictures.back().name == "strength");
  CHECK(pictures.back().numbers.rows.size() == 5);

  const std::string german = results.page(tools::html::Language::german);
  for (const char* part : {"Halten die Werkzeuge?", "kleinste Sicherheit 2,5 (verlangt 2,5)", "Abkühlen",
                           "auf Druck", "<td>0,0002</td>", "Nie an Graphit ziehen", "<li lang=\"en\">"})
    says(german, part);
  results.judge(tools::strength_json(judgement(150e6), frame));
  says(results.page(), "Something BREAKS by this model: least margin 0.93 (asked 2.5).");
  says(results.page(tools::html::Language::german), "Nach diesem Modell BRICHT etwas");
}

TEST_CASE("strength: the instants in results.h5") {
  const test::Folder folder("strength-h5");
  const solver::Problem p = stack();
  tools::Results results;
  const solid::Strength s = judgement();
  results.strength = &s;
  tools::write_results_h5(folder.path / "results.h5", {"0", "abc", "case"}, p, results, true);
  const auto file = tools::h5::File::open(folder.path / "results.h5");
  CHECK(file.numbers("/strength/time") == std::vector<double>{0, 600, 900, 1395, 1395});
  CHECK(file.text_attribute("/strength/grip", "unit") == "Pa");
  const std::vector<double> margins = file.numbers("/strength/least_margin");
  CHECK(std::isnan(margins[0]));
  CHECK(margins[1] == 7.0);
  CHECK(margins[3] == 140.0 / 54.0);
  CHECK(file.integers("/strength/load_case") == std::vector<std::int32_t>{1, 1, 2, 3, 4});
  CHECK(file.texts_attribute("/strength/load_case", "words") ==
        std::vector<std::string>{"preload", "full force", "hold", "cooling", "push-out"});
  results.strength = nullptr;
  tools::write_results_h5(folder.path / "without.h5", {"0", "abc", "case"}, p, results, true);
  CHECK(!tools::h5::File::open(folder.path / "without.h5").has("/strength"));
}
