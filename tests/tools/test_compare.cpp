// compare: results read back, where they differ most, and what is said about it.
#include <doctest/doctest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/support/folder.hpp"
#include "tools/screen/comparison.hpp"
#include "tools/screen/difference_table.hpp"
#include "tools/screen/result_differences.hpp"
#include "tools/store/files.hpp"
#include "tools/store/results_read.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
namespace fs = std::filesystem;

namespace {

struct Folder : test::Folder {
  explicit Folder(const std::string& name) : test::Folder("compare-" + name) {}

  /// Runs a rod between cold ends into a folder of the name; the run takes a tenth of a second.
  fs::path rod(const std::string& name, const std::string& material = "isotropic graphite",
               const std::string& voltage = "1.5 V", const std::string& numerics = "{refinement: 1}") const {
    const fs::path file = path / (name + ".yaml");
    std::ofstream(file) << "format: 1\ntitle: rod\n"
                           "press: {name: bench, limits: {current: 2 kA, voltage: 10 V}, column ends: "
                           "{temperature: 25 degC}}\n"
                           "column:\n  - {name: rod, material: "
                        << material
                        << ", diameter: 10 mm, height: 100 mm}\n"
                           "surroundings: {chamber: 25 degC, radiation: off}\n"
                           "sensors:\n  - {name: middle, kind: thermocouple, in: rod, depth: 5 mm, height: "
                           "middle, stem error: off}\n"
                           "numerics: "
                        << numerics << "\nprogramme:\n  voltage: [{ramp to: " << voltage
                        << ", in: 30 s}, {hold: 5 min, name: soak}]\n";
    tools::run_case({file, path / name, true});
    return path / name;
  }
};

std::string compared(const fs::path& a, const fs::path& b) {
  return tools::comparison("one", tools::read_results(a), "two", tools::read_results(b));
}

bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// On one line, one space between words.
std::string flat(const std::string& text) {
  std::istringstream words(text);
  std::string packed;
  for (std::string word; words >> word;) packed += (packed.empty() ? "" : " ") + word;
  return packed;
}

/// Whether a line has these words, whatever the spaces between them.
bool has_line(const std::string& text, const std::string& words) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    if (flat(line) == words) return true;
  }
  return false;
}

void check_form(const std::string& text) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    INFO(line);
    CHECK(line.size() <= 100);
    CHECK((line.empty() || line.back() != ' '));
  }
}

std::string refusal(const fs::path& folder) {
  try {
    tools::read_results(folder);
  } catch (const tools::NoResults& problem) {
    return problem.what();
  }
  return "(none)";
}

/// Results as a file would hold them: a hold at 1350 degC, two cells, three rows.
tools::StoredResults stored() {
  tools::StoredResults r;
  r.summary.status = "completed";
  r.summary.version = "9.9";
  r.summary.case_sha256 = "1";
  r.summary.control_sensor = "wall / couple";
  r.summary.energy_balance_relative = r.summary.charge_balance_relative = 1e-12;
  r.summary.tool_part = "punch";
  r.case_text = "contacts: {lateral: {thermal: 1320 W/m2K}}";
  tools::StoredHold hold;
  hold.name = "sinter";
  hold.start_s = 10;
  hold.end_s = 30;
  hold.settled_from_s = 20;
  hold.sensor_K = 1623.15;
  hold.sample_mean_K = 1973.15;
  hold.offset_mean_K = 350;
  hold.parts.emplace();
  hold.parts->powder_gradient_K = 100;
  hold.parts->lateral_contact_K = 200;
  hold.parts->wall_drop_K = 35;
  hold.parts->stem_K = 15;
  hold.current_A = 1600;
  hold.power_W = 7000;
  r.summary.holds = {hold};
  r.cells = {{0, 0}, {0.01, 0.01}, {0, 0.02}, {0.02, 0.04}, {0, 1}, {"punch", "powder"}};
  r.field_times = {0, 30};
  r.temperatures = {300, 300, 1500, 2000.15};
  r.times = {0, 10, 30};
  r.history = {{"powder mean", {300, 1900, 1973.15}},
               {"wall _ couple reading", {300, 1600, 1623.15}},
               {"power", {0, 8000, 7000}}};
  r.fingerprint = "first";
  return r;
}

}  // namespace

TEST_CASE("largest difference of histories: on the union of the times, within the common span, at jumps") {
  const std::vector<double> ta{0, 10, 20}, a{0, 10, 20}, tb{5, 12, 40}, b{5, 19, 19};
  // At 12 the second is 19, the first 12; at 10 they are 15 and 10; beyond 20 only one goes on.
  auto largest = tools::largest_difference({ta, a}, {tb, b});
  REQUIRE(largest);
  CHECK(largest->time_s == 12);
  CHECK(largest->a == doctest::Approx(12));
  CHECK(largest->b == 19);

  // The second falls from 4 to 0 at 10, in two rows of that time: 10 - 0 after the jump, 10 - 4 before it.
  const std::vector<double> tj{0, 10, 10, 20}, j{0, 4, 0, 20};
  largest = tools::largest_difference({ta, a}, {tj, j});
  REQUIRE(largest);
  CHECK(largest->time_s == 10);
  CHECK(largest->b == 0);

  const double none = tools::not_there;
  const std::vector<double> gaps{none, none, 25};
  largest = tools::largest_difference({ta, a}, {ta, gaps});
  REQUIRE(largest);
  CHECK(largest->time_s == 20);
  CHECK(largest->b == 25);
  const std::vector<double> late{30, 40}, values{1, 2}, empty;
  CHECK(!tools::largest_difference({ta, a}, {late, values}));
  CHECK(!tools::largest_difference({ta, a}, {empty, empty}));
}

TEST_CASE("largest difference of fields: at common output times, with its place") {
  const tools::StoredResults a = stored();
  tools::StoredResults b = stored();
  b.field_times = {0, 15, 30};
  b.temperatures = {300, 300, 9000, 9000, 1510, 1980.15};
  REQUIRE(tools::same_cells(a.cells, b.cells));
  const auto largest = tools::largest_field_difference(a, b);
  REQUIRE(largest);
  CHECK(largest->outputs == 2);
  CHECK(largest->at.time_s == 30);
  CHECK(largest->at.b - largest->at.a == doctest::Approx(-20));
  CHECK(largest->part == "powder");
  CHECK(largest->r_m == doctest::Approx(0.005));
  CHECK(largest->z_m == doctest::Approx(0.03));
  b.field_times = {1, 15, 29};
  CHECK(!tools::largest_field_difference(a, b));
  b.cells.z_high[1] += 1e-6;
  CHECK(!tools::same_cells(a.cells, b.cells));
}

TEST_CASE("differences: same to the bit, below the decimals, in the unit of differences, in percent") {
  CHECK(tools::difference_text(300, 300, tools::in_degC) == "same");
  CHECK(tools::difference_text(300, 310.25, tools::in_degC) == "+10.2");
  CHECK(tools::difference_text(300, 299.998, tools::in_degC) == "-0.002");
  CHECK(tools::difference_text(300, 300.000001, tools::in_degC) == "~0");
  CHECK(tools::difference_text(300, tools::not_there, tools::in_degC).empty());
  CHECK(has_line(tools::table_row("power", 7000, 7700, tools::in_kW), "power 7.00 7.70 kW +0.70 kW +10.0 %"));
  CHECK(has_line(tools::table_row("powder", 1273.15, tools::not_there, tools::in_degC),
                 "powder 1000.0 - degC"));
  CHECK(tools::table_row("powder", tools::not_there, tools::not_there, tools::in_degC).empty());
}

TEST_CASE("comparison: the answer in words, the hold, histories with the offset, fields, warnings") {
  tools::StoredResults a = stored(), b = stored();
  b.fingerprint = "second";
  b.summary.case_sha256 = "2";
  b.case_text = "contacts: {lateral: {thermal: 4000 W/m2K}}";
  tools::StoredHold& hold = b.summary.holds[0];
  hold.sample_mean_K -= 150;
  hold.offset_mean_K -= 150;
  hold.parts->powder_gradient_K -= 20;
  hold.parts->lateral_contact_K -= 130;
  b.history[0].values = {300, 1780, 1823.15};
  b.temperatures[3] = 1850.15;
  b.summary.warnings = {"About 534 A/cm2 pass the punch.", "New."};
  a.summary.warnings = {"About 512 A/cm2 pass the punch."};

  const std::string text = tools::comparison("one", a, "two", b);
  check_form(text);
  CHECK(holds(text,
              "Both runs completed, with joulepress 9.9.\nThe cases differ in one entry (A -> B):\n"
              "  contacts.lateral.thermal: 1.32 kW/m2K -> 4 kW/m2K\n"));
  CHECK(holds(flat(text),
              "In \"sinter\" the powder is 150 K colder in B than in A (1550 degC against 1700 degC); its "
              "offset to the reading is +200 K instead of +350 K, its largest change in the lateral contact "
              "(-130 K)."));
  CHECK(holds(text, "Hold \"sinter\", 10 s to 30 s, averages from 20 s on\n"));
  CHECK(has_line(text, "wall / couple reads 1350.0 1350.0 degC same"));
  CHECK(has_line(text, "powder, mean 1700.0 1550.0 degC -150.0 K"));
  CHECK(has_line(text, "the lateral contact 200.0 70.0 K -130.0 K"));
  CHECK(has_line(text, "powder mean 1700.0 1550.0 degC -150.0 K 30.0 s"));
  CHECK(has_line(text, "offset, powder mean - reading 350.0 200.0 K -150.0 K 30.0 s"));
  CHECK(has_line(text, "power 0.00 0.00 kW same"));
  CHECK(holds(flat(text),
              "Of 2 common output times, B differs most from A at 30.0 s: by -150.0 K in powder (r 5.0 mm, z "
              "30.0 mm), 1577.0 degC against 1727.0 degC."));
  CHECK(holds(text, "Warnings that one of them has\n-----------------------------\n- B: New.\n"));
  CHECK(!holds(text, "534"));
  CHECK(!holds(text, "NOT CLOSED"));

  b.temperatures = a.temperatures;
  CHECK(holds(tools::comparison("one", a, "two", b), "The same to the last bit at 2 common output times.\n"));
  b.temperatures[0] += 1e-9;
  CHECK(
      holds(tools::comparison("one", a, "two", b), "The same but for rounding at 2 common output times.\n"));
  b.summary.status = "interrupted";
  b.summary.reason = "stopped from outside";
  CHECK(holds(tools::comparison("one", a, "two", b),
              "A completed.\nB did not complete: interrupted: stopped from outside.\n"));

  b.summary.energy_balance_relative = 1e-3;
  CHECK(holds(tools::comparison("one", a, "two", b), "A balance of B is NOT CLOSED"));
}

TEST_CASE("comparison: holds by name, then by order; the rest is said to be in one only") {
  tools::StoredResults a = stored(), b = stored();
  b.fingerprint = "second";
  const auto named = [](const std::string& name, double current) {
    tools::StoredHold hold;
    hold.name = name;
    hold.start_s = hold.end_s = hold.settled_from_s = 0;
    hold.current_A = current;
    return hold;
  };
  a.summary.holds = {named("dry", 100), named("sinter", 200), named("last", 300)};
  b.summary.holds = {named("sinter", 220), named("warm", 110)};
  const std::string text = tools::comparison("one", a, "two", b);
  CHECK(holds(text, "Hold \"dry\" of A, \"warm\" of B, 0 s to 0 s"));
  CHECK(has_line(text, "current (effective) 100 110 A +10 A +10.0 %"));
  CHECK(has_line(text, "current (effective) 200 220 A +20 A +10.0 %"));
  CHECK(holds(text, "Hold \"last\" is in A only\n"));
  CHECK(!holds(text, "in B only"));
}

TEST_CASE("comparison: at most twenty changes of the case, long values from where they part") {
  tools::StoredResults a = stored(), b = stored();
  b.fingerprint = b.summary.case_sha256 = "second";
  a.case_text = b.case_text = "";
  for (int k = 0; k < 23; ++k) {
    a.case_text += "k" + std::to_string(k) + ": 1\n";
    b.case_text += "k" + std::to_string(k) + ": 2\n";
  }
  std::string text = tools::comparison("one", a, "two", b);
  CHECK(holds(text, "The cases differ in 23 entries (A -> B):\n"));
  CHECK(holds(text, "  k19: 1 -> 2\n  and 3 more;"));
  CHECK(!holds(text, "k20"));

  const std::string same(70, 'x');
  a.case_text = "note: " + same + " old " + same;
  b.case_text = "note: " + same + " new " + same;
  text = tools::comparison("one", a, "two", b);
  check_form(text);
  CHECK(holds(text, "    A  ...xxxxxxxxxxxxxxxxxxx old xxx"));
  CHECK(holds(text, "    B  ...xxxxxxxxxxxxxxxxxxx new xxx"));
}

TEST_CASE("results read back: summary.json and results.h5 as other readers see them") {
  const Folder folder("read");
  const fs::path run = folder.rod("a");
  const tools::StoredResults r = tools::read_results(run);
  const auto json = nlohmann::json::parse(tools::read_whole(run / "summary.json"));
  CHECK(r.summary.status == "completed");
  CHECK(r.summary.version == json["version"].get<std::string>());
  CHECK(r.summary.case_sha256 == tools::sha256(tools::read_whole(run / "resolved_case.yaml")));
  CHECK(r.case_text == tools::read_whole(run / "resolved_case.yaml"));
  CHECK(r.summary.cells == static_cast<double>(r.cells.part.size()));
  CHECK(r.summary.electric_J == json["energy_J"]["electric"].get<double>());
  CHECK(r.summary.tool_max_K == json["peak"]["tool_max_K"].get<double>());
  REQUIRE(r.summary.holds.size() == 1);
  CHECK(r.summary.holds[0].name == "soak");
  CHECK(r.summary.holds[0].current_A == json["holds"][0]["current_A"].get<double>());
  CHECK(std::isnan(r.summary.holds[0].sample_mean_K));  // null

  std::istringstream table(tools::read_whole(run / "history.csv"));
  std::string head, line, last;
  std::getline(table, head);
  while (std::getline(table, line)) last = line;
  std::istringstream names(head), values(last);
  std::map<std::string, double> ends;
  for (std::string name, value; std::getline(names, name, ',') && std::getline(values, value, ',');)
    if (name == "time [s]" || name == "middle reading [K]" || name == "power [W]")
      ends[name] = std::stod(value);
  CHECK(r.times.back() == ends.at("time [s]"));
  REQUIRE(r.column("middle reading"));
  CHECK(r.column("middle reading")->back() == ends.at("middle reading [K]"));
  REQUIRE(r.column("power"));
  CHECK(r.column("power")->back() == ends.at("power [W]"));
  CHECK(r.column("drive") == nullptr);  // words
  CHECK(r.temperatures.size() == r.cells.part.size() * r.field_times.size());
}

TEST_CASE("compare: two runs of the same case are said to be the same to the last bit, nothing is written") {
  const Folder folder("same");
  const fs::path a = folder.rod("a"), b = folder.rod("b");
  std::map<fs::path, std::string> before;
  for (const auto& entry : fs::recursive_directory_iterator(folder.path))
    if (entry.is_regular_file()) before[entry.path()] = tools::read_whole(entry.path());
  CHECK(compared(a, b) ==
        "A  one   (rod)\nB  two   (rod)\n\n"
        "The results are the same to the last bit (summary.json and results.h5).\n");
  CHECK(tools::compare_results({{a, b}, {}}) == tools::done);
  CHECK(tools::compare_results({{a, a / "."}, {}}) == tools::bad_input);
  CHECK(tools::compare_results({{a, b, a / "."}, {}}) == tools::bad_input);
  CHECK(tools::compare_results({{a, b, folder.rod("c")}, {}}) == tools::done);
  fs::remove_all(folder.path / "c");
  fs::remove(folder.path / "c.yaml");
  std::size_t after = 0;
  for (const auto& entry : fs::recursive_directory_iterator(folder.path))
    if (entry.is_regular_file()) {
      ++after;
      CHECK(before.at(entry.path()) == tools::read_whole(entry.path()));
    }
  CHECK(after == before.size());
}

TEST_CASE("compare: another material, another grid, a failed run") {
  const Folder folder("runs");
  const fs::path a = folder.rod("a");
  const std::string material = compared(a, folder.rod("heavy", "tungsten", "0.2 V"));
  check_form(material);
  CHECK(holds(material, "  column[rod].material: isotropic graphite -> tungsten\n"));
  CHECK(holds(material, "  programme.voltage[0].ramp to: 1.5 V -> 0.2 V\n"));
  CHECK(holds(material, "  materials[tungsten]\n    A  (not there)\n"));
  CHECK(holds(material, "In \"soak\" the sensor reads "));
  CHECK(has_line(material, "voltage between the column ends 1.50 0.20 V -1.30 V -86.7 %"));
  CHECK(holds(material, "Of 14 common output times, B differs most from A"));

  const std::string grid = compared(a, folder.rod("fine", "isotropic graphite", "1.5 V", "{refinement: 2}"));
  check_form(grid);
  CHECK(holds(grid, "The cases differ in one entry (A -> B):\n  numerics.refinement: 1 -> 2\n"));
  CHECK(holds(grid, "The grids differ ("));
  CHECK(has_line(grid, "sensor: material - reading 0.0 0.0 K same"));

  // 6 V carry graphite beyond the end of its data, and the case is strict about that.
  const std::string failed =
      compared(a, folder.rod("hot", "isotropic graphite", "6 V", "{refinement: 1, strict: on}"));
  check_form(failed);
  CHECK(holds(failed, "A completed.\nB did not complete: failed at t = "));
  CHECK(holds(failed, "Compared is what there is, with joulepress "));
  CHECK(holds(failed, "Histories: where they differ most, 0 s to 4"));
  CHECK(tools::compare_results({{a, folder.path / "hot"}, {}}) == tools::done);
}

TEST_CASE("compare: what is no result is refused in one sentence, what cannot be read is a file error") {
  const Folder folder("refused");
  const fs::path a = folder.rod("alumina");
  const std::string at = folder.path.string();
  CHECK(refusal(folder.path / "alumnia") ==
        "There is no folder \"" + at + "/alumnia\". Did you mean \"alumina\"?  Known: alumina.");
  CHECK(tools::compare_results({{a, folder.path / "alumnia"}, {}}) == tools::bad_input);
  CHECK(refusal(folder.path / "alumina.yaml") ==
        "\"" + at + "/alumina.yaml\" is a file; give the folder of a run.");
  CHECK(refusal(folder.path) == "\"" + at +
                                    "\" holds no results (no summary.json); make some with `joulepress run "
                                    "CASE --out " +
                                    at + "`.");
  std::ofstream(folder.path / "results.h5.part") << "begun";
  CHECK(holds(refusal(folder.path), "has not ended: wait for it or, when it was killed, go on with"));

  const fs::path summary = a / "summary.json";
  const std::string whole = tools::read_whole(summary);
  auto json = nlohmann::json::parse(whole);
  const auto write = [&](const char* key, const nlohmann::json& value) {
    auto changed = json;
    changed[key] = value;
    tools::write_whole(summary, changed.dump());
  };
  write("schema", "joulepress.summary/9");
  CHECK(refusal(a) ==
        "\"" + summary.string() +
            "\" has the schema joulepress.summary/9; this joulepress reads joulepress.summary/1.");
  write("case_sha256", "0123");
  CHECK(holds(refusal(a), "is of another case than the summary.json beside it"));
  write("holds", "none");
  CHECK_THROWS_AS(tools::read_results(a), tools::FileError);
  tools::write_whole(summary, whole.substr(0, whole.size() / 2));
  CHECK_THROWS_AS(tools::read_results(a), tools::FileError);

  tools::write_whole(summary, whole);
  const std::string results = tools::read_whole(a / "results.h5");
  tools::write_whole(a / "results.h5", results.substr(0, results.size() / 2));
  CHECK_THROWS_AS(tools::compare_results({{a, a}, {}}), tools::FileError);
  fs::remove(a / "results.h5");
  CHECK(holds(refusal(a), "has a summary.json but no results.h5"));
}
