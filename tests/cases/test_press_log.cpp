// Logs of presses, each with a trouble of its own (tests/logs, invented): what is understood of them, number
// by number, and what is refused with which words.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

#include "cases/reader/input_error.hpp"
#include "cases/reader/press_log.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress::cases;

const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "logs";

PressLog read(const std::string& name) {
  return read_press_log(folder / name);
}

const LoggedColumn& column(const PressLog& log, Logged what, const std::string& sensor = {}) {
  for (const LoggedColumn& c : log.columns)
    if (c.what == what && (sensor.empty() || c.sensor == sensor)) return c;
  FAIL("no such column");
  return log.columns.front();
}

/// Both as far as they go; NaN is NaN.
bool same(const std::vector<double>& a, const std::vector<double>& b) {
  if (a.size() != b.size()) return false;
  for (std::size_t k = 0; k < a.size(); ++k)
    if (!(std::abs(a[k] - b[k]) <= 1e-9 * std::max(1.0, std::abs(b[k]))) &&
        !(std::isnan(a[k]) && std::isnan(b[k])))
      return false;
  return true;
}

const double none = std::nan("");

/// degC
std::vector<double> kelvin(std::vector<double> celsius) {
  for (double& t : celsius) t += 273.15;
  return celsius;
}

}  // namespace

TEST_CASE("log: one of ours needs no map") {
  const PressLog log = read("plain.csv");
  CHECK(log.map.empty());
  CHECK(log.began.empty());
  CHECK(log.remarks.empty());
  CHECK(log.ignored.empty());
  CHECK(same(log.time, {0, 2, 4, 6}));
  REQUIRE(log.columns.size() == 8);
  CHECK(same(column(log, Logged::programme).values, kelvin({25, 27, 30, none})));
  const LoggedColumn& couple = column(log, Logged::reading);
  CHECK(couple.sensor == "die thermocouple");
  CHECK(couple.unit == "degC");
  CHECK(same(couple.values, kelvin({25, 25, 26, 27})));
  CHECK(couple.digit == 1.0);
  const LoggedColumn& current = column(log, Logged::current);
  CHECK_FALSE(current.mean);
  CHECK(same(current.values, {580, 585, 590, 0}));
  CHECK_FALSE(column(log, Logged::voltage).mean);
  CHECK(same(column(log, Logged::power).values, {1510, 1530, 1550, 0}));
  CHECK(same(column(log, Logged::force).values, {5e3, 5e3, 5e3, 15.7e3}));
  CHECK(same(column(log, Logged::gauge_pressure).values, {25e5, 25e5, 25e5, 78.5e5}));
  const LoggedColumn& stroke = column(log, Logged::stroke);
  CHECK(same(stroke.values, {0, -1e-5, -1e-5, 3.26e-3}));
  CHECK(std::abs(stroke.digit / 1e-5 - 1.0) <= 1e-9);
}
