// Studies from made-up summaries: what measures mean, which variants are good, and that tables and bounds say
// what the numbers say.
#include <doctest/doctest.h>

#include <cmath>
#include <nlohmann/json.hpp>
#include <sstream>

#include "cases/many/plan.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "tests/support/folder.hpp"
#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"
#include "tools/study/advice.hpp"
#include "tools/study/vary_study.hpp"

using namespace joulepress;
using test::Folder;
using tools::Finished;
using tools::Measure;
using tools::Outcome;
namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;

/// A summary with two holds, of the numbers that measures look at.
Json summary(double offset, double current, double density) {
  return {{"schema", "joulepress.summary/1"},
          {"cells", 100},
          {"peak", {{"current_A", current}, {"voltage_V", 4.5}}},
          {"end", {{"time_s", 1395.0}}},
          {"energy_J", {{"electric", 3e6}}},
          {"holds",
           {{{"name", "soak"}, {"offset_mean_K", offset - 10}, {"sample_mean_K", 900.0}},
            {{"name", "sinter"},
             {"offset_mean_K", offset},
             {"sample_mean_K", 1700.0},
             {"power_W", 5900.0},
             {"relative_density_end_mean", std::isnan(density) ? Json() : Json(density)}}}}};
}

/// A member that ended, with this summary; null: none was written.
Finished member(const Folder& folder, const std::string& id, Outcome outcome, const Json& json,
                const std::string& reason = {}) {
  const fs::path home = folder.path / "members" / id;
  fs::create_directories(home);
  if (!json.is_null()) tools::write_whole(home / "summary.json", json.dump());
  return {outcome, reason, home};
}

std::string address_of(const std::string& words) {
  const auto measure = tools::measure_of(words);
  return measure ? measure->address : "none";
}

/// A plan over the alumina case: four diameters of the die by two materials.
cases::Plan plan_of(const Folder& folder, const std::string& more) {
  return cases::read_plan(folder.write(
      "plan.yaml", "format: 1\ntitle: walls\ncase: " + (root / "cases" / "alumina-20mm.yaml").string() +
                       "\nvary:\n  - {key: \"sleeves[die].outer diameter\", values: [40 mm, 50 mm, 60 mm]}\n"
                       "  - {key: \"sleeves[die].material\", values: [isotropic graphite, molybdenum]}\n" +
                       more));
}

std::vector<std::vector<std::string>> rows_of(const std::string& csv) {
  std::vector<std::vector<std::string>> rows;
  std::istringstream lines(csv);
  for (std::string line; std::getline(lines, line);) {
    rows.emplace_back(1);
    bool quoted = false;
    for (const char c : line) {
      if (c == '"')
        quoted = !quoted;
      else if (c == ',' && !quoted)
        rows.back().emplace_back();
      else
        rows.back().back() += c;
    }
  }
  return rows;
}

/// The study of six members: good, too much current, no density, stopped, failed, refused.
struct Made {
  Folder folder{"studies"};
  cases::Plan plan;
  tools::Wishes wishes;
  std::vector<tools::Member> members;
  tools::CrewResult result;
  tools::VaryStudy study;

  Made()
      : plan(plan_of(
            folder,
            "collect: [offset, offset at 0, powder mean, largest current, density]\n"
            "require:\n  - {value: largest current, at most: 1.7 kA}\n"
            "  - {value: density, at least: 97 %}\n  - {value: offset, at least: 50 K, at most: 400 K}\n")),
        wishes(tools::wishes_of(plan)),
        members(tools::crew_members(plan, wishes)) {
    const double none = std::nan("");
    result.members = {
        member(folder, "0001", Outcome::completed, summary(310.25, 1650.5, 0.9875)),
        member(folder, "0002", Outcome::completed, summary(410, 1800, 0.99)),
        member(folder, "0003", Outcome::completed, summary(100, 1500, none)),
        member(folder, "0004", Outcome::stopped, summary(200, 1600, 0.98), "current above 1.6 kA"),
        member(folder, "0005", Outcome::failed, Json(), "no step, \"however\" small"),
        member(folder, "0006", Outcome::refused, Json(), "The bore ends outside.")};
    study = tools::vary_study(plan, wishes, members, result);
  }
};

}  // namespace

TEST_CASE("measures: names and what they are in summary.json") {
  CHECK(address_of("offset") == "holds[-1].offset_mean_K");
  CHECK(address_of("offset at sinter") == "holds[sinter].offset_mean_K");
  CHECK(address_of("offset at 0") == "holds[0].offset_mean_K");
  CHECK(address_of("power at pre-heat. [2]") == "holds[pre-heat. [2]].power_W");
  CHECK(address_of("largest current") == "peak.current_A");
  CHECK(address_of("time") == "end.time_s");
  CHECK(address_of("holds[sinter].sensors[die thermocouple].reading_K") ==
        "holds[sinter].sensors[die thermocouple].reading_K");
  CHECK(address_of("largest current at sinter") == "none");
  CHECK(address_of("ofset") == "none");
  CHECK(address_of("") == "none");
  CHECK(tools::measure_names().size() == tools::named_measures().size());
  for (const Measure& measure : tools::named_measures()) {
    CHECK(measure.means.ends_with('.'));
    CHECK(address_of(measure.name) == measure.address);
  }
}

TEST_CASE("measures: the ending of an address tells what it is, and how it is shown and stored") {
  const auto kind = [](const std::string& address) { return tools::measure_of(address)->kind; };
  using cases::Kind;
  CHECK(kind("peak.current_A") == Kind::current);
  CHECK(kind("peak.power_W") == Kind::power);
  CHECK(kind("peak.voltage_V") == Kind::voltage);
  CHECK(kind("end.time_s") == Kind::time);
  CHECK(kind("stroke.total_m") == Kind::length);
  CHECK(kind("force.largest_N") == Kind::force);
  CHECK(kind("force.pressure_Pa") == Kind::pressure);
  CHECK(kind("holds[0].sample_mean_K") == Kind::temperature);
  CHECK(kind("holds[0].offset_mean_K") == Kind::temperature_difference);
  CHECK(kind("holds[0].offset_parts_K.stem") == Kind::temperature_difference);
  CHECK(kind("holds[0].sensor_error_K") == Kind::temperature_difference);
  CHECK(kind("holds[0].relative_density_end_mean") == Kind::ratio);
  CHECK(tools::with_unit(*tools::measure_of("powder mean"), 1700.0) == "1426.8 degC");
  CHECK(tools::with_unit(*tools::measure_of("offset"), 94.56) == "94.6 K");
  CHECK(tools::with_unit(*tools::measure_of("power"), 1823.0) == "1.82 kW");
  CHECK(tools::with_unit(*tools::measure_of("density"), 0.9876) == "98.76 %");
  CHECK(tools::with_unit(*tools::measure_of("offset"), std::nan("")) == "-");
  CHECK(tools::in_files(*tools::measure_of("powder mean")) == "powder mean [K]");
  CHECK(tools::in_files(*tools::measure_of("density")) == "density [1]");
  const auto numbers = tools::read_summary(summary(5, 6, 0.7).dump(), "made up");
  CHECK(tools::value_of(*tools::measure_of("offset at soak"), numbers) == -5.0);
  CHECK(tools::value_of(*tools::measure_of("powder mean"), numbers) == 1700.0);
  CHECK(std::isnan(tools::value_of(*tools::measure_of("stroke"), numbers)));
}

TEST_CASE("measures: every name has its number in a run that has one") {
  cases::Case c = cases::read_case(root / "cases" / "nickel-20mm.yaml");
  c.accuracy = 2;  // K
  const Folder folder("measured");
  const std::vector<tools::Member> members{{"nickel", "nickel", cases::resolved_case(c)}};
  const auto result = tools::run_members({folder.path, {}, 1, true}, members);
  const auto numbers = tools::summary_of(*result.members[0]);
  for (const Measure& measure : tools::named_measures()) {
    CAPTURE(measure.name);
    CHECK(std::isfinite(tools::value_of(measure, numbers)));
  }
}

TEST_CASE("vary: which members are good, and why the others are not") {
  const Made made;
  const auto& members = made.study.members;
  REQUIRE(members.size() == 6);
  CHECK(made.study.complete());
  CHECK(made.members[0].id == "0001");
  CHECK(members[1].label == "40 mm, molybdenum");
  using Words = std::vector<std::string>;
  CHECK(members[0].good());
  CHECK(members[0].misses.empty());
  CHECK(!members[1].good());
  CHECK(members[1].misses ==
        Words{"largest current 1800 A, at most 1700 A", "offset 410.0 K, at most 400.0 K"});
  CHECK(!members[2].good());  // no density is none to be satisfied with
  CHECK(members[2].misses == Words{"density -, at least 97.00 %"});
  CHECK(members[3].misses.empty());
  for (const std::size_t k : {3u, 4u, 5u}) CHECK(!members[k].good());
  CHECK(members[0].values == std::vector<double>{310.25, 300.25, 1700, 1650.5, 0.9875});
  CHECK(std::isnan(members[2].values[4]));
  CHECK(members[3].values[0] == 200);  // what a stopped run came to
  for (const std::size_t k : {4u, 5u})
    for (const double value : members[k].values) CHECK(std::isnan(value));
  const auto& settings = made.study.settings;
  REQUIRE(settings.size() == 2);
  CHECK(settings[0].numbers == std::vector<double>{40, 40, 50, 50, 60, 60});
  CHECK(settings[0].unit == "mm");
  CHECK(settings[1].numbers.empty());
  CHECK(settings[1].written[1] == "molybdenum");

  tools::CrewResult some = made.result;
  some.members[2].reset();
  const auto open = tools::vary_study(made.plan, made.wishes, made.members, some);
  CHECK(!open.complete());
  CHECK(!open.members[2].good());
}

TEST_CASE("vary: a bound is kept to the last bit, on both sides") {
  const Folder folder("bounds");
  const cases::Plan plan =
      plan_of(folder, "require: [{value: largest current, at least: 1.5 kA, at most: 1.6 kA}]\n");
  const auto good = [&](double current) {
    tools::CrewResult result;
    result.members.assign(6, member(folder, "m", Outcome::completed, summary(0, current, 1)));
    return tools::vary_study(plan, tools::wishes_of(plan), tools::crew_members(plan, tools::wishes_of(plan)),
                             result)
        .members[0]
        .good();
  };
  CHECK(good(1500));
  CHECK(good(1600));
  CHECK(!good(std::nextafter(1500.0, 0.0)));
  CHECK(!good(std::nextafter(1600.0, 1e9)));
}

TEST_CASE("vary: table.csv, table.h5 and vary.json say the same, results in SI") {
  const Made made;
  const auto rows = rows_of(tools::vary_csv(made.study));
  REQUIRE(rows.size() == 7);
  using Words = std::vector<std::string>;
  CHECK(rows[0] == Words{"id", "sleeves[die].outer diameter [mm]", "sleeves[die].material", "offset [K]",
                         "offset at 0 [K]", "powder mean [K]", "largest current [A]", "density [1]",
                         "outcome", "good", "why not"});
  CHECK(rows[1] == Words{"0001", "40", "isotropic graphite", "310.25", "300.25", "1700", "1650.5", "0.9875",
                         "completed", "yes", ""});
  CHECK(rows[3][7] == "");
  CHECK(rows[3][10] == "density -, at least 97.00 %");
  CHECK(rows[4][8] == "stopped");
  CHECK(rows[4][10] == "current above 1.6 kA");
  CHECK(rows[6] ==
        Words{"0006", "60", "molybdenum", "", "", "", "", "", "refused", "no", "The bore ends outside."});

  const fs::path file = made.folder.path / "table.h5";
  tools::write_vary_h5(made.study, file);
  const auto table = tools::h5::File::open(file);
  const Json json = Json::parse(tools::vary_json(made.study));
  CHECK(json["schema"] == "joulepress.vary/1");
  CHECK(json["title"] == "walls");
  CHECK(json["complete"] == true);
  CHECK(json["required"][1]["at_least"] == 0.97);
  CHECK(json["required"][1]["at_most"].is_null());
  CHECK(table.texts("id") == Words{"0001", "0002", "0003", "0004", "0005", "0006"});
  CHECK(table.texts("settings/sleeves[die].material")[1] == "molybdenum");
  CHECK(table.numbers("settings/sleeves[die].outer diameter") == std::vector<double>{40, 40, 50, 50, 60, 60});
  CHECK(table.text_attribute("settings/sleeves[die].outer diameter", "unit") == "mm");
  CHECK(table.text_attribute("values/density", "unit") == "1");
  for (std::size_t m = 0; m < made.study.measures.size(); ++m) {
    const Measure& measure = made.study.measures[m];
    const auto column = table.numbers("values/" + measure.name);
    CHECK(table.text_attribute("values/" + measure.name, "unit") ==
          (measure.kind == cases::Kind::ratio ? "1" : cases::si_unit(measure.kind)));
    REQUIRE(column.size() == 6);
    for (std::size_t k = 0; k < 6; ++k) {
      const Json& value = json["members"][k]["values"][measure.address];
      const std::string& cell = rows[k + 1][3 + m];
      CHECK(value.is_null() == std::isnan(column[k]));
      CHECK(cell.empty() == std::isnan(column[k]));
      if (cell.empty()) continue;
      CHECK(value.get<double>() == column[k]);
      CHECK(std::stod(cell) == column[k]);
    }
  }
  for (std::size_t k = 0; k < 6; ++k) {
    const Json& one = json["members"][k];
    CHECK(one["good"].get<bool>() == (rows[k + 1][9] == "yes"));
    CHECK(one["outcome"] == rows[k + 1][8]);
    CHECK(table.texts("outcome")[k] == rows[k + 1][8]);
    CHECK(one["settings"]["sleeves[die].outer diameter"] == made.study.settings[0].written[k]);
  }
  CHECK(json["members"][4]["reason"] == "no step, \"however\" small");
}

TEST_CASE("vary: names with slashes, and settings that mix units, are columns too") {
  const Folder folder("slashes");
  const std::string text =
      "format: 1\npress: {name: bench, column ends: {temperature: 25 degC}}\n"
      "column: [{name: rod 1/2, material: isotropic graphite, diameter: 10 mm, height: 100 mm}]\n"
      "surroundings: {radiation: off}\nprogramme: {voltage: [{ramp to: 1 V, in: 10 s}, {hold: 1 min, name: "
      "a/b}]}\n";
  folder.write("rod.yaml", text);
  const cases::Plan plan = cases::read_plan(
      folder.write("plan.yaml",
                   "format: 1\ncase: rod.yaml\nvary: [{key: \"column[rod 1/2].height\", values: [50 "
                   "mm, 6 cm]}]\ncollect: [power at a/b, time]\n"));
  tools::CrewResult result;
  result.members.assign(2, member(folder, "m", Outcome::completed, summary(0, 1, 1)));
  const auto study = tools::vary_study(plan, tools::wishes_of(plan),
                                       tools::crew_members(plan, tools::wishes_of(plan)), result);
  CHECK(study.settings[0].numbers.empty());
  tools::write_vary_h5(study, folder.path / "table.h5");
  const auto table = tools::h5::File::open(folder.path / "table.h5");
  CHECK(table.texts("settings/column[rod 1_2].height") == std::vector<std::string>{"50 mm", "6 cm"});
  CHECK(table.names("values") == std::vector<std::string>{"power at a_b", "time"});
}

TEST_CASE("vary: the screen shows what people use, and tells every miss") {
  const Made made;
  const std::string screen = tools::vary_screen(made.study);
  for (const char* words : {"outer diameter", "molybdenum", "1426.8", "98.75", "yes", "0.9875"}) {
    CAPTURE(words);
    CHECK((screen.find(words) != std::string::npos) == (std::string(words) != "0.9875"));
  }
  CHECK(screen.find("40 mm, molybdenum: largest current 1800 A, at most 1700 A") != std::string::npos);
  CHECK(screen.find("60 mm, molybdenum: refused: The bore ends outside.") != std::string::npos);
}

TEST_CASE("vary: the good variant with the least or the most is recommended, beside its neighbours") {
  const Folder folder("advice");
  const auto advised = [&](const std::string& recommend, double current_of_second) {
    const cases::Plan plan = cases::read_plan(folder.write(
        "plan.yaml", "format: 1\ncase: " + (root / "cases" / "alumina-20mm.yaml").string() +
                         "\nvary: [{key: \"sleeves[die].outer diameter\", values: [60 mm, 45 mm, 50 mm]}]\n"
                         "collect: [largest current]\nrequire: [{value: largest current, at most: 1.6 kA}]\n"
                         "recommend: {" +
                         recommend + "}\n"));
    const tools::Wishes wishes = tools::wishes_of(plan);
    tools::CrewResult result;
    result.members = {member(folder, "a", Outcome::completed, summary(0, 1500, 1)),
                      member(folder, "b", Outcome::completed, summary(0, current_of_second, 1)),
                      member(folder, "c", Outcome::completed, summary(0, 1550, 1))};
    return tools::vary_study(plan, wishes, tools::crew_members(plan, wishes), result);
  };
  const std::string wall = "\"sleeves[die].outer diameter\"";
  const auto least = advised("least: " + wall, 1700);  // 45 mm takes too much current
  REQUIRE(least.advice);
  CHECK(least.advice->chosen == 2u);
  CHECK(least.advice->before == 1u);
  CHECK(least.advice->after == 0u);
  CHECK(tools::differences(least, 2, 1) == "largest current +150 A");
  const std::string screen = tools::advice_screen(least);
  CHECK(screen.find("Recommended: 50 mm, which has the least sleeves[die].outer diameter of 2 good") !=
        std::string::npos);
  CHECK(screen.find("45 mm (largest current 1700 A, at most 1600 A) would have") != std::string::npos);
  CHECK(Json::parse(tools::vary_json(least))["recommended"]["id"] == "0003");
  const auto most = advised("most: " + wall, 1500);
  CHECK(most.advice->chosen == 0u);
  CHECK(most.advice->before == 2u);
  CHECK(!most.advice->after);
  CHECK(advised("least: largest current", 1540).advice->chosen == 0u);
  CHECK(advised("most: largest current", 1540).advice->chosen == 2u);
  const auto all_bad = advised("least: " + wall, 1700);
  auto none = all_bad;
  CHECK(tools::advised_part(none, tools::crew_members(cases::read_plan(folder.path / "plan.yaml"), {}),
                            "x.yaml")
            .find("<svg") != std::string::npos);
  none.advice->chosen.reset();
  CHECK(tools::advice_screen(none) == "Recommended: none, since no variant is good.\n");
  CHECK(tools::advised_part(none, {}, "x.yaml") == "");
}

TEST_CASE("vary: tools are judged where a value of theirs is asked for only") {
  const Folder folder("judged");
  const auto says_off = [&](const std::string& collect) {
    const cases::Plan plan = plan_of(folder, "collect: [" + collect + "]\n");
    const std::string text = tools::crew_members(plan, tools::wishes_of(plan))[2].case_text;  // 50 mm
    REQUIRE(!text.empty());
    return text.find("judge: off") != std::string::npos;
  };
  CHECK(!says_off("offset, margin"));
  CHECK(says_off("offset, power"));
}

TEST_CASE("vary: members that are no case are refused before anything runs, at the place in the plan") {
  const Folder folder("crew-members");
  const cases::Plan plan = cases::read_plan(folder.write(
      "plan.yaml", "format: 1\ncase: " + (root / "cases" / "alumina-20mm.yaml").string() +
                       "\nvary: [{key: \"sleeves[die].outer diameter\", values: [50 mm, 20 mm]}]\n"));
  const auto members = tools::crew_members(plan, tools::wishes_of(plan));
  CHECK(members[0].refused == "");
  CHECK(members[0].case_text.find("outer diameter: 0.05 m") != std::string::npos);
  CHECK(members[1].case_text == "");
  CHECK(members[1].refused ==
        "sleeves[0].outer diameter: The outer diameter is not larger than the inner one. Check both. "
        "(plan.yaml:3:61)");
}
