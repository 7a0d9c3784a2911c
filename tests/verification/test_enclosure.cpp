// Radiation between walls: nothing at one temperature, closed forms of grey walls, and cooling in time.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "cases/build_problem.hpp"
#include "solver/enclosure.hpp"
#include "solver/march.hpp"
#include "solver/motion.hpp"
#include "solver/steady.hpp"
#include "solver/thermal.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double sigma = solver::stefan_boltzmann;

solver::Problem shipped(const char* name) {
  cases::Case c = cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/" + name).c;
  c.mirror = false;
  return cases::build_problem(c);
}

/// The problem as its beds lie after a share of their stroke.
solver::Problem placed_at(const solver::Problem& start, double share) {
  solver::Problem p = start;
  mesh::move_to(p.mesh, solver::evenly_closed(start, share));
  mesh::fill(p.mesh, p.interfaces);
  return p;
}

/// Net radiation of a face at the given outer temperatures [W].
double net(const solver::Exchange& exchange, std::size_t f, std::span<const double> outer, double chamber) {
  const std::vector<double> taken = solver::irradiation(exchange, outer, chamber);
  double flow = exchange.sends[f] * sigma * std::pow(outer[f], 4);
  for (const solver::Exchange::Patch& patch : exchange.patches)
    if (patch.face == static_cast<int>(f)) flow -= patch.area * taken[patch.zone];
  return flow;
}

/// A body alone in the chamber, all sides radiating.
solver::Problem lone_body(double emissivity) {
  solver::Problem p = plain_problem({{"body", 0, 0, 0.01, 0, 0.02}}, even_grid(0.005),
                                    {constant_material("m", 1e7, 1e-5, 1000, 2000)});
  for (const Side side : {Side::outer, Side::bottom, Side::top}) side_of(p, 0, side).emissivity = emissivity;
  p.walls_exchange = true;
  return p;
}

}  // namespace

TEST_CASE("walls and chamber at one temperature exchange nothing, wherever the stroke stands") {
  for (const char* name : {"alumina-20mm.yaml", "nickel-ring-30mm.yaml", "alumina-20mm-press.yaml"}) {
    const solver::Problem start = shipped(name);
    const auto enclosure = solver::enclosure_of(start);
    for (const double share : {0.0, 0.13, 0.5, 0.9, 1.0}) {
      const solver::Problem p = placed_at(start, share);
      const solver::Exchange exchange = solver::exchange_at(*enclosure, p, share);
      const double T = 1700, black = sigma * std::pow(T, 4);
      const std::vector<double> outer(p.interfaces.outer_faces.size(), T);
      const std::vector<double> taken = solver::irradiation(exchange, outer, T);
      std::vector<double> gets(outer.size(), 0.0);
      for (const solver::Exchange::Patch& patch : exchange.patches)
        gets[patch.face] += patch.area * taken[patch.zone];
      double worst = 0;
      for (std::size_t f = 0; f < outer.size(); ++f)
        if (exchange.sends[f] > 0)
          worst = std::max(worst, std::abs(gets[f] / (exchange.sends[f] * black) - 1));
      CHECK(worst < 1e-13);
    }
  }
}

TEST_CASE(
    "over the stroke exchange areas stay mutual, their rows sum to e A, and zones tile the open walls") {
  for (const char* name : {"alumina-20mm.yaml", "nickel-ring-30mm.yaml", "two-pellets-20mm.yaml"}) {
    const solver::Problem start = shipped(name);
    const auto enclosure = solver::enclosure_of(start);
    const std::size_t n = enclosure->zones.size();
    for (const double share : {0.0, 0.1, 0.4, 0.6, 0.95, 1.0}) {
      const solver::Problem p = placed_at(start, share);
      const solver::Exchange exchange = solver::exchange_at(*enclosure, p, share);
      double worst = 0, open = 0, tiled = 0;
      for (std::size_t i = 0; i < n; ++i) {
        double sum = exchange.areas.chamber[i];
        for (std::size_t j = 0; j < n; ++j) {
          sum += exchange.areas.between[i * n + j];
          CHECK(exchange.areas.between[i * n + j] == exchange.areas.between[j * n + i]);
        }
        const double own = enclosure->zones[i].emissivity * exchange.zone_area[i];
        if (own > 0) worst = std::max(worst, std::abs(sum / own - 1));
      }
      CHECK(worst < 1e-10);
      for (const mesh::OuterFace& face : p.interfaces.outer_faces)
        if (p.sides[p.mesh.block_of[face.a.cell]][static_cast<int>(face.a.side)].electrode ==
            solver::Electrode::none)
          open += face.a.area;
      for (const double area : exchange.zone_area) tiled += area;
      CHECK(tiled == relative(open, 1e-12));
    }
  }
}

TEST_CASE("between its tables the exchange is what the geometry there gives") {
  const solver::Problem start = shipped("alumina-20mm.yaml");
  const auto enclosure = solver::enclosure_of(start);
  for (const double share : {0.1, 0.5, 0.9}) {
    const solver::Problem p = placed_at(start, share);
    const solver::Exchange exchange = solver::exchange_at(*enclosure, p, share);
    solver::Problem there = p;
    there.beds.clear();
    const auto direct = solver::enclosure_of(there);
    REQUIRE(direct->zones.size() == enclosure->zones.size());
    double worst = 0, sum = 0;
    for (std::size_t z = 0; z < direct->zones.size(); ++z) {
      const double off = std::abs(exchange.areas.chamber[z] - direct->tables[0].chamber[z]);
      worst = std::max(worst, off / exchange.zone_area[z]);
      sum += off / exchange.zone_area[z] / static_cast<double>(direct->zones.size());
    }
    // Shadow edges cross a strip between two tables.
    CHECK(worst < 2e-3);
    CHECK(sum < 2e-4);
  }
}

TEST_CASE("two long cylinders: the two-surface formula far from their ends") {
  // Rod of 10 mm radius in a tube of 14 mm, 400 mm long; the ends are plates that send everything back.
  const double e1 = 0.7, e2 = 0.5, T1 = 1500, T2 = 900;
  solver::Problem p = plain_problem({{"rod", 0, 0, 0.010, 0, 0.4},
                                     {"tube", 1, 0.014, 0.02, 0, 0.4},
                                     {"floor", 2, 0, 0.02, -0.01, 0},
                                     {"lid", 2, 0, 0.02, 0.4, 0.41}},
                                    even_grid(0.005), {constant_material("m", 20)});
  side_of(p, 0, Side::outer).emissivity = e1;
  side_of(p, 1, Side::inner).emissivity = e2;
  p.walls_exchange = true;
  const solver::Exchange exchange = solver::exchange_at(*solver::enclosure_of(p), p, 0.0);
  std::vector<double> outer;
  for (const mesh::OuterFace& face : p.interfaces.outer_faces)
    outer.push_back(p.mesh.block_of[face.a.cell] == 1 ? T2 : T1);
  double flow = 0, area = 0;
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::OuterFace& face = p.interfaces.outer_faces[f];
    if (p.mesh.block_of[face.a.cell] != 0 || std::abs(face.z - 0.2) > 0.03) continue;
    flow += net(exchange, f, outer, 300);
    area += face.a.area;
  }
  const double expected = sigma * (std::pow(T1, 4) - std::pow(T2, 4)) / (1 / e1 + 10.0 / 14.0 * (1 / e2 - 1));
  compare({"long rod in a tube, heat radiated at mid-length", "two-surface formula (textbook)",
           expected * 1e-3, flow / area * 1e-3, 1e-3 * expected * 1e-3, "kW/m2",
           "view factors, reflections, self-view"});
}

TEST_CASE("a disc in a black cup: grey emission, whatever the cup's shape") {
  const double e = 0.6, T1 = 1800, T2 = 1000;
  solver::Problem p = plain_problem({{"cup", 0, 0.02, 0.025, 0, 0.03},
                                     {"floor", 0, 0, 0.025, -0.005, 0},
                                     {"lid", 1, 0, 0.025, 0.03, 0.035}},
                                    even_grid(0.0025), {constant_material("m", 20)});
  side_of(p, 0, Side::inner).emissivity = side_of(p, 1, Side::top).emissivity = 1.0;
  side_of(p, 2, Side::bottom).emissivity = e;
  p.walls_exchange = true;
  const solver::Exchange exchange = solver::exchange_at(*solver::enclosure_of(p), p, 0.0);
  std::vector<double> outer;
  for (const mesh::OuterFace& face : p.interfaces.outer_faces)
    outer.push_back(p.mesh.block_of[face.a.cell] == 2 ? T1 : T2);
  double flow = 0;
  for (std::size_t f = 0; f < outer.size(); ++f)
    if (p.mesh.block_of[p.interfaces.outer_faces[f].a.cell] == 2) flow += net(exchange, f, outer, 300);
  const double expected = pi * 4e-4 * e * sigma * (std::pow(T1, 4) - std::pow(T2, 4));
  CHECK(flow == relative(expected, 1e-9));  // nothing is lost to the chamber from a closed space
}

TEST_CASE("a convex body among exchanging walls cools as by itself: the closed form of dT/dt = -c T^4") {
  solver::Problem p = lone_body(0.9);
  p.chamber_temperature = 1e-3;
  p.initial_temperature = 1800;
  p.numerics.time_tolerance = 1e-4;
  p.numerics.nonlinear_tolerance = 1e-6;
  p.drive.segments = {segment(0, 200, 0, 0)};
  p.drive.segments[0].off = true;
  const solver::RunResult result = solver::run(p);
  const double volume = pi * 1e-4 * 0.02, area = 2 * pi * 1e-4 + 2 * pi * 0.01 * 0.02;
  const double rate = 3 * 0.9 * sigma * area / (volume * 2e6);
  const double expected = std::pow(std::pow(1800, -3) + rate * 200, -1.0 / 3.0);
  compare({"body cooling among exchanging walls, 200 s from 1800 K", "closed form of dT/dt = -c T^4",
           expected, result.rows.back().tool_max_K, 1e-6 * expected, "K", "exchange of radiation, time"});
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("a shield between a hot plate and the chamber: half of what goes through without it") {
  // Two large plates close to each other above a held one: of black walls the shield passes half.
  const auto flow_with = [](bool shield) {
    mesh::Layout layout{{"hot", 0, 0, 0.5, 0, 0.005}, {"post", 1, 0, 0.002, 0.005, 0.01}};
    if (shield) layout.push_back({"shield", 1, 0, 0.5, 0.01, 0.0101});
    solver::Problem p = plain_problem(layout, even_grid(0.01),
                                      {constant_material("hot", 1e6), constant_material("thin", 1e-6)});
    p.materials[1].conductivity.across = p.materials[1].conductivity.along;
    if (shield) {
      // Thin and open across, closed along: every place has its own balance.
      p.parts[1].across = mesh::Axis::z;
      p.materials[1].conductivity.across->curve = materials::Curve::constant(1e3);
    }
    side_of(p, 0, Side::bottom) = held_at(1200);
    side_of(p, 0, Side::top).emissivity = 1.0;
    if (shield)
      for (const Side side : {Side::bottom, Side::top}) side_of(p, 2, side).emissivity = 1.0;
    p.walls_exchange = true;
    p.chamber_temperature = 300;
    const solver::Steady steady = solver::solve_steady(p);
    REQUIRE(steady.converged);
    return steady.stage.powers.radiation;
  };
  const double bare = pi * 0.25 * sigma * (std::pow(1200, 4) - std::pow(300, 4));
  const double open = flow_with(false), shielded = flow_with(true);
  CHECK(open == relative(bare, 2e-3));
  CHECK(shielded / open == doctest::Approx(0.5).epsilon(0.03));  // the rim of the 5 mm slot sees out
}
