// Thermo-elastic bodies of revolution against closed forms (Timoshenko and Goodier, Theory of Elasticity, 3rd
// ed.: articles 28 (thick cylinders), 151 and 152 (heated cylinders), from memory; derived again where
// noted).
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "solver/solid/body.hpp"
#include "tests/support/relative.hpp"

namespace {

using namespace joulepress::solid;
using joulepress::mesh::Side;
using joulepress::test::relative;

std::vector<double> lines(double from, double to, int cells) {
  std::vector<double> out;
  for (int k = 0; k <= cells; ++k) out.push_back(k == cells ? to : from + (to - from) * k / cells);
  return out;
}

SolidBlock block(std::vector<double> r, std::vector<double> z, Elastic elastic) {
  SolidBlock b;
  b.r_lines = std::move(r);
  b.z_lines = std::move(z);
  b.elastic.assign(static_cast<std::size_t>(b.n_r()) * b.n_z(), elastic);
  return b;
}

/// Free strain from a function of r and z at the corners.
template <class Strain>
void grow(SolidBlock& b, Strain strain) {
  b.free_strain.clear();
  for (const double z : b.z_lines)
    for (const double r : b.r_lines) b.free_strain.push_back(strain(r, z));
}

constexpr double a = 0.010;  // m, bore
constexpr double p = 50e6;   // Pa
constexpr Elastic graphite{11e9, 0.2};

/// A cylinder pressed from inside between frictionless plates, `n` cells across.
Body pressed_cylinder(double ratio, Elastic elastic, int n) {
  Body body;
  body.blocks.push_back(block(lines(a, a * ratio, n), lines(0.0, 0.01, 2), elastic));
  body.held = {{0, Side::bottom}, {0, Side::top}};
  body.pressures.push_back({0, Side::inner, [](double) { return p; }});
  return body;
}

/// Lame in plane strain: u_r(bore) = (p a (1 + nu) / E) (1 - 2 nu + K^2) / (K^2 - 1).
double lame_bore(double ratio, Elastic e) {
  const double square = ratio * ratio;
  return p * a * (1.0 + e.poisson) / e.modulus * (1.0 - 2.0 * e.poisson + square) / (square - 1.0);
}

}  // namespace

TEST_CASE("solid: hoop stress of thick cylinders under inner pressure, Lame") {
  // (K^2 + 1)/(K^2 - 1) inside, 2/(K^2 - 1) outside.
  for (const auto& [ratio, inside, outside] : {std::tuple{1.5, 2.60, 1.60},
                                               {2.0, 5.0 / 3.0, 2.0 / 3.0},
                                               {2.5, 7.25 / 5.25, 2.0 / 5.25},
                                               {3.0, 1.25, 0.25}}) {
    const Body body = pressed_cylinder(ratio, graphite, 64);
    const Deformed d = deform(body);
    REQUIRE(d.solved);
    const double K = ratio;
    CAPTURE(K);
    CHECK(stress_at(body, d, 0, 0, 0, -1, 0).tt == relative(inside * p, 2e-4));
    CHECK(stress_at(body, d, 0, 63, 1, 1, 0).tt == relative(outside * p, 2e-4));
    CHECK(stress_at(body, d, 0, 0, 0, -1, 0).rr == relative(-p, 1e-3));
    CHECK(displacement_at(body, d, 0, 0, 1)[0] == relative(lame_bore(ratio, graphite), 1e-8));
    CHECK(work_of_pressures(body, d) == relative(strain_energy(body, d), 1e-10));
  }
}

TEST_CASE("solid: orders of displacement and stress, and no locking as the body becomes incompressible") {
  for (const double poisson : {0.2, 0.49, 0.4999999}) {
    const Elastic elastic{11e9, poisson};
    const auto errors = [&elastic](int n) {
      const Body body = pressed_cylinder(2.0, elastic, n);
      const Deformed d = deform(body);
      REQUIRE(d.solved);
      return std::pair{std::abs(displacement_at(body, d, 0, 0, 1)[0] / lame_bore(2.0, elastic) - 1.0),
                       std::abs(stress_at(body, d, 0, 0, 0, -1, 0).tt / (5.0 / 3.0 * p) - 1.0)};
    };
    const auto [way_coarse, stress_coarse] = errors(4);
    const auto [way_fine, stress_fine] = errors(8);
    CAPTURE(poisson);
    CHECK(std::log2(way_coarse / way_fine) > 3.5);  // nodal values: order 4
    CHECK(std::log2(way_coarse / way_fine) < 4.5);
    CHECK(std::log2(stress_coarse / stress_fine) > 1.7);  // at the surface: order 2
    CHECK(way_coarse < 1e-4);
  }
}

TEST_CASE("solid: free growth, even or in proportion to height and radius, leaves no stress") {
  for (const int kind : {0, 1}) {
    Body body;
    body.blocks.push_back(block({0.0, 0.002, 0.005, 0.01}, {0.0, 0.003, 0.01}, graphite));
    // A field linear in z bends the faces and needs no stress (Boley and Weiner, from memory).
    grow(body.blocks[0], [kind](double, double z) { return kind == 0 ? 5e-3 : 5e-3 + 0.4 * z; });
    // Held at one circle only: a joint to nothing would do; a soft spring below keeps it from flying off.
    body.blocks.push_back(block({0.0, 0.01}, {-0.001, 0.0}, {1.0, 0.0}));
    body.held = {{1, Side::bottom}};
    body.joints = {{1, 0, Side::top, Side::bottom, 1e3, 0.0, 0.0, false}};
    const Deformed d = deform(body);
    REQUIRE(d.solved);
    const double scale = graphite.modulus * 5e-3;
    for (int i = 0; i < 3; ++i)
      for (int j = 0; j < 2; ++j) {
        const Stress s = stress_at(body, d, 0, i, j, 0.3, -0.6);
        for (const double component : {s.rr, s.zz, s.tt, s.rz}) CHECK(std::abs(component) < 1e-7 * scale);
      }
    if (kind == 0) CHECK(displacement_at(body, d, 0, 6, 0)[0] == relative(5e-3 * 0.01, 1e-7));
  }
}

TEST_CASE("solid: thermal stress of a hollow cylinder between plates, heat passing outward") {
  // T = dT ln(b/r)/ln(b/a), plane strain: hoop at the bore
  //   E alpha dT / (2 (1 - nu) ln K) (1 - 2 K^2 ln K / (K^2 - 1)),   outside ... (1 - 2 ln K / (K^2 - 1))
  const double ratio = 2.5, growth = 5e-6 * 100.0, log_ratio = std::log(ratio), square = ratio * ratio;
  Body body;
  body.blocks.push_back(block(lines(a, a * ratio, 60), lines(0.0, 0.01, 2), graphite));
  body.held = {{0, Side::bottom}, {0, Side::top}};
  grow(body.blocks[0], [&](double r, double) { return growth * std::log(a * ratio / r) / log_ratio; });
  const Deformed d = deform(body);
  REQUIRE(d.solved);
  const double unit = graphite.modulus * growth / (2.0 * (1.0 - graphite.poisson) * log_ratio);
  CHECK(stress_at(body, d, 0, 0, 0, -1, 0).tt ==
        relative(unit * (1.0 - 2.0 * square * log_ratio / (square - 1.0)), 1e-3));
  CHECK(stress_at(body, d, 0, 59, 0, 1, 0).tt ==
        relative(unit * (1.0 - 2.0 * log_ratio / (square - 1.0)), 1e-3));
}

TEST_CASE("solid: thermal stress of a solid cylinder hottest on its axis, between plates") {
  // T = dT (1 - r^2/b^2): hoop -E alpha dT/(4 (1 - nu)) (1 - 3 r^2/b^2)
  const double b = 0.02, growth = 5e-6 * 200.0;
  Body body;
  body.blocks.push_back(block(lines(0.0, b, 60), lines(0.0, 0.01, 2), graphite));
  body.held = {{0, Side::bottom}, {0, Side::top}};
  grow(body.blocks[0], [&](double r, double) { return growth * (1.0 - r * r / (b * b)); });
  const Deformed d = deform(body);
  REQUIRE(d.solved);
  const double unit = graphite.modulus * growth / (4.0 * (1.0 - graphite.poisson));
  CHECK(stress_at(body, d, 0, 0, 0, -1, 0).tt == relative(-unit, 2e-3));
  CHECK(stress_at(body, d, 0, 59, 0, 1, 0).tt == relative(2.0 * unit, 2e-3));
}

namespace {

/// Two rings, the inner one larger than the bore of the outer one by `interference`, with free ends.
Body shrunk_rings(double interference, double stiffness, int n_inner, int n_outer) {
  Body body;
  body.blocks.push_back(block(lines(0.02, 0.03, 24), lines(0.0, 0.01, n_inner), {200e9, 0.3}));
  body.blocks.push_back(block(lines(0.03, 0.05, 32), lines(0.0, 0.01, n_outer), {200e9, 0.3}));
  body.held = {{0, Side::bottom}, {1, Side::bottom}};  // a mid-plane of rings twice as high
  body.joints = {{0, 1, Side::outer, Side::inner, stiffness, 0.0, -interference, true}};
  return body;
}

}  // namespace

TEST_CASE("solid: pressure of a shrink fit of two rings, also where their grids do not match") {
  // p (b/E [(c^2 + b^2)/(c^2 - b^2) + nu] + b/E [(b^2 + a^2)/(b^2 - a^2) - nu] + 1/stiffness) = interference
  const double E = 200e9, nu = 0.3, ra = 0.02, rb = 0.03, rc = 0.05, interference = 30e-6;
  const double rings =
      rb / E *
      ((rc * rc + rb * rb) / (rc * rc - rb * rb) + nu + (rb * rb + ra * ra) / (rb * rb - ra * ra) - nu);
  for (const double stiffness : {1e13, 1e16})
    for (const auto& [inner, outer] : {std::pair{2, 2}, {3, 5}}) {
      const Body body = shrunk_rings(interference, stiffness, inner, outer);
      const Deformed d = deform(body);
      REQUIRE(d.solved);
      for (const JointPoint& point : d.joints[0])
        CHECK(point.pressure == relative(interference / (rings + 1.0 / stiffness), 5e-6));
    }
}

TEST_CASE("solid: a joint that would have to pull opens, and one of a single piece changes nothing") {
  const Body apart = shrunk_rings(-5e-6, 1e14, 2, 2);
  const Deformed d = deform(apart);
  REQUIRE(d.solved);
  for (const JointPoint& point : d.joints[0]) {
    CHECK(point.pressure == 0.0);
    CHECK(point.opening == relative(5e-6, 1e-9));
  }
  // A cylinder cut at half its wall and welded again.
  const Body whole = pressed_cylinder(2.0, graphite, 12);
  Body cut;
  cut.blocks.push_back(block(lines(a, 1.5 * a, 6), lines(0.0, 0.01, 2), graphite));
  cut.blocks.push_back(block(lines(1.5 * a, 2.0 * a, 6), lines(0.0, 0.01, 3), graphite));
  cut.held = {{0, Side::bottom}, {0, Side::top}, {1, Side::bottom}, {1, Side::top}};
  cut.pressures = whole.pressures;
  cut.joints = {{0, 1, Side::outer, Side::inner, 1e19, 1e19, 0.0, false}};
  const Deformed one = deform(whole), two = deform(cut);
  REQUIRE(one.solved);
  REQUIRE(two.solved);
  CHECK(displacement_at(cut, two, 0, 0, 1)[0] == relative(displacement_at(whole, one, 0, 0, 1)[0], 1e-6));
  CHECK(work_of_pressures(cut, two) == relative(strain_energy(cut, two), 1e-6));
}

TEST_CASE("solid: a column pressed on its end shortens by Hooke's law and bulges freely") {
  Body body;
  body.blocks.push_back(block(lines(0.0, 0.01, 3), lines(0.0, 0.03, 4), graphite));
  body.held = {{0, Side::bottom}};
  body.pressures.push_back({0, Side::top, [](double) { return p; }});
  const Deformed d = deform(body);
  REQUIRE(d.solved);
  CHECK(displacement_at(body, d, 0, 0, 8)[1] == relative(-p / graphite.modulus * 0.03, 1e-10));
  CHECK(displacement_at(body, d, 0, 6, 3)[0] ==
        relative(graphite.poisson * p / graphite.modulus * 0.01, 1e-10));
  const Stress s = stress_at(body, d, 0, 1, 2, 0.5, 0.5);
  CHECK(s.zz == relative(-p, 1e-9));
  CHECK(std::abs(s.tt) < 1e-8 * p);
}

TEST_CASE("solid: a part that nothing holds is told, not moved") {
  Body body;
  body.blocks.push_back(block(lines(0.0, 0.01, 3), lines(0.0, 0.03, 4), graphite));
  body.pressures.push_back({0, Side::top, [](double) { return p; }});
  const Deformed d = deform(body);
  CHECK_FALSE(d.solved);
  CHECK(d.reason == "nothing holds one of the parts in its place");
}
