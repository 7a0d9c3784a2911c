// Touches that follow pressure and temperature: values by hand on a shipped stack, half and whole, balances,
// and the published trend with pressure.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/contacts.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "solver/steady.hpp"
#include "solver/touches.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

cases::Case alumina() {
  cases::Case c = cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/alumina-20mm.yaml").c;
  c.contacts.follow = true;
  c.accuracy = 1.0;
  return c;
}

int block_named(const solver::Problem& p, const std::string& name) {
  for (std::size_t k = 0; k < p.mesh.layout.size(); ++k)
    if (p.mesh.layout[k].name == name) return static_cast<int>(k);
  FAIL("no block " << name);
  return -1;
}

/// A face between two blocks that is there, nearest to a height.
std::size_t face_between(const solver::Problem& p, const std::string& a, const std::string& b, double z) {
  std::size_t best = p.interfaces.pair_faces.size();
  for (std::size_t f = 0; f < p.interfaces.pair_faces.size(); ++f) {
    const mesh::PairFace& face = p.interfaces.pair_faces[f];
    const mesh::BlockPair& pair = p.interfaces.pairs[face.pair];
    if (face.area == 0.0 || pair.gap > 0.0 || p.mesh.layout[pair.block_a].name != a ||
        p.mesh.layout[pair.block_b].name != b)
      continue;
    if (best == p.interfaces.pair_faces.size() ||
        std::abs(face.z - z) < std::abs(p.interfaces.pair_faces[best].z - z))
      best = f;
  }
  REQUIRE(best < p.interfaces.pair_faces.size());
  return best;
}

double middle(const solver::Problem& p, const std::string& name) {
  const mesh::Block& b = p.mesh.layout[block_named(p, name)];
  return 0.5 * (b.z_bottom + b.z_top);
}

struct Conditions {
  double punches = 1273.15, rest = 1273.15;  ///< K
  double force = 0, side = 0;                ///< N, Pa
};

solver::Properties touches(const solver::Problem& p, const Conditions& at) {
  std::vector<double> cells(p.mesh.volume.size(), at.rest);
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    if (p.parts[p.mesh.part_of(i)].name.ends_with("punch")) cells[i] = at.punches;
  const std::vector<double> surfaces(p.interfaces.pair_faces.size(), 1273.15);
  solver::Properties out;
  solver::touches_at(p, cells, surfaces, surfaces, {at.force, {at.side}}, out);
  return out;
}

}  // namespace

TEST_CASE("at the reference conditions touches are those of the case") {
  const solver::Problem p = cases::build_problem(alumina());
  // 20 MPa on the punch of 20 mm: 6283.2 N; its foil joins are as wide as it
  const solver::Properties out = touches(p, {.force = 20e6 * std::numbers::pi * 1e-4, .side = 20e6});
  const std::size_t axial = face_between(p, "lower punch", "foil lower punch / powder", 0.0),
                    wall = face_between(p, "powder", "foil in bore of die", middle(p, "powder"));
  for (const std::size_t f : {axial, wall}) {
    const solver::ContactLaw& law = p.contacts[p.interfaces.pair_faces[f].pair];
    REQUIRE(law.follows);
    CHECK(out.touch_conductance[f] == relative(law.heat_conductance, 1e-12));
    CHECK(out.touch_resistance[f] == relative(law.electric_resistance, 1e-12));
  }
}

TEST_CASE("axial touches: (P / 20 MPa)^0.95 with the area of their own contact") {
  const solver::Problem p = cases::build_problem(alumina());
  const double force = 50e6 * std::numbers::pi * 1e-4;
  const solver::Properties out = touches(p, {.force = force, .side = 20e6});
  // spacer on step spacer: 40 mm across, a quarter of the pressure on the punch
  const std::size_t f = face_between(p, "lower spacer", "lower step spacer", 0.0);
  const solver::ContactLaw& law = p.contacts[p.interfaces.pair_faces[f].pair];
  CHECK(out.touch_conductance[f] == relative(law.heat_conductance * std::pow(12.5 / 20.0, 0.95), 1e-9));
  CHECK(out.touch_resistance[f] == relative(law.electric_resistance / std::pow(12.5 / 20.0, 0.95), 1e-9));
}

TEST_CASE("the wall of the powder follows its side pressure, and never falls below a standing touch") {
  const solver::Problem p = cases::build_problem(alumina());
  const std::size_t f = face_between(p, "powder", "foil in bore of die", middle(p, "powder"));
  const double reference = p.contacts[p.interfaces.pair_faces[f].pair].heat_conductance;
  const auto ratio = [&](double side) {
    return touches(p, {.force = 1e4, .side = side}).touch_conductance[f] / reference;
  };
  CHECK(ratio(40e6) == relative(std::pow(2.0, 0.95), 1e-12));
  CHECK(ratio(5e6) == relative(std::pow(0.25, 0.95), 1e-12));
  CHECK(ratio(0.0) == relative(std::pow(0.1 / 20.0, 0.95), 1e-12));
}

TEST_CASE("punch and die: the published total at 20 MPa cold, by hand as they close") {
  const solver::Problem p = cases::build_problem(alumina());
  // A height that the punch fills in the die.
  const double z = p.mesh.layout[block_named(p, "die")].z_bottom + 2e-3;
  const std::size_t f = face_between(p, "lower punch", "foil in bore of die", z);
  const double reference = p.contacts[p.interfaces.pair_faces[f].pair].heat_conductance;
  const solver::Fit& fit = p.fits[block_named(p, "lower punch")];
  const auto ratio = [&](const Conditions& at) { return touches(p, at).touch_conductance[f] / reference; };
  // By hand: E 10.8 GPa or as the shipped graphite has it, nu 0.2, r 10 mm, foil 0.2 mm of 100 MPa, fit 1
  // MPa, die 50 over 20.4 mm.
  const double E = fit.punch_modulus, nu = 0.2, r = 10e-3, K = 50.0 / 20.4;
  CHECK(fit.radius == relative(r));
  CHECK(fit.die_ratio == relative(K));
  const double compliance = 0.2e-3 / 100e6 + r / E * (1 - nu) + r / E * ((K * K + 1) / (K * K - 1) + nu);
  const auto pressure = [&](double P, double difference_of_strain) {
    return 1e6 + (r * nu * P / E + r * difference_of_strain) / compliance;
  };
  const double A = std::numbers::pi * r * r, cold = pressure(20e6, 0);
  // Everything equally hot: the strains of punch and die cancel.
  CHECK(ratio({.force = 20e6 * A}) == relative(1.0, 1e-9));
  CHECK(ratio({.force = 60e6 * A}) == relative(std::pow(pressure(60e6, 0) / cold, 0.95), 1e-9));
  // Punches at 1400 K, die at 1273.15 K: mean coefficients of the shipped graphite from 20 degC on.
  const auto& alpha = p.materials[p.parts[block_named(p, "die")].material].expansion->along.curve;
  const auto strain = [&](double T) { return alpha.value(T) * (T - 293.15); };
  CHECK(ratio({.punches = 1400, .force = 20e6 * A}) ==
        relative(std::pow(pressure(20e6, strain(1400) - strain(1273.15)) / cold, 0.95), 1e-9));
  // Far colder punches: the foil lets go, what is left is tiny but there.
  const double gone = ratio({.punches = 400, .force = 1e6 * A});
  CHECK(gone > 0.0);
  CHECK(gone < 0.05);
}

TEST_CASE("touches conduct as the solids of their two sides do at the temperature of their surfaces") {
  const solver::Problem p = cases::build_problem(alumina());
  const std::size_t f = face_between(p, "lower spacer", "lower step spacer", 0.0);
  const solver::ContactLaw& law = p.contacts[p.interfaces.pair_faces[f].pair];
  const std::vector<double> cells(p.mesh.volume.size(), 600.0);
  const std::vector<double> low(p.interfaces.pair_faces.size(), 550.0), high(low.size(), 650.0);
  solver::Properties out;
  solver::touches_at(p, cells, low, high, {20e6 * std::numbers::pi * 4e-4, {20e6}}, out);
  // Graphite on graphite: the harmonic mean is the value itself.
  const materials::Material& graphite = p.materials[p.parts[block_named(p, "lower spacer")].material];
  const auto ratio = [](const materials::DirectionalProperty& q) {
    return q.along.curve.value(600.0) / q.along.curve.value(1273.15);
  };
  CHECK(out.touch_conductance[f] == relative(law.heat_conductance * ratio(graphite.conductivity), 1e-9));
  CHECK(out.touch_resistance[f] == relative(law.electric_resistance * ratio(graphite.resistivity), 1e-9));
}

TEST_CASE("touches that follow: the books close, and half and whole agree") {
  cases::Case c = alumina();
  c.programme.steps[0].to = 700;
  c.programme.steps[1].duration = 20;
  c.programme.steps.pop_back();
  solver::Problem p = cases::build_problem(c);
  REQUIRE(p.half != nullptr);
  const solver::RunResult half = solver::run(p);
  REQUIRE_MESSAGE(half.status == solver::RunStatus::completed, half.reason);
  CHECK(half.ledger.energy_balance_relative() < 1e-10);
  CHECK(half.ledger.charge_balance_relative() < 1e-8);
  p.half = nullptr;
  const solver::RunResult whole = solver::run(p);
  const solver::HistoryRow &a = half.rows.back(), &b = whole.rows.back();
  CHECK(std::abs(a.powder->mean_K - b.powder->mean_K) < 0.05);
  CHECK(a.current_A == relative(b.current_A, 1e-3));
}

TEST_CASE(
    "at one current the powder's lead over the die's skin falls from 5 to 80 MPa, and so does the peak") {
  // Grasso, Sakka, Maizza 2009, Mater. Trans. 50:2111 (abstract): both fall steadily, since the punch swells
  // and closes the gap to the die.
  double lead = 1e9, peak = 1e9;
  for (const double MPa : {5.0, 20.0, 40.0, 80.0}) {
    cases::Case c = alumina();
    c.programme.pressure.resize(1);
    c.programme.pressure[0].to = 1e6 * MPa;
    c.programme.driven = cases::Programme::Driven::current;
    c.programme.steps.resize(1);
    c.programme.steps[0].kind = cases::ProgrammeStep::Kind::hold;
    c.programme.steps[0].duration = 100;
    c.press.force_limit.reset();
    solver::Problem p = cases::build_problem(c);
    p.drive.segments[0].from = p.drive.segments[0].to = 1000;
    p.half = nullptr;
    const solver::Steady steady = solver::solve_steady(p, 1.0);
    REQUIRE_MESSAGE(steady.converged, steady.reason);
    const auto& T = steady.state.temperature;
    const double hottest = *std::max_element(T.begin(), T.end());
    const mesh::Block& die = p.mesh.layout[block_named(p, "die")];
    const double skin = mesh::point(p.mesh, block_named(p, "die"), die.r_outer, middle(p, "die")).of(T);
    const double powder = mesh::point(p.mesh, block_named(p, "powder"), 0.0, middle(p, "powder")).of(T);
    CAPTURE(MPa);
    CHECK(powder - skin < lead - 2.0);
    CHECK(hottest < peak - 2.0);
    lead = powder - skin;
    peak = hottest;
  }
}

TEST_CASE("constant touches stay the default, and ageing makes them resist more") {
  cases::Case c = cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/alumina-20mm.yaml").c;
  CHECK_FALSE(c.contacts.follow);
  const solver::Problem fresh = cases::build_problem(c);
  CHECK(fresh.fits.empty());
  c.contacts.ageing = 2.0;
  const solver::Problem aged = cases::build_problem(c);
  const std::size_t f = face_between(fresh, "lower spacer", "lower step spacer", 0.0);
  const int pair = fresh.interfaces.pair_faces[f].pair;
  CHECK(aged.contacts[pair].electric_resistance == relative(2.0 * fresh.contacts[pair].electric_resistance));
  CHECK(aged.contacts[pair].heat_conductance == relative(0.5 * fresh.contacts[pair].heat_conductance));
}
