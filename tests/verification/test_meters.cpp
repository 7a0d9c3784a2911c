// What meters show: mean and effective values of pulses, voltage between two faces.
#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

constexpr double r = 0.01, low = 0.03, high = 0.02, rho = 2e-5, touch = 3e-8;  // m, ohm m, ohm m2

/// Two bars on each other with a contact between, under a current.
solver::Problem bars(double current) {
  solver::Problem p = plain_problem({{"low", 0, 0, r, 0, low}, {"high", 1, 0, r, low, low + high}},
                                    even_grid(2e-3), {constant_material("bar", 50, rho)});
  p.contacts[0].electric_resistance = touch;
  side_of(p, 0, mesh::Side::bottom).electrode = solver::Electrode::low;
  side_of(p, 1, mesh::Side::top).electrode = solver::Electrode::high;
  p.drive.kind = solver::DriveKind::current;
  p.drive.segments = {segment(0, 20, current, current)};
  p.numerics.potential_tolerance = 1e-10;
  return p;
}

constexpr double area = std::numbers::pi * r * r;

}  // namespace

TEST_CASE("voltage between two faces: bars and contact in series, by hand") {
  const double I = 500;
  const auto across = [&](std::vector<solver::Tap> taps) {
    solver::Problem p = bars(I);
    p.taps = std::move(taps);
    return solver::run(p).rows.back().taps_V;
  };
  using solver::Tap;
  const double of_low = I * rho * low / area, of_touch = I * touch / area, of_high = I * rho * high / area;
  CHECK(across({}) == relative(of_low + of_touch + of_high, 1e-8));
  CHECK(across({{0, mesh::Side::bottom}, {1, mesh::Side::top}}) ==
        relative(of_low + of_touch + of_high, 1e-8));
  CHECK(across({{0, mesh::Side::bottom}, {0, mesh::Side::top}}) == relative(of_low, 1e-8));
  CHECK(across({{0, mesh::Side::top}, {1, mesh::Side::bottom}}) == relative(of_touch, 1e-6));
  CHECK(across({{1, mesh::Side::bottom}, {1, mesh::Side::top}}) == relative(of_high, 1e-8));
}

TEST_CASE("pulses: the heat is that of the effective current, the mean power no product of means") {
  const double I = 500, R = (rho * (low + high) + touch) / area;
  solver::Problem continuous = bars(I), pulsed = bars(I);
  pulsed.pulse = solver::Pulse{0.040, 0.007, {}};
  const solver::RunResult a = solver::run(continuous), b = solver::run(pulsed);
  const solver::HistoryRow &x = a.rows.back(), &y = b.rows.back();
  // definitions: duty d = 40/47; mean = sqrt(d) effective for flat pulses
  const double duty = 40.0 / 47.0;
  CHECK(y.current_mean_A == relative(std::sqrt(duty) * I, 1e-9));
  CHECK(y.voltage_mean_V == relative(std::sqrt(duty) * I * R, 1e-8));
  CHECK(y.power_W == relative(I * I * R, 1e-8));
  CHECK(y.current_mean_A * y.voltage_mean_V == relative(duty * y.power_W, 1e-8));
  CHECK(y.current_A * y.voltage_V == relative(y.power_W));
  // I U = heats: the run itself knows effective values only.
  CHECK(b.ledger.electric == a.ledger.electric);
  CHECK(b.ledger.joule == relative(b.ledger.electric, 1e-12));
  CHECK(b.ledger.electric == relative(I * I * R * 20, 1e-8));
  CHECK(b.ledger.energy_balance_relative() < 1e-12);
  CHECK(x.current_mean_A == x.current_A);
  CHECK(x.voltage_mean_V == x.voltage_V);
}

TEST_CASE("a measured ratio of effective to mean is met at the output it belongs to") {
  solver::Problem p = bars(560);
  p.pulse = solver::Pulse{0.040, 0.007, {{0.1, 1.8}, {0.5, 1.4}, {1.0, 1.1}}};
  p.largest_mean = 800;
  const solver::HistoryRow row = solver::run(p).rows.back();
  // 400 A is half of 800 A, where the ratio is 1.4: 560 A effective
  CHECK(row.current_mean_A == relative(400.0, 1e-9));
}

TEST_CASE("taps on a face and its image leave the half in use, others do not") {
  const auto stack = [](std::vector<solver::Tap> taps) {
    solver::Problem p = plain_problem(
        {{"low", 0, 0, r, 0, 0.02}, {"mid", 1, 0, r, 0.02, 0.03}, {"high", 2, 0, r, 0.03, 0.05}},
        even_grid(2.5e-3), {constant_material("bar", 50, rho)});
    for (solver::Part& part : p.parts) part.material = 0;
    side_of(p, 0, mesh::Side::bottom).electrode = solver::Electrode::low;
    side_of(p, 2, mesh::Side::top).electrode = solver::Electrode::high;
    p.drive.kind = solver::DriveKind::current;
    p.drive.segments = {segment(0, 5, 400, 400)};
    p.numerics.potential_tolerance = 1e-10;
    p.taps = std::move(taps);
    p.half = solver::half_of(p);
    return p;
  };
  const solver::Problem even = stack({{1, mesh::Side::bottom}, {1, mesh::Side::top}});
  REQUIRE(even.half != nullptr);
  CHECK(solver::run(even).rows.back().taps_V == relative(400 * rho * 0.01 / area, 1e-8));
  CHECK(stack({{0, mesh::Side::bottom}, {1, mesh::Side::top}}).half == nullptr);
}
