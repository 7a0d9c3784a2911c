// What measured runs taught: a calibration taken into a case, said again by its resolved text, drawn by
// samples, written for other cases, and refused.
#include <doctest/doctest.h>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <map>
#include <random>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/calibrate.hpp"
#include "cases/many/uncertain.hpp"
#include "cases/many/variant.hpp"
#include "cases/process_faults.hpp"
#include "cases/reader/calibration_writer.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using cases::Case;
using test::Folder;
using test::holds;
using test::relative;

const fs::path root = JOULEPRESS_SOURCE_DIR;
const fs::path calibrated_file = root / "tests" / "all_keys" / "case-calibrated.yaml";
const fs::path calibration = root / "tests" / "all_keys" / "calibration.yaml";
const fs::path alumina = root / "cases" / "alumina-20mm.yaml";

std::string replaced(std::string text, const std::string& was, const std::string& is) {
  const auto at = text.find(was);
  REQUIRE(at != std::string::npos);
  return text.replace(at, was.size(), is);
}

std::string error_of(const fs::path& file, const std::string& instead = {}) {
  try {
    cases::load_case(file, {}, instead);
  } catch (const cases::InputErrors& errors) {
    return errors.what();
  }
  return "accepted";
}

/// A case that does not know of the calibration.
Case plain() {
  const Folder folder("joulepress_plain");
  return cases::read_case(folder.write(
      "case.yaml", replaced(test::content(calibrated_file), "calibration: calibration.yaml\n", "")));
}

using Scores = std::map<std::string, std::vector<double>>;

/// Standard scores of the calibrated values in so many samples, by their own spreads told by hand.
Scores drawn(const Case& c, int samples) {
  const auto inputs = cases::uncertain_inputs(c, cases::resolved_document(c));
  std::mt19937_64 engine(11);
  Scores scores;
  for (int k = 0; k < samples; ++k) {
    std::vector<double> shares;
    for (std::size_t n = 0; n < inputs.size(); ++n)
      shares.push_back((static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53);
    for (const cases::Edit& edit : cases::sample_edits(inputs, shares)) {
      const double x = std::stod(edit.value.text);
      if (edit.address == "contacts.lateral.thermal")
        scores[edit.address].push_back(std::log(x / 1900.0) / (0.5 * std::log(1.25)));
      if (edit.address == "press.column ends.film")
        scores[edit.address].push_back(std::log(x / 700.0) / (0.5 * std::log(1.4)));
      if (edit.address == "materials[isotropic graphite].resistivity")  // of the whole factor, 1.1
        scores[edit.address].push_back((1.1 * x - 1.1) / 0.05);
      if (edit.address == "press.column ends.water") scores[edit.address].push_back((x - 298.15) / 3.0);
    }
  }
  return scores;
}

double mean_product(const std::vector<double>& a, const std::vector<double>& b) {
  double sum = 0.0;
  for (std::size_t k = 0; k < a.size(); ++k) sum += a[k] * b[k];
  return sum / static_cast<double>(a.size());
}

std::vector<const cases::UncertainInput*> directions_of(const std::vector<cases::UncertainInput>& inputs) {
  std::vector<const cases::UncertainInput*> directions;
  for (const auto& input : inputs)
    if (input.name.starts_with("calibrated: ")) directions.push_back(&input);
  return directions;
}

}  // namespace

TEST_CASE("calibration: a file sets its values, and what the case does not have is not taken") {
  const Case c = cases::read_case(calibrated_file), was = plain();
  CHECK(c.contacts.heat_lateral == 1900.0);
  CHECK(c.contacts.heat_axial == was.contacts.heat_axial);
  CHECK(c.press.end_film == 700.0);
  CHECK(c.press.water_temperature == 298.15);
  REQUIRE(c.scales.size() == 1);
  CHECK(cases::whole_factor(c, "isotropic graphite", "resistivity") == 1.1);
  for (const double T : {300.0, 1500.0})
    CHECK(cases::material_named(c, "isotropic graphite").resistivity.along.curve.value(T) ==
          relative(1.1 * cases::material_named(was, "isotropic graphite").resistivity.along.curve.value(T)));
  REQUIRE(c.calibration);
  CHECK(c.calibration->logs.size() == 2);
  CHECK(cases::logs_in_words(*c.calibration) == "run-12.csv (began 2026-03-02 07:15), run-13.csv");
  REQUIRE(c.calibration->inputs.size() == 4);  // without the jacket, and its row and column
  CHECK(c.calibration->correlation ==
        std::vector<double>{1, 0.8, -0.3, 0, 0.8, 1, 0.1, 0, -0.3, 0.1, 1, 0, 0, 0, 0, 1});
  CHECK(c.calibration->inputs[0].left == 0.3);
  CHECK(c.calibration->inputs[3].values.at(0).deviation == 3.0);
  CHECK(c.calibration->not_taken == std::vector<std::string>{"sleeves[jacket].height"});
  CHECK(cases::factor_left(c, "contacts.lateral.thermal") == 1.25);
  CHECK_FALSE(cases::factor_left(c, "press.column ends.water"));
  std::string said;
  for (const cases::Doubt& doubt : cases::doubts_of(c)) said += doubt.sentence + "\n";
  CHECK(holds(said, "Of the calibration this case does not have, and did not take: sleeves[jacket].height."));
  // It is the case all the same: file, places, what it names.
  CHECK(c.file == calibrated_file.string());
  CHECK(c.text == test::content(calibrated_file));
  CHECK(c.sleeves.at(0).written.place.line == was.sleeves.at(0).written.place.line + 1);
  REQUIRE(c.included.size() == 2);
  CHECK(c.included[1].name == "calibration.yaml");
  CHECK(c.starts_as_chamber);
}

TEST_CASE("calibration: the resolved case stands alone and reads back to the same bits") {
  const Case c = cases::read_case(calibrated_file);
  const std::string text = cases::resolved_case(c);
  const Folder folder("joulepress_calibrated");
  const Case again = cases::read_case(folder.write("resolved.yaml", text));
  CHECK(cases::resolved_case(again) == text);
  CHECK_FALSE(holds(text, "is: "));
  REQUIRE(again.calibration);
  CHECK(again.calibration->correlation == c.calibration->correlation);
  REQUIRE(again.calibration->inputs.size() == c.calibration->inputs.size());
  for (std::size_t k = 0; k < c.calibration->inputs.size(); ++k) {
    const auto &a = again.calibration->inputs[k], &b = c.calibration->inputs[k];
    CHECK(a.name == b.name);
    CHECK(a.left == b.left);
    REQUIRE(a.values.size() == b.values.size());
    CHECK(a.values[0].address == b.values[0].address);
    CHECK(a.values[0].factor == b.values[0].factor);
    CHECK(a.values[0].deviation == b.values[0].deviation);
  }
  CHECK(again.calibration->logs.at(0).sha256 == c.calibration->logs.at(0).sha256);
  CHECK(again.calibration->logs.at(0).case_title == "alumina of all keys");
  CHECK(cases::material_named(again, "isotropic graphite").resistivity.along.curve.value(1000) ==
        cases::material_named(c, "isotropic graphite").resistivity.along.curve.value(1000));
  // What is uncertain of it is drawn alike, bit by bit.
  const auto a = cases::uncertain_inputs(c, cases::resolved_document(c)),
             b = cases::uncertain_inputs(again, cases::resolved_document(again));
  REQUIRE(a.size() == b.size());
  const auto edits = cases::sample_edits(a, std::vector<double>(a.size(), 0.7)),
             others = cases::sample_edits(b, std::vector<double>(b.size(), 0.7));
  REQUIRE(edits.size() == others.size());
  for (std::size_t k = 0; k < edits.size(); ++k) CHECK(edits[k].value.text == others[k].value.text);
}

TEST_CASE("calibration: samples have the deviations and the correlation that it says") {
  constexpr int samples = 4000;
  Scores scores = drawn(cases::read_case(calibrated_file), samples);
  const std::vector<std::string> order{"contacts.lateral.thermal", "press.column ends.film",
                                       "materials[isotropic graphite].resistivity",
                                       "press.column ends.water"};
  const double correlation[4][4]{{1, 0.8, -0.3, 0}, {0.8, 1, 0.1, 0}, {-0.3, 0.1, 1, 0}, {0, 0, 0, 1}};
  // Of a mean product of two normal scores the variance is (1 + r^2) / n: four standard errors.
  for (std::size_t i = 0; i < 4; ++i) {
    REQUIRE(scores[order[i]].size() == samples);
    const std::vector<double> ones(samples, 1.0);
    CHECK(std::abs(mean_product(scores[order[i]], ones)) < 4 / std::sqrt(samples));
    for (std::size_t j = 0; j <= i; ++j) {
      CAPTURE(order[i]);
      CAPTURE(order[j]);
      const double r = correlation[i][j];
      CHECK(std::abs(mean_product(scores[order[i]], scores[order[j]]) - r) <
            4 * std::sqrt((1 + r * r) / samples));
    }
  }
}

TEST_CASE("calibration: its inputs become directions, all others stay as they are") {
  const Case c = cases::read_case(calibrated_file), was = plain();
  const auto inputs = cases::uncertain_inputs(c, cases::resolved_document(c)),
             before = cases::uncertain_inputs(was, cases::resolved_document(was));
  const auto directions = directions_of(inputs);
  REQUIRE(directions.size() == 4);
  CHECK(inputs.size() == before.size());  // four went, four came
  CHECK(directions[0]->name == "calibrated: thermal lateral contact with film of column ends");
  CHECK(directions[0]->source == "logs run-12.csv, run-13.csv");
  CHECK(directions[0]->amount.ends_with(" % left"));
  // Uncorrelated with the others: a direction of its own, all of its spread left.
  bool alone = false;
  for (const auto* direction : directions)
    if (direction->name == "calibrated: water") {
      alone = true;
      REQUIRE(direction->values.size() == 1);
      CHECK(direction->values[0].weight == relative(1.0));
      CHECK(direction->amount == "100 % left");
    }
  CHECK(alone);
  // Weights of a value over all directions: its variance is 1.
  double sum = 0.0;
  for (const auto* direction : directions)
    for (const auto& value : direction->values)
      if (value.address == "contacts.lateral.thermal") sum += value.weight * value.weight;
  CHECK(sum == relative(1.0));
  // The others, value by value.
  std::size_t n = 0;
  for (const auto& input : before) {
    const std::string& address = input.values.at(0).address;
    if (address == "contacts.lateral.thermal" || address.starts_with("press.column ends") ||
        address == "materials[isotropic graphite].resistivity")
      continue;
    REQUIRE(n < inputs.size());
    CHECK(inputs[n].name == input.name);
    CHECK(inputs[n].amount == input.amount);
    CHECK(inputs[n].values.at(0).spread.size == input.values.at(0).spread.size);
    CHECK(inputs[n].values.at(0).weight == 1.0);
    ++n;
  }
  CHECK(n + directions.size() == inputs.size());
}

TEST_CASE("calibration: two names that say the same in all samples are one direction") {
  Case c = cases::read_case(calibrated_file);
  c.calibration = cases::part_of(*c.calibration, {0, 1});
  c.calibration->correlation = {1, 1, 1, 1};
  const auto inputs = cases::uncertain_inputs(c, cases::resolved_document(c));
  const auto directions = directions_of(inputs);
  REQUIRE(directions.size() == 1);
  REQUIRE(directions[0]->values.size() == 2);
  CHECK(directions[0]->values[0].weight == relative(1.0));
  CHECK(directions[0]->values[1].weight == relative(1.0));
  CHECK(directions[0]->amount == "41 % left");  // root of (0.3^2 + 0.5^2) / 2
  // Of opposite ones the name says so.
  c.calibration->correlation = {1, -1, -1, 1};
  CHECK(directions_of(cases::uncertain_inputs(c, cases::resolved_document(c))).size() == 1);
  CHECK(cases::uncertain_inputs(c, cases::resolved_document(c)).back().name ==
        "calibrated: thermal lateral contact against film of column ends");
}

TEST_CASE("calibration: what hangs together with nothing by more than rounding is a direction of its own") {
  Case c = cases::read_case(calibrated_file);
  c.calibration->correlation = {1,    0.8,  0.01, 0, 0.8, 1, 0.02, 0,  //
                                0.01, 0.02, 1,    0, 0,   0, 0,    1};
  const auto inputs = cases::uncertain_inputs(c, cases::resolved_document(c));
  const auto directions = directions_of(inputs);
  REQUIRE(directions.size() == 4);
  CHECK(directions[0]->values.size() == 2);
  CHECK(directions[1]->values.size() == 2);
  for (const std::size_t alone : {2, 3}) {
    REQUIRE(directions[alone]->values.size() == 1);
    CHECK(directions[alone]->values[0].weight == 1.0);
  }
  // A chain joins: the third hangs on the second, the second on the first.
  c.calibration->correlation = {1, 0.8, 0, 0, 0.8, 1, 0.1, 0, 0, 0.1, 1, 0, 0, 0, 0, 1};
  const auto chained = cases::uncertain_inputs(c, cases::resolved_document(c));
  CHECK(directions_of(chained)[0]->values.size() == 3);
}

TEST_CASE("calibration: samples of a case without one are drawn value by value as before") {
  const Case c = cases::read_case(alumina);
  const auto inputs = cases::uncertain_inputs(c, cases::resolved_document(c));
  std::vector<double> shares;
  for (std::size_t k = 0; k < inputs.size(); ++k)
    shares.push_back((static_cast<double>(k) + 0.5) / static_cast<double>(inputs.size()));
  const auto edits = cases::sample_edits(inputs, shares);
  std::size_t n = 0;
  for (std::size_t k = 0; k < inputs.size(); ++k)
    for (const auto& value : inputs[k].values) {
      REQUIRE(n < edits.size());
      CHECK(edits[n].address == value.address);
      const double x = inverse::at(value.spread, shares[k]);
      CHECK(edits[n].value.text ==
            (value.unit.empty() ? fmt::format("{}", x) : fmt::format("{} {}", x, value.unit)));
      ++n;
    }
  CHECK(n == edits.size());
}

TEST_CASE("calibration: samples of a calibrated case are cases") {
  const Case c = cases::read_case(calibrated_file);
  const cases::SourceNode resolved = cases::resolved_document(c);
  const auto inputs = cases::uncertain_inputs(c, resolved);
  for (const double share : {0.02, 0.5, 0.98})
    CHECK(cases::variant_of(resolved, cases::sample_edits(inputs, std::vector<double>(inputs.size(), share)),
                            calibrated_file.parent_path())
              .refused == "");
}

TEST_CASE("calibration: one named on the command line takes the place of the case's own") {
  const Case c = cases::load_case(alumina, {}, calibration.string()).c;
  CHECK(c.contacts.heat_lateral == 1900.0);
  CHECK(c.press.end_film == 700.0);
  REQUIRE(c.calibration);
  CHECK(c.included.back().name == calibration.string());
  const Folder folder("joulepress_instead");
  const fs::path other = folder.write(
      "other.yaml",
      "logs: [{file: other.csv}]\ninputs: [{name: ageing, values: [{at: contacts.ageing, is: 1.3, factor: "
      "1.1}]}]\n");
  const Case instead = cases::load_case(calibrated_file, {}, other.string()).c;
  CHECK(instead.contacts.ageing == 1.3);
  CHECK(instead.contacts.heat_lateral == 1320.0);
  CHECK(instead.calibration->inputs.size() == 1);
  CHECK(holds(error_of(alumina, "nowhere.yaml"), "There is no calibration \"nowhere.yaml\"."));
  // Whose values stand at the keys already cannot take another.
  const fs::path resolved =
      folder.write("resolved.yaml", cases::resolved_case(cases::read_case(calibrated_file)));
  CHECK(holds(error_of(resolved, other.string()), "another cannot take its place"));
}

TEST_CASE(
    "calibration: on another press what was learned of the press is not taken, unless it is chosen for it") {
  const Case c = cases::load_case(calibrated_file, "workshop-250kN").c;
  const double film = cases::load_case(alumina, "workshop-250kN").c.press.end_film;
  CHECK(c.press.end_film == film);
  CHECK(c.contacts.heat_lateral == 1900.0);
  CHECK(c.calibration->not_taken == std::vector<std::string>{"press.column ends.film",
                                                             "press.column ends.water",
                                                             "sleeves[jacket].height"});
  CHECK(c.calibration->correlation == std::vector<double>{1, -0.3, -0.3, 1});
  const Case chosen = cases::load_case(calibrated_file, "workshop-250kN", calibration.string()).c;
  CHECK(chosen.press.end_film == 700.0);
}

TEST_CASE("calibration: what the case says itself and its calibration says too is an error at both places") {
  const Folder folder("joulepress_twice");
  folder.write("calibration.yaml", test::content(calibration));
  const std::string text = test::content(calibrated_file);
  const std::string more =
      "contacts: {lateral: {thermal: 2 kW/m2K}}\ncolumn ends: {film: 800 W/m2K, water: 20 degC}\n"
      "scales: [{of: isotropic graphite, property: resistivity, factor: 1.2}]\n";
  const std::string said = error_of(folder.write("case.yaml", text + more));
  const int line = static_cast<int>(std::count(text.begin(), text.end(), '\n')) + 1;
  CHECK(holds(said, fmt::format("case.yaml:{}:31  error in contacts.lateral.thermal", line)));
  CHECK(holds(said, "The case says it and so does its calibration (calibration.yaml:9:44)."));
  CHECK(holds(said, "Leave one of the two out."));
  CHECK(holds(said, fmt::format("case.yaml:{}:21  error in press.column ends.film", line + 1)));
  CHECK(holds(said, "error in press.column ends.water"));
  CHECK(holds(said, "error in materials[isotropic graphite].resistivity"));
  CHECK(holds(said, "4 errors; nothing was written."));
  // What is in a press file gives way, what only the calibration says does not matter.
  CHECK(error_of(folder.write("case.yaml", text + "contacts: {lateral: {electrical: 1e-9 ohm m2}}\n")) ==
        "accepted");
  // A filled cavity.
  const std::string filled =
      "format: 1\npress: presses/workshop-30kN.yaml\ntooling: tooling/graphite-20mm.yaml\n"
      "fillings: [{in: powder, powder: alumina, mass: 6 g, relative density: 0.55}]\n"
      "programme: {temperature: [{ramp to: 900 degC, rate: 100 degC/min}, {hold: 5 min}]}\n"
      "calibration: mass.yaml\n";
  folder.write("mass.yaml",
               "logs: [{file: a.csv}]\ninputs: [{name: mass, values: [{at: \"column[powder].mass\", is: 5 g, "
               "deviation: 0.1 g}]}]\n");
  CHECK(holds(error_of(folder.write("case.yaml", filled)), "error in column[powder].mass"));
}

TEST_CASE("calibration: what its values make of the case is told at the value") {
  const Folder folder("joulepress_impossible");
  folder.write("calibration.yaml",
               "logs: [{file: a.csv}]\ninputs:\n  - name: depth\n    values:\n"
               "      - {at: \"sensors[die thermocouple].response time\", is: 20 min, deviation: 1 s}\n");
  const std::string said = error_of(folder.write("case.yaml", test::content(calibrated_file)));
  CHECK(holds(said, "calibration.yaml:5:61  error in calibration.inputs[0].values[0].is"));
  CHECK(holds(said, "\"20 min\" is above 10 min."));
  folder.write("calibration.yaml",
               "logs: [{file: a.csv}]\ninputs:\n  - name: emissivity\n    values:\n"
               "      - {at: \"materials[isotropic graphite].emissivity\", is: 3, deviation: 0.1}\n");
  CHECK(holds(error_of(folder.path / "case.yaml"), "This cannot be: "));
}

TEST_CASE("calibration: the file for other cases holds what belongs to the press and its materials") {
  Case c = cases::read_case(calibrated_file);
  cases::CalibratedInput height;
  height.name = "height of die";
  height.values.push_back({"sleeves[die].height", 0.0, 1e-4});
  c.calibration->inputs.insert(c.calibration->inputs.begin() + 1, height);
  c.calibration->correlation = {1,   0.5, 0.8,  -0.3, 0,   0.5, 1, 0.4, 0, 0, 0.8, 0.4, 1,
                                0.1, 0,   -0.3, 0,    0.1, 1,   0, 0,   0, 0, 0,   1};
  const std::string text = cases::calibration_file(c);
  CHECK(holds(text,
              "# learned from run-12.csv, began 2026-03-02T07:15, held against \"alumina of all keys\"\n"));
  CHECK(holds(text, "# learned from run-13.csv\n"));
  CHECK_FALSE(holds(text, "sleeves"));
  CHECK(holds(text, "is: 1900 W/m2K, factor: 1.25"));
  CHECK(holds(text, "is: 1.1, deviation: 0.05"));
  CHECK(holds(text, "is: 298.15 K, deviation: 3 K"));
  // On another case it says what it said here.
  const Folder folder("joulepress_calibration_file");
  const fs::path file = folder.write("press.yaml", text);
  const Case other = cases::load_case(alumina, {}, file.string()).c;
  CHECK(other.contacts.heat_lateral == 1900.0);
  CHECK(other.press.end_film == 700.0);
  CHECK(other.press.water_temperature == 298.15);
  CHECK(cases::whole_factor(other, "isotropic graphite", "resistivity") == 1.1);
  CHECK(other.calibration->not_taken.empty());
  CHECK(other.calibration->correlation ==
        std::vector<double>{1, 0.8, -0.3, 0, 0.8, 1, 0.1, 0, -0.3, 0.1, 1, 0, 0, 0, 0, 1});
  CHECK(cases::calibration_file(other).find("factor: 1.25") != std::string::npos);
  // Of another stack what it has: copper has no graphite.
  const Case rod = cases::load_case(root / "cases" / "heated-rod.yaml", {}, file.string()).c;
  CHECK(rod.calibration->not_taken.size() >= 1);
  CHECK(cases::calibration_file(cases::read_case(alumina)).empty());
}

TEST_CASE("calibration: a value that a case has and does not use is no input of it") {
  const Folder folder("joulepress_idle");
  folder.write("fit.yaml",
               "logs: [{file: a.csv}]\ninputs:\n  - {name: fit, values: [{at: contacts.foil fit, is: 1 MPa, "
               "factor: 1.2}]}\n");
  const std::string text =
      replaced(test::content(calibrated_file), "calibration: calibration.yaml", "calibration: fit.yaml");
  const Case c = cases::read_case(folder.write("case.yaml", text));
  CHECK(c.contacts.foil_fit == 1e6);
  CHECK(directions_of(cases::uncertain_inputs(c, cases::resolved_document(c))).empty());
  const Case follows =
      cases::read_case(folder.write("case.yaml", text + "contacts: {follow conditions: on}\n"));
  CHECK(directions_of(cases::uncertain_inputs(follows, cases::resolved_document(follows))).size() == 1);
}
