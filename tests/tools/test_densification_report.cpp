// What report, summary.json and compare say of a powder that closes, from hand-made rows.
#include <doctest/doctest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tools/screen/comparison_powder.hpp"
#include "tools/screen/report.hpp"
#include "tools/screen/report_powder.hpp"
#include "tools/store/files.hpp"
#include "tools/store/summary_json.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
namespace fs = std::filesystem;

namespace {

/// From 0.60 by 0.039 every 10 s to 0.99; the share rises from 0.5 to 25 %, the lateral part of the offset
/// falls by 1 K every 10 s; a hold from 50 to 100 s.
solver::RunResult closing_run() {
  solver::RunResult result;
  result.frame.part_names = {"powder", "die"};
  result.frame.sensor_names = {"couple"};
  result.frame.powder_names = {"powder"};
  result.frame.control_sensor = 0;
  result.frame.holds = {{"sinter", 50, 100, 1273.15}};
  for (int k = 0; k <= 10; ++k) {
    solver::HistoryRow row;
    row.time_s = 10 * k;
    row.sensors = {{1290, 1273.15, 16.85}};
    solver::PowderValue p;
    p.mean_K = 1400 - k;
    p.centre_K = 1410 - k;
    p.edge_K = 1390 - k;
    p.wall_K = 1300;
    p.min_K = 1380;
    p.max_K = 1420;
    p.density_mean = 0.60 + 0.039 * k;
    p.density_min = p.density_mean - 0.005;
    p.density_max = p.density_mean + 0.005;
    p.apart_spread = 0.02;
    row.powder = p;
    row.powders = {p};
    row.current_A = 1000;
    row.voltage_V = 4;
    row.power_W = 4000;
    row.press_W = 30;
    row.current_share_powder = 0.005 + 0.0245 * k;
    row.tool_max_K = 1500;
    row.joule_by_part_W = {1000, 3000};
    row.radiation_by_part_W = {0, 4000};
    row.stroke = {0.0003 * k, 0.00001 * k, 0.00002 * k, -0.0001 * k, -0.000001 * k};
    result.rows.push_back(row);
  }
  result.ledger.press = 123.4;
  return result;
}

solver::Problem with_powder() {
  solver::Problem p;
  p.powders.emplace_back();
  p.drive.kind = solver::DriveKind::tracking;
  p.frame_compliance = 1e-9;
  return p;
}

/// On one line, one space between words.
std::string flat(const std::string& text) {
  std::istringstream words(text);
  std::string packed;
  for (std::string word; words >> word;) packed += (packed.empty() ? "" : " ") + word;
  return packed;
}

std::string report(const solver::RunResult& result, const std::vector<std::string>& held = {}) {
  tools::ReportHead head{"a case", "0", 0, 0.1, {}, {}};
  head.held = held;
  return tools::terminal_report(head, with_powder(), result, solver::summarise(result.frame, result.rows));
}

void says(const std::string& text, const std::string& words) {
  INFO(text);
  CHECK(flat(text).find(words) != std::string::npos);
}

nlohmann::json summary_of(const solver::RunResult& result, const std::vector<std::string>& held = {}) {
  tools::SummaryHead head{"0", "t", "abc", 7, 7, 0.1, {}, {}};
  head.held = held;
  return nlohmann::json::parse(
      tools::summary_json(head, result, solver::summarise(result.frame, result.rows)));
}

}  // namespace

TEST_CASE("the report tells densities, times, strokes, where the current went and why the offset changed") {
  const std::string text = report(closing_run());
  says(text,
       "at the start, mean 60.0 % at the end, mean 99.0 % at the end, lowest / highest 98.5 % / 99.5 %");
  // 0.90 at 0.30 / 0.039 rows, 0.95 at 0.35 / 0.039
  says(text, "mean of 90 % 77 s powder 1119 degC, couple 1000 degC mean of 95 % 90 s");
  says(text, "without pores (below 1e-6) not in this run");
  says(text,
       "Radial density differences are not predicted; between 0 and 2 % at the end, between 0 and 2 % on the "
       "way");
  // 12.5 % lies at 0.12 / 0.0245 rows: 49 s, 79.1 %, 1395.1 K
  says(text,
       "The current moved into the powder at 49 s: there its share rose through half of its largest value "
       "(25.0 %, from 0.5 % at the least), at a density of 79.1 % and a powder mean of 1122 degC.");
  says(text, "at 60 %, 0 s 0.5 % at 70 %, 26 s 6.8 %");
  says(text,
       "From start to end of the hold the offset went from +121.8 K to +116.8 K, chiefly in the "
       "lateral contact (-5.0 K).");
  says(text,
       "From 90 % density (77 s) to the end of \"sinter\" the offset went from +119.2 K to +116.8 K, "
       "chiefly in the lateral contact (-2.3 K).");
  says(text, "end of \"sinter\" 2.290 3.000 0.100 0.200 -1.000 -0.010");
  says(text, "Work of the punches on the powder: 123 J.");
  says(text, "work of the punches on the powder 30 W 0.8 %");
  CHECK(text.find("keeps a density") == std::string::npos);
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    INFO(line);
    CHECK(line.size() <= 100);
  }
}

TEST_CASE("a powder that is held is named before the answers, with the reason, and no times are given") {
  solver::RunResult result = closing_run();
  for (solver::HistoryRow& row : result.rows)
    for (solver::PowderValue* value : {&*row.powder, &row.powders[0]})
      value->density_mean = value->density_min = value->density_max = 0.97;
  const std::string text = report(result, {"nobody measured it"});
  says(text,
       "a case (joulepress 0) \"powder\" keeps a density of 97.0 % through the run; why: under "
       "\"Density\".");
  says(text, "\"powder\" keeps a density of 97.0 % through the run: nobody measured it.");
  says(text, "The current moved into the powder at 49 s");  // as an oxide film goes
  for (const char* absent : {"mean of 90 %", "Radial density", "current share against"}) {
    INFO(absent);
    CHECK(text.find(absent) == std::string::npos);
  }
}

TEST_CASE("no pores and hardly any are told apart; small shares and steady offsets are said as such") {
  solver::RunResult result = closing_run();
  for (solver::HistoryRow& row : result.rows) row.current_share_powder = 1e-6;
  for (solver::PowderValue* value : {&*result.rows.back().powder, &result.rows.back().powders[0]}) {
    value->density_mean = 1.0 - 1e-6;
    value->density_min = 0.99997;
    value->density_max = 1.0 - 1e-6;
    value->apart_spread = 0;
  }
  const std::string text = report(result);
  says(text, "at the end, mean 100 % at the end, lowest / highest 99.997 % / 100 %");
  says(text, "none are left at the end, between 0 and 2 % on the way");
  says(text, "Never more than 0.1 % of the current passes the powder.");
  solver::OffsetDrift drift{0, 10, 80, 80.3, {}};
  CHECK(tools::drift_sentence("In it", {0, 10, 80, 79, {-6, 11, -4, -2}}) ==
        "In it the offset went from +80.0 K to +79.0 K, chiefly in the powder's own gradient (-6.0 K).");
  CHECK(tools::drift_sentence("In it", drift) ==
        "In it the offset stays at +80 K (first to last within 0.5 K).");
}

TEST_CASE("summary.json: densification, stroke and work of the press") {
  const auto j = summary_of(closing_run());
  const auto& d = j["densification"];
  CHECK(d["modelled"] == true);
  CHECK(d["held_reason"].is_null());
  CHECK(d["radial_difference_bound"] == 0.02);
  const auto& body = d["bodies"][0];
  CHECK(body["name"] == "powder");
  CHECK(body["start_density"] == 0.60);
  CHECK(body["end_density"].get<double>() == doctest::Approx(0.99).epsilon(1e-14));
  CHECK(body["reached"][0]["density"] == 0.90);
  CHECK(body["reached"][0]["time_s"].get<double>() == doctest::Approx(3.0 / 0.039).epsilon(1e-12));
  CHECK(body["reached"][0]["powder_mean_K"].get<double>() ==
        doctest::Approx(1400 - 0.3 / 0.039).epsilon(1e-12));
  CHECK(body["reached"][0]["sensor_K"].get<double>() == doctest::Approx(1273.15).epsilon(1e-12));
  CHECK(body["dense"]["time_s"].is_null());
  CHECK(d["current_moved_in"]["time_s"].get<double>() == doctest::Approx(1.2 / 0.0245).epsilon(1e-12));
  CHECK(d["current_share_at_density"].size() == 4);
  CHECK(d["late_offset"]["parts_change_K"]["lateral_contact"].get<double>() ==
        doctest::Approx(-(10 - 0.3 / 0.039)).epsilon(1e-9));
  CHECK(j["stroke"]["total_m"].get<double>() == doctest::Approx(0.00229).epsilon(1e-12));
  CHECK(j["press_work_J"] == 123.4);
  CHECK(j["energy_J"]["press"] == 123.4);
  const auto& hold = j["holds"][0];
  CHECK(hold["relative_density_end_mean"].get<double>() == doctest::Approx(0.99).epsilon(1e-14));
  CHECK(hold["relative_density_mean"].get<double>() ==
        doctest::Approx(0.60 + 0.039 * 8.75).epsilon(1e-2));  // an average of the second half
  CHECK(hold["relative_density_end_min"].get<double>() == doctest::Approx(0.985).epsilon(1e-12));
  CHECK(hold["density_spread_bound"] == 0.02);
  CHECK(hold["stroke"]["densification_m"].get<double>() == doctest::Approx(0.003).epsilon(1e-12));
  CHECK(hold["offset_parts_change_K"]["lateral_contact"].get<double>() == doctest::Approx(-5).epsilon(1e-9));
  CHECK(hold["powders"][0]["relative_density_end_max"].get<double>() ==
        doctest::Approx(0.995).epsilon(1e-12));

  const auto held = summary_of(closing_run(), {"why"});
  CHECK(held["densification"]["modelled"] == false);
  CHECK(held["densification"]["held_reason"] == "why");
  CHECK(held["densification"]["bodies"][0]["held_reason"] == "why");
  CHECK(held["densification"]["radial_difference_bound"].is_null());

  solver::RunResult bare = closing_run();
  bare.frame.powder_names.clear();
  for (solver::HistoryRow& row : bare.rows) {
    row.powder.reset();
    row.powders.clear();
    row.current_share_powder.reset();
  }
  const auto none = summary_of(bare);
  CHECK(none["densification"]["modelled"] == false);
  CHECK(none["densification"]["bodies"].empty());
  CHECK(none["densification"]["current_moved_in"].is_null());
  CHECK(none["stroke"].is_null());
  CHECK(none["holds"][0]["stroke"].is_null());
}

TEST_CASE("densification and stroke read back from summary.json; results of before they were modelled too") {
  const fs::path folder = fs::temp_directory_path() / ("joulepress-closing-" + std::to_string(getpid()));
  fs::remove_all(folder);
  fs::create_directories(folder);
  std::ofstream(folder / "rod.yaml")
      << "format: 1\ntitle: rod\npress: {name: bench, column ends: {temperature: 25 degC}}\n"
         "column:\n  - {name: rod, material: isotropic graphite, diameter: 10 mm, height: 100 mm}\n"
         "programme:\n  current: [{ramp to: 100 A, in: 10 s}, {hold: 10 s, name: soak}]\n";
  const fs::path run = folder / "run";
  tools::run_case({folder / "rod.yaml", run, true});
  auto json = nlohmann::json::parse(tools::read_whole(run / "summary.json"));
  for (const char* key : {"densification", "stroke", "press_work_J", "holds"})
    json[key] = summary_of(closing_run(), {"why"})[key];
  tools::write_whole(run / "summary.json", json.dump());
  const tools::StoredSummary s = tools::read_results(run).summary;
  REQUIRE(s.densification.size() == 1);
  CHECK(s.densification[0].name == "powder");
  CHECK(s.densification[0].held_reason == "why");
  CHECK(s.densification[0].reached_s.at(0.90) == doctest::Approx(3.0 / 0.039).epsilon(1e-12));
  CHECK(std::isnan(s.densification[0].dense_s));
  CHECK(s.moved_in_s == doctest::Approx(1.2 / 0.0245).epsilon(1e-12));
  CHECK(s.stroke.growth_m == doctest::Approx(-0.001).epsilon(1e-12));
  CHECK(s.press_work_J == 123.4);
  CHECK(s.holds[0].relative_density_end_max == doctest::Approx(0.995).epsilon(1e-12));
  CHECK(s.holds[0].stroke.frame_m == doctest::Approx(0.0002).epsilon(1e-12));

  for (const char* key : {"densification", "stroke", "press_work_J"}) json.erase(key);
  for (const char* key : {"stroke", "relative_density_end_mean"}) json["holds"][0].erase(key);
  tools::write_whole(run / "summary.json", json.dump());
  const tools::StoredSummary old = tools::read_results(run).summary;
  CHECK(old.densification.empty());
  CHECK(std::isnan(old.moved_in_s));
  CHECK(std::isnan(old.stroke.total_m));
  CHECK(std::isnan(old.holds[0].stroke.total_m));
  CHECK(std::isnan(old.holds[0].relative_density_end_mean));
  CHECK(!std::isnan(old.holds[0].relative_density_mean));
  fs::remove_all(folder);
}

TEST_CASE("compare: densities and strokes of holds, times of each body, and old results without them") {
  tools::StoredHold a, b;
  a.relative_density_end_mean = 0.95;
  b.relative_density_end_mean = 0.98;
  b.stroke.total_m = 0.00345;
  b.stroke.densification_m = 0.004;
  b.stroke.frame_m = 0.0;
  says(tools::density_rows(a, b), "at the end of the hold 95.00 98.00 % +3.00 %");
  says(tools::density_rows(a, b), "stroke at the end of the hold - 3.450 mm");
  CHECK(tools::density_rows({}, {}).empty());

  tools::StoredSummary x, y;
  CHECK(tools::densification_rows(x, y).empty());
  tools::StoredDensification body;
  body.name = "powder";
  body.start_density = 0.6;
  body.end_density = 0.99;
  body.reached_s = {{0.9, 600}, {0.95, tools::not_there}};
  x.densification = {body};
  body.reached_s = {{0.9, 540}, {0.95, 700}};
  body.held_reason = "held";
  y.densification = {body};
  const std::string text = tools::densification_rows(x, y);
  says(text, "powder, density at the end 99.00 99.00 % same");
  says(text, "mean of 90 % at 600.0 540.0 s -60.0 s");
  says(text, "mean of 95 % at - 700.0 s");
  says(text, "held at its density in B");
  y.densification[0].name = "other";
  says(tools::densification_rows(x, y), "other, density at the end - 99.00 %");
}
