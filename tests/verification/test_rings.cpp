// Ring and core rod against the log law of the hollow cylinder, and two bodies in a stack that is its own
// mirror image.  Source of the formulas: Incropera and DeWitt, Fundamentals of Heat and Mass Transfer,
// chapter 3 (radial systems, with and without generation), and Carslaw and Jaeger, Conduction of Heat in
// Solids, chapter 7 (from memory).
#include <doctest/doctest.h>

#include <array>
#include <cmath>
#include <filesystem>
#include <numbers>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/march.hpp"
#include "solver/observe.hpp"
#include "solver/steady.hpp"
#include "solver/summary.hpp"
#include "tests/support/cell_means.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double pi = std::numbers::pi;

double order(double coarse, double fine) {
  return std::log2(coarse / fine);
}

/// Heated core rod in a ring in a die, touches between; the outside held.
struct Rod {
  double rod = 0.008, ring = 0.015, die = 0.0325, height = 0.01;  // radii and height [m]
  double k_rod = 80, k_ring = 60, k_die = 45, touch = 1320;       // W/mK, W/m2K
  double heat = 1e7, outside = 1000;                              // W/m3, K

  /// Temperature at r, from the outside inward.
  double exact(double r) const {
    const double line = heat * pi * rod * rod;  // W/m
    if (r > ring) return outside + line * std::log(die / r) / (2 * pi * k_die);
    const double bore =
        outside + line * (std::log(die / ring) / (2 * pi * k_die) + 1 / (2 * pi * ring * touch));
    if (r > rod) return bore + line * std::log(ring / r) / (2 * pi * k_ring);
    const double surface =
        bore + line * (std::log(ring / rod) / (2 * pi * k_ring) + 1 / (2 * pi * rod * touch));
    return surface + heat * (rod * rod - r * r) / (4 * k_rod);
  }
};

double rod_error(int refinement) {
  const Rod c;
  solver::Problem p = plain_problem(
      {{"rod", 0, 0, c.rod, 0, c.height},
       {"ring", 1, c.rod, c.ring, 0, c.height},
       {"die", 2, c.ring, c.die, 0, c.height}},
      even_grid(0.002, refinement),
      {constant_material("a", c.k_rod), constant_material("b", c.k_ring), constant_material("c", c.k_die)});
  for (solver::ContactLaw& law : p.contacts) law.heat_conductance = c.touch;
  p.heat_source = [&c](double r, double, double) { return r < c.rod ? c.heat : 0.0; };
  side_of(p, 2, Side::outer) = held_at(c.outside);
  p.numerics.nonlinear_tolerance = 1e-9;
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  double worst = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    worst = std::max(worst, std::abs(s.state.temperature[i] -
                                     ring_mean(p.mesh, i, [&c](double r) { return c.exact(r); })));
  return worst;
}

cases::Case two_pellets() {
  return cases::read_case(std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / "two-pellets-20mm.yaml");
}

}  // namespace

TEST_CASE(
    "a heated core rod in a ring in a die: q R^2 / 4k, q'/(2 pi r h) at each touch, log law between; order "
    "above 2") {
  const double e1 = rod_error(1), e2 = rod_error(2), e4 = rod_error(4);
  CHECK(order(e1, e2) > 2.5);
  CHECK(order(e2, e4) > 2.5);
  compare({"heated core rod in a ring in a die: largest error of some 300 K",
           "q R^2 / 4k, log law, q / h (from memory)", 0, e4, 0.001, "K", "axis, rings, touches"});
}

TEST_CASE("current across a ring: R = rho ln(b/a) / (2 pi L), in series with both touches; order above 2") {
  const double a = 0.008, b = 0.015, L = 0.006, rho = 3e-7, rho_rod = 1e-5, touch = 1.3e-7;
  // Fed through the wall of a thin tube inside the ring (the rod's surface), taken at the outside of a thin
  // tube around it.
  double before = 0;
  for (const int refinement : {1, 2, 4}) {
    solver::Problem p = plain_problem(
        {{"inside", 0, 0.006, a, 0, L}, {"ring", 1, a, b, 0, L}, {"outside", 2, b, 0.017, 0, L}},
        even_grid(0.001, refinement),
        {constant_material("i", 10, rho_rod), constant_material("r", 10, rho),
         constant_material("o", 10, rho_rod)});
    for (solver::ContactLaw& law : p.contacts) law.electric_resistance = touch;
    side_of(p, 0, Side::inner).electrode = solver::Electrode::high;
    side_of(p, 2, Side::outer).electrode = solver::Electrode::low;
    p.drive.kind = solver::DriveKind::voltage;
    p.drive.segments = {segment(0, 1, 1e-3, 1e-3)};
    p.numerics.potential_tolerance = 1e-11;
    side_of(p, 2, Side::outer).fixed_temperature = [](double, double, double) { return 300.0; };
    const solver::Steady s = solver::solve_steady(p);
    REQUIRE(s.converged);
    const double exact =
        (rho_rod * (std::log(a / 0.006) + std::log(0.017 / b)) + rho * std::log(b / a)) / (2 * pi * L) +
        touch / (2 * pi * L) * (1 / a + 1 / b);
    solver::Workspace ws(p);
    const solver::Frame frame = solver::frame_of(p, ws, s.state);
    const double error = std::abs(frame.conductance * exact - 1);
    if (before > 0) CHECK(order(before, error) > 2.5);
    before = error;
  }
  compare({"current across a ring and both its touches: relative miss of the conductance",
           "R = rho ln(b/a) / (2 pi L) (from memory)", 0, before, 1e-4, "1", "rings, touches in series"});
}

TEST_CASE("two pellets in a mirror image of itself are equally hot; with one end held colder they are not") {
  cases::Case c = two_pellets();
  c.programme.driven = cases::Programme::Driven::current;
  c.programme.control.clear();
  c.programme.steps.resize(1);
  c.programme.steps[0].kind = cases::ProgrammeStep::Kind::ramp;
  c.programme.steps[0].to = 1500;
  c.programme.steps[0].rate.reset();
  c.programme.steps[0].duration = 10;
  solver::Problem p = cases::build_problem(c);
  const auto difference = [&p, &c] {
    const solver::Steady s = solver::solve_steady(p, 10.0);
    REQUIRE(s.converged);
    solver::Workspace ws(p);
    const solver::HistoryRow row = solver::row_of(p, ws, solver::frame_of(p, ws, s.state),
                                                  solver::DriveMode::driven, solver::Limit::none);
    REQUIRE(row.powders.size() == 2);
    const solver::PowderValue &low = row.powders[0], &high = row.powders[1];
    const double share = *c.column[3].mass / (*c.column[3].mass + *c.column[5].mass);  // of the lower pellet
    for (double solver::PowderValue::*member :
         {&solver::PowderValue::mean_K, &solver::PowderValue::centre_K, &solver::PowderValue::edge_K})
      CHECK((*row.powder).*member ==
            doctest::Approx(share * low.*member + (1 - share) * high.*member).epsilon(1e-12));
    CHECK(row.powder->max_K == std::max(low.max_K, high.max_K));
    CHECK(row.powder->min_K == std::min(low.min_K, high.min_K));
    CHECK(low.mean_K > 800);
    return low.mean_K - high.mean_K;
  };
  CHECK(std::abs(difference()) < 1e-6);  // rounding of the geometry and of the solution
  side_of(p, 0, Side::bottom).film *= 0.2;
  CHECK(difference() > 1.0);  // the lower end keeps its heat
  c.column[5].mass = 9e-3;
  p = cases::build_problem(c);
  CHECK(difference() < -1.0);  // heat leaves the taller one more slowly
}

TEST_CASE("a felt jacket carries next to no current and keeps the die hotter at the same current") {
  // Felt of 1 to 3 mohm m (data sheets) beside graphite of some 10 uohm m on twice the area: about 1 in 100.
  cases::Case c = cases::read_case(std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "tests" / "stacks" /
                                   "felt-jacket.yaml");
  const auto solved = [](const cases::Case& stack, double& share) {
    const solver::Problem p = cases::build_problem(stack);
    const solver::Steady s = solver::solve_steady(p, 10.0);
    REQUIRE(s.converged);
    solver::Workspace ws(p);
    const solver::Frame frame = solver::frame_of(p, ws, s.state);
    const int jacket = static_cast<int>(p.parts.size()) - 1;
    const std::array<int, 1> parts{jacket};
    share = p.parts[jacket].name == "felt jacket"
                ? solver::axial_current(p, frame, parts, solver::mid_height(p, p.powders[0])) / frame.current
                : 0.0;
    return p.sensors[0].junction.of(frame.temperature);
  };
  double share = 0, none = 0;
  const double insulated = solved(c, share);
  c.sleeves.pop_back();
  const double bare = solved(c, none);
  CHECK(share > 1e-4);
  CHECK(share < 0.03);
  CHECK(insulated > bare + 50);
}

TEST_CASE("full: shipped ring and pellets close their balances; the pellets part by no more than rounding") {
  for (const std::string name : {"nickel-ring-30mm.yaml", "two-pellets-20mm.yaml"}) {
    CAPTURE(name);
    const solver::RunResult result = solver::run(cases::build_problem(
        cases::read_case(std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / name)));
    REQUIRE(result.status == solver::RunStatus::completed);
    CHECK(result.ledger.energy_balance_relative() < 1e-8);
    CHECK(result.ledger.charge_balance_relative() < 1e-8);
    CHECK(std::abs(result.ledger.joule / result.ledger.electric - 1.0) < 1e-8);
    const solver::Summary summary = solver::summarise(result.frame, result.rows);
    REQUIRE(summary.holds.size() == 1);
    const solver::HoldSummary& hold = summary.holds[0];
    CHECK(hold.offset_mean_K.value() > 0);
    for (const solver::BodySummary& body : hold.powders)
      CHECK(body.offset_mean_K.value() == body.value.mean_K - hold.sensor_K);
    if (hold.powders.size() == 1) {
      CHECK(hold.powders[0].value.mean_K == hold.powder->mean_K);
      CHECK(hold.powder->inner_edge_K > hold.powder->edge_K);  // the rod loses little heat
      CHECK(hold.powder->inner_edge_K - hold.powder->edge_K < 20);
      CHECK(hold.current_share_powder.value() > 0.05);
    } else {
      REQUIRE(hold.powders.size() == 2);
      for (const solver::HistoryRow& row : result.rows) {
        CHECK(std::abs(row.powders[0].mean_K - row.powders[1].mean_K) < 1e-6);
        CHECK(std::abs(row.powders[0].edge_K - row.powders[1].edge_K) < 1e-6);
      }
    }
  }
}
