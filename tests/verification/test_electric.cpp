// Current and Joule heat.  Sources named beside each check.
#include "solver/electric.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <numeric>
#include <random>

#include "solver/steady.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double pi = 3.14159265358979323846;

void electrodes(solver::Problem& p, int low_block, int high_block) {
  side_of(p, low_block, Side::bottom).electrode = solver::Electrode::low;
  side_of(p, high_block, Side::top).electrode = solver::Electrode::high;
}

/// Potential of the problem at its initial temperature, solved to rounding.
struct Solved {
  solver::Properties properties;
  solver::ElectricFaces faces;
  solver::Currents currents;
  solver::CellField psi, joule;
  double conductance = 0, residual = 0, contact_heat = 0;
};

Solved solve(const solver::Problem& p) {
  Solved s;
  const solver::CellField T(p.mesh.volume.size(), p.initial_temperature);
  solver::properties_at(p, T, {}, T, s.properties);
  solver::electric_conductances(p, s.properties, s.faces);
  solver::Factor factor(p.mesh.n_cells(), solver::face_links(p));
  REQUIRE(factor.factorise(solver::electric_matrix(p, s.faces)));
  s.psi.assign(T.size(), 0.5);
  const solver::PotentialOutcome outcome =
      solver::solve_potential(p, s.faces, factor, s.faces, 1e-13, s.psi, s.currents);
  REQUIRE(outcome.converged);
  s.residual = solver::charge_imbalance(p, s.currents);
  s.conductance = solver::terminal_currents(p, s.currents).low;
  s.contact_heat = solver::joule_heat(p, s.currents, s.psi, s.joule);
  return s;
}

/// Blocks with unrelated grids: a wide base, a ring beside a core, contacts everywhere.
solver::Problem awkward_stack(std::mt19937& random) {
  const mesh::Layout layout{{"base", 0, 0, 0.03, 0, 0.01},
                            {"core", 1, 0, 0.01, 0.01, 0.03},
                            {"ring", 2, 0.01, 0.022, 0.01, 0.027},
                            {"lid", 3, 0, 0.017, 0.03, 0.04}};
  std::uniform_real_distribution<double> decades(-6.0, -3.0);
  std::vector<materials::Material> materials;
  for (int k = 0; k < 4; ++k)
    materials.push_back(constant_material("m", 20, std::pow(10.0, decades(random))));
  mesh::GridRule rule;
  rule.smallest = 0.3e-3;
  solver::Problem p = plain_problem(layout, rule, materials);
  for (std::size_t k = 0; k < p.contacts.size(); ++k)
    if (p.interfaces.pairs[k].gap == 0)
      p.contacts[k].electric_resistance = std::pow(10.0, decades(random) - 4);
  electrodes(p, 0, 3);
  return p;
}

}  // namespace

TEST_CASE(
    "Joule heat summed over cells is I x U, resistivities random over three decades, grids not matching") {
  std::mt19937 random(7);
  int skewed = 0;
  for (int round = 0; round < 5; ++round) {
    const solver::Problem p = awkward_stack(random);
    for (const mesh::PairFace& face : p.interfaces.pair_faces)
      skewed += face.a.trace.count > 1 || face.b.trace.count > 1;
    const Solved s = solve(p);
    CHECK(s.residual < 1e-11);
    const double heat = std::accumulate(s.joule.begin(), s.joule.end(), 0.0);
    CHECK(std::abs(heat / s.conductance - 1) < 1e-12);  // at unit voltage I x U = G
    CHECK(s.contact_heat > 0);
  }
  CHECK(skewed > 50);  // the test means nothing where all faces match
}

TEST_CASE("any psi: what leaves the cells is what enters through the electrodes, grids not matching") {
  std::mt19937 random(3);
  const solver::Problem p = awkward_stack(random);
  const Solved s = solve(p);
  std::uniform_real_distribution<double> any(-1, 1);
  solver::CellField psi(p.mesh.volume.size());
  for (double& v : psi) v = any(random);
  solver::Currents currents;
  solver::electric_currents(p, s.faces, psi, currents);
  const solver::CellField& net = currents.net;
  const double left = std::accumulate(net.begin(), net.end(), 0.0);
  const solver::TerminalCurrents terminal = solver::terminal_currents(p, currents);
  double size = 0;
  for (const double v : net) size += std::abs(v);
  CHECK(std::abs(left - (terminal.low - terminal.high)) < 1e-13 * size);
}

TEST_CASE(
    "two parallel paths share the current as conductance, a contact in series adds R/A, half its heat each "
    "side") {
  const double rho_in = 1e-5, rho_out = 4e-5, h = 0.02, R = 1e-8;
  solver::Problem p = plain_problem(
      {{"core", 0, 0, 0.01, 0, h}, {"ring", 1, 0.01, 0.02, 0, h}, {"top", 2, 0, 0.01, h, 2 * h}},
      even_grid(0.001),
      {constant_material("a", 1, rho_in), constant_material("b", 1, rho_out),
       constant_material("c", 1, rho_in)});
  for (solver::ContactLaw& law : p.contacts) law.electric_resistance = 1e300;  // core and ring apart
  const double a_in = pi * 1e-4, a_out = pi * 3e-4;
  for (std::size_t k = 0; k < p.contacts.size(); ++k)
    if (p.interfaces.pairs[k].side_a == Side::top) p.contacts[k].electric_resistance = R;
  electrodes(p, 0, 2);
  side_of(p, 1, Side::bottom).electrode = solver::Electrode::low;
  side_of(p, 1, Side::top).electrode = solver::Electrode::high;
  const Solved s = solve(p);
  const double r_core = 2 * h * rho_in / a_in + R / a_in, r_ring = h * rho_out / a_out;
  CHECK(s.conductance == doctest::Approx(1 / r_core + 1 / r_ring).epsilon(1e-10));
  CHECK(s.contact_heat == doctest::Approx(R / a_in / (r_core * r_core)).epsilon(1e-10));
  double lower = 0, upper = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    (p.mesh.block_of[i] == 0 ? lower : upper) += p.mesh.block_of[i] == 1 ? 0 : s.joule[i];
  CHECK(lower == doctest::Approx(upper).epsilon(1e-10));  // equal halves of the touch beside equal cylinders
}

TEST_CASE("a linear potential is exact on grids that do not match") {
  // Nested cylinders: the outermost is cut, so that the ring has lines there which the core has not.
  const double b = 0.02, h = 0.03, rho = 1e-5;
  const mesh::Layout layout{{"core", 0, 0, 0.007, 0, h},
                            {"ring", 0, 0.007, 0.013, 0, h},
                            {"jacket low", 0, 0.013, b, 0, 0.0113},
                            {"jacket high", 0, 0.013, b, 0.0113, h}};
  mesh::GridRule rule;
  rule.smallest = 0.4e-3;
  solver::Problem p = plain_problem(layout, rule, {constant_material("m", 1, rho)});
  for (const int low : {0, 1, 2}) side_of(p, low, Side::bottom).electrode = solver::Electrode::low;
  for (const int high : {0, 1, 3}) side_of(p, high, Side::top).electrode = solver::Electrode::high;
  int skewed = 0;
  for (const mesh::PairFace& face : p.interfaces.pair_faces)
    skewed += face.a.trace.count > 1 || face.b.trace.count > 1;
  CHECK(skewed > 20);
  const Solved s = solve(p);
  CHECK(std::abs(s.conductance / (pi * b * b / (rho * h)) - 1) < 1e-12);
  for (int i = 0; i < p.mesh.n_cells(); ++i) CHECK(std::abs(s.psi[i] - p.mesh.z[i] / h) < 1e-12);
}

TEST_CASE("a layered sheet carries current through it and along it with its two resistivities") {
  const double along = 1e-5, across = 3.5e-4, inner = 0.01, outer = 0.012, h = 0.02;
  const auto ring = [&](mesh::Axis axis, int cells) {
    materials::Material foil = constant_material("foil", 1, along);
    foil.resistivity.across = materials::Property{materials::Curve::constant(across), "test", {}, ""};
    solver::Problem p =
        plain_problem({{"sheet", 0, inner, outer, 0, h}}, even_grid((outer - inner) / cells), {foil});
    p.parts[0].across = axis;
    return p;
  };
  const double area = pi * (outer * outer - inner * inner);
  for (const mesh::Axis axis : {mesh::Axis::r, mesh::Axis::z}) {
    solver::Problem p = ring(axis, 8);
    electrodes(p, 0, 0);
    const double rho_z = axis == mesh::Axis::z ? across : along;
    const double rho_r = axis == mesh::Axis::r ? across : along;
    CHECK(std::abs(solve(p).conductance * rho_z * h / area - 1) < 1e-12);
    double error[2];  // radially R = rho ln(b/a) / (2 pi h)
    for (int k = 0; k < 2; ++k) {
      solver::Problem q = ring(axis, 8 << k);
      side_of(q, 0, Side::inner).electrode = solver::Electrode::low;
      side_of(q, 0, Side::outer).electrode = solver::Electrode::high;
      error[k] = solve(q).conductance * rho_r * std::log(outer / inner) / (2 * pi * h) - 1;
    }
    CHECK(std::abs(error[1]) < 2e-5);
    CHECK(std::log2(error[0] / error[1]) == doctest::Approx(3.0).epsilon(0.05));  // parabolas at the edges
  }
}

TEST_CASE("a touch drops I R / A and gives half its heat to each side") {
  const double R = 1e-7, rho = 1e-5, h = 0.01, a = 0.01, area = pi * a * a;
  // The upper cylinder conducts a hundred times better: half and half must not follow the resistances.
  solver::Problem p = plain_problem({{"low", 0, 0, a, 0, h}, {"high", 1, 0, a, h, 2 * h}}, even_grid(0.001),
                                    {constant_material("a", 1, rho), constant_material("b", 1, rho / 100)});
  p.contacts[0].electric_resistance = R;
  electrodes(p, 0, 1);
  const Solved s = solve(p);
  const double r_low = rho * h / area, r_high = r_low / 100, r_touch = R / area;
  const double current = 1 / (r_low + r_touch + r_high);
  CHECK(std::abs(s.conductance / current - 1) < 1e-11);
  double lower = 0, upper = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i) (p.mesh.block_of[i] == 0 ? lower : upper) += s.joule[i];
  CHECK(std::abs(lower / (current * current * (r_low + r_touch / 2)) - 1) < 1e-10);
  CHECK(std::abs(upper / (current * current * (r_high + r_touch / 2)) - 1) < 1e-10);
  for (const mesh::PairFace& face : p.interfaces.pair_faces) {
    const double share = face.area / area * current;  // A through this piece
    const double below = s.psi[face.a.cell] + share * face.a.path * rho;
    const double above = s.psi[face.b.cell] - share * face.b.path * rho / 100;
    CHECK(std::abs((above - below) / (current * r_touch) - 1) < 1e-9);
  }
}

namespace {

enum class Disc { one_potential, uniform_current };

/// 4 sigma a R of a tube of radius b whose current enters through a disc of radius a; R: the disc's mean
/// potential less that of the unconstricted tube, per current.
double flux_tube(double ratio, Disc disc, int refinement) {
  const double b = 0.01, a = ratio * b, rho = 1e-5, length = 3 * b, plug = 0.01 * b;
  mesh::GridRule rule;
  rule.smallest = 0.004 * a;
  rule.growth = 0.3;
  rule.largest = 0.1 * b;
  rule.refinement = refinement;
  // For a uniform current the disc is fed by a perfect plug through a touch of ten thousand times the
  // constriction.
  mesh::Layout layout{{"core", 0, 0, a, 0, length}, {"ring", 0, a, b, 0, length}};
  if (disc == Disc::uniform_current) layout.push_back({"plug", 1, 0, a, length, length + plug});
  solver::Problem p =
      plain_problem(layout, rule, {constant_material("m", 1, rho), constant_material("plug", 1, 1e-14)});
  double feed = 0;
  for (std::size_t c = 0; c < p.contacts.size(); ++c) {
    if (p.interfaces.pairs[c].side_a != Side::top) continue;
    p.contacts[c].electric_resistance = 1e4 * rho * a;
    feed = (1e4 * rho * a + 1e-14 * plug) / (pi * a * a);
  }
  side_of(p, 0, Side::bottom).electrode = side_of(p, 1, Side::bottom).electrode = solver::Electrode::low;
  const int last = static_cast<int>(layout.size()) - 1;
  side_of(p, disc == Disc::uniform_current ? last : 0, Side::top).electrode = solver::Electrode::high;
  return 4 * a / rho * (1 / solve(p).conductance - feed - rho * length / (pi * b * b));
}

}  // namespace

// One potential: Negus and Yovanovich 1984 (from memory).  Uniform current: the series
// 16/(pi e) sum J1(l e)^2 / (l^3 J0(l)^2) over the roots J1(l) = 0, summed over 1000 of them (at e = 0.1 the
// first 60 are still 1e-3 short).
namespace {

void compare_tube(double ratio, Disc disc, int refinement, double target, double limit) {
  const bool held = disc == Disc::one_potential;
  compare({fmt::format("constriction of a tube, disc {:g} of its radius, {}: 4 sigma a R", ratio,
                       held ? "one potential" : "uniform current"),
           held ? "Negus and Yovanovich 1984 (from memory)" : "series of Bessel functions, 1000 roots",
           target, flux_tube(ratio, disc, refinement), limit, "1", "current, grading toward a singular rim"});
}

}  // namespace

TEST_CASE("coaxial flux tube, radii 1 to 2: 4 sigma a R for a disc of one potential and of uniform current") {
  // The rim of the disc is singular; a grid that shrinks toward it needs no extrapolation.
  compare_tube(0.5, Disc::one_potential, 1, 0.3397, 8e-4);
  compare_tube(0.5, Disc::uniform_current, 1, 0.4092, 2e-4);
}

TEST_CASE("full: coaxial flux tube, all radii of the table") {
  struct Row {
    double ratio, one_potential, uniform_current;
  };
  for (const Row& row : {Row{0.1, 0.8594, 0.9401}, Row{0.3, 0.5865, 0.6649}, Row{0.5, 0.3397, 0.4092},
                         Row{0.7, 0.1403, 0.1896}}) {
    CAPTURE(row.ratio);
    compare_tube(row.ratio, Disc::one_potential, 4, row.one_potential, 3e-4);
    compare_tube(row.ratio, Disc::uniform_current, 4, row.uniform_current, 1e-4);
  }
}
