// Conduction against closed forms.  Sources: Carslaw and Jaeger, Conduction of Heat in Solids (formulas from
// memory), series summed independently; NAFEMS benchmarks T2, T3, T4 (The Standard NAFEMS Benchmarks, rev. 3,
// 1990, as quoted in public verification notes).
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "solver/march.hpp"
#include "solver/observe.hpp"
#include "solver/steady.hpp"
#include "tests/support/cell_means.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/record.hpp"

using namespace joulepress;
using namespace joulepress::test;
using mesh::Side;

namespace {

constexpr double pi = std::numbers::pi;

solver::Drive idle(double seconds) {
  solver::Drive drive;
  drive.segments = {segment(0, seconds, 0, 0)};
  drive.segments[0].off = true;
  return drive;
}

/// Order from errors on grids h and h/2.
double order(double coarse, double fine) {
  return std::log2(coarse / fine);
}

/// Largest error of the cell values of a steady tube with uniform heat against the exact profile.
template <class Profile>
double tube_error(double inner, double outer, bool cool_inside, int refinement, Profile profile) {
  solver::Problem p = plain_problem({{"tube", 0, inner, outer, 0, 0.01}}, even_grid(outer / 10, refinement),
                                    {constant_material("m", 20)});
  p.heat_source = [](double, double, double) { return 2e7; };
  side_of(p, 0, cool_inside ? Side::inner : Side::outer) = held_at(300);
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  double worst = 0;
  for (int i = 0; i < p.mesh.n_cells(); ++i)
    worst = std::max(worst, std::abs(s.state.temperature[i] - ring_mean(p.mesh, i, profile)));
  return worst;
}

}  // namespace

TEST_CASE("solid cylinder with uniform heat: T0 - Ts = q R^2 / 4k, exact up to the axis") {
  const auto exact = [](double r) { return 300 + 2e7 * (0.02 * 0.02 - r * r) / (4 * 20); };
  CHECK(tube_error(0, 0.02, false, 1, exact) < 1e-6);  // a parabola in r is a straight line in r^2
}

TEST_CASE("hollow cylinder with uniform heat, insulated inside or outside") {
  const double a = 0.01, b = 0.02, q = 2e7, k = 20;
  const auto insulated_bore = [&](double r) {
    return 300 + q / (4 * k) * (b * b - r * r - 2 * a * a * std::log(b / r));
  };
  const auto insulated_outside = [&](double r) {
    return 300 + q / (4 * k) * (2 * b * b * std::log(r / a) - r * r + a * a);
  };
  const double bore1 = tube_error(a, b, false, 2, insulated_bore),
               bore2 = tube_error(a, b, false, 4, insulated_bore);
  const double out1 = tube_error(a, b, true, 2, insulated_outside),
               out2 = tube_error(a, b, true, 4, insulated_outside);
  CHECK(order(bore1, bore2) > 2.5);
  CHECK(order(out1, out2) > 2.5);
}

TEST_CASE("concentric layers with a contact between: the series formula, jump q/h") {
  const double r1 = 0.01, r2 = 0.02, r3 = 0.03, height = 0.01, h = 500;
  double before = 0;
  for (const int refinement : {2, 4}) {
    solver::Problem p =
        plain_problem({{"inner", 0, r1, r2, 0, height}, {"outer", 1, r2, r3, 0, height}},
                      even_grid(0.002, refinement), {constant_material("a", 10), constant_material("b", 40)});
    for (solver::ContactLaw& law : p.contacts) law.heat_conductance = h;
    side_of(p, 0, Side::inner) = held_at(800);
    side_of(p, 1, Side::outer) = held_at(300);
    const solver::Steady s = solver::solve_steady(p);
    REQUIRE(s.converged);
    const double per_height =
        500 / (std::log(r2 / r1) / (2 * pi * 10) + 1 / (2 * pi * r2 * h) + std::log(r3 / r2) / (2 * pi * 40));
    double flow = 0;
    solver::Workspace ws(p);
    const solver::Frame frame = solver::frame_of(p, ws, s.state);
    for (std::size_t f = 0; f < frame.flows.outer.size(); ++f)
      if (p.interfaces.outer_faces[f].a.side == Side::outer) flow += frame.flows.outer[f];
    const double error = std::abs(flow / (per_height * height) - 1);
    if (before > 0) CHECK(order(before, error) > 2.7);
    if (before > 0)
      compare({"heat through two layers with a contact between",
               "Incropera and DeWitt, section 3.3 (from memory)", per_height * height, flow,
               1e-4 * per_height * height, "W", "contacts, rings"});
    before = error;
    const double flux = flow / (2 * pi * r2 * height);
    for (std::size_t f = 0; f < frame.edges.pair_a.size(); ++f)
      CHECK(frame.edges.pair_a[f] - frame.edges.pair_b[f] == doctest::Approx(flux / h).epsilon(1e-9));
  }
}

TEST_CASE("a radiating surface has its own temperature: half cell and radiation in series") {
  solver::Problem p =
      plain_problem({{"slab", 0, 0, 0.01, 0, 0.02}}, even_grid(0.005), {constant_material("m", 5)});
  side_of(p, 0, Side::bottom) = held_at(1800);
  side_of(p, 0, Side::top).emissivity = 0.8;
  p.numerics.nonlinear_tolerance = 1e-8;
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  // By hand: k (1800 - x) / L = e s (x^4 - Tc^4), the profile is linear, two-point fluxes are exact.
  double x = 1000;
  for (int n = 0; n < 100; ++n) {
    const double s4 = 0.8 * solver::stefan_boltzmann;
    x -= (s4 * (std::pow(x, 4) - std::pow(298.15, 4)) - 250 * (1800 - x)) / (4 * s4 * x * x * x + 250);
  }
  for (std::size_t f = 0; f < p.interfaces.outer_faces.size(); ++f)
    if (p.interfaces.outer_faces[f].a.side == Side::top)
      compare({"slab that radiates at its top, surface temperature",
               "k (T - x) / L = e s (x^4 - Tc^4), solved by hand", x, s.state.edges.outer[f], 1e-6 * x, "K",
               "surface balance in series with the half cell"});
}

TEST_CASE("two plates that face each other exchange the two-surface formula") {
  solver::Problem p = plain_problem(
      {{"low", 0, 0, 0.05, 0, 0.01}, {"post", 0, 0.05, 0.06, 0, 0.021}, {"high", 1, 0, 0.05, 0.011, 0.021}},
      even_grid(0.005), {constant_material("m", 1e6)});
  for (solver::ContactLaw& law : p.contacts) law.heat_conductance = 0;  // the post's
  p.walls_exchange = true;
  side_of(p, 0, Side::top).emissivity = 0.7;
  side_of(p, 2, Side::bottom).emissivity = 0.4;  // the post sends back what it gets
  side_of(p, 0, Side::bottom) = held_at(1500);
  side_of(p, 2, Side::top) = held_at(600);
  side_of(p, 1, Side::outer) = held_at(300);
  const double flow = steady_heat_through(p, 2, Side::top);
  // Equal discs see F of each other (X = 2 + (gap/radius)^2), with the wall that sends back (1 + F) / 2.
  const double X = 2 + 0.02 * 0.02, F = 0.5 * (X - std::sqrt(X * X - 4));
  const double expected = pi * 0.0025 * solver::stefan_boltzmann * (std::pow(1500, 4) - std::pow(600, 4)) /
                          (1 / 0.7 - 1 + 1 / 0.4 - 1 + 2 / (1 + F));
  compare({"two plates face to face", "two-surface formula, Hottel (from memory)", expected, flow,
           1e-3 * expected, "W", "exchange of radiation"});  // the plates' own drop is 0.3 K
}

TEST_CASE("two walls beside each other across a narrow gap exchange the two-surface formula") {
  solver::Problem p = plain_problem(
      {{"rod", 0, 0, 0.01, 0, 0.03}, {"tube", 0, 0.011, 0.012, 0, 0.03}, {"foot", 1, 0, 0.012, -0.01, 0}},
      even_grid(0.001), {constant_material("m", 1e6)});
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    p.contacts[k].heat_conductance = 0;
    if (p.interfaces.pairs[k].gap > 0) p.contacts[k].radiation = solver::grey_exchange(0.7, 0.4, 10.0 / 11.0);
  }
  side_of(p, 0, Side::top) = held_at(1500);
  side_of(p, 1, Side::outer) = held_at(600);
  side_of(p, 2, Side::bottom) = held_at(300);
  const double flow = steady_heat_through(p, 1, Side::outer);
  const double expected = 2 * pi * 0.01 * 0.03 * solver::stefan_boltzmann *
                          (std::pow(1500, 4) - std::pow(600, 4)) / (1 / 0.7 + 10.0 / 11.0 * (1 / 0.4 - 1));
  compare({"rod in a tube across a narrow gap", "two-surface formula of long cylinders (textbook)", expected,
           flow, 1e-3 * expected, "W", "radiation across narrow gaps"});
}

namespace {

/// Reads block 0 as the powder: its mean, and its axis at a height.
void watch_block(solver::Problem& p, double height) {
  p.powders.emplace_back();
  add_probe(p, 0, 0.0, height);
}

/// A long cylinder (insulated ends) at 1 K above its surroundings' change; returns dimensionless centre and
/// mean.
struct Cooling {
  double centre, mean;
};
Cooling cool_cylinder(double fourier, double biot, int cells) {
  const double R = 0.01, k = 10, c = 1000, density = 1000, alpha = k / (c * density);
  solver::Problem p = plain_problem({{"bar", 0, 0, R, 0, 0.01}}, even_grid(R / cells),
                                    {constant_material("m", k, 1e-5, c, density)});
  p.initial_temperature = 400;
  if (biot > 0) {
    side_of(p, 0, Side::outer).film = biot * k / R;
    side_of(p, 0, Side::outer).film_temperature = 300;
  } else {
    side_of(p, 0, Side::outer) = held_at(300);
  }
  p.numerics.time_tolerance = 1e-4;
  p.numerics.nonlinear_tolerance = 1e-6;
  p.numerics.first_step = 0.001;
  p.drive = idle(fourier * R * R / alpha);
  watch_block(p, 0.005);
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
  return {(result.rows.back().sensors[0].material_K - 300) / 100,
          (result.rows.back().powder->mean_K - 300) / 100};
}

}  // namespace

TEST_CASE("step of surface temperature of a long cylinder: centre and mean against the series") {
  struct Row {
    double fourier, centre, mean;
  };
  for (const Row& row : {Row{0.1, 0.84836, 0.39418}, Row{0.2, 0.50149, 0.21785}, Row{0.4, 0.15849, 0.06843},
                         Row{0.8, 0.01568, 0.00677}}) {
    CAPTURE(row.fourier);
    const Cooling cold = cool_cylinder(row.fourier, 0, 60);
    const std::string what = fmt::format("cylinder after a step of its surface, Fo {:g}: ", row.fourier);
    const char* source =
        "Carslaw and Jaeger, Conduction of Heat in Solids, 7.6 (series summed independently)";
    compare(
        {what + "centre", source, row.centre, cold.centre, 0.002 * row.centre, "1", "march, point values"});
    compare({what + "mean", source, row.mean, cold.mean, 0.002 * row.mean, "1", "march, means"});
  }
}

TEST_CASE("convective cylinder: centre against the series at Bi 0.1, 1, 10") {
  struct Row {
    double biot, fourier, centre;
  };
  for (const Row& row : {Row{0.1, 0.2, 0.98367}, Row{0.1, 1, 0.84299}, Row{1, 0.2, 0.87017},
                         Row{1, 1, 0.24938}, Row{10, 0.2, 0.60023}, Row{10, 0.5, 0.14580}}) {
    CAPTURE(row.biot);
    CAPTURE(row.fourier);
    compare({fmt::format("cylinder in a cooling film, Bi {:g}, Fo {:g}: centre", row.biot, row.fourier),
             "Carslaw and Jaeger, 7.7 (series summed independently)", row.centre,
             cool_cylinder(row.fourier, row.biot, 40).centre, 0.002 * row.centre, "1", "films, march"});
  }
}

TEST_CASE("constant ramp at the surface: the centre lags by beta R^2 / 4 alpha") {
  const double R = 0.01, alpha = 1e-5, beta = 5.0 / 3.0;
  solver::Problem p = plain_problem({{"bar", 0, 0, R, 0, 0.01}}, even_grid(R / 20),
                                    {constant_material("m", 10, 1e-5, 1000, 1000)});
  p.initial_temperature = 300;
  solver::SideCondition ramp;
  ramp.fixed_temperature = [beta](double, double, double t) { return 300 + beta * t; };
  side_of(p, 0, Side::outer) = ramp;
  p.drive = idle(60);
  add_probe(p, 0, 0.0, 0.005);
  const solver::RunResult result = solver::run(p);
  const double lag = beta * R * R / (4 * alpha);
  compare({"cylinder heated at a constant rate: lag of its centre",
           "Carslaw and Jaeger, 7.9 (formula from memory)", lag,
           300 + beta * 60 - result.rows.back().sensors[0].material_K, 0.005 * lag, "K",
           "march, heat capacity"});
}

TEST_CASE("lumped body cooling by radiation to cold surroundings: the closed form of dT/dt = -c T^4") {
  solver::Problem p = plain_problem({{"ball", 0, 0, 0.01, 0, 0.02}}, even_grid(0.005),
                                    {constant_material("m", 1e7, 1e-5, 1000, 2000)});
  for (const Side side : {Side::outer, Side::bottom, Side::top}) side_of(p, 0, side).emissivity = 0.9;
  p.chamber_temperature = 1e-3;
  p.initial_temperature = 1800;
  p.numerics.time_tolerance = 1e-4;
  p.numerics.nonlinear_tolerance = 1e-6;
  p.drive = idle(200);
  const solver::RunResult result = solver::run(p);
  const double volume = pi * 1e-4 * 0.02, area = 2 * pi * 1e-4 + 2 * pi * 0.01 * 0.02;
  const double rate = 3 * 0.9 * solver::stefan_boltzmann * area / (volume * 2e6);
  const double expected = std::pow(std::pow(1800, -3) + rate * 200, -1.0 / 3.0);
  compare({"body cooling by radiation alone, 200 s from 1800 K", "closed form of dT/dt = -c T^4", expected,
           result.rows.back().tool_max_K, 1e-6 * expected, "K", "radiation, time"});
  CHECK(result.ledger.energy_balance_relative() < 1e-10);
}

TEST_CASE("an insulated box keeps its energy exactly") {
  solver::Problem p =
      plain_problem({{"hot", 0, 0, 0.01, 0, 0.01}, {"cold", 1, 0.01, 0.02, 0, 0.01}}, even_grid(0.002),
                    {constant_material("a", 20), constant_material("b", 5)});
  p.drive = idle(5);
  p.heat_source = [](double r, double, double t) {
    return t < 1e-9 ? 0.0 : (r < 0.01 ? 1e7 : -1e7 / 3);
  };  // sums to 0
  const solver::RunResult result = solver::run(p);
  CHECK(std::abs(result.ledger.source) < 1e-6);
  CHECK(std::abs(result.ledger.stored) < 1e-6);
}

TEST_CASE("NAFEMS T2: bar with radiation, 927.0 K") {
  solver::Problem p =
      plain_problem({{"bar", 0, 0, 0.01, 0, 0.1}}, even_grid(0.005), {constant_material("m", 55.6)});
  side_of(p, 0, Side::bottom) = held_at(1000);
  side_of(p, 0, Side::top).emissivity = 0.98;
  p.chamber_temperature = 300;
  const solver::Steady s = solver::solve_steady(p);
  for (std::size_t f = 0; f < p.interfaces.outer_faces.size(); ++f)
    if (p.interfaces.outer_faces[f].a.side == Side::top)
      compare({"bar that radiates at its end, surface temperature", "NAFEMS benchmark T2 (from memory)",
               927.0, s.state.edges.outer[f], 0.09, "K", "surface temperature, radiation"});
}

TEST_CASE("NAFEMS T3: bar with an oscillating end, 36.6 degC at 0.08 m and 32 s") {
  solver::Problem p = plain_problem({{"bar", 0, 0, 0.01, 0, 0.1}}, even_grid(0.001),
                                    {constant_material("m", 35, 1e-5, 440.5, 7200)});
  const double zero = solver::zero_celsius;
  p.initial_temperature = zero;
  side_of(p, 0, Side::bottom) = held_at(zero);
  solver::SideCondition end;
  end.fixed_temperature = [zero](double, double, double t) { return zero + 100 * std::sin(pi * t / 40); };
  side_of(p, 0, Side::top) = end;
  p.numerics.time_tolerance = 1e-3;
  p.drive = idle(32);
  add_probe(p, 0, 0.0, 0.08);
  const solver::RunResult result = solver::run(p);
  compare({"bar with an oscillating end, 0.08 m, 32 s", "NAFEMS benchmark T3 (from memory)", 36.6,
           result.rows.back().sensors[0].material_K - zero, 0.04, "degC", "march, heat capacity"});
}

TEST_CASE("NAFEMS T4: plate with convection, 18.25 degC; planar by an inner radius of 6 km") {
  const double far = 6000, zero = solver::zero_celsius;
  double coarse = 0;
  for (const int refinement : {1, 2}) {
    solver::Problem p = plain_problem({{"plate", 0, far, far + 0.6, 0, 1.0}}, even_grid(0.025, refinement),
                                      {constant_material("m", 52)});
    side_of(p, 0, Side::bottom) = held_at(zero + 100);
    for (const Side side : {Side::outer, Side::top}) {
      side_of(p, 0, side).film = 750;
      side_of(p, 0, side).film_temperature = zero;
    }
    const solver::Steady s = solver::solve_steady(p);
    REQUIRE(s.converged);
    // Edge value at (0.6, 0.2): mean of the two faces beside it.
    double sum = 0, weight = 0;
    for (std::size_t f = 0; f < p.interfaces.outer_faces.size(); ++f) {
      const mesh::OuterFace& face = p.interfaces.outer_faces[f];
      if (face.a.side == Side::outer && std::abs(face.z - 0.2) < 0.6 * 0.025 / refinement) {
        sum += s.state.edges.outer[f] - zero;
        weight += 1;
      }
    }
    REQUIRE(weight == 2);
    if (refinement == 1)
      coarse = sum / weight;
    else
      compare({"plate with convection, corner singular, extrapolated from two grids",
               "NAFEMS benchmark T4 (from memory)", 18.25, (4 * sum / weight - coarse) / 3, 0.036, "degC",
               "films, conduction in two directions"});
  }
}

namespace {

/// Heat that leaves the one block of a steady problem [W].
double heat_out(const solver::Problem& p) {
  const solver::Steady s = solver::solve_steady(p);
  REQUIRE(s.converged);
  solver::Workspace workspace(p);
  double out = 0.0;
  for (const double flow : solver::frame_of(p, workspace, s.state).flows.outer) out += std::max(flow, 0.0);
  return out;
}

}  // namespace

TEST_CASE("a sheet conducts by its own number in each direction: k A dT / L and 2 pi L k dT / ln(ro/ri)") {
  // Carslaw and Jaeger, Conduction of Heat in Solids: plane wall and tube (from memory).
  const double along = 170, across = 4, inner = 0.01, outer = 0.012, h = 0.02, rise = 100;
  for (const mesh::Axis axis : {mesh::Axis::r, mesh::Axis::z}) {
    CAPTURE(static_cast<int>(axis));
    materials::Material foil = constant_material("foil", along);
    foil.conductivity.across = constant_material("across", across).conductivity.along;
    solver::Problem p = plain_problem({{"sheet", 0, inner, outer, 0, h}}, even_grid(0.0001), {foil});
    p.parts[0].across = axis;
    const double k_z = axis == mesh::Axis::z ? across : along, k_r = axis == mesh::Axis::r ? across : along;

    solver::Problem axial = p;
    side_of(axial, 0, Side::top) = held_at(300 + rise);
    side_of(axial, 0, Side::bottom) = held_at(300);
    CHECK(heat_out(axial) ==
          doctest::Approx(k_z * pi * (outer * outer - inner * inner) * rise / h).epsilon(1e-6));

    solver::Problem radial = p;
    side_of(radial, 0, Side::inner) = held_at(300 + rise);
    side_of(radial, 0, Side::outer) = held_at(300);
    CHECK(heat_out(radial) ==
          doctest::Approx(2 * pi * h * k_r * rise / std::log(outer / inner)).epsilon(1e-4));
  }
}

TEST_CASE("a porous body heats by q t / (D rho cp)") {
  // First law for an insulated body; mass is what is there, D times that of the dense solid.
  solver::Problem p = plain_problem({{"powder", 0, 0, 0.01, 0, 0.005}}, even_grid(0.001),
                                    {constant_material("m", 20, 1e-5, 500, 4000)});
  p.parts[0].relative_density = 0.6;
  p.heat_source = [](double, double, double) { return 2e7; };
  p.drive = idle(30);
  const solver::RunResult run = solver::run(p);
  REQUIRE(run.status == solver::RunStatus::completed);
  const double volume = pi * 0.01 * 0.01 * 0.005, rise = 2e7 * 30 / (0.6 * 4000 * 500);
  CHECK(run.rows.back().tool_max_K == doctest::Approx(p.initial_temperature + rise).epsilon(1e-9));
  CHECK(run.ledger.stored == doctest::Approx(2e7 * 30 * volume).epsilon(1e-9));
}

namespace {

/// Heat capacity with a triangular peak, ten times the level, 10 K wide, at 605 K [J/(kg K)].
materials::Curve peaked_capacity() {
  return materials::Curve::table({{250, 1000}, {600, 1000}, {605, 10000}, {610, 1000}, {1200, 1000}});
}

/// Mean of a small body in a film of 1000 K, from 300 K, at 300 and 700 s; the peak lies between.
std::array<double, 2> warmed_body(double unseen_heat) {
  solver::Problem p = plain_problem({{"body", 0, 0, 0.01, 0, 0.02}}, even_grid(0.005),
                                    {constant_material("m", 1e6, 1e-5, 1000, 1000)});
  p.materials[0].heat_capacity.curve = peaked_capacity();
  p.initial_temperature = 300;
  side_of(p, 0, Side::outer).film = 20;
  side_of(p, 0, Side::outer).film_temperature = 1000;
  p.numerics.unseen_heat = unseen_heat;
  p.history_every = 100;
  p.drive = idle(700);
  watch_block(p, 0.01);
  const solver::RunResult result = solver::run(p);
  REQUIRE(result.status == solver::RunStatus::completed);
  std::array<double, 2> at{};
  for (const solver::HistoryRow& row : result.rows) {
    if (std::abs(row.time_s - 300) < 1e-6) at[0] = row.powder->mean_K;
    if (std::abs(row.time_s - 700) < 1e-6) at[1] = row.powder->mean_K;
  }
  return at;
}

}  // namespace

TEST_CASE("a body that warms through a narrow peak of its heat capacity: the lumped equation, small steps") {
  // rho R/2 dh/dt = film (1000 K - T), no gradients; midpoint rule on the enthalpy, steps of 10 ms.
  const materials::Curve cp = peaked_capacity();
  double T = 300, h = cp.integral(T);
  std::array<double, 2> exact{};
  const auto temperature = [&](double enthalpy, double guess) {
    for (int k = 0; k < 30; ++k) guess -= (cp.integral(guess) - enthalpy) / cp.value(guess);
    return guess;
  };
  constexpr double dt = 0.01, rate = 20.0 / (1000 * 0.01 / 2);
  for (int k = 1; k <= 70000; ++k) {
    const double half = temperature(h + 0.5 * dt * rate * (1000 - T), T);
    h += dt * rate * (1000 - half);
    T = temperature(h, half);
    if (k == 30000) exact[0] = T;
    if (k == 70000) exact[1] = T;
  }
  const std::array<double, 2> watched = warmed_body(0.04), blind = warmed_body(1e9);
  CHECK(std::abs(watched[0] - exact[0]) < 0.005);
  CHECK(std::abs(watched[1] - exact[1]) < 0.005);
  CHECK(std::max(std::abs(blind[0] - exact[0]), std::abs(blind[1] - exact[1])) > 0.1);  // what is at stake
}
