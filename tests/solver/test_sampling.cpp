// What a sample of the controller does besides its output: who controls, whether the programme waits, where
// it goes on after a blind start.  Readings are given; nothing is heated.  The output itself:
// test_control.cpp.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "solver/control.hpp"
#include "solver/drive.hpp"
#include "solver/noise.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::solver;
using namespace joulepress::test;

namespace {

constexpr double sight = 340;  // K, the pyrometer's

/// A couple and a pyrometer; the couple controls 300 -> 500 K in 100 s, a hold of a minute, 500 -> 600 K.
Problem two_sensors() {
  Problem p;
  p.sensors.resize(2);
  p.sensors[0].exact = true;
  p.sensors[0].junction = {{0}, {1.0}};
  p.sensors[1].kind = SensorKind::pyrometer;
  p.sensors[1].exact = true;
  p.sensors[1].spot = {{0}, {1.0}};
  p.sensors[1].optics.wavelength = 1.6e-6;
  p.sensors[1].optics.lower_limit = sight;
  p.drive.kind = DriveKind::tracking;
  p.drive.sensor = 0;
  p.drive.segments = {segment(0, 100, 300, 500), segment(100, 160, 500, 500, true),
                      segment(160, 200, 500, 600)};
  Controller c;
  c.period = 2;
  c.gain = 10;
  c.integral_time = 50;
  p.drive.controller = c;
  return p;
}

State at(double time, double couple, double surface = 300) {
  State state;
  state.time = time;
  state.temperature = {couple};
  state.edges.outer = {surface};
  state.readings = {couple, surface};
  state.control.conductance = 400;
  return state;
}

/// Lets time pass as the march does, to other readings.
void pass(State& state, double seconds, double couple, double surface = 300) {
  if (state.control.stands) state.control.waited += seconds;
  state.time += seconds;
  state.temperature = {couple};
  state.edges.outer = {surface};
  state.readings = {couple, surface};
}

double programme(const State& state) {
  return programme_time(state, state.time);
}

}  // namespace

TEST_CASE("hand-over: when the first one reads enough and the second one sees; its step is no rate") {
  Problem p = two_sensors();
  p.drive.hand_over = HandOver{1, 330};
  p.drive.controller->derivative_time = 8;  // filter of 1 s
  State state = at(0, 320, 310);
  sample(p, state);
  pass(state, 2, 328, 318);
  sample(p, state);
  CHECK(control_sensor(p.drive, state.control) == 0);  // not hot enough
  pass(state, 2, 336, 326);
  sample(p, state);
  CHECK(control_sensor(p.drive, state.control) == 0);  // the pyrometer does not see yet
  const double before = state.control.derivative;
  // D = -K Td (y - y before) / (Tf + T) in a steady rise of 8 K per sample, two samples of a filter of 1/3
  CHECK(before == relative(-10.0 * 8 * 8 / 3 * (1 + 1.0 / 3), 1e-12));
  pass(state, 2, 344, 400);  // 56 K above the couple
  sample(p, state);
  CHECK(control_sensor(p.drive, state.control) == 1);
  CHECK(state.control.reading == 400);
  CHECK(state.control.derivative == relative(before / 3, 1e-12));  // the old one dies out, nothing is added
  pass(state, 2, 300, 406);  // it keeps control, whatever the first one reads
  sample(p, state);
  CHECK(control_sensor(p.drive, state.control) == 1);
  CHECK(state.control.derivative == relative(before / 9 - 10.0 * 8 * 6 / 3, 1e-12));
}

TEST_CASE(
    "the timer of a hold starts when the reading has come within the arrival, from below or from above") {
  Problem p = two_sensors();
  p.drive.controller->arrival = 5;
  double off = -1;  // sign of reading minus hold on the way
  SUBCASE("from below") {}
  SUBCASE("from above") {
    p.drive.segments[0].from = 700;
    off = 1;
  }
  State state = at(98, 500 + 40 * off);
  sample(p, state);
  CHECK_FALSE(state.control.stands);  // a ramp does not wait
  pass(state, 2, 500 + 30 * off);
  CHECK(sample(p, state));  // a corner
  CHECK(state.control.stands);
  for (const double left : {20.0, 10.0, 5.1}) {
    pass(state, 2, 500 + left * off);
    CHECK_FALSE(sample(p, state));
    CHECK(state.control.stands);
    CHECK(programme(state) == relative(100.0));
  }
  pass(state, 2, 500 + 4.9 * off);
  sample(p, state);
  CHECK_FALSE(state.control.stands);
  CHECK(programme(state) == relative(100.0));
  CHECK(state.control.waited == relative(8.0));
  // Once arrived the timer goes on, wherever the reading goes.
  pass(state, 2, 500 + 50 * off);
  sample(p, state);
  CHECK_FALSE(state.control.stands);
  CHECK(programme(state) == relative(102.0));
  // The hold began and ended 8 s late; what comes after it too.
  pass(state, 60, 500);
  sample(p, state);
  CHECK(state.control.segment == 2);
  std::vector<HistoryFrame::Hold> holds{{"hold", 100, 160, 500}};
  tell_holds(p.drive, state.control, holds);
  REQUIRE(holds.size() == 1);
  CHECK(holds[0].start_s == relative(108.0));
  CHECK(holds[0].end_s == relative(168.0));
}

TEST_CASE("a reading beyond the hold, on the far side of the way to it, has arrived") {
  Problem p = two_sensors();
  State state = at(98, 530);
  sample(p, state);
  pass(state, 2, 530);
  sample(p, state);
  CHECK_FALSE(state.control.stands);
  // A second hold is waited for anew, and the delay of the first one stays its own.
  p.drive.segments.push_back(segment(200, 260, 600, 600, true));
  pass(state, 100, 560);
  sample(p, state);
  CHECK(state.control.stands);
  pass(state, 30, 599);
  sample(p, state);
  CHECK_FALSE(state.control.stands);
  std::vector<HistoryFrame::Hold> holds{{"a", 100, 160, 500}, {"b", 200, 260, 600}};
  tell_holds(p.drive, state.control, holds);
  CHECK(holds[0].start_s == relative(100.0));
  CHECK(holds[1].start_s == relative(230.0));
  CHECK(holds[1].end_s == relative(290.0));
}

TEST_CASE(
    "blind start: constant power, then from where the programme meets the reading; the force stood still") {
  Problem p = two_sensors();
  p.drive.sensor = 1;
  p.drive.controller->start_power = 700;
  p.drive.controller->start_until = 350;
  SUBCASE("the sensor sees late") {
    State state = at(0, 300, 300);
    sample(p, state);
    pass(state, 2, 300, 320);
    sample(p, state);
    for (const double surface : {339.0, 345.0, 349.0}) {  // in sight from 340 on, and still below `until`
      CHECK(state.control.blind);
      CHECK(programme(state) == 0.0);
      CHECK(force_time(state, state.time) == 0.0);
      CHECK(state.control.to == 700);
      pass(state, 2, 300, surface);
      sample(p, state);
    }
    pass(state, 2, 300, 360);
    sample(p, state);
    CHECK_FALSE(state.control.blind);
    CHECK_FALSE(state.control.stands);
    CHECK(programme(state) == relative(30.0));   // 300 + 2 * 30 = 360 K
    CHECK(state.control.to == relative(700.0));  // nothing to correct yet
    CHECK(force_time(state, state.time) == doctest::Approx(0.0).epsilon(1e-12));
    pass(state, 2, 300, 364);
    sample(p, state);
    CHECK(programme(state) == relative(32.0));
    CHECK(force_time(state, state.time) == relative(2.0));
  }
  SUBCASE("the sensor sees from the start, hotter than where the programme begins") {
    State state = at(0, 300, 380);
    sample(p, state);
    CHECK_FALSE(state.control.blind);
    CHECK(programme(state) == relative(40.0));
    CHECK(force_time(state, 0.0) == 0.0);
    CHECK(state.control.to == 0.0);
  }
  SUBCASE("above the first hold: it never was, and the list of holds says so") {
    State state = at(0, 300, 310);
    sample(p, state);
    pass(state, 2, 300, 550);  // in the second ramp, at 180 s
    sample(p, state);
    CHECK(programme(state) == relative(180.0));
    p.drive.segments.push_back(segment(200, 260, 600, 600, true));
    std::vector<HistoryFrame::Hold> holds{{"a", 100, 160, 500}, {"b", 200, 260, 600}};
    tell_holds(p.drive, state.control, holds);
    REQUIRE(holds.size() == 1);
    CHECK(holds[0].name == "b");
    CHECK(holds[0].start_s == relative(22.0));
  }
  SUBCASE("an output of current makes the same power") {
    p.drive.controller->by_power = false;
    State state = at(0, 300, 300);
    sample(p, state);
    CHECK(state.control.to == relative(std::sqrt(700.0 * 400)));
  }
}

TEST_CASE("what the press gave is the output within its limits") {
  Problem p = two_sensors();
  State state = at(0, 300);
  state.control.to = 900;
  p.drive.current_limit = 500;  // at 400 S: 625 W
  SUBCASE("power") {
    sample(p, state);
    CHECK(state.control.from == relative(625.0));
  }
  SUBCASE("current") {
    p.drive.controller->by_power = false;
    sample(p, state);
    CHECK(state.control.from == relative(500.0));
  }
  SUBCASE("a voltage that binds first") {
    p.drive.controller->by_power = false;
    p.drive.voltage_limit = 1;  // 400 A
    sample(p, state);
    CHECK(state.control.from == relative(400.0));
  }
  SUBCASE("none binds") {
    p.drive.current_limit = 1e5;
    sample(p, state);
    CHECK(state.control.from == 900);
  }
}

TEST_CASE("noise is added to the reading, the same bits each time, another deviate at each sample") {
  Problem p = two_sensors();
  p.sensors[0].noise = 1.5;
  p.drive.controller->derivative_time = 8;
  const auto march = [&p] {
    std::vector<double> readings;
    State state = at(0, 320);
    for (int k = 0; k < 20; ++k) {
      sample(p, state);
      CHECK(state.control.reading == 320 + 1.5 * normal_deviate(1, 0, k));
      readings.push_back(state.control.reading);
      readings.push_back(state.control.to);
      pass(state, 2, 320);
    }
    return readings;
  };
  const std::vector<double> once = march();
  CHECK(once == march());
  CHECK(once[0] != once[2]);
  // What is sampled only: the state's own reading has no noise.
  State state = at(0, 320);
  sample(p, state);
  CHECK(state.readings[0] == 320);
}

TEST_CASE("with the current cut the output falls to nothing, then the controller rests until it is needed") {
  Problem p = two_sensors();
  p.drive.segments[1] = segment(100, 160, 500, 500);
  p.drive.segments[1].off = true;
  p.drive.controller->rate = 200;
  p.drive.controller->derivative_time = 8;
  State state = at(98, 495);
  state.control.to = 1000;
  CHECK(is_sampled(p.drive, state));
  sample(p, state);
  const double last = state.control.to;
  REQUIRE(last == 600);
  int samples = 0;
  while (is_sampled(p.drive, state) && samples < 20) {
    pass(state, 2, 495);
    sample(p, state);
    CHECK(state.control.to == std::max(0.0, state.control.from - 400));
    ++samples;
  }
  CHECK(samples == static_cast<int>(std::ceil(last / 400)) + 1);
  // It cooled by 200 K while nobody looked: the next ramp begins without the rate of that.
  pass(state, 160 - state.time, 295);
  CHECK(is_sampled(p.drive, state));
  sample(p, state);
  CHECK(state.control.derivative == 0.0);
  CHECK(state.control.from == 0.0);
  pass(state, 2, 296);
  sample(p, state);
  CHECK(state.control.derivative == relative(-10.0 * 8 * 1 / 3));
  // An output that was nothing already: the corner where the current is cut is sampled all the same.
  state = at(98, 700);
  sample(p, state);
  pass(state, 2, 700);
  CHECK(state.control.to == 0.0);
  CHECK(is_sampled(p.drive, state));
  CHECK(sample(p, state));
  CHECK_FALSE(is_sampled(p.drive, state));
  // Without a controller nothing is sampled.
  p.drive.controller.reset();
  CHECK_FALSE(is_sampled(p.drive, state));
}
