// Current and Joule heat.  Sources named beside each check.
#include "solver/electric.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>
#include <random>

#include "solver/steady.hpp"
#include "tests/support/problems.hpp"

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
  solver::CellField psi, joule;
  double conductance = 0, residual = 0, contact_heat = 0;
};

Solved solve(const solver::Problem& p) {
  Solved s;
  const solver::CellField T(p.mesh.volume.size(), p.initial_temperature);
  solver::properties_at(p, T, s.properties);
  solver::electric_conductances(p, s.properties, s.faces);
  solver::Factor factor(p.mesh.n_cells(), solver::face_links(p));
  REQUIRE(factor.factorise(solver::electric_matrix(p, s.faces)));
  s.psi.assign(T.size(), 0.5);
  const solver::PotentialOutcome outcome = solver::solve_potential(p, s.faces, factor, 1e-13, s.psi);
  s.residual = outcome.residual;
  const solver::TerminalCurrents currents = solver::terminal_currents(p, s.faces, s.psi);
  s.conductance = currents.low;
  s.contact_heat = solver::joule_heat(p, s.properties, s.faces, s.psi, s.joule);
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

TEST_CASE("the operator is symmetric on non-matching faces") {
  std::mt19937 random(3);
  const solver::Problem p = awkward_stack(random);
  const Solved s = solve(p);
  std::uniform_real_distribution<double> any(-1, 1);
  const std::size_t n = p.mesh.volume.size();
  solver::CellField x(n), y(n), zero(n, 0.0), Ax, Ay, A0;
  for (double& v : x) v = any(random);
  for (double& v : y) v = any(random);
  solver::electric_residual(p, s.faces, x, Ax);
  solver::electric_residual(p, s.faces, y, Ay);
  solver::electric_residual(p, s.faces, zero, A0);  // the electrodes' share
  double yAx = 0, xAy = 0, size = 0;
  for (std::size_t i = 0; i < n; ++i) {
    yAx += y[i] * (Ax[i] - A0[i]);
    xAy += x[i] * (Ay[i] - A0[i]);
    size += std::abs(y[i] * Ax[i]);
  }
  CHECK(std::abs(yAx - xAy) < 1e-13 * size);
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

TEST_CASE("coaxial flux tube: 4 sigma a R against Negus and Yovanovich 1984 (isothermal type)") {
  struct Row {
    double ratio, expected;
  };
  for (const Row& row : {Row{0.3, 0.5865}, Row{0.5, 0.3397}, Row{0.7, 0.1403}, Row{0.1, 0.8594}}) {
    CAPTURE(row.ratio);
    const double b = 0.01, a = row.ratio * b, rho = 1e-5, length = 3 * b;
    double value[3];
    for (int k = 0; k < 3; ++k) {
      mesh::GridRule rule;
      rule.smallest = 0.004 * a;
      rule.growth = 0.3;
      rule.largest = 0.1 * b;
      rule.refinement = 1 << k;
      // Two wide tubes joined through a disc of radius a: by symmetry the disc is one potential.  A thin,
      // almost perfectly conducting plug makes it so.
      solver::Problem p =
          plain_problem({{"low", 0, 0, b, 0, length},
                         {"plug", 1, 0, a, length, length + 0.01 * a},
                         {"high", 0, 0, b, length + 0.01 * a, 2 * length}},
                        rule, {constant_material("m", 1, rho), constant_material("p", 1, 1e-14)});
      electrodes(p, 0, 2);
      const double total = 1 / solve(p).conductance;
      const double uniform = rho * (2 * length - 0.01 * a) / (pi * b * b);
      value[k] = 4 * a / rho * 0.5 * (total - uniform);  // half of it per tube
    }
    const double p = std::log2((value[0] - value[1]) / (value[1] - value[2]));
    CHECK(p > 0.7);  // the edge of the disc is singular: order 1 to 2
    CHECK(p < 2.3);
    const double limit = value[2] - (value[1] - value[2]) / (std::pow(2.0, p) - 1);
    CHECK(limit == doctest::Approx(row.expected).epsilon(0.003));
  }
}
