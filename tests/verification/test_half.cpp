// A stack that is its own mirror image, solved whole and in its upper half: the same answers; and the half is
// never taken where anything breaks the symmetry.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <string>

#include "cases/build_problem.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tests/support/problems.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

constexpr double close = 5e-5;  // K, or relative: the nonlinear tolerance of these runs is 1e-5 K
// Densities are not equal to the last bit where a bed lives: rows and columns are summed in another order,
// and sweeps stop at the solver's tolerance.
constexpr double close_density = 5e-9;  // the worst met is 5.5e-10
constexpr double close_height = 1e-10;  // m; the worst met is 8e-12

cases::Case shipped_case(const std::string& name) {
  return cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/" + name + ".yaml").c;
}

solver::Problem shipped(const std::string& name) {
  return cases::build_problem(shipped_case(name));
}

/// A ramp and a hold of a minute and free cooling, solved so closely that only rounding could differ.
solver::Problem shortened(cases::Case c) {
  c.accuracy = 0.3;  // coarser than usual: whole and half agree on any grid
  solver::Problem p = cases::build_problem(c);
  p.drive.segments = {segment(0, 30, p.initial_temperature, p.initial_temperature + 40),
                      segment(30, 45, p.initial_temperature + 40, p.initial_temperature + 40, true),
                      segment(45, 60, 0, 0)};
  p.drive.segments.back().off = true;
  p.numerics.nonlinear_tolerance = 1e-5;
  p.numerics.potential_tolerance = 5e-7;
  p.history_every = 7;
  p.fields_every = 0;  // at corners alone, where there are rows
  p.half = solver::half_of(p);
  return p;
}

solver::Problem shortened(const std::string& name) {
  return shortened(shipped_case(name));
}

/// The same with a force that grows threefold on the way: metals yield, and what begins hot creeps.
solver::Problem closing(cases::Case c) {
  c.press.frame_compliance = 1e-8;  // m/N
  solver::Problem p = shortened(std::move(c));
  REQUIRE(p.half != nullptr);
  REQUIRE_FALSE(p.beds.empty());
  const double first = p.force.front().force;
  p.force = {{0, first}, {10, first}, {40, 3 * first}};
  p.half = solver::half_of(p);
  return p;
}

/// The same from a hot start under a current; a tracked reading would begin at the limits of the press, and
/// when it leaves them is known to the tolerance only.
solver::Problem closing_hot(const std::string& name, double kelvin) {
  cases::Case c = shipped_case(name);
  c.initial_temperature = kelvin;
  solver::Problem p = closing(std::move(c));
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 30, 1500, 2000), segment(30, 45, 2000, 2000, true), segment(45, 60, 0, 0)};
  p.drive.segments.back().off = true;
  p.half = solver::half_of(p);
  return p;
}

struct Outcome {
  solver::RunResult result;
  std::vector<solver::CellFields> fields;
};

Outcome outcome_of(const solver::Problem& p) {
  Outcome outcome;
  solver::Observers observers;
  observers.fields = [&](const solver::CellFields& fields) { outcome.fields.push_back(fields); };
  outcome.result = solver::run(p, observers);
  return outcome;
}

double relative(double a, double b, double scale) {
  return std::abs(a - b) / std::max({std::abs(a), std::abs(b), scale});
}

void compare_rows(const solver::HistoryRow& a, const solver::HistoryRow& b) {
  INFO("t = " << a.time_s);
  CHECK(a.time_s == b.time_s);
  CHECK(a.mode == b.mode);
  CHECK(relative(a.current_A, b.current_A, 1e-3) < close);
  CHECK(relative(a.voltage_V, b.voltage_V, 1e-6) < close);
  CHECK(relative(a.power_W, b.power_W, 1e-3) < close);
  CHECK(relative(a.stored_W, b.stored_W, 1.0) < close);
  CHECK(relative(a.contact_heat_W, b.contact_heat_W, 1e-2) < close);
  CHECK(relative(a.film_low_W, b.film_low_W, 1e-2) < close);
  CHECK(relative(a.film_high_W, b.film_high_W, 1e-2) < close);
  CHECK(std::isnan(a.target) == std::isnan(b.target));
  REQUIRE(a.sensors.size() == b.sensors.size());
  for (std::size_t k = 0; k < a.sensors.size(); ++k)
    CHECK(std::abs(a.sensors[k].reading_K - b.sensors[k].reading_K) < close);
  REQUIRE(a.powders.size() == b.powders.size());
  for (std::size_t k = 0; k < a.powders.size(); ++k) {
    CHECK(std::abs(a.powders[k].mean_K - b.powders[k].mean_K) < close);
    CHECK(std::abs(a.powders[k].centre_K - b.powders[k].centre_K) < close);
    CHECK(std::abs(a.powders[k].edge_K - b.powders[k].edge_K) < close);
    CHECK(std::abs(a.powders[k].min_K - b.powders[k].min_K) < close);
    CHECK(std::abs(a.powders[k].max_K - b.powders[k].max_K) < close);
    CHECK(std::abs(a.powders[k].density_mean - b.powders[k].density_mean) < close_density);
    CHECK(std::abs(a.powders[k].density_min - b.powders[k].density_min) < close_density);
    CHECK(std::abs(a.powders[k].density_max - b.powders[k].density_max) < close_density);
    CHECK(std::abs(a.powders[k].apart_spread - b.powders[k].apart_spread) < close_density);
  }
  CHECK(a.force_N == b.force_N);
  CHECK(relative(a.on_powder_N, b.on_powder_N, 1.0) < close);
  CHECK(relative(a.press_W, b.press_W, 1.0) < close);
  for (double solver::Stroke::*part :
       {&solver::Stroke::densification, &solver::Stroke::elastic, &solver::Stroke::frame,
        &solver::Stroke::growth, &solver::Stroke::foil})
    CHECK(std::abs(a.stroke.*part - b.stroke.*part) < close_height);
  if (a.current_share_powder && b.current_share_powder)
    CHECK(std::abs(*a.current_share_powder - *b.current_share_powder) < close);
  CHECK(std::abs(a.tool_max_K - b.tool_max_K) < 5 * close);  // one value, at a corner
  REQUIRE(a.joule_by_part_W.size() == b.joule_by_part_W.size());
  for (std::size_t k = 0; k < a.joule_by_part_W.size(); ++k) {
    CHECK(relative(a.joule_by_part_W[k], b.joule_by_part_W[k], 1e-2) < close);
    CHECK(relative(a.radiation_by_part_W[k], b.radiation_by_part_W[k], 1e-2) < close);
  }
}

void compare_fields(const solver::CellFields& a, const solver::CellFields& b, double current) {
  INFO("t = " << a.time);
  REQUIRE(a.temperature.size() == b.temperature.size());
  double T = 0, V = 0, volt = 0, j = 0, most_j = 0, q = 0, most_q = 0, joule = 0, most_joule = 0;
  for (std::size_t i = 0; i < a.temperature.size(); ++i) {
    T = std::max(T, std::abs(a.temperature[i] - b.temperature[i]));
    V = std::max(V, std::abs(a.electric_potential[i] - b.electric_potential[i]));
    volt = std::max(volt, a.electric_potential[i]);
    joule = std::max(joule, std::abs(a.joule_heat[i] - b.joule_heat[i]));
    most_joule = std::max(most_joule, a.joule_heat[i]);
    for (int k : {0, 1}) {
      j = std::max(j, std::abs(a.current_density[i][k] - b.current_density[i][k]));
      most_j = std::max(most_j, std::abs(a.current_density[i][k]));
      q = std::max(q, std::abs(a.heat_flux[i][k] - b.heat_flux[i][k]));
      most_q = std::max(most_q, std::abs(a.heat_flux[i][k]));
    }
    CHECK_MESSAGE(std::abs(a.relative_density[i] - b.relative_density[i]) < close_density, i);
  }
  REQUIRE(a.placement.size() == b.placement.size());
  for (std::size_t block = 0; block < a.placement.size(); ++block) {
    REQUIRE(a.placement[block].size() == b.placement[block].size());
    for (std::size_t line = 0; line < a.placement[block].size(); ++line)
      CHECK_MESSAGE(std::abs(a.placement[block][line] - b.placement[block][line]) < close_height, block);
  }
  CHECK(T < close);
  CHECK(q <= close * most_q + 1e-3);
  if (!(current > 0.0)) return;
  CHECK(V <= close * volt);
  CHECK(j <= close * most_j);
  CHECK(joule <= close * most_joule);
}

/// Returns the stroke by densification at the end [m].
double compare_outcomes(solver::Problem p) {
  REQUIRE(p.half != nullptr);
  const Outcome half = outcome_of(p);
  p.half = nullptr;
  const Outcome whole = outcome_of(p);
  REQUIRE(half.result.status == solver::RunStatus::completed);
  CHECK(half.result.warnings == whole.result.warnings);  // neither fell back to two-point fluxes
  REQUIRE(whole.result.rows.size() == half.result.rows.size());
  CHECK(whole.result.rows.size() > 6);
  for (std::size_t k = 0; k < whole.result.rows.size(); ++k)
    compare_rows(whole.result.rows[k], half.result.rows[k]);
  REQUIRE(whole.fields.size() == half.fields.size());
  for (std::size_t k = 0; k < whole.fields.size(); ++k) {
    const auto row = std::find_if(whole.result.rows.begin(), whole.result.rows.end(), [&](const auto& r) {
      return std::abs(r.time_s - whole.fields[k].time) < 1e-9;
    });
    REQUIRE(row != whole.result.rows.end());
    compare_fields(whole.fields[k], half.fields[k], row->current_A);
  }
  const solver::Ledger &a = whole.result.ledger, &b = half.result.ledger;
  CHECK(relative(a.electric, b.electric, 1.0) < close);
  CHECK(relative(a.radiation, b.radiation, 1.0) < close);
  CHECK(relative(a.stored, b.stored, 1.0) < close);
  CHECK(relative(a.press, b.press, 1.0) < close);
  CHECK(b.energy_balance_relative() < 1e-12);
  return whole.result.rows.back().stroke.densification;
}

}  // namespace

TEST_CASE("whole and half give the same rows and fields: one body, a ring, two bodies, each flux") {
  SUBCASE("conducting powder, cubic fluxes") {
    compare_outcomes(shortened("nickel-20mm"));
  }
  SUBCASE("ring with a core rod") {
    compare_outcomes(shortened("nickel-ring-30mm"));
  }
  SUBCASE("two-point fluxes") {
    solver::Problem p = shortened("nickel-20mm");
    p.rows = mesh::reconstruction_of(p.mesh, p.interfaces, mesh::Fluxes::two_point);
    p.half = solver::half_of(p);
    compare_outcomes(std::move(p));
  }
}

TEST_CASE("whole and half of beds that close: a disc, a ring") {
  SUBCASE("disc") {
    CHECK(compare_outcomes(closing(shipped_case("nickel-20mm"))) > 0.2e-3);
  }
  SUBCASE("ring with a core rod") {
    CHECK(compare_outcomes(closing(shipped_case("nickel-ring-30mm"))) > 0.2e-3);
  }
}

TEST_CASE("full: whole and half of beds that close hot: one cut, two that are not") {
  SUBCASE("one") {
    CHECK(compare_outcomes(closing_hot("alumina-20mm", 1500.0)) > 0.2e-3);
  }
  SUBCASE("two") {
    CHECK(compare_outcomes(closing_hot("two-pellets-20mm", 1500.0)) > 0.2e-3);
  }
}

TEST_CASE("full: whole and half give the same rows and fields: two bodies, an insulating powder") {
  SUBCASE("two pellets, none of them cut") {
    compare_outcomes(shortened("two-pellets-20mm"));
  }
  SUBCASE("insulating powder") {
    compare_outcomes(shortened("alumina-20mm"));
  }
}

TEST_CASE("whole and half under a programme of voltage and one of power") {
  for (const solver::DriveKind kind : {solver::DriveKind::voltage, solver::DriveKind::power}) {
    solver::Problem p = shortened("copper-20mm");
    p.drive.kind = kind;
    const double most = kind == solver::DriveKind::voltage ? 1.2 : 900.0;
    p.drive.segments = {segment(0, 30, 0, most), segment(30, 45, most, most, true)};
    p.half = solver::half_of(p);
    compare_outcomes(std::move(p));
  }
}

TEST_CASE("a half is found in every shipped stack that is its own image, and in no other") {
  for (const char* name :
       {"alumina-20mm", "copper-20mm", "graphite-column", "hardmetal-30mm", "nickel-20mm", "nickel-ring-30mm",
        "titanium-20mm", "two-pellets-20mm", "zirconia-40mm", "insulation-17mm-felt-all-round"}) {
    INFO(name);
    const solver::Problem p = shipped(name);
    REQUIRE(p.half != nullptr);
    CHECK(2 * p.half->problem.mesh.n_cells() == p.mesh.n_cells());
  }
}

TEST_CASE("whatever breaks the symmetry leaves no half") {
  const solver::Problem p = shipped("nickel-20mm");
  const auto has_half = [](const solver::Problem& changed) { return solver::half_of(changed) != nullptr; };
  REQUIRE(has_half(p));
  SUBCASE("a part of another material") {
    solver::Problem q = p;
    q.materials.push_back(q.materials[q.parts[0].material]);
    q.parts[0].material = static_cast<int>(q.materials.size()) - 1;
    CHECK_FALSE(has_half(q));
  }
  SUBCASE("a part that conducts otherwise") {
    solver::Problem q = p;
    q.parts[2].relative_density *= 0.999;
    CHECK_FALSE(has_half(q));
  }
  SUBCASE("a column end with another film") {
    solver::Problem q = p;
    side_of(q, 0, mesh::Side::bottom).film *= 1.001;
    CHECK_FALSE(has_half(q));
  }
  SUBCASE("an end that is held") {
    solver::Problem q = p;
    side_of(q, 0, mesh::Side::bottom).fixed_temperature = [](double, double, double) { return 300.0; };
    CHECK_FALSE(has_half(q));
  }
  SUBCASE("one contact law") {
    for (std::size_t k = 0; k < p.contacts.size(); ++k) {
      if (p.interfaces.pairs[k].gap > 0.0) continue;
      const auto& layout = p.mesh.layout;
      const mesh::BlockPair& pair = p.interfaces.pairs[k];
      const double middle = p.half->problem.mesh.layout.front().z_bottom;  // of the powder's upper half
      const bool across = layout[pair.block_a].z_bottom < middle && layout[pair.block_a].z_top > middle &&
                          layout[pair.block_b].z_bottom < middle && layout[pair.block_b].z_top > middle;
      if (across) continue;  // a contact that is its own image may be anything
      solver::Problem q = p;
      q.contacts[k].heat_conductance *= 1.001;
      INFO(p.parts[pair.block_a].name << " | " << p.parts[pair.block_b].name);
      CHECK_FALSE(has_half(q));
    }
  }
  SUBCASE("a volume heat source") {
    solver::Problem q = p;
    q.heat_source = [](double, double, double) { return 0.0; };
    CHECK_FALSE(has_half(q));
  }
  SUBCASE("a spacer a micrometre higher") {
    cases::Case c = shipped_case("nickel-20mm");
    REQUIRE(cases::build_problem(c).half != nullptr);
    c.column[0].height = *c.column[0].height + 1e-6;
    CHECK(cases::build_problem(c).half == nullptr);
  }
}

TEST_CASE("a contact on the mid-plane leaves no half") {
  const auto column = [](const mesh::Layout& layout) {
    solver::Problem p = plain_problem(layout, even_grid(1e-3), {constant_material("m", 20)});
    return solver::half_of(p) != nullptr;
  };
  CHECK(column({{"whole", 0, 0, 0.01, 0, 0.02}}));
  CHECK_FALSE(column({{"lower", 0, 0, 0.01, 0, 0.01}, {"upper", 1, 0, 0.01, 0.01, 0.02}}));
}
