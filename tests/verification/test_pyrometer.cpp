// Pyrometers on a stack: what their spots mean, a programme on one of them, a bore that is looked down.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>
#include <string>

#include "cases/build_problem.hpp"
#include "solver/march.hpp"
#include "solver/sensor.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

cases::Case press_case() {
  return cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/alumina-20mm-press.yaml").c;
}

/// A minute of exact tracking on one of the sensors.
solver::Problem tracked(int sensor) {
  cases::Case c = press_case();
  c.accuracy = 1.0;
  c.programme.by_controller = false;
  c.programme.start_power.reset();
  c.programme.aborts.clear();
  solver::Problem p = cases::build_problem(c);
  p.initial_temperature = 1200;
  p.drive.sensor = sensor;
  const double from = solver::settled_reading(p.sensors[sensor], 1200, p.chamber_temperature);
  p.drive.segments = {segment(0, 40, from, from), segment(40, 60, from, from + 10, true)};
  p.history_every = 1.0;
  return p;
}

}  // namespace

TEST_CASE("a spot weighs outer faces by area and is empty where it is covered") {
  const solver::Problem p = plain_problem({{"low", 0, 0, 0.02, 0, 0.01},
                                           {"ring", 1, 0.008, 0.02, 0.01, 0.02},
                                           {"jacket", 2, 0.02, 0.03, 0, 0.004}},
                                          even_grid(1e-3), {constant_material("m", 10)});
  const mesh::Spot floor = mesh::spot(p.mesh, p.interfaces, 0, mesh::Side::top, 0.0, 0.006);
  double sum = 0.0, by_area = 0.0;
  std::vector<double> r_squared;
  for (const mesh::OuterFace& face : p.interfaces.outer_faces) r_squared.push_back(face.r * face.r);
  for (std::size_t k = 0; k < floor.faces.size(); ++k) {
    const mesh::OuterFace& face = p.interfaces.outer_faces[floor.faces[k]];
    CHECK(p.mesh.block_of[face.a.cell] == 0);
    CHECK(face.a.side == mesh::Side::top);
    CHECK(face.r < 0.006);
    sum += floor.weights[k];
    by_area += floor.weights[k] * face.r * face.r;
  }
  CHECK(sum == relative(1.0));
  CHECK(floor.of(r_squared) == relative(by_area));
  CHECK(by_area == relative(0.5 * 0.006 * 0.006, 0.02));  // mean of r^2 over a disc; faces are rings of 1 mm
  CHECK(mesh::spot(p.mesh, p.interfaces, 0, mesh::Side::top, 0.0, 0.009).faces.empty());  // under the ring
  CHECK(mesh::spot(p.mesh, p.interfaces, 0, mesh::Side::outer, 0.001, 0.003).faces.empty());  // jacketed
  CHECK(mesh::spot(p.mesh, p.interfaces, 0, mesh::Side::outer, 0.003, 0.006).faces.empty());  // half so
  CHECK_FALSE(mesh::spot(p.mesh, p.interfaces, 0, mesh::Side::outer, 0.005, 0.0077).faces.empty());
}

TEST_CASE("a programme on a pyrometer is followed exactly, down a bore and on the skin") {
  for (const int sensor : {1, 2}) {
    const solver::Problem p = tracked(sensor);
    CAPTURE(p.sensors[sensor].name);
    const solver::RunResult result = solver::run(p);
    REQUIRE_MESSAGE(result.status == solver::RunStatus::completed, result.reason);
    int followed = 0;
    for (const solver::HistoryRow& row : result.rows) {
      if (row.mode != solver::DriveMode::tracking || row.time_s < 1) continue;
      ++followed;
      CHECK(std::abs(row.sensors[sensor].settled_K - row.target) < 0.05);
    }
    CHECK(followed > 20);
    CHECK(result.ledger.energy_balance_relative() < 1e-10);
  }
}

TEST_CASE("in the dark of a hot stack all three sensors differ, each from what it looks at as its law says") {
  const solver::Problem p = tracked(0);
  const solver::RunResult result = solver::run(p);
  const solver::HistoryRow& row = result.rows.back();
  for (std::size_t k = 0; k < p.sensors.size(); ++k)
    CHECK(row.sensors[k].settled_K ==
          relative(solver::settled_reading(p.sensors[k], row.sensors[k].material_K, p.chamber_temperature)));
  // skin: window 0.93 of the set emissivity; Wien: 1/T = 1/Tr + (lambda/c2) ln 0.93, lambda 0.9 um
  const double T = row.sensors[2].material_K,
               wien = 1.0 / (1.0 / T - 0.9e-6 / 1.438776877e-2 * std::log(0.93));
  CHECK(std::abs(row.sensors[2].settled_K - wien) < 0.05);
  CHECK(row.sensors[1].material_K > row.sensors[0].material_K);  // punches are hotter than the wall
  CHECK(row.sensors[0].material_K > row.sensors[2].material_K);  // and the wall than its skin
}

TEST_CASE(
    "the floor of a blind bore and its tool are one piece, and the floor sees out through the mouth only") {
  const solver::Problem p = cases::build_problem(press_case());
  int floor = -1;
  for (std::size_t k = 0; k < p.parts.size(); ++k)
    if (p.parts[k].name == "floor of upper punch") floor = static_cast<int>(k);
  REQUIRE(floor >= 0);
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    const mesh::BlockPair& pair = p.interfaces.pairs[k];
    if (pair.block_a != floor || p.parts[pair.block_b].name != "upper punch") continue;
    CHECK(p.contacts[k].electric_resistance == 0.0);
    CHECK(std::isinf(p.contacts[k].heat_conductance));
  }
  // Of all zones down there only the floor sees out, through the mouth: two coaxial discs of 2.5 mm, 20 + 20
  // + 40 mm apart, at the least: X = 2 + 32^2, F = (X - sqrt(X^2 - 4)) / 2 (textbook); walls send more back
  // out.
  const double X = 2.0 + 32.0 * 32.0, F = 0.5 * (X - std::sqrt(X * X - 4.0));
  const auto enclosure = solver::enclosure_of(p);
  const solver::Exchange exchange = solver::exchange_at(*enclosure, p, 0.0);
  double area = 0.0, out = 0.0;
  for (std::size_t z = 0; z < exchange.zone_area.size(); ++z) {
    const solver::Zone& zone = enclosure->zones[z];
    if (zone.block != floor || zone.side != mesh::Side::top) continue;
    area += exchange.zone_area[z];
    out += exchange.areas.chamber[z] / zone.emissivity;
  }
  CHECK(out / area > F);
  CHECK(out / area < 20.0 * F);
  // The bore takes its volume out of the punch.
  double volume = 0.0;
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    if (const std::string& name = p.parts[p.mesh.part_of(i)].name;
        name == "upper punch" || name == "floor of upper punch")
      volume += p.mesh.volume[i];
  CHECK(volume == relative(std::numbers::pi * (1e-4 * 25e-3 - 2.5e-3 * 2.5e-3 * 20e-3), 1e-9));
}
