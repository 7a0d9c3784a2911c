// Natural convection: worked examples of textbooks, the limits of each law, both signs of the difference.
#include <doctest/doctest.h>

#include <cmath>
#include <string>

#include "solver/convection.hpp"
#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using solver::Orientation;
using test::relative;

namespace {

materials::Gas at(const std::string& name, double pressure = 1e5) {
  materials::Gas gas = materials::gas_named(name).value();
  gas.pressure = pressure;
  return gas;
}

}  // namespace

TEST_CASE("convection: glass door of a fireplace, the textbook's example of a vertical plate") {
  // Incropera and DeWitt, example 9.2: 0.71 m high, 232 degC in room air of 23 degC; air at 400 K.
  const double Nu = solver::nusselt_vertical(1.813e9, 0.690);
  test::compare({"Nusselt number of a glass door, Ra 1.813e9", "Incropera and DeWitt, example 9.2", 147, Nu,
                 0.5, "-", "natural convection"});
  CHECK(Nu * 33.8e-3 / 0.71 == relative(7.0, 0.01));
  // Nitrogen is nearly air.
  CHECK(solver::film(at("nitrogen", 101325), Orientation::vertical, 0.71, 505, 296) == relative(7.0, 0.02));
}

TEST_CASE("convection: vertical, still gas and the laminar law") {
  CHECK(solver::nusselt_vertical(0.0, 0.7) == relative(0.825 * 0.825));
  // Churchill and Chu's laminar law, from memory: 0.68 + 0.670 Ra^(1/4) / [1 + (0.492/Pr)^(9/16)]^(4/9).
  for (const double Ra : {1e1, 1e3, 1e5, 1e7})
    CHECK(solver::nusselt_vertical(Ra, 0.7) ==
          relative(0.68 + 0.670 * std::pow(Ra, 0.25) / std::pow(1 + std::pow(0.492 / 0.7, 9.0 / 16), 4.0 / 9),
                   0.08));
  // Turbulent: 0.387^2 Ra^(1/3) / [...]^(16/27), for air 0.10 to 0.13 Ra^(1/3) in textbooks.
  const double c = solver::nusselt_vertical(1e15, 0.7) / 1e5;
  CHECK(c > 0.10);
  CHECK(c < 0.13);
}

TEST_CASE("convection: horizontal faces against the power laws of textbooks, inside their ranges") {
  // Hot face up: 0.54 Ra^(1/4) for 1e4..1e7, 0.15 Ra^(1/3) above (Incropera and DeWitt, eq. 9.30, 9.31).
  for (const double Ra : {1e4, 1e5, 1e6})
    CHECK(solver::nusselt_leaving(Ra, 0.7) == relative(0.54 * std::pow(Ra, 0.25), 0.13));
  for (const double Ra : {1e8, 1e9, 1e10})
    CHECK(solver::nusselt_leaving(Ra, 0.7) == relative(0.15 * std::cbrt(Ra), 0.08));
  // Top of a duct, example 9.3: Ra 1.38e8, 0.375 m, k 26.5 mW/(m K), 5.47 W/(m2 K).
  CHECK(solver::nusselt_leaving(1.38e8, 0.71) * 26.5e-3 / 0.375 == relative(5.47, 0.08));
  // Hot face down: Radziemska and Lewandowski 2001, 0.52 Ra^(1/5) for 1e4..1e9 (Incropera and DeWitt, later
  // editions).
  for (const double Ra : {1e4, 1e6, 1e8})
    CHECK(solver::nusselt_held(Ra, 0.7) == relative(0.52 * std::pow(Ra, 0.2), 0.20));
}

TEST_CASE("convection: a small hot face in argon, by hand") {
  // Properties of dilute argon at the mean, 800 K, by the check equation 15/4 R/M eta; the rest as in the
  // header.
  const materials::Gas argon = at("argon");
  const double T = 800, eta = materials::viscosity(argon, T), rho = 1e5 * 0.039948 / (8.314462618 * T),
               k = materials::conductivity(argon, T), cp = 2.5 * 8.314462618 / 0.039948;
  const double L = 0.01, Ra = 9.80665 / T * 1000 * L * L * L * rho * rho * cp / (eta * k);
  CHECK(Ra > 1e3);
  CHECK(Ra < 3e3);
  const double N =
      0.835 * 0.671 * std::pow(1 + std::pow(0.492 * k / (eta * cp), 0.5625), -4.0 / 9) * std::pow(Ra, 0.25);
  const double laminar = 1.4 / std::log(1 + 1.4 / N), turbulent = 0.14 * std::cbrt(Ra);
  const double Nu = std::pow(std::pow(laminar, 10) + std::pow(turbulent, 10), 0.1);
  CHECK(solver::film(argon, Orientation::up, L, 1300, 300) == relative(Nu * k / L, 1e-3));
}

TEST_CASE("convection: cold faces are hot ones upside down") {
  const materials::Gas gas = at("nitrogen");
  // Same mean temperature, difference of the other sign.
  for (const auto& [here, there] : {std::pair{Orientation::up, Orientation::down},
                                    {Orientation::down, Orientation::up},
                                    {Orientation::vertical, Orientation::vertical}})
    CHECK(solver::film(gas, here, 0.02, 800, 400) == relative(solver::film(gas, there, 0.02, 400, 800)));
  CHECK(solver::film(gas, Orientation::up, 0.02, 800, 400) >
        1.2 * solver::film(gas, Orientation::down, 0.02, 800, 400));
}

TEST_CASE(
    "convection: the flow rises everywhere and has no kink worth the name where face and gas are equally "
    "hot") {
  const materials::Gas gas = at("argon");
  for (const Orientation way : {Orientation::vertical, Orientation::up, Orientation::down}) {
    const auto flow = [&](double T) { return solver::film(gas, way, 0.03, T, 300) * (T - 300); };
    CHECK(flow(300) == 0.0);
    // Slopes from both sides: horizontal faces change there from one law to the other.
    const double apart_most = (way == Orientation::vertical ? 1e-3 : 0.1) * flow(310) / 10;
    for (const double step : {1e-1, 1e-3, 1e-6, 1e-9})
      CHECK(std::abs(flow(300 + step) + flow(300 - step)) / step < apart_most);
    double before = flow(250);
    for (double T = 250.5; T < 3000; T *= 1.002) {
      CHECK(flow(T) > before);
      before = flow(T);
    }
  }
}

TEST_CASE("convection: in thin gas the film goes to zero with the pressure") {
  double before = 1e9;
  for (const double pressure : {1e6, 1e5, 1e4, 1e3, 1e2, 1e1, 1.0, 1e-1, 1e-2}) {
    const double h = solver::film(at("argon", pressure), Orientation::vertical, 0.1, 1300, 300);
    CHECK(h < before);
    before = h;
  }
  const materials::Gas thin = at("argon", 1e-2);
  // Still gas, Nu = 0.825^2, and the jump in series.
  CHECK(before == relative(materials::conductivity(thin, 800) /
                               (materials::jump_length(thin, 800) + 0.1 / (0.825 * 0.825)),
                           1e-3));
}
