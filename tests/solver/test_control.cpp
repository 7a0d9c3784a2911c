// The press's controller by itself: against the textbook's sum, on a lumped body whose way from sample to
// sample is exact.  In the stack: tests/verification/test_controlled.cpp.
#include "solver/control.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "solver/drive.hpp"
#include "solver/limited.hpp"
#include "solver/noise.hpp"
#include "tests/support/lumped.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::solver;
using namespace joulepress::test;

namespace {

constexpr double T0 = 300;  // K, start of the body and its surroundings

Controller pid() {
  Controller c;
  c.period = 0.5;
  c.gain = 12;
  c.integral_time = 25;
  c.derivative_time = 4;
  c.lowest = -1e9;  // nothing is clamped, so that sums may be compared
  return c;
}

/// Programme: 2 K/s for 100 s, then level.
double ramp_and_hold(double t) {
  return T0 + 2.0 * std::min(t, 100.0);
}

struct Loop {
  std::vector<double> time, reading, output;  ///< at the samples; the output is that of the next sample
  std::vector<ControlState> memory;
};

/// The controller on the lumped body; what the press gives is what it is asked for up to `can_give`.
template <class Set>
Loop controlled(const Controller& c, const LumpedBody& body, Set&& set, int samples,
                ControlState control = {}, double T = T0, double can_give = 1e30) {
  Loop loop;
  for (int k = 0; k < samples; ++k) {
    const double t = k * c.period;
    take_sample(c, t, set(t), T, std::min(control.to, can_give), control);
    loop.time.push_back(t);
    loop.reading.push_back(T);
    loop.output.push_back(control.to);
    loop.memory.push_back(control);
    T = body.after(T, control.from, std::min(control.to, can_give), c.period);
  }
  return loop;
}

/// The same by the positional form: every sample sums all errors anew.
template <class Set>
std::vector<double> textbook_readings(const Controller& c, const LumpedBody& body, Set&& set, int samples) {
  std::vector<double> errors, y{T0};
  const double h = c.period, Tf = c.derivative_time / 8;
  double filtered = 0, u_before = 0;
  for (int k = 0; k < samples; ++k) {
    errors.push_back(set(k * h) - y[k]);
    double sum = 0;
    for (const double e : errors) sum += e;
    // Backward difference of Tf D' + D = -K Td y'.
    if (k > 0)
      filtered = Tf / (Tf + h) * filtered - c.gain * c.derivative_time / (Tf + h) * (y[k] - y[k - 1]);
    const double integral = c.integral_time > 0 ? h / c.integral_time * sum : 0.0;
    const double u = c.gain * (errors.back() + integral) + filtered;
    y.push_back(body.after(y[k], u_before, u, h));
    u_before = u;
  }
  y.pop_back();
  return y;
}

double highest(const std::vector<double>& values) {
  return *std::max_element(values.begin(), values.end());
}

}  // namespace

TEST_CASE("the lumped body of these tests: series in small steps, steady power, steady ramp") {
  const LumpedBody body{400, 2.5, T0};
  // Closed form against the same equation by the classical Runge-Kutta scheme in 2000 steps.
  const auto slope = [](double T, double P) { return (P - 2.5 * (T - T0)) / 400; };
  double T = 350;
  const int n = 2000;
  const double h = 200.0 / n;
  for (int k = 0; k < n; ++k) {
    const auto P = [](double t) { return 100 + (700 - 100) * t / 200.0; };
    const double t = k * h, k1 = slope(T, P(t)), k2 = slope(T + h / 2 * k1, P(t + h / 2)),
                 k3 = slope(T + h / 2 * k2, P(t + h / 2)), k4 = slope(T + h * k3, P(t + h));
    T += h / 6 * (k1 + 2 * k2 + 2 * k3 + k4);
  }
  CHECK(body.after(350, 100, 700, 200) == relative(T, 1e-11));
  CHECK(body.after(T0 + 100 / 2.5, 100, 100, 77) == relative(T0 + 40, 1e-14));
}

TEST_CASE("sampled PID: the same readings as the textbook's positional form, for hundreds of samples") {
  const LumpedBody body{400, 2.5, T0};
  Controller c = pid();
  SUBCASE("proportional, integral, filtered derivative") {}
  SUBCASE("no derivative") {
    c.derivative_time = 0;
  }
  SUBCASE("no integral") {
    c.integral_time = 0;
  }
  SUBCASE("a period longer than the filter") {
    c.period = 3;
    c.gain = 5;
  }
  const int samples = 600;
  const Loop loop = controlled(c, body, ramp_and_hold, samples);
  const std::vector<double> textbook = textbook_readings(c, body, ramp_and_hold, samples);
  double worst = 0;
  for (int k = 0; k < samples; ++k) worst = std::max(worst, std::abs(loop.reading[k] - textbook[k]));
  CHECK(worst < 1e-10);
  CHECK(loop.reading[150] > T0 + 50);  // it did heat
}

TEST_CASE("steady error: none with integral action, that of the textbook without") {
  const LumpedBody body{400, 2.5, T0};
  Controller c = pid();
  const auto hold = [](double) { return T0 + 200; };
  CHECK(std::abs(controlled(c, body, hold, 5000).reading.back() - (T0 + 200)) < 1e-9);
  c.integral_time = 0;
  // K e = hA (T - T0): e = 200 hA / (K + hA)
  const double steady = T0 + 200 - 200 * 2.5 / (12 + 2.5);
  CHECK(controlled(c, body, hold, 3000).reading.back() == relative(steady, 1e-12));
  // Having been at its limit for long it stays the same: without an integral nothing is stored.
  c.lowest = 0;
  c.highest = 450;
  CHECK(controlled(c, body, hold, 3000).reading.back() == relative(steady, 1e-12));
}

TEST_CASE("no windup: an output that could not for long leaves its limit as if it had just met it") {
  const LumpedBody body{400, 2.5, T0};
  Controller c = pid();
  c.lowest = 0;
  double can_give = 1e30;
  SUBCASE("its own limit") {
    c.highest = 600;
  }
  SUBCASE("the limit of the press") {
    can_give = 600;
  }
  // 600 W hold the body at T0 + 240 at the most: 1000 s at T0 + 400 are out of reach, then T0 + 150 is asked
  // for.
  const auto set = [](double t) { return t < 1000 ? T0 + 400 : T0 + 239; };
  const int samples = 6000, change = static_cast<int>(1000 / c.period);
  const Loop loop = controlled(c, body, set, samples, {}, T0, can_give);
  CHECK(std::abs(loop.reading[change - 1] - (T0 + 240)) < 1.0);
  // Without stored integral, from its limit: 600 + K (e - e before) + K e T / Ti + D - D before.  Where that
  // is lower, the output comes off within the sample.
  int left = 0;
  for (int k = change; k < change + 3; ++k) {
    const double e = set(loop.time[k]) - loop.reading[k],
                 before = set(loop.time[k - 1]) - loop.reading[k - 1];
    const double increment = c.gain * (e - before) + c.gain * e * c.period / c.integral_time +
                             loop.memory[k].derivative - loop.memory[k - 1].derivative;
    if (left == 0 && increment < 0.0) {
      CHECK(loop.output[k] < 600);
      left = k;
    }
  }
  CHECK(left == change);
  CHECK(std::abs(loop.reading.back() - (T0 + 239)) < 1e-6);
  // The same loop that was at its limit for one sample only overshoots as much.
  ControlState fresh = loop.memory[1];
  const Loop short_time = controlled(
      c, body, [](double) { return T0 + 239; }, samples - change, fresh, loop.reading[change], can_give);
  const std::vector<double> after(loop.reading.begin() + change, loop.reading.end());
  CHECK(highest(after) <= highest(short_time.reading) + 1e-9);
}

TEST_CASE("a reachable set point from far below at the limit: overshoot below a fiftieth of the step") {
  // With a sum that winds up for 100 s at the limit the overshoot is several times that (checked here too).
  const LumpedBody body{400, 2.5, T0};
  Controller c = pid();
  c.integral_time = 60;
  c.lowest = 0;
  c.highest = 900;
  const double set = T0 + 250;
  const Loop loop = controlled(
      c, body, [set](double) { return set; }, 4000);
  CHECK(loop.output[40] == 900);
  CHECK(highest(loop.reading) < set + 5);
  CHECK(std::abs(loop.reading.back() - set) < 1e-6);
  double sum = 0, T = T0, u = 0, most = 0, before = T0, D = 0;
  for (int k = 0; k < 4000; ++k) {
    sum += c.gain * (set - T) * c.period / c.integral_time;
    D = (0.5 * D - c.gain * 4 * (T - before)) / (0.5 + c.period);
    before = T;
    const double next = std::clamp(c.gain * (set - T) + sum + D, 0.0, 900.0);
    T = body.after(T, u, next, c.period);
    u = next;
    most = std::max(most, T);
  }
  CHECK(most > set + 20);
}

TEST_CASE("limits of the output and of its rate hold at every sample") {
  const LumpedBody body{400, 2.5, T0};
  Controller c = pid();
  c.lowest = 50;
  c.highest = 800;
  c.rate = 40;
  const auto set = [](double t) { return t < 100 ? T0 + 220 : T0 + 60; };
  const Loop loop = controlled(c, body, set, 800);
  double before = 0, rose = 0, fell = 0;
  for (const double u : loop.output) {
    rose = std::max(rose, u - before);
    fell = std::max(fell, before - u);
    before = u;
  }
  CHECK(rose == relative(c.rate * c.period, 1e-12));  // met, and never passed
  CHECK(fell == relative(c.rate * c.period, 1e-12));
  CHECK(highest(loop.output) == 800);
  // From nothing it comes to its least output by the rate, and stays above from there on.
  CHECK(loop.output[0] == relative(20.0));
  CHECK(*std::min_element(loop.output.begin() + 3, loop.output.end()) == 50);
}

TEST_CASE("after a lead at constant power the first output of the controller goes on from it") {
  Controller c = pid();
  ControlState control;
  for (int k = 0; k < 4; ++k) lead_output(c, k * c.period, 700, T0 + 3.0 * k, control.to, control);
  CHECK(control.from == 700);
  CHECK(control.to == 700);
  CHECK(control.derivative == 0.0);
  // No error, and a reading that stands: the output stays.
  ControlState stands = control;
  take_sample(c, 4 * c.period, T0 + 9, T0 + 9, stands.to, stands);
  CHECK(stands.to == relative(700.0, 1e-15));
  // A reading that rises by 3 K per sample: the derivative part alone, from the last reading of the lead.
  take_sample(c, 4 * c.period, T0 + 12, T0 + 12, control.to, control);
  CHECK(control.to == relative(700 - 12 * 4 * 3 / (0.5 + 0.5), 1e-13));
  // By the rate where there is one.
  c.rate = 100;
  ControlState slow;
  lead_output(c, 0, 700, T0, 0, slow);
  CHECK(slow.to == 50);
  lead_output(c, 0.5, 0, T0, slow.to, slow);
  CHECK(slow.to == 0);
}

TEST_CASE("the output between samples is the straight line from what was given to what is asked for") {
  Controller c = pid();
  ControlState control;
  control.to = 300;
  take_sample(c, 7.0, T0 + 10, T0, 250, control);
  const Segment line = output_segment(c, control);
  CHECK(line.start == 7.0);
  CHECK(line.end == 7.5);
  CHECK(line.from == 250);
  CHECK(line.to == control.to);
  CHECK(value_in(line, 7.25) == relative(0.5 * (250 + control.to)));
  CHECK(output_kind(c) == DriveKind::power);
  c.by_power = false;
  CHECK(output_kind(c) == DriveKind::current);
}

TEST_CASE("the first rise of a programme that meets a value; 0 where none does") {
  Drive drive;
  drive.segments = {segment(0, 100, 300, 500), segment(100, 160, 500, 500, true), segment(160, 260, 500, 900),
                    segment(260, 300, 900, 400), segment(300, 400, 400, 950)};
  CHECK(time_of_value(drive, 300) == 0.0);
  CHECK(time_of_value(drive, 400) == relative(50.0));
  CHECK(time_of_value(drive, 500) == relative(100.0));  // the end of the first ramp, so that its hold is kept
  CHECK(time_of_value(drive, 700) == relative(210.0));
  CHECK(time_of_value(drive, 925) == relative(300 + 525.0 / 550 * 100));
  CHECK(time_of_value(drive, 2000) == 0.0);
  CHECK(time_of_value(drive, 200) == 0.0);
  drive.segments[0].off = true;
  CHECK(time_of_value(drive, 450) == relative(300 + 50.0 / 550 * 100));
}

TEST_CASE("limited intervals: of one kind and close together they are one") {
  LimitedIntervals joined(3.0);
  joined.note(0, Limit::none);
  joined.note(10, Limit::current);
  joined.note(11, Limit::current);
  joined.note(12, Limit::none);       // ends at 12
  joined.note(14.9, Limit::current);  // 2.9 s later: the same interval
  joined.note(20, Limit::none);
  joined.note(23, Limit::current);  // 3 s later: another one
  joined.note(24, Limit::voltage);  // another limit at once
  joined.note(25, Limit::none);
  joined.note(26, Limit::current);  // the same as two before, not as the last
  joined.close(27);
  REQUIRE(joined.list.size() == 4);
  const std::vector<std::vector<double>> times{{10, 20}, {23, 24}, {24, 25}, {26, 27}};
  for (std::size_t k = 0; k < times.size(); ++k) {
    CHECK(joined.list[k].start_s == times[k][0]);
    CHECK(joined.list[k].end_s == times[k][1]);
    CHECK(joined.list[k].mode == DriveMode::at_limit);
    CHECK(joined.list[k].limit == (k == 2 ? Limit::voltage : Limit::current));
  }
  CHECK_FALSE(joined.now.has_value());

  LimitedIntervals exact(0.0);  // a mode that begins before its limit is known, and one of no length
  exact.open(5, DriveMode::at_limit, Limit::none);
  exact.note(5, Limit::power);
  exact.note(6, Limit::none);
  exact.note(6, Limit::power);
  exact.close(6);
  exact.open(6, DriveMode::off, Limit::none);
  exact.close(8);
  REQUIRE(exact.list.size() == 2);
  CHECK(exact.list[0].limit == Limit::power);
  CHECK(exact.list[0].end_s == 6);
  CHECK(exact.list[1].mode == DriveMode::off);
  CHECK(exact.list[1].end_s == 8);
}
