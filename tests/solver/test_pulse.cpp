// Mean, effective and peak of pulsed current: against waveforms sampled and summed, and numbers worked by
// hand.
#include "solver/pulse.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <initializer_list>
#include <limits>
#include <numbers>
#include <string>
#include <utility>
#include <vector>

#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::solver;
using joulepress::test::relative;

namespace {

constexpr double infinite = std::numeric_limits<double>::infinity();
constexpr double no_number = std::numeric_limits<double>::quiet_NaN();

Pulse of_units(double on, double off, double unit) {
  return {.on = on * unit, .off = off * unit, .ratio = {}};
}

/// A falling table, as a source might have; invented.
Pulse measured() {
  return {.on = 40e-3, .off = 7e-3, .ratio = {{0.1, 2.0}, {0.3, 1.6}, {1.0, 1.2}}};
}

struct Sampled {
  double current = 0, voltage = 0, power = 0, squares = 0;  // means over a period
};

/// Flat pulses through a resistance, looked at in the middle of 100 slices of each time unit.
Sampled sampled(int on, int off, double peak, double resistance) {
  Sampled sum;
  const int slices = 100 * (on + off);
  for (int k = 0; k < slices; ++k) {
    const double i = k < 100 * on ? peak : 0.0, u = resistance * i;
    sum.current += i / slices;
    sum.voltage += u / slices;
    sum.power += u * i / slices;
    sum.squares += i * i / slices;
  }
  return sum;
}

}  // namespace

TEST_CASE("flat pulses as sampled: the effective current makes the heat, the means do not") {
  const double resistance = 2e-3, peak = 1500;
  for (const auto& [on, off] : {std::pair{40, 7}, std::pair{12, 2}, std::pair{10, 5}, std::pair{1, 9}}) {
    const Pulse pulse = of_units(on, off, 1e-3);
    const Sampled wave = sampled(on, off, peak, resistance);
    const double effective = std::sqrt(wave.squares);
    CHECK(peak_current(pulse, effective) == relative(peak));
    CHECK(mean_current(pulse, effective, 0) == relative(wave.current));
    CHECK(effective_over_mean(pulse, 0.5) == relative(effective / wave.current));
    CHECK(effective * effective * resistance == relative(wave.power));
    CHECK(wave.voltage * wave.current / wave.power == relative(duty(pulse)));
  }
}

TEST_CASE("of all pulses of one duty, flat ones have the lowest peak and the lowest effective over mean") {
  const Pulse pulse = of_units(10, 5, 1e-3);
  const double peak = 1000;
  double mean = 0, squares = 0;  // half a sine while on
  for (int k = 0; k < 1000; ++k) {
    const double i = peak * std::sin(std::numbers::pi * (k + 0.5) / 1000);
    mean += i / 1500;
    squares += i * i / 1500;
  }
  const double effective = std::sqrt(squares);
  CHECK(peak_current(pulse, effective) == relative(peak / std::numbers::sqrt2));
  // Over that of flat pulses: (1/sqrt 2)/(2/pi) = 1.1107.
  CHECK(effective / mean / effective_over_mean(pulse, 1) == relative(1.1107, 3e-5));
}

TEST_CASE("40 ms on, 7 ms off; 12 to 2 units of 3.3 ms") {
  const Pulse times = of_units(40, 7, 1e-3), units = of_units(12, 2, 3.3e-3);
  // 40/47 = 0.85106, sqrt = 0.92253, 1/sqrt = 1.0840; 1/47 ms = 21.28 Hz.
  CHECK(duty(times) == relative(0.85106, 1e-5));
  CHECK(effective_over_mean(times, 1) == relative(1.0840, 5e-5));
  CHECK(base_frequency(times) == relative(21.277, 2e-5));
  // 1500 A effective: 1500 x 0.92253 = 1383.8 A mean, 1500 x 1.0840 = 1626.0 A in the pulse.
  CHECK(mean_current(times, 1500, 5000) == relative(1383.8, 4e-5));
  CHECK(peak_current(times, 1500) == relative(1626.0, 4e-5));
  // 12/14 = 0.85714, 1/sqrt = 1.0801; 39.6 + 6.6 = 46.2 ms, 21.645 Hz.
  CHECK(duty(units) == relative(12.0 / 14));
  CHECK(effective_over_mean(units, 1) == relative(1.0801, 3e-5));
  CHECK(base_frequency(units) == relative(21.645, 1e-5));
}

TEST_CASE("continuous current is left alone") {
  for (const Pulse& pulse : {Pulse{}, of_units(40, 0, 1e-3)}) {
    CHECK(why_not(pulse).empty());
    CHECK(duty(pulse) == 1.0);
    CHECK(effective_over_mean(pulse, 0.3) == 1.0);
    CHECK(mean_current(pulse, 1234.5, 5000) == 1234.5);
    CHECK(peak_current(pulse, 1234.5) == 1234.5);
    CHECK(base_frequency(pulse) == 0.0);
  }
}

TEST_CASE("a measured table: linear between its points, held beyond") {
  const Pulse pulse = measured();
  CHECK(effective_over_mean(pulse, 0) == 2.0);
  CHECK(effective_over_mean(pulse, 0.1) == 2.0);
  CHECK(effective_over_mean(pulse, 0.2) == relative(1.8));
  CHECK(effective_over_mean(pulse, 0.3) == relative(1.6));
  CHECK(effective_over_mean(pulse, 0.65) == relative(1.4));
  CHECK(effective_over_mean(pulse, 1.0) == relative(1.2));
  CHECK(effective_over_mean(pulse, 1.5) == 1.2);
  CHECK(std::isnan(effective_over_mean(pulse, no_number)));
}

TEST_CASE("the mean current of an effective one, by hand and back") {
  const Pulse pulse = measured();
  // Of 2000 A at most, 400 A are 0.2 of it: 400 x 1.8 = 720 A.  1300 A are 0.65: x 1.4 = 1820 A.
  CHECK(mean_current(pulse, 720, 2000) == relative(400));
  CHECK(mean_current(pulse, 1820, 2000) == relative(1300));
  CHECK(mean_current(pulse, 100, 2000) == relative(50));     // below the table
  CHECK(mean_current(pulse, 3000, 2000) == relative(2500));  // above it
  CHECK(mean_current(pulse, 0, 2000) == 0.0);
  CHECK(std::isnan(mean_current(pulse, no_number, 2000)));
  Pulse rising = measured(), one = measured(), level = measured(), from_zero = measured();
  rising.ratio = {{0.1, 1.0}, {0.2, 5.0}, {0.9, 5.5}};
  one.ratio = {{0.5, 1.3}};
  level.ratio = {{0.2, 1.3}, {0.6, 1.3}};
  from_zero.ratio = {{0.0, 3.0}, {1.0, 1.6}};
  for (const Pulse& any : {pulse, rising, one, level, from_zero, of_units(10, 5, 1e-3)}) {
    REQUIRE(why_not(any) == "");
    double last = 0;
    for (int k = 1; k <= 130; ++k) {
      const double mean = 20.0 * k, effective = mean * effective_over_mean(any, mean / 2000);
      CHECK(mean_current(any, effective, 2000) == relative(mean));
      CHECK(effective > last);  // as why_not says
      last = effective;
    }
  }
}

TEST_CASE("what is wrong with a pulse") {
  const auto times = [](double on, double off) { return why_not({.on = on, .off = off, .ratio = {}}); };
  CHECK(times(40e-3, 7e-3) == "");
  for (const double bad : {-1e-3, infinite, no_number}) {
    CHECK(times(bad, 7e-3) == "times on and off are finite and not negative");
    CHECK(times(40e-3, bad) == "times on and off are finite and not negative");
  }
  CHECK(times(0, 7e-3) == "the current is never on");

  const auto table = [](std::vector<std::pair<double, double>> ratio) {
    return why_not({.on = 40e-3, .off = 7e-3, .ratio = std::move(ratio)});
  };
  CHECK(why_not(measured()) == "");
  CHECK(table({{0.1, 1.0}}) == "");
  for (const double bad : {0.999, no_number, infinite})
    CHECK(table({{0.1, 1.2}, {0.5, bad}}) ==
          "point 2 of the ratios: finite, and at least 1: an effective value is never below the mean");
  for (const double bad : {-0.1, 1.1, no_number})
    CHECK(table({{bad, 1.2}}) ==
          "point 1 of the ratios: the output is a share of the largest mean current, 0 to 1");
  CHECK(table({{0.5, 1.3}, {0.5, 1.2}}) == "point 2 of the ratios: outputs ascend");
  CHECK(table({{0.5, 1.3}, {0.4, 1.2}}) == "point 2 of the ratios: outputs ascend");
  const std::string falls = " of the ratios: the effective current falls as the mean rises";
  CHECK(table({{0.2, 1.3}, {0.4, 5.0}, {0.5, 2.0}}) == "between points 2 and 3" + falls);  // 2.0 to 1.0
  // 0.5 to 1.0 at the points, yet 0.55 x (5 - 0.45/0.9 x 4) = 1.65 between them.
  CHECK(table({{0.1, 5.0}, {1.0, 1.0}}) == "between points 1 and 2" + falls);
  // The slope at the end is 1 + x d: level at d = -1 with x = 1, refused; a hair less falls.
  CHECK(table({{0.5, 1.5}, {1.0, 1.0}}) == "between points 1 and 2" + falls);
  CHECK(table({{0.5, 1.499}, {1.0, 1.0}}) == "");
}

TEST_CASE("skin depths to the digits given: graphite of 9 uohm m, hot copper of 0.08") {
  const auto check = [](double resistivity, double frequency, double mm, double digit) {
    joulepress::test::compare(
        {fmt::format("skin depth at {:g} Hz, {:g} uohm m", frequency, 1e6 * resistivity),
         "sqrt(2 rho / (omega mu_0)), textbook, by hand", mm, 1e3 * skin_depth(resistivity, frequency),
         0.5 * digit, "mm", "pulsed current"});
  };
  check(9e-6, 50, 214, 1);
  check(9e-6, 300, 87, 1);
  check(9e-6, 1000, 48, 1);
  check(0.08e-6, 50, 20, 1);
  check(0.08e-6, 300, 8.2, 0.1);
  check(0.08e-6, 1000, 4.5, 0.1);
  CHECK(skin_depth(9e-6, base_frequency({})) == infinite);  // continuous current fills the part
}
