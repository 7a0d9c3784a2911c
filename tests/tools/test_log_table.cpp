// What `check` shows of a log, and that the log of a run of ours is understood as it is.
#include "tools/screen/log_table.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>

#include "cases/reader/press_log.hpp"
#include "tests/support/folder.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;

/// Without the first line, which has the folder in it.
std::string shown(const std::string& name) {
  cases::PressLog log = cases::read_press_log(root / "tests" / "logs" / name);
  log.file = "LOG";
  log.map.clear();
  return tools::log_table(log);
}

}  // namespace

TEST_CASE("log table: what was understood, what melted, the first rows") {
  CHECK(shown("melt-events.csv") ==
        "LOG   (UTF-8, commas, decimal points, headings in line 1)\n"
        "6 rows, 0 s to 50 s, every 10 s\n"
        "Time from \"time [s]\", written as s\n"
        "\n"
        "  heading                   understood as                   from     to   unit   digit   left out\n"
        "  die thermocouple [degC]   reading of \"die thermocouple\"    990   1020   degC       1\n"
        "\n"
        "Melted\n"
        "  nickel-carbon   1329.0 degC   +- 3 K   at 45 s\n"
        "  copper          1084.6 degC   +- 5 K   at 26 s, as \"die thermocouple\" reads 1010 degC\n"
        "  1064.18 degC    1064.2 degC   +- 3 K   at 30 s\n"
        "\n"
        "The first rows\n"
        "  time               s        0     10     20\n"
        "  die thermocouple   degC   990   1000   1004\n");
}

TEST_CASE("log table: units of the trade, what is left out, ignored and remarked") {
  const std::string words = shown("empty-cells-and-words.csv");
  CHECK(words.find("1 empty, 2 open circuit, 1 no number") != std::string::npos);
  CHECK(words.find("  force [kN]   kN      -   5.0   -\n") != std::string::npos);
  const std::string newtons = shown("force-in-newtons.csv");
  CHECK(newtons.find("force              5.000   15.700     kN   0.001") != std::string::npos);
  const std::string pressure = shown("pressure-of-what.csv");
  CHECK(pressure.find("\nIgnored\n  pressure [MPa]\n") != std::string::npos);
  CHECK(pressure.find("\nRemarks\n  \"pressure [MPa]\" is ignored") != std::string::npos);
  const std::string date = shown("date-iso.csv");
  CHECK(date.find("written as date and time, year-month-day; began 2024-02-28T23:59:57.5\n") !=
        std::string::npos);
}

TEST_CASE("log table: the log that a run writes is understood without a map") {
  const test::Folder folder("own-log");
  const fs::path press = folder.write(
      "bench.yaml",
      "name: bench supply\nlimits: {current: 2 kA, voltage: 10 V}\ncolumn ends: {temperature: 25 degC}\n"
      "meters: {current: mean, voltage: effective, every: 0.5 s, rounds current to: 0.5 A}\n");
  tools::RunOptions options{root / "cases" / "heated-rod.yaml", folder.path / "out", true};
  options.log = folder.path / "own.csv";
  options.press = press.string();
  REQUIRE(tools::run_case(options) == tools::done);
  const cases::PressLog log = cases::read_press_log(options.log);
  CHECK(log.remarks.empty());
  CHECK(log.ignored.empty());
  REQUIRE(log.time.size() > 10);
  CHECK(log.time[1] == 0.5);
  for (const cases::LoggedColumn& column : log.columns) {
    CAPTURE(column.heading);
    CHECK(column.what != cases::Logged::force);  // the rod is not pressed
    if (column.what == cases::Logged::current) {
      CHECK(column.mean);
      CHECK(std::abs(std::remainder(column.values.back(), 0.5)) <= 1e-9);
    }
    if (column.what == cases::Logged::voltage) CHECK_FALSE(column.mean);
  }
  CHECK(tools::check_log(options.log) == tools::done);
}
