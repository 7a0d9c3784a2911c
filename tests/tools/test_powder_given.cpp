// The inverse question of a run: what the powder got for the programme that was entered, and times as a
// programmer has them.
#include <doctest/doctest.h>

#include <cmath>
#include <limits>
#include <sstream>

#include "solver/summary.hpp"
#include "tools/screen/clock.hpp"
#include "tools/screen/powder_given.hpp"
#include "tools/screen/report.hpp"

using namespace joulepress;

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN(), zero = 273.15;

bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string flat(const std::string& text) {
  std::istringstream words(text);
  std::string out, word;
  while (words >> word) out += (out.empty() ? "" : " ") + word;
  return out;
}

/// Up to 1200 degC in the powder, a hold of 100 s at 1000 degC of the couple, and down; density with time.
solver::RunResult up_and_down() {
  solver::RunResult result;
  result.frame.part_names = {"die"};
  result.frame.powder_names = {"powder"};
  result.frame.sensor_names = {"couple"};
  result.frame.control_sensor = 0;
  result.frame.holds = {{"warm", 100, 150, 500 + zero}, {"sinter", 630, 730, 1000 + zero}};
  for (const auto& [time, celsius, density] : {std::tuple{0.0, 20.0, 0.6},
                                               {100.0, 600.0, 0.6},
                                               {150.0, 600.0, 0.7},
                                               {630.0, 1200.0, 0.9},
                                               {730.0, 1200.0, 1.0},
                                               {1330.0, 0.0, 1.0}}) {
    solver::HistoryRow row;
    row.time_s = row.programme_s = time;
    row.control_sensor = 0;
    row.sensors = {{celsius - 100 + zero, celsius - 100 + zero, 0}};
    const double mean = celsius + zero;
    row.powder = solver::PowderValue{mean, mean + 30, mean - 20, mean - 25, mean + 35, mean - 50};
    row.powder->density_mean = row.powder->density_min = row.powder->density_max = density;
    row.powders = {*row.powder};
    result.rows.push_back(row);
  }
  return result;
}

solver::Problem problem_of(solver::DriveKind kind) {
  solver::Problem p;
  p.powders.emplace_back();
  p.drive.kind = kind;
  p.initial_temperature = 20 + zero;
  return p;
}

std::string report_of(const solver::Problem& problem, const std::vector<std::string>& held = {}) {
  const solver::RunResult result = up_and_down();
  tools::ReportHead head{"t", "0", 0, 0.1, {}, {}};
  head.held = held;
  return flat(tools::terminal_report(head, problem, result, solver::summarise(result.frame, result.rows)));
}

}  // namespace

TEST_CASE("given: the level is 50 K below in whole tens, the time above it on straight lines") {
  CHECK(std::abs(tools::level_below(1344.35 + zero) - (1290 + zero)) < 1e-9);
  CHECK(std::abs(tools::level_below(1350.0 + zero) - (1300 + zero)) < 1e-9);
  // A quarter of the way up is above 3, half of the way down.
  CHECK(std::abs(tools::time_above({0, 40, 60}, {0, 4, 2}, 3) - (10.0 + 10.0)) < 1e-12);
  CHECK(tools::time_above({0, 40, 60}, {0, 4, 2}, 5) == 0.0);
  CHECK(tools::time_above({0, 40, 60}, {1, 4, 2}, 1) == 60.0);
  CHECK(tools::time_above({0, 40, 60}, {nothing, 4, 4}, 1) == 20.0);
  CHECK(tools::time_above({}, {}, 1) == 0.0);
}

TEST_CASE("given: dense when the last of the powders is that closes") {
  using tools::Closing;
  CHECK(tools::dense_time({Closing{0.6, false, 300}, Closing{0.7, false, 200}}) == 300.0);
  CHECK(tools::dense_time(
            {Closing{0.6, false, 300}, Closing{0.7, true, nothing}, Closing{1, false, nothing}}) == 300.0);
  CHECK(std::isnan(tools::dense_time({Closing{0.6, false, 300}, Closing{0.7, false, nothing}})));
  CHECK(std::isnan(tools::dense_time({Closing{0.7, true, nothing}})));
  CHECK(std::isnan(tools::dense_time({})));
}

TEST_CASE("given: times as a programmer has them") {
  CHECK(tools::clock_time(0) == "0:00");
  CHECK(tools::clock_time(59.6) == "1:00");
  CHECK(tools::clock_time(750) == "12:30");
  CHECK(tools::clock_time(3599.4) == "59:59");
  CHECK(tools::clock_time(3599.6) == "1:00:00");
  CHECK(tools::clock_time(3725) == "1:02:05");
  CHECK(tools::clock_time(nothing) == "–");
  CHECK(tools::clock_words(750) == "12:30 min");
  CHECK(tools::clock_words(3599.6) == "1:00:00 h");
  CHECK(tools::entered_time(90.5, ',') == "1:30,5");
  CHECK(tools::entered_time(89.96, '.') == "1:30");
  CHECK(tools::entered_time(3600.1, '.') == "1:00:00.1");
}

TEST_CASE("given: the report says what the programme gives the powder, and how it was followed") {
  std::string text = report_of(problem_of(solver::DriveKind::tracking));
  CHECK(says(
      text,
      "The powder is 100 K hotter than the sensor reads. The programme as it stands, followed exactly, "
      "gives the powder 600 degC in the mean (575 to 635 degC) for 0:50 min, where 500 degC is asked for "
      "at the sensor. To bring"));
  // Above 1150 degC: 40 s on the way up (480 s for 600 K), 100 s there, 25 s on the way down (600 s for 1200
  // K); 99 % nine tenths into the hold.
  CHECK(says(
      text,
      "gives the powder 1200 degC in the mean (1175 to 1235 degC) for 1:40 min, where 1000 degC is asked "
      "for at the sensor; it is above 1150 degC for 2:45 min in all and reaches 99 % density at 12:00 min."));
  CHECK(!says(report_of(problem_of(solver::DriveKind::tracking), {"it has no law"}), "99 % density at"));

  solver::Problem controlled = problem_of(solver::DriveKind::tracking);
  controlled.drive.controller.emplace();
  text = report_of(controlled);
  CHECK(
      says(text,
           "The programme as it stands, followed by the press's own controller, gives the powder 1200 degC"));
  CHECK(!says(text, "followed exactly"));

  text = report_of(problem_of(solver::DriveKind::furnace));
  CHECK(says(
      text,
      "The programme as it stands gives the powder 1200 degC in the mean (1175 to 1235 degC) for 1:40 min, "
      "where 1000 degC is asked for of the furnace; it is above"));

  text = report_of(problem_of(solver::DriveKind::current));
  CHECK(says(text, "hotter than the sensor reads (1200 degC against 1100 degC)."));
  CHECK(!says(text, "The programme as it stands"));
}
