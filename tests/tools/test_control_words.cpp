// What check and report say of control: how the programme is followed, what a limit means, sensors side by
// side.
#include <doctest/doctest.h>

#include <filesystem>
#include <string>

#include "cases/build_problem.hpp"
#include "solver/summary.hpp"
#include "tools/screen/report.hpp"
#include "tools/screen/report_control.hpp"
#include "tools/screen/stack_table.hpp"

using namespace joulepress;

namespace {

bool says(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

std::string flat(std::string text) {
  for (char& c : text)
    if (c == '\n') c = ' ';
  std::string out;
  for (const char c : text)
    if (c != ' ' || out.empty() || out.back() != ' ') out += c;
  return out;
}

solver::Need need(double rate, double needs, double gives) {
  solver::Need n;
  n.interval = {10, 20, solver::DriveMode::at_limit, solver::Limit::current};
  n.needs = needs;
  n.gives = gives;
  n.set_K = 1173.15;
  n.rate_K_s = rate;
  n.programme = needs > gives;
  return n;
}

/// Two sensors over a hold of 100 s, the second of which sees nothing.
solver::RunResult two_sensors() {
  solver::RunResult result;
  result.frame.part_names = {"die"};
  result.frame.powder_names = {"powder"};
  result.frame.sensor_names = {"couple", "spot"};
  result.frame.sensor_traits = {{false, false, solver::Thermocouple::S, 2}, {true, false, std::nullopt, 2}};
  result.frame.control_sensor = 0;
  result.frame.holds = {{"sinter", 0, 100, 1500.15}};
  for (const double t : {0.0, 50.0, 100.0}) {
    solver::HistoryRow row;
    row.time_s = row.programme_s = t;
    row.control_sensor = 0;
    row.mode = solver::DriveMode::controlled;
    row.sensors = {{1510.15, 1500.15, 15, 1502.15, true}, {900, 1000, 0, 1000, false}};
    solver::PowderValue powder;
    powder.mean_K = 1600.15;
    powder.centre_K = 1620;
    powder.edge_K = 1580.15;
    powder.wall_K = 1530.15;
    powder.min_K = 1580;
    powder.max_K = 1620;
    row.powder = powder;
    row.powders = {powder};
    row.joule_by_part_W = {1};
    row.radiation_by_part_W = {1};
    result.rows.push_back(row);
  }
  return result;
}

}  // namespace

TEST_CASE("control words: what a programme needs and a press gives") {
  CHECK(tools::need_in_words(need(5.0, 2900, 2500)) ==
        "300 K/min needs 2.90 kA at 900 degC; this press gives 2.50 kA");
  CHECK(tools::need_in_words(need(0.0, 2900, 2500)) ==
        "holding 900 degC needs 2.90 kA; this press gives 2.50 kA");
  CHECK(says(tools::need_in_words(need(5.0, 2100, 2500)), "the programme itself needs no more than 2.10 kA"));
  solver::RunResult result;
  result.limited = {{10, 20, solver::DriveMode::at_limit, solver::Limit::current},
                    {30, 40, solver::DriveMode::off, solver::Limit::none}};
  const std::string text = flat(tools::limited_section(result, {need(5.0, 2900, 2500)}));
  CHECK(says(text, "10.0 s to 20.0 s at the limit of current: 300 K/min needs 2.90 kA at 900 degC"));
  CHECK(says(text, "30.0 s to 40.0 s current 0: the programme falls faster than the stack cools"));
  CHECK(tools::limited_section({}, {}) == "");
}

TEST_CASE("control words: sensors side by side, the offset ranked, the tolerance of the couple") {
  const solver::RunResult result = two_sensors();
  const solver::Summary summary = solver::summarise(result.frame, result.rows);
  const solver::HoldSummary& hold = summary.holds.at(0);
  // 1600 - 1500; own gradient 20, contact 50, wall 20, stem 8, lag 2
  CHECK(*hold.offset_mean_K == doctest::Approx(100));
  CHECK(hold.parts->lag_K == doctest::Approx(2));
  CHECK(hold.parts->stem_K == doctest::Approx(8));
  // type S, class 2: 0.25 % of 1227 degC (IEC 60584-1)
  CHECK(*hold.sensors[0].tolerance_K == doctest::Approx(0.0025 * 1227));
  CHECK_FALSE(hold.sensors[1].in_sight);
  solver::Problem problem;
  problem.drive.kind = solver::DriveKind::tracking;
  solver::Controller controller;
  controller.gain = 80;
  controller.integral_time = 40;
  problem.drive.controller = controller;
  problem.drive.segments = {{0, 100, 1500, 1500, false, true, "sinter"}};
  const std::string text = tools::terminal_report({"t", "0", 0, 0.1, {}, {}}, problem, result, summary);
  const std::string words = flat(text);
  CHECK(says(words, "couple (controls) 1227.0 degC 1237.0 degC +10.0 K +100.0 K"));
  CHECK(says(words, "spot sees nothing 626.9 degC"));
  CHECK(says(words, "tolerance of a new couple +/-3.1 K"));
  CHECK(words.find("the lateral contact +50.0 K") < words.find("the powder's own gradient +20.0 K"));
  CHECK(words.find("the powder's own gradient +20.0 K") < words.find("the stem of the sensor +8.0 K"));
  CHECK(says(words, "gain / integral / derivative time 0.08 kW per K / 40 s / 0 s"));
  CHECK(says(words, "\"sinter\" timer from 0 s (written for 0 s), reading at most 0.0 K above"));
}

TEST_CASE("control words: check tells how the programme of the shipped press case is followed") {
  const std::filesystem::path file =
      std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / "alumina-20mm-press.yaml";
  const auto [c, p] = cases::load_case(file, "workshop-250kN");
  const std::string text = flat(tools::stack_table(c, p));
  CHECK(says(text, "looks every 0.5 s, sets the current, gains from a step of the model when it runs"));
  CHECK(says(text, "starts with 1.5 kW until punch pyrometer reads 400 degC"));
  CHECK(says(text, "pulses of 40 ms on, 7 ms off"));
  CHECK_FALSE(says(text, "Peltier and Thomson"));
  cases::Case other = c;
  other.programme.thermoelectric = true;
  CHECK(says(flat(tools::stack_table(other, p)),
             "Peltier and Thomson heat count, the upper pole is the positive one"));
  CHECK(says(text, "ends when die thermocouple reads more than 1600 degC"));
  CHECK(says(text, "ends when the current rises above 3500 A"));
}
