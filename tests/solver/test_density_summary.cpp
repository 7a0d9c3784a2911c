// How a powder closed, from rows made by hand: when densities were met, shares against density, when the
// current moved in, which part of the offset changed (expectations by hand, linear between rows).
#include "solver/density_summary.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "solver/summary.hpp"

using namespace joulepress::solver;

namespace {

HistoryFrame frame() {
  HistoryFrame f;
  f.part_names = {"die"};
  f.sensor_names = {"couple"};
  f.powder_names = {"powder"};
  f.control_sensor = 0;
  return f;
}

/// Powder at T with the parts of its offset 10, 40, 20 and 5 K; the reading is T - 75 K.
HistoryRow row(double time, double density, double T = 1000, std::optional<double> share = std::nullopt) {
  HistoryRow r;
  r.time_s = time;
  PowderValue p;
  p.mean_K = T;
  p.edge_K = T - 10;
  p.wall_K = T - 50;
  p.density_mean = density;
  p.density_min = density - 0.01;
  p.density_max = std::min(1.0, density + 0.01);
  p.apart_spread = 0.1 * (1.0 - density);
  r.powder = p;
  r.powders = {p};
  r.sensors = {{T - 70, T - 75, 5}};
  r.current_share_powder = share;
  r.current_A = share ? 100 : 0;
  return r;
}

Densification of(const std::vector<HistoryRow>& rows) {
  return densification_of(frame(), rows, nullptr);
}

}  // namespace

TEST_CASE("a density is met on the line between two rows, with the temperatures of that time") {
  const BodyDensification its = of({row(0, 0.6), row(100, 0.86, 1100), row(200, 0.96, 1200)}).bodies.at(0);
  CHECK(its.name == "powder");
  CHECK(its.start == 0.6);
  CHECK(its.end == 0.96);
  CHECK(its.end_min == doctest::Approx(0.95).epsilon(1e-14));
  CHECK(its.end_max == doctest::Approx(0.97).epsilon(1e-14));
  CHECK(its.end_spread_bound == doctest::Approx(0.004).epsilon(1e-12));
  CHECK(its.largest_spread_bound == doctest::Approx(0.04).epsilon(1e-12));
  REQUIRE(its.reached[0]);  // 0.04 of 0.10: at 40 %
  CHECK(its.reached[0]->time_s == doctest::Approx(140).epsilon(1e-12));
  CHECK(its.reached[0]->powder_K == doctest::Approx(1140).epsilon(1e-12));
  CHECK(*its.reached[0]->sensor_K == doctest::Approx(1065).epsilon(1e-12));
  CHECK(its.reached[1]->time_s == doctest::Approx(190).epsilon(1e-12));
  CHECK(!its.reached[2]);
  CHECK(!its.dense);
}

TEST_CASE("a powder that is held meets no density; one met exactly in a row is met at that row") {
  const BodyDensification held = of({row(0, 0.99), row(10, 0.99)}).bodies[0];
  for (const auto& reached : held.reached) CHECK(!reached);
  const BodyDensification its = of({row(0, 0.8), row(10, 0.9), row(20, 0.9)}).bodies[0];
  CHECK(its.reached[0]->time_s == 10);
}

TEST_CASE("dense: less than a millionth of pores, rounding allowed for") {
  CHECK(!of({row(0, 0.99), row(10, 1.0 - 1.1e-6)}).bodies[0].dense);
  const auto dense = of({row(0, 0.99), row(10, 1.0 - 1e-6)}).bodies[0].dense;
  REQUIRE(dense);
  CHECK(dense->time_s == doctest::Approx(10).epsilon(1e-9));
}

TEST_CASE("without a control sensor the reading is not known; without powder there is nothing") {
  HistoryFrame f = frame();
  f.control_sensor = -1;
  const std::vector<HistoryRow> rows{row(0, 0.8), row(10, 1.0)};
  CHECK(!densification_of(f, rows, nullptr).bodies[0].reached[0]->sensor_K);
  CHECK(!densification_of(f, rows, &rows.back()).late);
  HistoryRow bare = row(0, 0.8);
  bare.powder.reset();
  CHECK(densification_of(frame(), {bare}, nullptr).bodies.empty());
}

TEST_CASE("share against density: between rows, from the first current on, not where no current flows") {
  const Densification all = of({row(0, 0.6), row(10, 0.6, 1000, 0.1), row(20, 0.75, 1000, 0.4), row(30, 0.85),
                                row(40, 0.95, 1000, 0.6)});
  REQUIRE(all.shares.size() == 2);  // 0.8 and 0.9 lie beside a row without current
  CHECK(all.shares[0].density == 0.6);
  CHECK(all.shares[0].time_s == 10);
  CHECK(all.shares[0].share == 0.1);
  CHECK(all.shares[1].time_s == doctest::Approx(10 + 10 * 0.10 / 0.15).epsilon(1e-12));
  CHECK(all.shares[1].share == doctest::Approx(0.1 + 0.3 * 0.10 / 0.15).epsilon(1e-12));
  CHECK(*all.largest_share == 0.6);
}

TEST_CASE("the current moves in where its share rises through half of the largest") {
  const auto moved = current_moved_in({row(0, 0.60), row(10, 0.61, 500, 0.02), row(20, 0.62, 600, 0.01),
                                       row(30, 0.72, 700, 0.31), row(40, 0.90, 800, 0.40),
                                       row(50, 0.90, 700, 0.39), row(60, 0.90, 600)});
  REQUIRE(moved);  // half of 0.40 lies at (0.20 - 0.01) / 0.30 of the second stretch
  const double share = 0.19 / 0.30;
  CHECK(moved->time_s == doctest::Approx(20 + 10 * share).epsilon(1e-12));
  CHECK(moved->density == doctest::Approx(0.62 + 0.10 * share).epsilon(1e-12));
  CHECK(moved->powder_K == doctest::Approx(600 + 100 * share).epsilon(1e-12));
  CHECK(moved->least == 0.01);
  CHECK(moved->largest == 0.40);
}

TEST_CASE("the current did not move in when it rose less than ten times, only fell, or hardly flows") {
  CHECK(!current_moved_in({row(0, 0.6, 500, 0.03), row(10, 0.7, 600, 0.299)}));
  CHECK(current_moved_in({row(0, 0.6, 500, 0.03), row(10, 0.7, 600, 0.301)}));
  CHECK(!current_moved_in({row(0, 0.6, 500, 0.4), row(10, 0.7, 600, 0.01)}));
  CHECK(!current_moved_in({row(0, 0.6, 500, 1e-9), row(10, 0.7, 600, 0.005)}));
  CHECK(!current_moved_in({row(0, 0.6), row(10, 0.7)}));
  CHECK(current_moved_in({row(0, 0.6, 500, -1e-17), row(10, 0.7, 600, 0.2)}));  // rounding about zero
}

TEST_CASE("the change of the offset is the sum of the changes of its parts") {
  HistoryRow from = row(0, 0.9), to = row(10, 0.95);
  to.powder->mean_K += 3;        // gradient + 3
  to.powder->wall_K -= 7;        // lateral + 7, wall - 7
  to.sensors[0].reading_K -= 2;  // stem + 2
  const OffsetDrift drift = *drift_between(frame(), from, to);
  CHECK(drift.change.powder_gradient_K == doctest::Approx(3).epsilon(1e-12));
  CHECK(drift.change.lateral_contact_K == doctest::Approx(7).epsilon(1e-12));
  CHECK(drift.change.wall_drop_K == doctest::Approx(-7).epsilon(1e-12));
  CHECK(drift.change.stem_K == doctest::Approx(2).epsilon(1e-12));
  CHECK(drift.from_K == doctest::Approx(75).epsilon(1e-12));
  CHECK(drift.to_K == doctest::Approx(80).epsilon(1e-12));
  CHECK(drift.change.sum() == doctest::Approx(drift.to_K - drift.from_K).epsilon(1e-12));
  to.powder->wall_K = std::nan("");
  CHECK(!drift_between(frame(), from, to));
}

TEST_CASE("the late change of the offset runs from a density of 0.9 to the end of the last hold") {
  std::vector<HistoryRow> rows{row(0, 0.8), row(10, 1.0), row(20, 1.0)};
  rows[1].powder->mean_K += 8;  // half of it at a density of 0.9
  rows[2].powder->mean_K += 8;
  HistoryFrame f = frame();
  f.holds = {{"soak", 12, 20, 1000}};
  const Summary summary = summarise(f, rows);
  REQUIRE(summary.densification.late);
  const OffsetDrift& late = *summary.densification.late;
  CHECK(late.from_s == doctest::Approx(5).epsilon(1e-12));
  CHECK(late.to_s == 20);
  CHECK(late.from_K == doctest::Approx(79).epsilon(1e-12));
  CHECK(late.to_K == doctest::Approx(83).epsilon(1e-12));
  CHECK(late.change.powder_gradient_K == doctest::Approx(4).epsilon(1e-12));
  CHECK(std::abs(late.change.lateral_contact_K) < 1e-9);
  const HistoryRow early = rows[0];
  CHECK(!densification_of(f, rows, &early).late);  // the hold ends before
}
