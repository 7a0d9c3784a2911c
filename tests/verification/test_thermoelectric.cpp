// Seebeck, Peltier and Thomson heat (solver/thermoelectric.hpp) against closed forms and integrations of
// another make.  Bars between electrodes, current toward -z where the upper pole is positive.  The balance of
// a couple (heat of conduction, half of the Joule heat, Peltier heat at the junction) is that of every text
// on Peltier coolers (Ioffe 1957, Semiconductor thermoelements; from memory).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <array>
#include <cmath>
#include <numbers>

#include "solver/march.hpp"
#include "solver/observe.hpp"
#include "solver/steady.hpp"
#include "solver/thermoelectric.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::test;
using materials::Curve;
using mesh::Side;

namespace {

constexpr double radius = 0.005, area = std::numbers::pi * radius * radius;
constexpr double sink = 300;  // K

materials::Material with_seebeck(materials::Material m, const Curve& S) {
  m.seebeck = materials::Property{S, "test", {}, ""};
  return m;
}

/// A stack of discs between an electrode at each end, driven with a current.
solver::Problem bar(const mesh::Layout& layout, const mesh::GridRule& rule,
                    const std::vector<materials::Material>& materials, double current) {
  solver::Problem p = plain_problem(layout, rule, materials);
  const int last = static_cast<int>(layout.size()) - 1;
  side_of(p, 0, Side::bottom) = held_at(sink);
  side_of(p, last, Side::top) = held_at(sink);
  side_of(p, 0, Side::bottom).electrode = solver::Electrode::low;
  side_of(p, last, Side::top).electrode = solver::Electrode::high;
  p.initial_temperature = p.chamber_temperature = sink;
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 100, current, current)};
  p.thermoelectric = true;
  return p;
}

solver::Steady steady(const solver::Problem& p, double time = 0) {
  solver::Steady s = solver::solve_steady(p, time);
  REQUIRE_MESSAGE(s.converged, s.reason);
  return s;
}

solver::Frame frame_of(const solver::Problem& p, const solver::Steady& s) {
  solver::Workspace workspace(p);
  return solver::frame_of(p, workspace, s.state);
}

/// What leaves through the faces of one end [W].
double out_of(const solver::Problem& p, const solver::Frame& frame, Side side) {
  double sum = 0;
  for (std::size_t f = 0; f < p.interfaces.outer_faces.size(); ++f)
    if (p.interfaces.outer_faces[f].a.side == side) sum += frame.flows.outer[f];
  return sum;
}

constexpr double k_a = 40, rho_a = 2e-5, S_a = 150e-6, L_a = 0.008;
constexpr double k_b = 20, rho_b = 3e-5, S_b = -100e-6, L_b = 0.012;
const mesh::Layout couple_layout{{"a", 0, 0, radius, 0, L_a}, {"b", 1, 0, radius, L_a, L_a + L_b}};
std::vector<materials::Material> couple_materials() {
  return {with_seebeck(constant_material("p", k_a, rho_a), Curve::constant(S_a)),
          with_seebeck(constant_material("n", k_b, rho_b), Curve::constant(S_b))};
}

}  // namespace

TEST_CASE("a bar between sinks: its Peltier heat goes to them, and the profile stays the Joule parabola") {
  constexpr double k = 20, rho = 2e-5, S = 250e-6, L = 0.02, amperes = 200;
  solver::Problem p = bar({{"bar", 0, 0, radius, 0, L}}, even_grid(0.001),
                          {with_seebeck(constant_material("p", k, rho), Curve::constant(S))}, amperes);
  for (const bool below : {false, true}) {
    CAPTURE(below);
    p.positive_below = below;
    const double I = below ? -amperes : amperes, j = amperes / area;
    const solver::Steady s = steady(p);
    for (int i = 0; i < p.mesh.n_cells(); ++i) {
      const double z = p.mesh.z[i], h = 0.001;  // mean of the parabola over the cell
      CHECK(s.state.temperature[i] ==
            relative(sink + j * j * rho / (2 * k) * (z * (L - z) - h * h / 12), 1e-10));
    }
    const solver::Frame frame = frame_of(p, s);
    const double joule = amperes * amperes * rho * L / area;
    CHECK(out_of(p, frame, Side::bottom) == relative(0.5 * joule + I * S * sink, 1e-9));
    CHECK(out_of(p, frame, Side::top) == relative(0.5 * joule - I * S * sink, 1e-9));
    CHECK(std::abs(s.stage.powers.thermoelectric) < 1e-9 * joule);  // no Seebeck voltage between equal sinks
    CHECK(s.stage.powers.electric == relative(joule, 1e-9));
  }
}

TEST_CASE("a couple between sinks: its junction heats or cools with the pole") {
  constexpr double Ka = k_a * area / L_a, Kb = k_b * area / L_b;
  constexpr double R = rho_a * L_a / area + rho_b * L_b / area;
  for (const double amperes : {40.0, 250.0}) {
    solver::Problem p = bar(couple_layout, even_grid(0.001), couple_materials(), amperes);
    for (const bool below : {false, true}) {
      p.positive_below = below;
      const double I = below ? -amperes : amperes;
      // From b into a the current makes I T (S_b - S_a).
      const double junction = ((Ka + Kb) * sink + 0.5 * amperes * amperes * R) / (Ka + Kb - I * (S_b - S_a));
      const solver::Steady s = steady(p);
      const solver::Frame frame = frame_of(p, s);
      compare({fmt::format("couple of two bars, {:g} A, {} pole positive: its junction", amperes,
                           below ? "lower" : "upper"),
               "conduction, half of the Joule heat and Peltier heat balance (textbook, from memory)",
               junction, frame.edges.pair_a[0], 1e-6, "K", "Peltier heat where two materials meet"});
      CHECK(frame.edges.pair_b[0] == relative(frame.edges.pair_a[0]));
      CHECK(frame.flows.values[p.mesh.volume.size() + p.rows.pair_a[0].edge] ==
            relative(frame.edges.pair_a[0]));  // the rows run through the raised surface
      const double seebeck = (S_b - S_a) * (junction - sink);
      CHECK(s.stage.powers.thermoelectric == relative(I * seebeck, 1e-8));
      CHECK(s.stage.powers.electric == relative(amperes * amperes * R + I * seebeck, 1e-9));
      const solver::Losses losses = solver::losses_of(p, frame.flows, frame.edges);
      CHECK(losses.fixed == relative(s.stage.powers.electric, 1e-8));
      // What the meters show.
      solver::Workspace workspace(p);
      const solver::HistoryRow row =
          solver::row_of(p, workspace, frame, solver::DriveMode::driven, solver::Limit::none);
      CHECK(row.voltage_V == relative(amperes * R + (below ? -seebeck : seebeck), 1e-8));
      CHECK(row.taps_V == row.voltage_V);
      CHECK(row.power_W == relative(amperes * row.voltage_V, 1e-12));
      CHECK(std::abs(row.stored_W) < 1e-7 * row.power_W);
    }
  }
}

TEST_CASE("a couple whose touch resists heat: half of the junction's heat on either side of it") {
  constexpr double Ka = k_a * area / L_a, Kb = k_b * area / L_b, K = 5000 * area, I = 100;
  constexpr double Ja = 0.5 * I * I * rho_a * L_a / area, Jb = 0.5 * I * I * rho_b * L_b / area;
  solver::Problem p = bar(couple_layout, even_grid(0.001), couple_materials(), I);
  p.contacts[0].heat_conductance = 5000;
  // Ka (x - T0) = Ja + P/2 - K (x - y),  Kb (y - T0) = Jb + P/2 + K (x - y),  P = I (x + y)/2 (S_b - S_a).
  constexpr double q = 0.25 * I * (S_b - S_a);
  constexpr double xx = Ka + K - q, xy = -K - q, yy = Kb + K - q;
  constexpr double ca = Ka * sink + Ja, cb = Kb * sink + Jb, det = xx * yy - xy * xy;
  const solver::Frame frame = frame_of(p, steady(p));
  CHECK(frame.edges.pair_a[0] == relative((ca * yy - cb * xy) / det, 1e-9));
  CHECK(frame.edges.pair_b[0] == relative((cb * xx - ca * xy) / det, 1e-9));
}

TEST_CASE("an electrode cooled by a film takes its Peltier heat on its surface") {
  constexpr double k = 20, rho = 2e-5, S = 250e-6, L = 0.02, h = 2000, water = 290, amperes = 100;
  solver::Problem p = bar({{"bar", 0, 0, radius, 0, L}}, even_grid(0.001),
                          {with_seebeck(constant_material("p", k, rho), Curve::constant(S))}, amperes);
  solver::SideCondition& bottom = side_of(p, 0, Side::bottom);
  bottom.fixed_temperature = nullptr;
  bottom.film = h;
  bottom.film_temperature = water;
  for (const bool below : {false, true}) {
    p.positive_below = below;
    const double I = below ? -amperes : amperes, K = k * area / L;
    const double half_joule = 0.5 * amperes * amperes * rho * L / area;
    // A h (x - Tf) = K (T0 - x) + half of the Joule heat + I S x.
    const double x = (area * h * water + K * sink + half_joule) / (area * h + K - I * S);
    const solver::Frame frame = frame_of(p, steady(p));
    for (std::size_t f = 0; f < p.interfaces.outer_faces.size(); ++f)
      if (p.interfaces.outer_faces[f].a.side == Side::bottom)
        CHECK(frame.edges.outer[f] == relative(x, 1e-9));
    CHECK(out_of(p, frame, Side::bottom) == relative(area * h * (x - water), 1e-8));
    CHECK(frame.thermoelectric == relative(I * S * (x - sink), 1e-8));
  }
}

// k T'' + j^2 rho - T j s T' = 0 with S = s T, j along z, between T0 and T1: heats out of the two ends and
// the temperature in the middle by scipy 1.10, solve_ivp (DOP853, 1e-13) and brentq on the slope at z = 0.
TEST_CASE("Thomson heat: a bar whose Seebeck coefficient rises with temperature") {
  constexpr double k = 20, rho = 2e-5, s = 4e-7, L = 0.02, amperes = 400, T0 = 400, T1 = 900;
  struct Row {
    bool below;
    double middle, conducted_low, conducted_high;  ///< K; k A dT/dz at the ends [W]
  };
  for (const Row& row : {Row{false, 1890.4629826594319, 626.7183136186835, -240.15499501181927},
                         Row{true, 1657.3067986565443, 301.44227816950263, -461.43103046100066}}) {
    CAPTURE(row.below);
    std::array<double, 2> error{};
    for (const int refinement : {2, 4}) {
      solver::Problem p = bar(
          {{"bar", 0, 0, radius, 0, L}}, even_grid(0.001, refinement),
          {with_seebeck(constant_material("p", k, rho), Curve::polynomial({{s, 1}}, 200, 4000))}, amperes);
      side_of(p, 0, Side::bottom).fixed_temperature = held_at(T0).fixed_temperature;
      side_of(p, 0, Side::top).fixed_temperature = held_at(T1).fixed_temperature;
      p.positive_below = row.below;
      const int middle = add_probe(p, 0, 0.0, L / 2);
      const solver::Steady result = steady(p);
      error[refinement / 2 - 1] = p.sensors[middle].junction.of(result.state.temperature) - row.middle;
      if (refinement == 2) continue;
      compare(
          {fmt::format("Thomson heat in a bar, {} pole positive: its middle", row.below ? "lower" : "upper"),
           "k T'' + j^2 rho - T j dS/dT T' = 0, integrated by scipy", row.middle, row.middle + error[1],
           0.005, "K", "Thomson heat"});
      // A cubic's value on the face between the halves of a link: the third order, better than it need be.
      CHECK(std::log2(std::abs(error[0] / error[1])) == doctest::Approx(3.0).epsilon(0.15));
      const double I = row.below ? -amperes : amperes;
      const solver::Frame frame = frame_of(p, result);
      CHECK(out_of(p, frame, Side::bottom) == relative(row.conducted_low + I * s * T0 * T0, 1e-5));
      CHECK(out_of(p, frame, Side::top) == relative(-row.conducted_high - I * s * T1 * T1, 1e-5));
      // S = s T:  E = integral of S dT from the lower end to the upper one.
      CHECK(frame.seebeck == relative((row.below ? 1 : -1) * s * (T1 * T1 - T0 * T0) / 2, 1e-5));
    }
  }
}

TEST_CASE("pulses: Peltier heat follows the mean current, Joule heat the effective one") {
  constexpr double Ka = k_a * area / L_a, Kb = k_b * area / L_b, I = 200, duty = 0.36;
  constexpr double R = rho_a * L_a / area + rho_b * L_b / area;
  solver::Problem p = bar(couple_layout, even_grid(0.001), couple_materials(), I);
  p.pulse = solver::Pulse{0.036, 0.064, {}};
  const double mean = I * std::sqrt(duty);
  CHECK(solver::signed_current(p, I * I) == relative(mean));
  const double junction = ((Ka + Kb) * sink + 0.5 * I * I * R) / (Ka + Kb - mean * (S_b - S_a));
  const solver::Frame frame = frame_of(p, steady(p));
  CHECK(frame.edges.pair_a[0] == relative(junction, 1e-9));
  // u = R i + E in the pulses, E between them.
  const double E = (S_b - S_a) * (junction - sink), height = I / std::sqrt(duty);
  solver::Workspace workspace(p);
  const solver::HistoryRow row =
      solver::row_of(p, workspace, frame, solver::DriveMode::driven, solver::Limit::none);
  CHECK(row.voltage_V == relative(std::sqrt(duty * std::pow(R * height + E, 2) + (1 - duty) * E * E), 1e-8));
  CHECK(row.voltage_mean_V == relative(duty * R * height + E, 1e-8));
  CHECK(row.power_W == relative(duty * height * (R * height + E), 1e-8));
}

namespace {

/// Between two graphite parts, numbers of the order of silicon doped with some 1e20 boron atoms per cm3:
/// 10 uohm m, 200 uV/K, 30 W/mK of fine grains (from memory).
materials::Material p_type() {
  materials::Material m = with_seebeck(constant_material("p-type silicon", 30, 1e-5, 850, 2330),
                                       Curve::table({{300, 120e-6}, {1300, 250e-6}}));
  m.emissivity = materials::Property{Curve::constant(0.7), "test", {}, ""};
  return m;
}

solver::Problem silicon_stack(double current) {
  mesh::GridRule rule;
  rule.smallest = 0.1e-3;
  rule.largest = 2e-3;
  solver::Problem p = small_stack({.conducting_powder = true, .rule = rule});
  p.materials[2] = p_type();
  p.thermoelectric = true;
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 60, 0, current), segment(60, 120, current, current)};
  return p;
}

}  // namespace

TEST_CASE("reversed poles mirror the temperatures of a stack that is its own mirror image") {
  mesh::GridRule rule = even_grid(0.001);
  const mesh::Layout layout{{"lower", 0, 0, radius, 0, 0.01},
                            {"powder", 1, 0, radius, 0.01, 0.016},
                            {"upper", 2, 0, radius, 0.016, 0.026}};
  const materials::Material graphite = constant_material("graphite", 60, 1e-5);
  solver::Problem p = bar(layout, rule, {graphite, p_type(), graphite}, 500);
  side_of(p, 1, Side::outer).emissivity = 0.7;
  const std::vector<double> upper = steady(p).state.temperature;
  p.positive_below = true;
  const std::vector<double> lower = steady(p).state.temperature;
  double worst = 0, largest = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    for (int k = 0; k < p.mesh.n_cells(); ++k)
      if (std::abs(p.mesh.z[i] + p.mesh.z[k] - 0.026) < 1e-9 && std::abs(p.mesh.r[i] - p.mesh.r[k]) < 1e-9) {
        worst = std::max(worst, std::abs(upper[i] - lower[k]));
        largest = std::max(largest, std::abs(upper[i] - lower[i]));
      }
  CHECK(worst < 1e-7);
  CHECK(largest > 10);
}

// "Both, simulation and experiments, indicate clearly a higher temperature on the cathode side and a
// decreasing temperature from the center to the outer shell": Becker and others 2012, Appl. Phys. Lett.
// 101(1), of highly p-doped silicon powder.  Current leaves at the cathode.
TEST_CASE("p-type powder: hotter toward the cathode, and in the centre") {
  solver::Problem p = silicon_stack(800);
  const mesh::Block bed = p.mesh.layout[p.powders[0].block];
  const double r = bed.r_outer, low = bed.z_bottom, high = bed.z_top;
  const auto at = [&](const solver::Steady& s, double where_r, double where_z) {
    return mesh::point(p.mesh, p.powders[0].block, where_r, where_z).of(s.state.temperature);
  };
  const double edge = 0.3e-3;
  const solver::Steady upper = steady(p, 100);
  p.positive_below = true;
  const solver::Steady lower = steady(p, 100);
  p.thermoelectric = false;
  const solver::Steady none = steady(p, 100);
  const auto cathode_over_anode = [&](const solver::Steady& s) {
    return at(s, 0, low + edge) - at(s, 0, high - edge);
  };
  CHECK(cathode_over_anode(upper) > 5);
  CHECK(cathode_over_anode(lower) == doctest::Approx(-cathode_over_anode(upper)).epsilon(1e-3));
  CHECK(std::abs(cathode_over_anode(none)) < 0.01);
  for (const solver::Steady& s : {upper, lower}) {
    const double middle = 0.5 * (low + high);
    CHECK(at(s, 0, middle) > at(s, r - edge, middle));
  }
}

TEST_CASE("energy closes with thermoelectric heat, whatever runs") {
  solver::Problem p = silicon_stack(900);
  for (const bool below : {false, true}) {
    p.positive_below = below;
    const solver::RunResult result = solver::run(p);
    REQUIRE(result.status == solver::RunStatus::completed);
    const solver::Ledger& l = result.ledger;
    CHECK(l.energy_balance_relative() < 1e-10);
    CHECK(std::abs(l.electric - l.joule - l.thermoelectric) < 1e-10 * l.electric);
    CHECK(std::abs(l.thermoelectric) > 1e-6 * l.electric);
    const solver::HistoryRow& row = result.rows.back();
    CHECK(row.power_W == relative(row.current_A * row.voltage_V, 1e-12));
  }
}

TEST_CASE("a temperature programme is followed exactly with thermoelectric heat in it") {
  solver::Problem p = silicon_stack(0);
  p.pulse = solver::Pulse{0.04, 0.007, {}};
  track(p, {segment(0, 120, 298.15, 600), segment(120, 180, 600, 600, true), segment(180, 200, 600, 300)});
  const solver::RunResult result = solver::run(p);
  REQUIRE_MESSAGE(result.status == solver::RunStatus::completed, result.reason);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  int followed = 0;
  for (const solver::HistoryRow& row : result.rows)
    if (row.mode == solver::DriveMode::tracking && row.time_s > 10) {
      ++followed;
      CHECK(std::abs(row.sensors[0].reading_K - row.target) < 0.1);
      CHECK(row.current_mean_A == relative(row.current_A * std::sqrt(0.04 / 0.047)));
      CHECK(row.thermoelectric_W == relative(row.current_mean_A * row.seebeck_V, 1e-9));
    }
  CHECK(followed > 20);
}

TEST_CASE("without the option a Seebeck coefficient changes nothing") {
  solver::Problem with = silicon_stack(900);
  with.thermoelectric = false;
  solver::Problem without = with;
  without.materials[2].seebeck.reset();
  without.positive_below = true;
  const solver::RunResult a = solver::run(with), b = solver::run(without);
  REQUIRE(a.rows.size() == b.rows.size());
  for (std::size_t k = 0; k < a.rows.size(); ++k) {
    CHECK(a.rows[k].powder->mean_K == b.rows[k].powder->mean_K);
    CHECK(a.rows[k].power_W == b.rows[k].power_W);
    CHECK(a.rows[k].thermoelectric_W == 0.0);
  }
}

TEST_CASE("a run with thermoelectric heat goes on from a checkpoint to the same bits") {
  const solver::Problem p = silicon_stack(900);
  std::vector<double> kept;
  solver::Observers observers;
  observers.checkpoint = [&kept](const solver::Checkpoint& c) {
    if (kept.empty()) kept = solver::flatten(c);
  };
  const solver::RunResult whole = solver::run(p, observers);
  REQUIRE_FALSE(kept.empty());
  const solver::Checkpoint half_way = solver::unflatten(kept);
  const solver::RunResult resumed = solver::run(p, {}, &half_way);
  REQUIRE(whole.rows.size() == resumed.rows.size());
  for (std::size_t k = 0; k < whole.rows.size(); ++k) {
    CHECK(whole.rows[k].powder->mean_K == resumed.rows[k].powder->mean_K);
    CHECK(whole.rows[k].seebeck_V == resumed.rows[k].seebeck_V);
    CHECK(whole.rows[k].thermoelectric_W == resumed.rows[k].thermoelectric_W);
  }
  CHECK(whole.ledger.thermoelectric == resumed.ledger.thermoelectric);
  CHECK(whole.ledger.thermoelectric != 0.0);
}

TEST_CASE("the voltage of a resistance with a Seebeck voltage") {
  CHECK(solver::with_seebeck(5, 5, 0.1) == relative(5.1));
  CHECK(solver::with_seebeck(5, 5, -0.1) == relative(4.9));
  CHECK(solver::with_seebeck(0, 0, -0.02) == relative(0.02));  // open circuit
  CHECK(solver::with_seebeck(5, 3, 0.1) == relative(std::sqrt(25 + 2 * 3 * 0.1 + 0.01)));
}
