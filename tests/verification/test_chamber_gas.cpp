// A gas in the chamber: across narrow gaps, in felt, through a whole case; and vacuum as it was.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <fstream>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/convection.hpp"
#include "solver/march.hpp"
#include "solver/steady.hpp"
#include "solver/touches.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double pi = std::numbers::pi;

materials::Gas at(const std::string& name, double pressure) {
  materials::Gas gas = materials::gas_named(name).value();
  gas.pressure = pressure;
  return gas;
}

/// The jacketed stack with a die worn so far that its foil has parted from the punches, and nickel in it, so
/// that current finds a way.
cases::Case worn_and_jacketed() {
  const std::string path = std::string(JOULEPRESS_SOURCE_DIR) + "/tests/stacks/felt-jacket.yaml";
  std::ostringstream stream;
  stream << std::ifstream(path).rdbuf();
  std::string text = stream.str();
  const std::string alumina = "powder: alumina, diameter: 20 mm, mass: 6 g";
  text.replace(text.find(alumina), alumina.size(), "powder: nickel, diameter: 20 mm, mass: 14 g");
  cases::Case c = cases::read_case(path, text);
  c.accuracy = 1.0;
  c.sleeves.front().worn_by = 0.2e-3;
  return c;
}

}  // namespace

TEST_CASE("two walls 50 um apart: gas and radiation in parallel, at every pressure") {
  const double gap = 50e-6, hot = 1500, cold = 1100;
  solver::Problem p = plain_problem(
      {{"rod", 0, 0, 0.05, 0, 0.03}, {"tube", 1, 0.05 + gap, 0.06, 0, 0.03}, {"foot", 2, 0, 0.06, -0.01, 0}},
      even_grid(0.005), {constant_material("m", 1e6)});
  const double exchange = solver::grey_exchange(0.7, 0.4);
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    p.contacts[k].heat_conductance = 0;  // also of the touching foot
    if (p.interfaces.pairs[k].gap > 0) p.contacts[k].radiation = exchange;
  }
  side_of(p, 0, Side::top) = held_at(hot);
  side_of(p, 1, Side::outer) = held_at(cold);
  side_of(p, 2, Side::bottom) = held_at(300);
  const double area = 2 * pi * 0.05 * 0.03;
  const double radiated = area * exchange * solver::stefan_boltzmann * (std::pow(hot, 4) - std::pow(cold, 4));
  CHECK(steady_heat_through(p, 1, Side::outer) == relative(radiated, 2e-3));
  for (const double pressure : {1e5, 1e3, 10.0}) {
    p.gas = at("argon", pressure);
    // By hand, argon at 1300 K: 51.6 mW/(m K); lambda = eta/p sqrt(pi R T / 2M), gamma 5/3, Pr 2/3.
    const double k = materials::conductivity(*p.gas, 1300), a = materials::accommodation,
                 path = materials::viscosity(*p.gas, 1300) / pressure *
                        std::sqrt(pi * 8.314462618 * 1300 / (2 * 0.039948)),
                 jump = (2 - a) / a * 1.25 * path / materials::prandtl(*p.gas, 1300);
    const double conducted = area * k / (gap + 2 * jump) * (hot - cold);
    compare({"two walls 50 um apart in argon at " + std::to_string(static_cast<int>(pressure)) + " Pa",
             "two-surface formula, k/(gap + jumps) of Kennard 1938 (from memory)", radiated + conducted,
             steady_heat_through(p, 1, Side::outer), 3e-3 * (radiated + conducted), "W", "gas across gaps"});
  }
}

TEST_CASE("a felt slab in argon: the integral of both conductivities") {
  materials::Material felt = constant_material("felt", 0.2);
  felt.gas_in_pores.emplace();
  felt.gas_in_pores->factor = 2.5;
  felt.gas_in_pores->pore = 1e-4;
  solver::Problem p = plain_problem({{"slab", 0, 0, 0.05, 0, 0.02}}, even_grid(0.0005), {felt});
  side_of(p, 0, Side::bottom) = held_at(1500);
  side_of(p, 0, Side::top) = held_at(500);
  const double dry = steady_heat_through(p, 0, Side::top);
  CHECK(dry == relative(pi * 0.0025 * 0.2 * 1000 / 0.02, 1e-6));
  p.gas = at("argon", 1e5);
  double integral = 0;  // of the free gas with Knudsen's reduction, by the midpoint rule
  for (double T = 500.5; T < 1500; T += 1)
    integral += materials::conductivity(*p.gas, T) / (1 + 2 * materials::jump_length(*p.gas, T) / 1e-4);
  compare({"felt slab in argon", "integral of k0 + 2.5 k_gas / (1 + 2 jump / pore)",
           pi * 0.0025 * (200 + 2.5 * integral) / 0.02, steady_heat_through(p, 0, Side::top), 1e-4 * dry, "W",
           "gas in felt"});
  // Sheets: along and across alike.
  p.parts[0].across = mesh::Axis::z;
  CHECK(steady_heat_through(p, 0, Side::top) == relative(pi * 0.0025 * (200 + 2.5 * integral) / 0.02, 1e-4));
}

TEST_CASE("a case in argon: its gaps and its felt conduct as by hand, all else as in vacuum") {
  cases::Case c = worn_and_jacketed();
  const solver::Problem vacuum = cases::build_problem(c);
  CHECK_FALSE(vacuum.gas);
  c.gas = at("argon", 1.2e5);
  const solver::Problem p = cases::build_problem(c);
  REQUIRE(p.gas);
  const double T = 1300;
  const std::vector<double> cells(p.mesh.volume.size(), T);
  const auto properties = [&](const solver::Problem& q) {
    solver::Properties out;
    solver::properties_at(q, cells, {}, cells, out);
    const std::vector<double> low(q.interfaces.pair_faces.size(), T - 100), high(low.size(), T + 100);
    solver::touches_at(q, cells, low, high, {}, out);
    return out;
  };
  const solver::Properties gas = properties(p), dry = properties(vacuum);
  CHECK(dry.touch_conductance.empty());
  int gaps = 0, felt = 0;
  for (std::size_t f = 0; f < p.interfaces.pair_faces.size(); ++f) {
    const mesh::PairFace& face = p.interfaces.pair_faces[f];
    if (face.area == 0.0) continue;
    const double gap = p.interfaces.pairs[face.pair].gap;
    const solver::ContactLaw law = solver::law_of(p, gas, f), before = solver::law_of(vacuum, dry, f);
    CHECK(law.electric_resistance == before.electric_resistance);
    CHECK(law.radiation == before.radiation);
    if (gap > 0.0) {
      ++gaps;
      CHECK(before.heat_conductance == 0.0);
      CHECK(law.heat_conductance ==
            relative(materials::conductivity(*p.gas, T) / (gap + 2 * materials::jump_length(*p.gas, T))));
    } else {
      CHECK(law.heat_conductance == before.heat_conductance);
    }
  }
  CHECK(gaps > 0);
  for (int i = 0; i < p.mesh.n_cells(); ++i) {
    const bool jacket = p.parts[p.mesh.part_of(i)].name == "felt jacket";
    felt += jacket ? 1 : 0;
    // Data sheets of soft felt: argon adds 0.1 to 0.2 W/mK, from memory.
    const double added = 1 / gas.heat_resistivity_r[i] - 1 / dry.heat_resistivity_r[i];
    if (jacket) CHECK(added > 0.1);
    if (jacket) CHECK(added < 0.2);
    if (!jacket) CHECK(gas.heat_resistivity_r[i] == dry.heat_resistivity_r[i]);
    if (!jacket) CHECK(gas.heat_resistivity_z[i] == dry.heat_resistivity_z[i]);
    CHECK(gas.electric_resistivity_r[i] == dry.electric_resistivity_r[i]);
  }
  CHECK(felt > 0);
}

TEST_CASE("a hot body in argon loses by its sides and its top what their correlations say") {
  solver::Problem p =
      plain_problem({{"body", 0, 0, 0.01, 0, 0.03}}, even_grid(0.0025), {constant_material("m", 1e6)});
  side_of(p, 0, Side::bottom) = held_at(1000);
  p.walls_exchange = true;
  p.chamber_temperature = 310;
  p.gas = at("argon", 1e5);
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  const double side = solver::film(*p.gas, solver::Orientation::vertical, 0.03, 1000, 310),
               top = solver::film(*p.gas, solver::Orientation::up, 0.005, 1000, 310);
  CHECK(side > 5);
  CHECK(top > side);
  const double expected = (2 * pi * 0.01 * 0.03 * side + pi * 1e-4 * top) * 690;
  compare({"rod of 20 mm by 30 mm at 1000 K in argon, heat to the gas",
           "Churchill and Chu 1975, Raithby and Hollands 1998 (from memory)", expected, s.stage.powers.gas,
           1e-4 * expected, "W", "natural convection"});
  CHECK(s.stage.powers.radiation == 0.0);
  p.gas->pressure = 1.0;  // thin gas carries next to nothing
  CHECK(solver::solve_steady(p).stage.powers.gas < 0.1 * expected);
}

TEST_CASE("a case in nitrogen: the books close, it is no mirror image, and the gas is felt") {
  cases::Case c = worn_and_jacketed();
  c.programme.steps.front().duration = 20;
  solver::Problem p = cases::build_problem(c);
  REQUIRE(p.half != nullptr);
  const solver::RunResult dry = solver::run(p);
  REQUIRE_MESSAGE(dry.status == solver::RunStatus::completed, dry.reason);
  CHECK(dry.ledger.gas == 0.0);
  c.gas = at("nitrogen", 1e5);
  p = cases::build_problem(c);
  CHECK(p.half == nullptr);
  const solver::RunResult wet = solver::run(p);
  REQUIRE_MESSAGE(wet.status == solver::RunStatus::completed, wet.reason);
  CHECK(wet.ledger.energy_balance_relative() < 1e-10);
  CHECK(wet.ledger.charge_balance_relative() < 1e-8);
  CHECK(wet.ledger.gas > 0.0);
  CHECK(wet.rows.back().gas_W > 0.0);
  CHECK(wet.rows.back().powder->mean_K != dry.rows.back().powder->mean_K);
}

TEST_CASE("not modelled: with a gas, what it does not do") {
  cases::Case c = worn_and_jacketed();
  const auto says = [](const std::vector<std::string>& sentences, const std::string& words) {
    return std::any_of(sentences.begin(), sentences.end(),
                       [&](const std::string& s) { return s.find(words) != std::string::npos; });
  };
  const auto vacuum = solver::not_modelled(cases::build_problem(c));
  CHECK(says(vacuum, "Gas of any kind"));
  c.gas = at("argon", 1e5);
  const auto gas = solver::not_modelled(cases::build_problem(c));
  CHECK(gas.size() == vacuum.size() + 1);
  CHECK_FALSE(says(gas, "Gas of any kind"));
  CHECK(says(gas, "Gas that flows inside the stack"));
  CHECK(says(gas, "Gas between touching faces"));
  CHECK(says(gas, "in the pores of the powder"));
  CHECK(says(gas, "`gas in bore` only"));
}
