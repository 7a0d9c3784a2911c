// The answer of a run from rows made by hand: averages, identities of the offset, peaks (identities).
#include "solver/summary.hpp"

#include <doctest/doctest.h>

#include <cmath>

using namespace joulepress::solver;

namespace {

/// A row at time t whose powder rises by 1 K/s while the reading stays.
HistoryRow row(double t) {
  HistoryRow r;
  r.time_s = t;
  r.current_A = 1000 + t;
  r.voltage_V = 4;
  r.power_W = r.current_A * r.voltage_V;
  r.sensors = {{1510.0, 1500.0, 10.0}};
  PowderValue p;
  p.mean_K = 1600 + t;
  p.centre_K = 1620 + t;
  p.edge_K = 1580 + t;
  p.min_K = 1575 + t;
  p.max_K = 1625 + t;
  p.wall_K = 1540 + t;
  r.powder = p;
  r.current_share_powder = 0.25;
  r.tool_max_K = 1700 - std::abs(t - 60);
  r.tool_max_part = 1;
  r.tool_max_r = 0.001;
  r.tool_max_z = 0.03;
  return r;
}

HistoryFrame frame() {
  HistoryFrame f;
  f.part_names = {"die", "punch"};
  f.sensor_names = {"couple"};
  f.control_sensor = 0;
  f.holds = {{"sinter", 0.0, 100.0, 1500.0}};
  return f;
}

}  // namespace

TEST_CASE("hold values are time averages over its second half, uneven rows weighted by time") {
  std::vector<HistoryRow> rows;
  for (const double t : {0.0, 20.0, 50.0, 51.0, 52.0, 55.0, 90.0, 100.0}) rows.push_back(row(t));
  const Summary summary = summarise(frame(), rows);
  REQUIRE(summary.holds.size() == 1);
  const HoldSummary& hold = summary.holds[0];
  CHECK(hold.settled_from_s == 50.0);
  CHECK(hold.set_K == 1500.0);
  CHECK(hold.powder->mean_K == doctest::Approx(1675.0).epsilon(1e-13));  // mean of 1600 + t on [50, 100]
  CHECK(hold.current_A == doctest::Approx(1075.0).epsilon(1e-13));
  CHECK(hold.power_W == doctest::Approx(4300.0).epsilon(1e-13));
  CHECK(*hold.current_share_powder == doctest::Approx(0.25).epsilon(1e-13));
  CHECK(*hold.offset_start_K == 100.0);
  CHECK(*hold.offset_end_K == 200.0);
  CHECK(hold.last.time_s == 100.0);
  REQUIRE(hold.drift);  // rises with the powder, edge and wall alike: in the wall alone
  CHECK(hold.drift->from_s == 0.0);
  CHECK(hold.drift->to_s == 100.0);
  CHECK(hold.drift->change.wall_drop_K == doctest::Approx(100.0).epsilon(1e-13));
  CHECK(hold.drift->change.powder_gradient_K == 0.0);
}

TEST_CASE("offset = powder - reading exactly, = field part + sensor error, = the sum of its parts") {
  std::vector<HistoryRow> rows;
  for (double t = 0; t <= 100; t += 3.7) rows.push_back(row(t));
  const HoldSummary hold = summarise(frame(), rows).holds[0];
  CHECK(*hold.offset_mean_K == hold.powder->mean_K - hold.sensor_K);
  CHECK(std::abs(*hold.offset_mean_K - (*hold.offset_field_K + hold.sensor_error_K)) < 1e-9);
  CHECK(hold.sensor_error_K == doctest::Approx(10.0).epsilon(1e-12));
  const OffsetParts& parts = *hold.parts;
  CHECK(parts.powder_gradient_K == doctest::Approx(20.0).epsilon(1e-12));
  CHECK(parts.lateral_contact_K == doctest::Approx(40.0).epsilon(1e-12));
  CHECK(parts.stem_K == doctest::Approx(10.0).epsilon(1e-12));
  CHECK(std::abs(parts.sum() - *hold.offset_mean_K) < 1e-9);
}

TEST_CASE("peaks name value, time and place; the end is the last row; a hold never reached is left out") {
  std::vector<HistoryRow> rows;
  for (double t = 0; t <= 100; t += 20) rows.push_back(row(t));
  HistoryFrame f = frame();
  f.holds.push_back({"later", 200.0, 300.0, 1600.0});
  const Summary summary = summarise(f, rows);
  CHECK(summary.holds.size() == 1);
  CHECK(*summary.peak.powder_max_K == 1725.0);
  CHECK(summary.peak.powder_time_s == 100.0);
  CHECK(summary.peak.tool_max_K == 1700.0);
  CHECK(summary.peak.tool_time_s == 60.0);
  CHECK(summary.peak.tool_part == "punch");
  CHECK(summary.end.time_s == 100.0);
}

TEST_CASE("peaks of the drive: each the largest among the rows with its time, whatever the others do then") {
  std::vector<HistoryRow> rows;
  for (double t = 0; t <= 40; t += 10) rows.push_back(row(t));
  const double current[] = {0, 900, 2500, 2500, 10}, voltage[] = {0, 5, 3, 4, -1},
               power[] = {0, 1, 2, 8e3, -3};
  for (std::size_t k = 0; k < rows.size(); ++k) {
    rows[k].current_A = current[k];
    rows[k].voltage_V = voltage[k];
    rows[k].power_W = power[k];
  }
  const Peak peak = summarise(frame(), rows).peak;
  CHECK(peak.current_A == 2500.0);
  CHECK(peak.current_time_s == 20.0);  // the first of equals
  CHECK(peak.voltage_V == 5.0);
  CHECK(peak.power_W == 8e3);
  CHECK(peak.power_time_s == 30.0);
}

TEST_CASE("without powder, sensor or current the values that need them are absent, not zero") {
  std::vector<HistoryRow> rows{row(0), row(50), row(100)};
  for (HistoryRow& r : rows) r.current_share_powder.reset();
  CHECK(!summarise(frame(), rows).holds[0].current_share_powder);
  for (HistoryRow& r : rows) r.powder.reset();
  const Summary bare = summarise(frame(), rows);
  CHECK(!bare.holds[0].powder);
  CHECK(!bare.holds[0].offset_mean_K);
  CHECK(!bare.peak.powder_max_K);
}

TEST_CASE("a powder edge that is not known leaves the breakdown out and keeps the offset") {
  std::vector<HistoryRow> rows{row(0), row(50), row(100)};
  for (HistoryRow& r : rows) r.powder->edge_K = std::nan("");
  const HoldSummary hold = summarise(frame(), rows).holds[0];
  CHECK(!hold.parts);
  CHECK(*hold.offset_mean_K == doctest::Approx(175.0).epsilon(1e-12));
}

TEST_CASE("several powder bodies: each has its own means over the hold and its own offset") {
  std::vector<HistoryRow> rows;
  for (const double t : {0.0, 50.0, 60.0, 100.0}) {
    HistoryRow r = row(t);
    r.powders = {*r.powder, *r.powder};
    r.powders[1].mean_K += 7;
    r.powders[1].max_K += 9;
    r.powders[1].inner_edge_K = 1590 + t;
    rows.push_back(r);
  }
  HistoryFrame f = frame();
  f.powder_names = {"lower", "upper"};
  const HoldSummary hold = summarise(f, rows).holds[0];
  REQUIRE(hold.powders.size() == 2);
  CHECK(hold.powders[1].name == "upper");
  CHECK(hold.powders[0].value.mean_K == doctest::Approx(1675.0).epsilon(1e-13));
  CHECK(hold.powders[1].value.mean_K == doctest::Approx(1682.0).epsilon(1e-13));
  CHECK(hold.powders[1].value.max_K == doctest::Approx(1709.0).epsilon(1e-13));
  CHECK(hold.powders[1].value.inner_edge_K == doctest::Approx(1665.0).epsilon(1e-13));
  CHECK(std::isnan(hold.powders[0].value.inner_edge_K));
  CHECK(*hold.powders[1].offset_mean_K == hold.powders[1].value.mean_K - hold.sensor_K);
}
