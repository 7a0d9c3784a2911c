// What check, report, summary and history say of a stack in a furnace, and that the case comes back from its
// resolved form.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/march.hpp"
#include "solver/summary.hpp"
#include "tests/support/folder.hpp"
#include "tools/page/drawing.hpp"
#include "tools/screen/report.hpp"
#include "tools/screen/stack_table.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/store/summary_json.hpp"

using namespace joulepress;

namespace {

const std::filesystem::path root = JOULEPRESS_SOURCE_DIR;

bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// The shipped case on a coarse grid.
solver::Problem coarse(const cases::Case& c) {
  mesh::GridRule rule;
  rule.smallest = 1e-3;
  rule.largest = 6e-3;
  rule.cells_across_min = 1;
  return cases::build_coarse_problem(c, rule);
}

cases::Case shipped() {
  return cases::read_case(root / "cases" / "furnace-heated-20mm.yaml");
}

}  // namespace

TEST_CASE("furnace: report and summary speak of heat through the surface and of no current") {
  const cases::Case c = shipped();
  const solver::Problem p = coarse(c);
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const std::string report = tools::terminal_report({"t", "0", 0, 0.1, {}, {}}, p, result, summary);
  for (const char* part :
       {"as hot as the furnace reads", "When the hold began", "Heated by the furnace: no current.",
        "heat taken up through the surface", "furnace reads", "Heat from the furnace, whole run",
        "the step from furnace to surface", "furnace (controls)", "die thermocouple"})
    CHECK_MESSAGE(says(report, part), part);
  for (const char* part : {"voltage", "current (effective)", "charge balance", "material at its junction"})
    CHECK_MESSAGE(!says(report, part), part);

  const auto j =
      nlohmann::json::parse(tools::summary_json({"0", "t", "abc", 7, 7, 0.1, {}, {}}, result, summary));
  CHECK(j["control_sensor"] == "furnace");
  CHECK(j["energy_balance_relative"].get<double>() < 1e-8);
  CHECK(j["charge_balance_relative"].get<double>() == 0.0);
  CHECK(j["furnace"]["given_J"].get<double>() > 1e5);
  CHECK(j["furnace"]["given_J"].get<double>() - j["furnace"]["taken_back_J"].get<double>() ==
        doctest::Approx(-j["energy_J"]["radiation"].get<double>()).epsilon(0.01));
  const auto& hold = j["holds"][0];
  CHECK(hold["current_A"].get<double>() == 0.0);
  CHECK(hold["power_W"].get<double>() == 0.0);
  CHECK(hold["voltage_V"].get<double>() == 0.0);
  CHECK(hold["current_share_powder"].is_null());
  CHECK(hold["sensor_K"].get<double>() == doctest::Approx(1350 + 273.15).epsilon(1e-12));
  CHECK(hold["offset_mean_K"].get<double>() ==
        hold["sample_mean_K"].get<double>() - hold["sensor_K"].get<double>());
  CHECK(hold["heat_from_furnace_W"]["start"].get<double>() >
        hold["heat_from_furnace_W"]["end"].get<double>());
  double sum = 0.0;
  for (const auto& [key, value] : hold["offset_parts_K"].items()) sum += value.get<double>();
  CHECK(sum == doctest::Approx(hold["offset_mean_K"].get<double>()).epsilon(1e-9));
  CHECK(hold["offset_parts_K"].contains("furnace_to_surface"));
  CHECK(says(tools::history_csv(result.frame, result.rows), "surface of the stack [K]"));
}

TEST_CASE("furnace: where current heats, nothing speaks of a furnace") {
  const cases::Case c = cases::read_case(root / "cases" / "alumina-20mm.yaml");
  const solver::Problem p = coarse(c);
  const solver::RunResult result = solver::run(p);
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const std::string json = tools::summary_json({"0", "t", "abc", 7, 7, 0.1, {}, {}}, result, summary);
  CHECK_FALSE(says(json, "furnace"));
  CHECK_FALSE(says(tools::history_csv(result.frame, result.rows), "surface of the stack"));
  CHECK_FALSE(says(cases::resolved_case(c), "heated by"));
}

TEST_CASE("furnace: check tells how the stack follows, and asks for no electrodes and no limits") {
  const auto [c, p] = cases::load_case(root / "cases" / "furnace-heated-20mm.yaml");
  const std::string table = tools::stack_table(c, p);
  for (const char* part : {"heated by           the furnace: no current", "programme of the furnace",
                           "furnace: its wall; controls", "follows in", "no heat passes"})
    CHECK_MESSAGE(says(table, part), part);
  for (const char* part : {"current enters", "A/cm2", "voltage", "limits  "})
    CHECK_MESSAGE(!says(table, part), part);
  const std::string drawing = tools::draw_stack(c, cases::build_pressed_problem(c), {false, "case.yaml"});
  CHECK_FALSE(says(drawing, "current enters"));
  CHECK(says(drawing, "die thermocouple"));
}

TEST_CASE("furnace: every key comes back from the resolved case") {
  for (const char* file : {"cases/furnace-heated-20mm.yaml", "tests/all_keys/case-furnace.yaml"}) {
    CAPTURE(file);
    const auto [c, p] = cases::load_case(root / file);
    const std::string resolved = cases::resolved_case(c);
    const test::Folder folder("joulepress_furnace");
    const auto [again, same] = cases::load_case(folder.write("resolved.yaml", resolved));
    CHECK(cases::resolved_case(again) == resolved);
    CHECK(same.drive.kind == solver::DriveKind::furnace);
    CHECK(same.drive.sensor == p.drive.sensor);
    REQUIRE(same.drive.segments.size() == p.drive.segments.size());
    for (std::size_t k = 0; k < p.drive.segments.size(); ++k) {
      CHECK(same.drive.segments[k].end == p.drive.segments[k].end);
      CHECK(same.drive.segments[k].to == p.drive.segments[k].to);
    }
  }
}

TEST_CASE("furnace: the programme begins at the chamber, and a rule ends the run by a reading") {
  cases::Case c = cases::read_case(root / "tests" / "all_keys" / "case-furnace.yaml");
  c.programme.aborts[1].reading = 900;
  const solver::Problem p = cases::build_problem(c);
  CHECK(p.drive.segments.front().from == doctest::Approx(313.15));  // the chamber, not the room
  REQUIRE(p.drive.aborts.size() == 2);
  CHECK(p.drive.aborts[0].sensor == 0);
  CHECK(p.drive.aborts[1].sensor == p.drive.sensor);
  const solver::RunResult result = solver::run(p);
  CHECK(result.status == solver::RunStatus::stopped);
  CHECK(says(result.reason, "furnace read more than"));
  CHECK(solver::summarise(result.frame, result.rows).end.sensors.back().reading_K ==
        doctest::Approx(900).epsilon(1e-6));
}
