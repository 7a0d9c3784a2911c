// The table of offsets: what it varies, members against runs by hand, and what to enter from made-up numbers
// whose answers are known.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/svg.hpp"
#include "tools/html/offsets_page.hpp"
#include "tools/html/word_list.hpp"
#include "tools/store/files.hpp"
#include "tools/study/offset_table.hpp"

using namespace joulepress;
using test::Folder;
using tools::OffsetTable;
using tools::OffsetTablePlan;
using tools::Outcome;
namespace fs = std::filesystem;
namespace html = joulepress::tools::html;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;
const html::Words english(html::Language::english), german(html::Language::german);

/// A case of a small stack, `ramp` before its hold.
std::string small(const std::string& ramp, const std::string& powder = "densification: off") {
  return fmt::format(
      "format: 1\ntitle: small\n"
      "press: {{name: bench, limits: {{current: 3 kA, voltage: 10 V, power: 30 kW}}, column ends: {{film: "
      "880 "
      "W/m2K, water: 20 degC}}}}\n"
      "column:\n"
      "  - {{name: lower punch, material: isotropic graphite, diameter: 20 mm, height: 25 mm}}\n"
      "  - {{name: disc, powder: alumina, diameter: 20 mm, mass: 6 g, {}}}\n"
      "  - {{name: upper punch, material: isotropic graphite, diameter: 20 mm, height: 25 mm}}\n"
      "sleeves: [{{name: die, material: isotropic graphite, inner diameter: 20.4 mm, outer diameter: 50 mm, "
      "height: 36 mm, centre on: disc}}]\n"
      "foils: [{{along: bore of die, thickness: 0.2 mm}}]\n"
      "sensors: [{{name: couple, kind: thermocouple, in: die, depth: 8 mm}}]\n"
      "programme: {{control: couple, temperature: [{}, {{hold: 1 min, name: dwell}}], pressure on powder: "
      "[{{hold: 30 MPa, for: 10 min}}]}}\n"
      "numerics: {{accuracy: 2 K}}\n",
      powder, ramp);
}

OffsetTablePlan plan_of(const std::string& text) {
  return tools::offset_table_plan(cases::read_case("case.yaml", text), root / "cases");
}

double in_K(double degC) {
  return degC + cases::zero_celsius;
}

/// Two rates, three temperatures, two start densities; the powder's mean by `mean` of what is entered.
struct Made {
  Folder folder{"offset-table"};
  OffsetTablePlan plan;
  tools::CrewResult result;

  template <class Mean>
  explicit Made(Mean&& mean) {
    plan.subject.title = "made up <b>";
    plan.subject.version = "0.0.0";
    plan.subject.press = "bench";
    plan.subject.control = "couple";
    plan.subject.control_in = "die";
    plan.subject.pressure_Pa = 50e6;
    plan.subject.hold_s = 300;
    plan.subject.powders = {{"disc", "alumina", 0.55, true}};
    plan.temperatures_K = {in_K(1000), in_K(1100), in_K(1200)};
    plan.rates = {0.5, 1.0};
    plan.densities = {{0.5}, {0.55}};
    plan.own_rate = plan.own_density = 1;
    for (int d = 0; d < 2; ++d)
      for (int r = 0; r < 2; ++r)
        for (int t = 0; t < 3; ++t) {
          const std::string id = fmt::format("table-t{}-r{}-d{}", t, r, d);
          plan.members.push_back({id, id, "text"});
          const double entered = plan.temperatures_K[static_cast<std::size_t>(t)];
          add(id, entered, mean(t, r, d));
        }
  }

  void add(const std::string& id, double reading, double mean) {
    const fs::path home = folder.path / id;
    fs::create_directories(home);
    const nlohmann::ordered_json json{{"schema", "joulepress.summary/1"},
                                      {"holds",
                                       {{{"name", "first"}, {"offset_mean_K", 1.0}, {"sample_mean_K", 2.0}},
                                        {{"name", "dwell"},
                                         {"offset_mean_K", mean - reading},
                                         {"offset_start_K", mean - reading + 5.0},
                                         {"sensor_K", reading},
                                         {"sample_mean_K", mean},
                                         {"sample_spread_K", 12.6},
                                         {"relative_density_end_mean", 0.97}}}}};
    folder.write(id + "/summary.json", json.dump());
    result.members.push_back(tools::Finished{Outcome::completed, "", home});
  }
};

/// Offsets of 90 to 150 K, other ones at other rates and densities.
double rising(int t, int r, int d) {
  return in_K(1000 + 100 * t) + 90 + 20 * t + 3 * r - 7 * d;
}

}  // namespace

TEST_CASE("offset table: what is varied, as a person would edit the case") {
  const OffsetTablePlan plan = plan_of(small("{ramp to: 700 degC, rate: 120 degC/min}"));
  CHECK(plan.why_not.empty());
  REQUIRE(plan.temperatures_K.size() == 5);
  for (std::size_t t = 0; t < 5; ++t)
    CHECK(std::abs(plan.temperatures_K[t] - in_K(std::vector{500.0, 600.0, 700.0, 800.0, 900.0}[t])) < 1e-9);
  REQUIRE(plan.rates.size() == 3);
  for (std::size_t r = 0; r < 3; ++r) CHECK(std::abs(plan.rates[r] - std::vector{1.0, 2.0, 4.0}[r]) < 1e-12);
  REQUIRE(plan.densities.size() == 1);
  CHECK(plan.densities[0].empty());  // it does not densify
  REQUIRE(plan.members.size() == 15);
  CHECK(plan.members[0].id == "table-t0-r0-d0");
  CHECK(plan.members[8].id == "table-t3-r1-d0");
  const cases::Case c = cases::read_case("resolved", plan.members[8].case_text);
  CHECK(std::abs(c.programme.steps[0].to - in_K(800)) < 1e-9);
  REQUIRE(c.programme.steps[0].rate);
  CHECK(std::abs(*c.programme.steps[0].rate - 2.0) < 1e-12);
  CHECK(!c.judge_strength);

  SUBCASE("a ramp by its time keeps the rate: half the time at twice the rate") {
    const OffsetTablePlan timed = plan_of(small("{ramp to: 700 degC, in: 675 s}"));
    REQUIRE(timed.members.size() == 15);
    CHECK(std::abs(timed.rates[1] - 1.0) < 1e-12);  // from 25 degC
    const auto seconds = [&](std::size_t member) {
      const cases::Case varied = cases::read_case("resolved", timed.members[member].case_text);
      return varied.programme.steps[0].duration.value_or(0.0);
    };
    CHECK(std::abs(seconds(2) - 1350.0) < 1e-6);  // 700 degC at half the rate
    CHECK(std::abs(seconds(7) - 675.0) < 1e-6);   // the case itself
    CHECK(std::abs(seconds(12) - 337.5) < 1e-6);  // at twice
    CHECK(std::abs(seconds(5) - 475.0) < 1e-6);   // 500 degC at the case's rate
  }
  SUBCASE("temperatures too near to the start are left out, the case's own never") {
    const OffsetTablePlan low = plan_of(small("{ramp to: 250 degC, rate: 120 degC/min}"));
    REQUIRE(low.temperatures_K.size() == 4);  // 50 degC is missing: less than 100 K above 25 degC
    CHECK(std::abs(low.temperatures_K[0] - in_K(150)) < 1e-9);
    const OffsetTablePlan lowest = plan_of(small("{ramp to: 100 degC, rate: 120 degC/min}"));
    CHECK(std::abs(lowest.temperatures_K[0] - in_K(100)) < 1e-9);
  }
  SUBCASE("nor does a ramp up become one down") {
    const OffsetTablePlan second = plan_of(small(
        "{ramp to: 650 degC, rate: 240 degC/min}, {hold: 1 min}, {ramp to: 700 degC, rate: 60 degC/min}"));
    REQUIRE(second.temperatures_K.size() == 3);
    CHECK(std::abs(second.temperatures_K[0] - in_K(700)) < 1e-9);
    const cases::Case varied = cases::read_case("resolved", second.members[0].case_text);
    CHECK(std::abs(*varied.programme.steps[0].rate - 4.0) < 1e-12);
    CHECK(std::abs(*varied.programme.steps[2].rate - 0.5) < 1e-12);
  }
}

TEST_CASE("offset table: start densities, and what makes no case") {
  const std::string ramp = "{ramp to: 1300 degC, rate: 100 degC/min}";
  const auto powder = [](double start, double end) {
    return fmt::format("relative density: {{value: {}, at pressure: 16 MPa}}, end density: {}", start, end);
  };
  const auto plan = plan_of(small(ramp, powder(0.55, 0.99)));
  CHECK(plan.members.size() == 45);
  CHECK(plan.densities == std::vector<std::vector<double>>{{0.5}, {0.55}, {0.6}});
  const cases::Case c = cases::read_case("resolved", plan.members.back().case_text);
  CHECK(c.column[1].relative_density == 0.6);
  CHECK(plan.members.back().id == "table-t4-r2-d2");
  // near the end density there is none above
  CHECK(plan_of(small(ramp, powder(0.82, 0.86))).densities ==
        std::vector<std::vector<double>>{{0.77}, {0.82}});

  SUBCASE("variants that are refused stay, with their reason") {
    int refused = 0;
    const auto tight = plan_of(small("{ramp to: 2000 degC, rate: 100 degC/min}"));
    for (const tools::Member& member : tight.members) {
      refused += !member.refused.empty();
      CHECK(member.refused.empty() != member.case_text.empty());
    }
    CHECK(tight.members.size() == 15);
    CHECK(refused == 2 * 3);  // 2100 and 2200 degC: its file lets alumina melt at 2050
    CHECK(tight.members[3].refused.find("begins to melt") != std::string::npos);
  }
  SUBCASE("no table") {
    const std::string text = small(ramp);
    const auto without = [&](const std::string& part, const std::string& instead) {
      std::string changed = text;
      REQUIRE(changed.find(part) != std::string::npos);
      return plan_of(changed.replace(changed.find(part), part.size(), instead));
    };
    const auto holdless = without(", {hold: 1 min, name: dwell}", "");
    CHECK(holdless.members.empty());
    CHECK(holdless.why_not == "The programme has no hold.");
    const auto flat = without("{ramp to: 1300 degC, rate: 100 degC/min}, ", "");
    CHECK(flat.members.empty());
    CHECK(flat.why_not == "No ramp leads to the last hold.");
  }
}

TEST_CASE("offset table: members against a run of the case edited by hand") {
  const auto powder = "relative density: {value: 0.55, at pressure: 16 MPa}, end density: 0.99";
  const OffsetTablePlan plan = plan_of(small("{ramp to: 1200 degC, rate: 400 degC/min}", powder));
  REQUIRE(plan.members.size() == 45);
  // 1000, 1100, 1200 degC of the case; 1200 degC at half the rate from 0.6
  const std::vector<std::size_t> which{20, 21, 22, 32};
  std::vector<tools::Member> few;
  for (const std::size_t k : which) few.push_back(plan.members[k]);
  const Folder folder("offset-runs");
  const tools::CrewResult ran = tools::run_members({.folder = folder.path, .quiet = true}, few);
  tools::CrewResult result;
  result.members.resize(45);
  for (std::size_t k = 0; k < which.size(); ++k) result.members[which[k]] = ran.members[k];
  const OffsetTable table = tools::offset_table(plan, result);
  CHECK(!table.complete);
  for (const std::size_t k : which) CHECK(table.cells[k].why_not.empty());

  const std::string text = small("{ramp to: 1200 degC, rate: 200 degC/min}",
                                 "relative density: {value: 0.6, at pressure: 16 MPa}, end density: 0.99");
  const cases::Case c = cases::read_case("case.yaml", text);
  const solver::Problem problem = cases::build_problem(c);
  const solver::RunResult run = solver::run(problem);
  const solver::Summary summary = solver::summarise(run.frame, run.rows);
  REQUIRE(!summary.holds.empty());
  REQUIRE(summary.holds.back().offset_mean_K);
  const tools::OffsetCell& cell = table.cell(2, 0, 2);
  CHECK(std::abs(cell.offset_K - *summary.holds.back().offset_mean_K) < 1e-6);
  CHECK(std::abs(cell.mean_K - cell.reading_K - cell.offset_K) < 1e-6);
  CHECK(cell.offset_K > 10.0);

  // The middle one's own powder mean is given by what it enters.
  const auto entry = tools::to_enter(table, 1, 1, table.cell(1, 1, 1).mean_K);
  REQUIRE(entry);
  CHECK(std::abs(*entry - in_K(1100)) < 1e-6);
}

TEST_CASE("offset table: what to enter goes straight from member to member and not beyond") {
  const Made made(rising);
  const OffsetTable table = tools::offset_table(made.plan, made.result);
  CHECK(table.complete);
  for (std::size_t d = 0; d < 2; ++d)
    for (std::size_t r = 0; r < 2; ++r) {
      for (std::size_t t = 0; t < 3; ++t) {
        const auto entry = tools::to_enter(table, d, r, table.cell(d, r, t).mean_K);
        REQUIRE(entry);
        CHECK(std::abs(*entry - table.temperatures_K[t]) < 1e-9);
      }
      const double low = table.cell(d, r, 0).mean_K, high = table.cell(d, r, 2).mean_K;
      CHECK(!tools::to_enter(table, d, r, low - 0.01));
      CHECK(!tools::to_enter(table, d, r, high + 0.01));
    }
  // 1090, 1210, 1330 degC for 1000, 1100, 1200 degC: 1150 degC is half way of the first stretch
  const auto half = tools::to_enter(table, 0, 0, in_K(1150));
  REQUIRE(half);
  CHECK(std::abs(*half - in_K(1050)) < 1e-9);
  // 1083 to 1330 degC are covered: 1100, 1150, 1200, 1250, 1300
  REQUIRE(table.powder_K.size() == 5);
  CHECK(std::abs(table.powder_K.front() - in_K(1100)) < 1e-9);
  CHECK(std::abs(table.powder_K.back() - in_K(1300)) < 1e-9);
}

TEST_CASE("offset table: members that do not count") {
  Made made(rising);
  made.result.members[0] = tools::Finished{Outcome::refused, "The powder would melt.", {}};
  made.result.members[4] = std::nullopt;
  made.add("limited", in_K(1100) - 30, in_K(1190));  // the press holds it back
  made.result.members[7] = made.result.members.back();
  made.result.members.pop_back();
  made.result.members[9]->outcome = Outcome::stopped;
  made.result.members[9]->reason = "by its rule";
  made.result.members[11]->outcome = Outcome::failed;
  const OffsetTable table = tools::offset_table(made.plan, made.result);
  CHECK(!table.complete);
  CHECK(table.cells[0].why_not == "The powder would melt.");
  CHECK(table.cells[4].why_not == "Not run yet.");
  CHECK(table.cells[7].why_not == "The reading is 30 K from what is entered: the hold is not met.");
  CHECK(table.cells[9].why_not == "by its rule");
  CHECK(table.cells[11].why_not == "failed");
  CHECK(!tools::to_enter(table, 0, 0, in_K(1150)));  // below the first that counts
  CHECK(tools::to_enter(table, 0, 0, in_K(1250)));
  // over the gap, straight between its neighbours: 1093 to 1333 degC for 200 K
  const auto over = tools::to_enter(table, 0, 1, in_K(1213));
  REQUIRE(over);
  CHECK(std::abs(*over - in_K(1100)) < 1e-9);

  SUBCASE("nor a mean that turns: more than one entry would give it") {
    const Made turning([](int t, int, int) { return in_K(t == 1 ? 1300 : 1200 + 10 * t); });
    const OffsetTable turned = tools::offset_table(turning.plan, turning.result);
    CHECK(!tools::to_enter(turned, 0, 0, in_K(1250)));
    CHECK(tools::to_enter(turned, 0, 0, in_K(1210)));
  }
  SUBCASE("files and pages say so") {
    const std::string csv = tools::offsets_csv(table), screen = tools::offsets_screen(table);
    CHECK(
        csv.starts_with("id,entered [K],rate [K/s],start density of disc [1],offset [K],offset at the start "
                        "of the hold [K],reading [K],"));
    CHECK(csv.find("table-t0-r0-d0,1273.15,0.5,0.5,,,,,,,refused,The powder would melt.\n") !=
          std::string::npos);
    CHECK(csv.find("table-t1-r0-d0,1373.15,0.5,0.5,110") != std::string::npos);
    CHECK(std::count(csv.begin(), csv.end(), '\n') == 13);
    CHECK(screen.find("table-t0-r0-d0: refused: The powder would melt.") != std::string::npos);
    CHECK(html::offsets_page(table, english).find("The powder would melt.") != std::string::npos);
  }
  SUBCASE("without any there is no figure, and the page says it") {
    for (auto& member : made.result.members) member.reset();
    const OffsetTable empty = tools::offset_table(made.plan, made.result);
    CHECK(empty.powder_K.empty());
    CHECK(html::offsets_figure(empty, english).empty());
    CHECK(html::offsets_page(empty, german).find("liegt eine runde Temperatur") != std::string::npos);
    CHECK(tools::offsets_screen(empty).starts_with("No two neighbouring members"));
  }
}

TEST_CASE("offset table: rates and densities that are alike are shown as one") {
  const auto seen = [](double by_rate, double by_density) {
    const Made made([=](int t, int r, int d) { return in_K(1090 + 120 * t + by_rate * r + by_density * d); });
    return tools::offset_table(made.plan, made.result);
  };
  const OffsetTable none = seen(1.1, 1.1), rates = seen(0.9, 1.1), both = seen(0.4, -0.5);
  CHECK(!seen(0.6, 0.6).densities_alike);  // 1.2 K together
  CHECK(seen(1.1, 0.9).densities_alike);
  CHECK(tools::shown_rates(none) == std::vector<std::size_t>{0, 1});
  CHECK(tools::shown_densities(none) == std::vector<std::size_t>{0, 1});
  CHECK(tools::shown_rates(rates).size() == 1);
  CHECK(tools::shown_densities(rates).size() == 2);
  CHECK(tools::shown_rates(both) == std::vector<std::size_t>{1});  // the case's own
  CHECK(tools::shown_densities(both) == std::vector<std::size_t>{1});
  CHECK(test::tags(html::offsets_page(rates, german), "th", "colgroup").size() == 4);
  const std::string page = html::offsets_page(both, german), screen = tools::offsets_screen(both);
  CHECK(test::tags(page, "th", "colgroup").size() == 2);
  CHECK(page.find("30…60 K/min") != std::string::npos);
  CHECK(page.find("Anfangsdichte 50…55 %") != std::string::npos);
  CHECK(page.find("um höchstens 1 K") != std::string::npos);
  CHECK(screen.find("start density 50 % to 55 %") != std::string::npos);
  CHECK(test::tags(html::offsets_figure(both, german), "polyline", "series-other").size() == 1);

  SUBCASE("not where one of them has no result") {
    Made made([](int t, int, int) { return in_K(1090 + 120 * t); });
    made.result.members[2] = std::nullopt;
    const OffsetTable gap = tools::offset_table(made.plan, made.result);
    CHECK(!gap.rates_alike);
    CHECK(!gap.densities_alike);
  }
}

TEST_CASE("offset table: the page and its figure, in both languages") {
  const Made made(rising);
  OffsetTable table = tools::offset_table(made.plan, made.result);
  table.subject.column = {{"punch & co", 0, 0.02, 0.0255, std::nullopt},
                          {"disc", 0.005, 0.02, std::nullopt, 0.006}};
  table.subject.sleeves = {{"die", 0.0204, 0.05, 0.036, std::nullopt}};
  const std::string page = html::offsets_page(table, german),
                    english_page = html::offsets_page(table, english);
  CHECK(page.find("made up &lt;b&gt;") != std::string::npos);
  CHECK(page.find("punch &amp; co ⌀ 20 × 25,5 · disc ⌀ 5/20, 6 g; darum die ⌀ 20,4/50 × 36") !=
        std::string::npos);
  CHECK(page.find("Für eine mittlere Temperatur im Pulver eingeben") != std::string::npos);
  for (const char* word :
       {"Anfangsdichte 50 %", "Anfangsdichte 55 %", ">K/min<", ">1050<", "+110 (13)", "anders",
        "Presse: bench.", "Druck auf das Pulver: 50 MPa.", "Kammer: Vakuum.", "97,0"})
    CHECK_MESSAGE(page.find(word) != std::string::npos, std::string(word));
  // a column a rate and density
  CHECK(test::tags(page, "th", "colgroup").size() == 4);
  // all kinds of sensors and holds have their words
  for (int kind = 0; kind < 4; ++kind) {
    table.subject.pyrometer = kind == 1;
    table.subject.control_in = kind == 2 ? "" : "die";
    table.subject.depth_m = kind == 3 ? 0.011 : 0.0;
    table.subject.gas = kind == 2 ? "argon" : "";
    table.subject.hold = kind == 0 ? "" : "dwell";
    CHECK(html::offsets_page(table, german).find("Geregelt nach „couple“") != std::string::npos);
  }
  for (const html::WordEntry& of_offsets : html::words_of_offsets())
    for (const auto& part : {html::words_of_run(), html::words_of_strength(), html::words_of_studies()})
      for (const html::WordEntry& other : part)
        CHECK_MESSAGE(of_offsets.english != other.english, std::string(other.english));
  const std::string figure = html::offsets_figure(table, english);
  test::check_lettering(figure);
  CHECK(test::tags(figure, "polyline", "series-other").size() == 4);
  CHECK(test::tags(figure, "circle", "variant").size() == 2 * 3 + 1);  // and one in the key
  CHECK(test::tags(figure, "polygon", "hollow").size() == 2 * 3 + 1);
  // lines differ by dash, not by colour alone
  CHECK(test::tags(figure, "polyline", "stroke-dasharray").size() == 2);
}
