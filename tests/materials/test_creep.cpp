// Creep of dense solids and densification in a closed die, against numbers worked out elsewhere.
#include <doctest/doctest.h>

#include <cmath>

#include "materials/creep.hpp"

using namespace joulepress::materials;

namespace {

Creep dislocation(double factor, double n, double d0, double q, double b, double mu, double slope,
                  double melting) {
  Creep c;
  c.law = Creep::Law::dislocation;
  c.factor = factor;
  c.exponent = n;
  c.diffusion = d0;
  c.activation_energy = q;
  c.burgers = b;
  c.shear_modulus = mu;
  c.modulus_slope = slope;
  c.melting = melting;
  return c;
}

/// dD/dt = D rate by the midpoint rule in D, 20 000 steps.
double time_by_midpoints(double n, double from, double to) {
  const int steps = 20000;
  double time = 0;
  for (int k = 0; k < steps; ++k) {
    const double D = from + (to - from) * (k + 0.5) / steps;
    time += (to - from) / steps / (D * closed_die_rate(n, 1.0, std::pow(1e-3, 1.0 / n), D));
  }
  return time;
}

}  // namespace

TEST_CASE("dislocation creep: rates at 30 MPa from the constants of Frost and Ashby 1982") {
  // Worked out by hand from the table of constants (two digits).
  const Creep copper = dislocation(7.4e5, 4.8, 2.0e-5, 197e3, 2.56e-10, 42.1e9, -0.54, 1356);
  const Creep nickel = dislocation(3.0e6, 4.6, 1.9e-4, 284e3, 2.49e-10, 78.9e9, -0.64, 1726);
  const Creep tungsten = dislocation(1.1e8, 4.7, 5.6e-4, 585e3, 2.74e-10, 160e9, -0.38, 3683);
  struct Row {
    const Creep& creep;
    double T, rate;
  };
  for (const Row& row : {Row{copper, 800, 3.6e-6}, Row{copper, 1000, 1.6e-3}, Row{nickel, 1000, 6.5e-7},
                         Row{nickel, 1300, 2.4e-3}, Row{tungsten, 2000, 3.2e-7}, Row{tungsten, 2300, 3.1e-5}})
    CHECK(creep_rate(row.creep, 30e6, row.T) == doctest::Approx(row.rate).epsilon(0.02));
}

TEST_CASE("measured creep: the rates of dense alumina at 150 MPa follow from one of them") {
  // NIST SRD 150 (Munro 1997, J Am Ceram Soc 80:1919): 5 um grains, n 1.08, 325 kJ/mol; 4e-9, 2.8e-7, 6.6e-6,
  // 2.46e-5 1/s at 1000, 1200, 1400, 1500 degC.
  Creep alumina;
  alumina.exponent = 1.08;
  alumina.activation_energy = 325e3;
  alumina.rate = 2.46e-5;
  alumina.stress = 150e6;
  alumina.temperature = 1773.15;
  alumina.grain = 5e-6;
  alumina.grain_exponent = 3;
  CHECK(creep_rate(alumina, 150e6, 1773.15) == doctest::Approx(2.46e-5).epsilon(1e-12));
  CHECK(creep_rate(alumina, 150e6, 1673.15) == doctest::Approx(6.6e-6).epsilon(0.1));
  CHECK(creep_rate(alumina, 150e6, 1473.15) == doctest::Approx(2.8e-7).epsilon(0.2));
  CHECK(creep_rate(alumina, 150e6, 1273.15) == doctest::Approx(4e-9).epsilon(0.5));
  CHECK(creep_rate(alumina, 300e6, 1673.15) / creep_rate(alumina, 150e6, 1673.15) ==
        doctest::Approx(std::pow(2.0, 1.08)).epsilon(1e-12));
  CHECK(creep_rate(alumina, 150e6, 1673.15, 0.5e-6) / creep_rate(alumina, 150e6, 1673.15) ==
        doctest::Approx(1000).epsilon(1e-9));
}

TEST_CASE("the two definitions of the creep constant: the same solid, converted") {
  // sigma(W) = A W^m.  Dense, uniaxial and incompressible: gamma^2 = 3/2 rate^2 is the norm of the deviator
  // and phi = 1, so W = sqrt(3/2) rate, and sigma = (sigma(W)/W) phi rate + p with both side stresses zero
  // gives 3/2 of (sigma(W)/W) rate.  Hence A_u = A (3/2) (3/2)^((m-1)/2).
  for (const double n : {1.0, 2.0, 4.6}) {
    const double m = 1.0 / n, A = 3e8, rate = 2e-5, W = std::sqrt(1.5) * rate;
    const double sigma = 1.5 * A * std::pow(W, m) / W * rate;
    CHECK(sigma == doctest::Approx(uniaxial_from_power(A, n) * std::pow(rate, m)).epsilon(1e-12));
  }
  Creep given;
  given.exponent = 4.6;
  given.rate = 1e-4;
  given.stress = 20e6;
  given.temperature = 1000;
  Creep by_power = given;
  by_power.of_dissipated_power = true;
  CHECK(creep_rate(given, 20e6, 1000) / creep_rate(by_power, 20e6, 1000) ==
        doctest::Approx(std::pow(1.5, 2.8)).epsilon(1e-12));
}

TEST_CASE("closed die, n = 1: D + ln(1 - D) = D0 + ln(1 - D0) - 3 P t / (4 eta)") {
  // P 50 MPa, eta 1e10 Pa s of sigma = 2 eta * deviator (uniaxial: 3 eta): 131.51, 289.68, 461.18, 879.70 s.
  const double eta = 1e10, uniaxial = 3 * eta, P = 50e6;
  struct Row {
    double D, time;
  };
  for (const Row& row : {Row{0.80, 131.51}, Row{0.90, 289.68}, Row{0.95, 461.18}, Row{0.99, 879.70}}) {
    const double closed = ((0.6 + std::log(0.4)) - (row.D + std::log(1 - row.D))) * 4 * eta / (3 * P);
    CHECK(closed == doctest::Approx(row.time).epsilon(1e-4));
    CHECK(closed_die_time(1, uniaxial, P, 0.6, row.D) == doctest::Approx(closed).epsilon(1e-9));
  }
}

TEST_CASE("closed die, power law: times from 0.6 by the midpoint rule, and by hand") {
  // (P/A_u)^n = 1e-3 1/s.
  struct Row {
    double n, times[5];
  };
  constexpr double ends[] = {0.7, 0.8, 0.9, 0.95, 0.99};
  for (const Row& row :
       {Row{1, {83.41, 219.18, 482.80, 768.64, 1466.2}}, Row{2, {50.24, 171.02, 546.69, 1193.2, 4289.6}},
        Row{3, {30.61, 139.47, 686.58, 2170.6, 16748}}, Row{4.6, {14.16, 108.78, 1150.0, 6927.0, 2.0017e5}}})
    for (int k = 0; k < 5; ++k) {
      const double time = closed_die_time(row.n, 1.0, std::pow(1e-3, 1.0 / row.n), 0.6, ends[k]);
      CHECK(time == doctest::Approx(row.times[k]).epsilon(1e-3));
      CHECK(time == doctest::Approx(time_by_midpoints(row.n, 0.6, ends[k])).epsilon(1e-5));
    }
}

TEST_CASE("radial over axial stress in a closed die") {
  struct Row {
    double D, ratio;
  };
  for (const Row& row : {Row{0.55, 0.33}, Row{0.6, 0.40}, Row{0.8, 0.70}, Row{0.9, 0.85}, Row{0.95, 0.93}})
    CHECK(radial_stress_ratio(row.D) == doctest::Approx(row.ratio).epsilon(0.02));
  CHECK(radial_stress_ratio(1 - 1e-9) == doctest::Approx(1.0).epsilon(1e-8));
}
