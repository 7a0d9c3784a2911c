// Whether tools hold, and the grip of a compact: small stacks whose stresses have closed forms (Lame's thick
// cylinders and shrink fits, Timoshenko and Goodier, Theory of Elasticity, article 28, from memory).
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "materials/creep.hpp"
#include "mesh/slots.hpp"
#include "solver/solid/strength.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

namespace {

using namespace joulepress;
using namespace joulepress::test;
using solid::LoadCase;

constexpr double room = 293.15, pi = std::numbers::pi;
constexpr double a = 0.010, b = 0.025, h = 0.020;  // m: bore, skin, height of powder and die
constexpr double section = pi * a * a;

materials::Property constant(double value) {
  return {materials::Curve::constant(value), "made up for the test", {}, {}};
}

materials::Material brittle(const std::string& name, double modulus, double poisson, double expansion) {
  materials::Material m = constant_material(name, 50);
  m.elastic_modulus = constant(modulus);
  m.poisson_ratio = constant(poisson);
  m.expansion = materials::DirectionalProperty{constant(expansion), {}};
  m.tensile_strength = constant(30e6);
  m.flexural_strength = constant(50e6);
  m.compressive_strength = constant(120e6);
  return m;
}

/// Punches as wide as the powder, a die as high as it: nothing but the powder touches the bore.
enum : int { lower, powder, upper, die };

solver::Problem stack(double tool_expansion, double powder_expansion) {
  const mesh::Layout layout{{"lower punch", lower, 0, a, -h, 0},
                            {"powder", powder, 0, a, 0, h},
                            {"upper punch", upper, 0, a, h, 2 * h},
                            {"die", die, a, b, 0, h}};
  const materials::Material graphite = brittle("graphite", 11e9, 0.2, tool_expansion);
  solver::Problem p =
      plain_problem(layout, even_grid(0.004),
                    {graphite, brittle("ceramic", 300e9, 0.25, powder_expansion), graphite, graphite});
  p.parts[powder].is_powder = true;
  p.parts[powder].relative_density = 1.0;
  for (const int part : {lower, powder, upper}) p.parts[part].in_column = true;
  p.powders = {{"powder", powder, powder, die, section * h}};
  p.chamber_temperature = p.initial_temperature = room;
  return p;
}

solver::Snapshot snapshot(const solver::Problem& p, double time, double T, double force) {
  solver::Snapshot shot;
  shot.time_s = time;
  shot.force_N = force;
  shot.temperature.assign(p.mesh.volume.size(), T);
  shot.relative_density.assign(p.mesh.volume.size(), 1.0);
  shot.heights = mesh::placement_of(p.mesh);
  return shot;
}

/// A run with snapshots of these temperatures, a minute apart, all parts alike and the force constant.
solver::RunResult run_of(const solver::Problem& p, const std::vector<double>& T, double force) {
  solver::RunResult result;
  for (const solver::Part& part : p.parts) result.frame.part_names.push_back(part.name);
  for (std::size_t k = 0; k < T.size(); ++k) {
    const double time = 60.0 * static_cast<double>(k);
    result.snapshots.push_back(snapshot(p, time, T[k], force));
    solver::HistoryRow row;
    row.time_s = time;
    row.force_N = force;
    solver::PowderValue value;
    value.mean_K = T[k];
    row.powders = {value};
    result.rows.push_back(row);
  }
  return result;
}

/// Displacement of a thick ring's bore per pressure in it [m/Pa], and of a disc's edge per pressure on it.
double ring_gives(double modulus, double poisson) {
  const double K2 = b * b / (a * a);
  return a / modulus * ((K2 + 1.0) / (K2 - 1.0) + poisson);
}
double disc_gives(double modulus, double poisson) {
  return a / modulus * (1.0 - poisson);
}

const solid::Judged& judged_as(const solid::Strength& strength, LoadCase load_case) {
  for (const solid::Judged& judged : strength.instants)
    if (judged.load_case == load_case) return judged;
  FAIL("no such load case");
  return strength.instants.front();
}

}  // namespace

TEST_CASE("strength: principal stresses of a plane state and hoop") {
  // Mohr's circle: middle 30, radius 50 for (60, 0, 40).
  const auto s = solid::principal_stresses({.rr = 60.0, .zz = 0.0, .tt = 10.0, .rz = 40.0});
  CHECK(s[0] == relative(80.0));
  CHECK(s[1] == relative(10.0));
  CHECK(s[2] == relative(-20.0));
}

TEST_CASE("strength: a dense soft powder as high as its die is Lame's tube") {
  const solver::Problem p = stack(5e-6, 5e-6);
  const double pressure = 20e6;
  const solid::Strength s = solid::judge(p, run_of(p, {room, room}, pressure * section));
  REQUIRE(s.refused.empty());
  REQUIRE(s.formula);
  const double K2 = (b / a) * (b / a), hoop = pressure * (K2 + 1.0) / (K2 - 1.0);
  CHECK(s.formula->hoop_Pa == relative(hoop, 1e-12));
  CHECK(s.formula->height_share == relative(1.0));
  compare({"hoop stress at the bore of a die filled over its whole height",
           "Lame, thick cylinder (Timoshenko and Goodier, article 28, from memory)", hoop,
           s.formula->computed_Pa, 0.01 * hoop, "Pa", "strength"});
  CHECK(s.formula->by_force_Pa == relative(s.formula->computed_Pa, 1e-6));
}

TEST_CASE("strength: a plain punch bears force over section, and the largest force is in proportion") {
  const solver::Problem p = stack(5e-6, 5e-6);
  const double pressure = 20e6;
  const solid::Strength s = solid::judge(p, run_of(p, {room, room}, pressure * section));
  REQUIRE(s.parts.size() == 3);
  REQUIRE(s.parts[0].compression);
  CHECK(s.parts[0].part == lower);
  CHECK(s.parts[0].compression->spot.stress == relative(pressure, 1e-4));
  CHECK(s.parts[0].compression->spot.margin() == relative(120e6 / pressure, 1e-4));
  // Worst is the die in tension; everything is linear, so that the force may grow by margin over asked.
  REQUIRE(s.worst);
  CHECK(s.worst->part == die);
  CHECK(s.worst->tension);
  REQUIRE(!s.largest.empty());
  CHECK(s.largest.front().force_N == relative(pressure * section * s.margin() / s.asked, 2e-3));
  CHECK(s.largest.front().pressure_Pa == relative(s.largest.front().force_N / section));
  CHECK_FALSE(s.holds() != (s.margin() >= s.asked));
}

TEST_CASE("strength: the chance to break is that of Lame's stresses over the die") {
  solver::Problem p = stack(5e-6, 5e-6);
  const double m = 8.0, pressure = 25e6;
  for (materials::Material& material : p.materials)
    material.weibull = materials::Weibull{
        m, {materials::Specimen::Loading::three_point, 5e-3, 5e-3, 40e-3, 0.0}, "made up for the test"};
  const solid::Strength s = solid::judge(p, run_of(p, {room, room}, pressure * section));
  const double scale = materials::scale_of(*p.materials[die].weibull, 50e6), K2 = (b / a) * (b / a);
  double risk = 0.0;
  constexpr int rings = 4000;
  for (int k = 0; k < rings; ++k) {
    const double r = a + (b - a) * (k + 0.5) / rings;
    const double hoop = pressure / (K2 - 1.0) * (1.0 + b * b / (r * r));
    risk += std::pow(hoop / scale, m) * 2.0 * pi * r * h * (b - a) / rings;
  }
  REQUIRE(s.parts.back().break_chance);
  compare({"chance that a pressed die breaks", "Weibull's integral over Lame's stresses, done apart",
           materials::failure_probability(risk), *s.parts.back().break_chance,
           0.02 * materials::failure_probability(risk), "-", "strength"});
}

TEST_CASE("strength: warm through and unloaded, nothing is stressed") {
  const solver::Problem p = stack(5e-6, 5e-6);
  const solid::Strength s = solid::judge(p, run_of(p, {1200.0, 1200.0}, 1.0));
  REQUIRE(s.worst);
  CHECK(s.margin() > 1e3);
}

TEST_CASE("grip: a compact that shrinks less than its die is a shrink fit") {
  const double tool = 8e-6, ceramic = 5e-6, hot = 1273.15, pressure = 20e6;
  const solver::Problem p = stack(tool, ceramic);
  // No creep is known: it is solid from the end of the highest temperature.
  const solid::Strength s = solid::judge(p, run_of(p, {room, hot, hot, room}, pressure * section));
  REQUIRE(s.grip);
  CHECK(s.grip->lock.found == solid::Lock::Found::no_creep);
  CHECK(s.grip->lock.time_s == relative(120.0));
  CHECK(s.grip->lock.temperature_K == relative(hot));
  // At the lock the bore stands at its growth and what the pressure opens; the compact fills it.  Cold it has
  // grown by what its own compression gives back and shrunk by its heat.
  const double touch = 20e-6 / 11e9;  // of a bare touch: 20 um of the softer side
  const double bore = ring_gives(11e9, 0.2), disc = disc_gives(300e9, 0.25);
  const double overlap = a * (tool * (hot - room) - ceramic * (hot - room)) + pressure * bore +
                         pressure * touch + a * pressure * (1.0 - 2.0 * 0.25) / 300e9;
  const double expected = overlap / (bore + disc + touch);
  compare({"pressure of a cold die on the compact that it has shrunk on",
           "shrink fit of a disc in a thick ring (Lame)", expected, s.grip->cold_Pa, 0.01 * expected, "Pa",
           "strength"});
  CHECK(s.grip->push_out_N ==
        relative(p.strength.ejection_friction * s.grip->cold_Pa * 2.0 * pi * a * h, 1e-6));
  CHECK(s.grip->on_punch_Pa == relative(s.grip->push_out_N / section));
  const solid::Judged& cold = judged_as(s, LoadCase::push_out);
  CHECK(cold.grip_Pa == relative(s.grip->cold_Pa));
  CHECK(cold.force_N == 0.0);
  CHECK(judged_as(s, LoadCase::cooling).grip_Pa > 0.0);
}

TEST_CASE("grip: a compact that shrinks more than its die lies free") {
  const solver::Problem p = stack(4e-6, 9e-6);
  const solid::Strength s = solid::judge(p, run_of(p, {room, 1273.15, 1273.15, room}, 20e6 * section));
  REQUIRE(s.grip);
  CHECK(s.grip->cold_Pa == 0.0);
  CHECK(s.grip->push_out_N == 0.0);
}

TEST_CASE("grip: a compact is solid from where it can forget one e-fold more") {
  // Newtonian creep: the rate of forgetting E e'(s)/s falls e-fold over R T^2 / (Q v) of cooling at v, so
  // that the two are equal at the lock but for terms of R T / Q (here 4 %, the next one of the series 1 - 2 R
  // T/Q).
  materials::Material m = brittle("ceramic", 300e9, 0.25, 8e-6);
  materials::Creep creep;
  creep.exponent = 1;
  creep.activation_energy = 400e3;
  creep.rate = 1e-4;
  creep.stress = 50e6;
  creep.temperature = 1500;
  m.creep = {creep};
  const double v = 2.0, R = 8.314462618;
  solid::CompactHistory history;
  for (int k = 0; k <= 600; ++k) {
    history.time_s.push_back(k);
    history.temperature_K.push_back(1600.0 - v * k);
    history.pressure_Pa.push_back(50e6);
  }
  const auto lock = solid::lock_of(m, {}, history);
  REQUIRE(lock);
  CHECK(lock->found == solid::Lock::Found::by_creep);
  const double T = lock->temperature_K;
  const double forgets = 300e9 * materials::creep_rate(creep, 50e6, T) / 50e6;
  const double e_fold = R * T * T / (creep.activation_energy * v);
  compare({"rate of forgetting at the lock over that of cooling",
           "asymptotic series of the exponential integral",
           1.0 / (1.0 - 2.0 * R * T / creep.activation_energy), forgets * e_fold, 0.01, "-", "strength"});
  // Twice as fast a cooling locks hotter; a run that ends hot locks at its end.
  solid::CompactHistory fast = history;
  for (double& T_at : fast.temperature_K) T_at = 1600.0 - 2.0 * (1600.0 - T_at);
  for (double& T_at : fast.temperature_K) T_at = std::max(T_at, 300.0);
  CHECK(solid::lock_of(m, {}, fast)->temperature_K > T);
  solid::CompactHistory held = history;
  for (double& T_at : held.temperature_K) T_at = 1600.0;
  CHECK(solid::lock_of(m, {}, held)->found == solid::Lock::Found::hot_end);
  solid::CompactHistory never = history;
  for (double& T_at : never.temperature_K) T_at = 400.0;
  CHECK_FALSE(solid::lock_of(m, {}, never));
}

TEST_CASE("strength: what cannot be judged is refused with the reason") {
  solver::Problem p = stack(5e-6, 5e-6);
  CHECK(solid::judge(p, run_of(p, {room, room}, 0.0)).refused == "no force stands on the column");
  p.materials[upper].elastic_modulus.reset();
  CHECK(solid::judge(p, run_of(p, {room, room}, 1e3)).refused ==
        "the elastic modulus of \"graphite\" is not known");
}
