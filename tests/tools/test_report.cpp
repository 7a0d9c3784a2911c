// The report, JSON and CSV from hand-made results: what they must say, and that numbers survive.
#include <doctest/doctest.h>
#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "tools/screen/report.hpp"
#include "tools/store/files.hpp"
#include "tools/store/history_csv.hpp"
#include "tools/store/summary_json.hpp"

using namespace joulepress;

namespace {

solver::RunResult made_up() {
  solver::RunResult result;
  result.frame.part_names = {"punch, lower", "powder", "die"};
  result.frame.sensor_names = {"couple"};
  result.frame.control_sensor = 0;
  result.frame.holds = {{"sinter", 100, 200, 1500}};
  for (int k = 0; k <= 20; ++k) {
    solver::HistoryRow row;
    row.time_s = 10 * k;
    row.sensors = {{1520, 1500, 20}};
    const double mean = 1600 + k;
    row.powder = solver::PowderValue{mean, mean + 10, mean - 10, mean - 12, mean + 15, mean - 60};
    row.current_A = 1000;
    row.voltage_V = 4;
    row.power_W = 4000;
    row.current_share_powder = 0.25;
    row.tool_max_K = 1700;
    row.joule_by_part_W = {3000, 400, 600};
    row.radiation_by_part_W = {1000, 0, 3000};
    result.rows.push_back(row);
  }
  result.limited = {{10, 20, solver::DriveMode::at_limit, solver::Limit::current}};
  return result;
}

/// The same with two bodies, a solid one and a ring; the second is some 4 K hotter.
solver::RunResult two_bodies() {
  solver::RunResult result = made_up();
  result.frame.powder_names = {"lower, solid", "upper"};
  for (solver::HistoryRow& row : result.rows) {
    row.powders = {*row.powder, *row.powder};
    row.powders[1].mean_K += 4.09;
    row.powders[1].inner_edge_K = 1601;
  }
  return result;
}

solver::Problem with_powder() {
  solver::Problem p;
  p.powders.emplace_back();
  p.drive.kind = solver::DriveKind::tracking;
  return p;
}

}  // namespace

TEST_CASE("summary: averages over the settled half, offset = field part + sensor error") {
  const solver::RunResult result = made_up();
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  REQUIRE(summary.holds.size() == 1);
  const solver::HoldSummary& hold = summary.holds[0];
  CHECK(hold.settled_from_s == 150);
  CHECK(hold.powder->mean_K == doctest::Approx(1617.5).epsilon(1e-14));  // mean of 1615 ... 1620
  CHECK(*hold.offset_mean_K == hold.powder->mean_K - hold.sensor_K);
  CHECK(*hold.offset_field_K + hold.sensor_error_K == doctest::Approx(*hold.offset_mean_K).epsilon(1e-14));
  const solver::OffsetParts& parts = *hold.parts;
  CHECK(parts.sum() == doctest::Approx(*hold.offset_mean_K).epsilon(1e-12));
  CHECK(*hold.offset_start_K == doctest::Approx(110));
  CHECK(*hold.offset_end_K == doctest::Approx(120));
}

TEST_CASE("the report answers first and keeps to its width") {
  const solver::RunResult result = made_up();
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const std::string text =
      tools::terminal_report({"a case", "0", 1320, 0.1, {}, {"Something."}}, with_powder(), result, summary);
  CHECK(text.rfind("a case", 0) == 0);
  CHECK(text.find("The powder is 118 K hotter than the sensor reads") < text.find("How far to trust"));
  CHECK(text.find("enter 1120 degC instead of 1227 degC") != std::string::npos);
  CHECK(text.find("accuracy asked for                 0.1 K") != std::string::npos);
  CHECK(text.find("first estimate") != std::string::npos);
  CHECK(text.find("run again") != std::string::npos);
  CHECK(text.find("at the limit of current") != std::string::npos);
  CHECK(text.find("1.32 kW/m2K") != std::string::npos);
  CHECK(text.find("press maker's limits") != std::string::npos);
  for (std::size_t from = 0; from < text.size();) {
    const std::size_t end = std::min(text.find('\n', from), text.size());
    CHECK(end - from <= 100);
    from = end + 1;
  }
}

TEST_CASE("a report without powder, without a control sensor, stopped early, says only what is known") {
  solver::RunResult result = made_up();
  result.frame.control_sensor = -1;
  result.status = solver::RunStatus::failed;
  result.reason = "At 200 s the step fell below its least size.";
  for (solver::HistoryRow& row : result.rows) {
    row.powder.reset();
    row.sensors[0].reading_K = 1500.15;  // 1227.0 degC
  }
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const std::string text = tools::terminal_report({"a case", "0", 0, 0.1, {}, {}}, {}, result, summary);
  CHECK(text.rfind("a case", 0) == 0);
  CHECK(text.find("status failed. At 200 s the step fell below") != std::string::npos);
  CHECK(text.find("couple                       1227.0 degC") != std::string::npos);
  for (const char* absent : {"offset, powder", "enter ", "lateral contact", "powder, mean", "nan", "inf"}) {
    INFO(absent);
    CHECK(text.find(absent) == std::string::npos);
  }
}

TEST_CASE("balances that miss 1e-8 are called out") {
  solver::RunResult result = made_up();
  result.ledger.delivered = 1.0;
  result.ledger.stored = 1.0;
  result.ledger.electric = 1.0 + 1.1e-8;
  result.ledger.largest_current = 1000.0;
  result.ledger.worst_charge_residual = 9e-6;
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const auto report = [&] {
    return tools::terminal_report({"t", "0", 0, 0.1, {}, {}}, with_powder(), result, summary);
  };
  CHECK(report().find("energy balance                     1.1e-08 of the energy delivered   NOT CLOSED") !=
        std::string::npos);
  CHECK(report().find("largest current   NOT CLOSED") == std::string::npos);
  result.ledger.worst_charge_residual = 1.1e-5;
  CHECK(report().find("largest current   NOT CLOSED") != std::string::npos);
}

TEST_CASE("summary.json holds the contract's keys and exact numbers") {
  const solver::RunResult result = made_up();
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const auto j =
      nlohmann::json::parse(tools::summary_json({"0", "t", "abc", 7, 7, 0.1, {"w"}, {"n"}}, result, summary));
  for (const char* key : {"schema", "status", "version", "case_sha256", "cells", "cells_solved", "accuracy_K",
                          "steps", "charge_balance_relative", "energy_balance_relative", "warnings",
                          "not_modelled", "drive_limited", "end", "peak", "holds"})
    CHECK(j.contains(key));
  CHECK(j["schema"] == "joulepress.summary/1");
  CHECK(j["control_sensor"] == "couple");
  const auto& hold = j["holds"][0];
  for (const char* key :
       {"name", "start_s", "end_s", "sensor_K", "sample_mean_K", "sample_centre_K", "sample_edge_K",
        "sample_min_K", "sample_max_K", "offset_mean_K", "offset_field_K", "sensor_error_K", "current_A",
        "voltage_V", "power_W", "current_share_powder", "relative_density_mean"})
    CHECK(hold.contains(key));
  CHECK(hold["offset_mean_K"].get<double>() ==
        hold["sample_mean_K"].get<double>() - hold["sensor_K"].get<double>());
  CHECK(hold["sample_spread_K"].get<double>() ==
        hold["sample_max_K"].get<double>() - hold["sample_min_K"].get<double>());
  CHECK(j["peak"]["current_A"].get<double>() == summary.peak.current_A);
  CHECK(j["peak"]["power_time_s"].get<double>() == summary.peak.power_time_s);
  CHECK(hold["relative_density_mean"].get<double>() == 1.0);
  CHECK(j["drive_limited"][0]["limit"] == "current");
}

TEST_CASE("summary.json, history.csv and the report show every body of several") {
  const solver::RunResult result = two_bodies();
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const auto j =
      nlohmann::json::parse(tools::summary_json({"0", "t", "abc", 7, 7, 0.1, {"w"}, {"n"}}, result, summary));
  const auto& bodies = j["holds"][0]["powders"];
  REQUIRE(bodies.size() == 2);
  CHECK(bodies[0]["name"] == "lower, solid");
  CHECK(bodies[0]["inner_edge_K"].is_null());
  CHECK(bodies[1]["inner_edge_K"].get<double>() == doctest::Approx(1601).epsilon(1e-14));
  for (const char* key : {"mean_K", "centre_K", "edge_K", "min_K", "max_K"})
    CHECK(bodies[1][key].is_number());
  CHECK(bodies[1]["offset_mean_K"].get<double>() ==
        bodies[1]["mean_K"].get<double>() - j["holds"][0]["sensor_K"].get<double>());

  const std::string csv = tools::history_csv(result.frame, result.rows);
  CHECK(csv.find(",\"lower, solid mean [K]\",upper mean [K],force [N]") != std::string::npos);
  CHECK(csv.find(",1600,1604.09,0,") != std::string::npos);

  const auto report = [&](const solver::RunResult& run) {
    return tools::terminal_report({"t", "0", 0, 0.1, {}, {}}, with_powder(), run,
                                  solver::summarise(run.frame, run.rows));
  };
  CHECK(report(result).find("powder, mean of all bodies") != std::string::npos);
  CHECK(report(result).find("upper, mean                         1348.4 degC   (+121.6 K to the reading)") !=
        std::string::npos);
  CHECK(report(made_up()).find("mean of all bodies") == std::string::npos);
}

TEST_CASE("history.csv quotes names and keeps one column count") {
  const solver::RunResult result = made_up();
  const std::string text = tools::history_csv(result.frame, result.rows);
  CHECK(text.find("\"joule heat in punch, lower [W]\"") != std::string::npos);
  std::size_t columns = 0, lines = 0;
  for (std::size_t from = 0; from < text.size(); ++lines) {
    const std::size_t end = text.find('\n', from);
    std::size_t count = 1;
    bool quoted = false;
    for (std::size_t k = from; k < end; ++k) {
      if (text[k] == '"') quoted = !quoted;
      if (text[k] == ',' && !quoted) ++count;
    }
    if (lines == 0) columns = count;
    CHECK(count == columns);
    from = end + 1;
  }
  CHECK(lines == 22);
}

TEST_CASE("files are whole or absent, and SHA-256 is the standard's (FIPS 180-4 example \"abc\")") {
  CHECK(tools::sha256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  const auto folder = std::filesystem::temp_directory_path();
  const auto file = folder / ("joulepress-test-" + std::to_string(getpid()) + ".txt");
  tools::write_whole(file, "x");
  CHECK(tools::read_whole(file) == "x");
  CHECK(!std::filesystem::exists(file.string() + ".part"));
  std::filesystem::remove(file);
  CHECK_THROWS_AS(tools::write_whole(folder / "no" / "such" / "folder" / "f", "x"), tools::FileError);
}
