// A fin in a bore and outside, linear and with fourth powers.  Sources: beside each check.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include "solver/problem.hpp"
#include "solver/stem.hpp"
#include "tests/support/record.hpp"

using namespace joulepress::solver;

namespace {
constexpr double pi = 3.14159265358979323846;

Stem bare(double depth_mm, double diameter_mm, double k) {
  Stem s;
  s.depth = 1e-3 * depth_mm;
  s.diameter = 1e-3 * diameter_mm;
  s.conductivity = k;
  return s;
}

// Bare, touching, in gas, and all of it; thin and thick sheaths, short and long.
std::vector<Stem> many_stems() {
  std::vector<Stem> stems;
  for (const double diameter : {0.5, 1.5, 6.0})
    for (const double k : {5.0, 15.0, 60.0})
      for (const double diameters : {1.0, 2.0, 5.0, 10.0, 20.0, 60.0})
        for (const double contact : {0.0, 20.0, 1000.0, 5e4})
          for (const double gas : {0.0, 150.0}) {
            Stem s = bare(diameters * diameter, diameter, k);
            s.tip_contact = contact;
            s.gas_conductance = gas;
            s.outside_film = gas / 15;
            stems.push_back(s);
          }
  return stems;
}
const std::vector<double> temperatures{250, 300, 400, 700, 1273.15, 2000, 3300};
const std::vector<double> surroundings{250, 298.15, 900, 1500};
}  // namespace

TEST_CASE("two linear fins meet a table of errors computed by hand to its rounding") {
  // Own computation, independent of this code, of the published closed form (textbook fin): K low, printed to
  // 1 K (0.1 K where small).  It says "outside about 1/6 of the bore at 1000 degC" and no ambient; 20 degC
  // and an emissivity of 0.507 outside (1/5.93) meet all of it to rounding and 0.05 K; 0.5 misses by up
  // to 1.1 K more.
  struct Row {
    double celsius, diameter, k;
    std::vector<double> low;
  };
  const std::vector<Row> rows{{1000, 3, 10, {346, 212, 71, 25, 9, 1}},
                              {1000, 1.5, 15, {307, 177, 51, 15, 5, 0.4}},
                              {600, 3, 10, {314, 229, 116, 63, 34, 11}},
                              {1400, 3, 10, {319, 161, 33, 7, 1.4, 0.1}}};
  const std::vector<double> depths{3, 5, 10, 15, 20, 30};
  for (const Row& row : rows)
    for (std::size_t i = 0; i < depths.size(); ++i) {
      CAPTURE(row.celsius);
      CAPTURE(row.low[i]);
      Stem s = bare(depths[i], row.diameter, row.k);
      s.outside_emissivity = 0.507;
      const double material = row.celsius + zero_celsius;
      const bool whole = row.low[i] == std::floor(row.low[i]);
      joulepress::test::compare({fmt::format("stem error, {:g} mm sheath {:g} mm deep at {:g} degC, linear",
                                             row.diameter, depths[i], row.celsius),
                                 "two joined fins computed by hand, printed to 1 K or 0.1 K", row.low[i],
                                 material - linear_tip(s, material, 293.15), whole ? 0.6 : 0.15, "K",
                                 "linear fin of a couple"});
    }
}

TEST_CASE("the tip agrees with a boundary-value solution of both fins") {
  // Last column: tests/reference/stem_reference.py, collocation of the two differential equations
  // (scipy 1.10.1 solve_bvp, tol 1e-7), the fin outside solved too.
  struct Row {
    double depth_mm, diameter_mm, k, bore, outside, gas, film, contact, material, ambient, tip;
  };
  const std::vector<Row> rows{
      {3, 3, 10, 0.7, 0.5, 0, 0, 0, 1273.15, 293.15, 948.3484},
      {10, 3, 10, 0.7, 0.5, 0, 0, 0, 1273.15, 293.15, 1210.1765},
      {5, 1.5, 15, 0.7, 0.5, 0, 0, 0, 873.15, 293.15, 674.1560},
      {15, 1.5, 15, 0.7, 0.5, 0, 0, 0, 873.15, 293.15, 829.6604},
      {1.5, 1.5, 15, 0.7, 0.5, 0, 0, 0, 1673.15, 293.15, 1192.6793},
      {11, 1.5, 15, 0.7, 0.5, 0, 0, 0, 400, 298.15, 341.7909},
      {11, 1.5, 15, 0.7, 0.5, 0, 0, 0, 2300, 298.15, 2298.5728},
      {3, 3, 25, 0.7, 0.5, 0, 0, 0, 3300, 293.15, 3039.8946},
      {20, 2, 40, 0.9, 0.9, 0, 0, 0, 3300, 250, 3299.9920},
      {11, 1.5, 15, 0.7, 0.5, 120, 10, 0, 1273.15, 298.15, 1251.5874},
      {6, 3, 20, 0.3, 0.8, 40, 15, 0, 700, 298.15, 453.1206},
      {5, 1.5, 15, 0.7, 0.5, 0, 0, 500, 1273.15, 293.15, 1136.4608},
      {3, 3, 10, 0.7, 0.5, 0, 0, 8000, 1673.15, 293.15, 1608.9067},
      {8, 1.5, 15, 0.7, 0.5, 150, 10, 2000, 600, 298.15, 580.8516},
      {11, 1.5, 15, 0.7, 0.5, 0, 0, 0, 250, 298.15, 286.9646},
      {6, 1.5, 15, 0.7, 0.5, 100, 10, 300, 300, 1000, 547.1833},
      {5, 3, 15, 0.7, 0.5, 0, 0, 0, 300, 1500, 1184.8361},
      {5, 0.25, 100, 0.7, 0.95, 0, 0, 3, 250, 3300, 1725.2611},
      {5, 1, 5, 0.1, 0.95, 0, 0, 3, 3300, 250, 3247.4646},
  };
  for (const Row& r : rows) {
    CAPTURE(r.material);
    CAPTURE(r.depth_mm);
    const Stem s{1e-3 * r.depth_mm, 1e-3 * r.diameter_mm, r.k, r.bore, r.outside, r.gas, r.film, r.contact};
    joulepress::test::compare({fmt::format("tip of a {:g} mm couple {:g} mm deep at {:.0f} K in {:.0f} K",
                                           r.diameter_mm, r.depth_mm, r.material, r.ambient),
                               "both fins by scipy's solve_bvp (tests/reference/stem_reference.py)", r.tip,
                               tip_temperature(s, r.material, r.ambient), 0.002, "K",
                               "nonlinear fin of a couple"});
  }
}

TEST_CASE("heat that comes in along the bore and through the tip is the heat that leaves at the mouth") {
  // Equations of stem.hpp marched from the tip by Runge-Kutta of fourth order (textbook), heat summed on the
  // way; the flow out of the mouth from the first integral of the fin outside.
  struct Way {
    double excess, slope, heat;  // Tm - T [K], its slope [K/m], heat through the wall [W]
  };
  for (const double contact : {0.0, 100.0, 4000.0})
    for (const double bore : {0.0, 0.7})
      for (const double gas : {0.0, 120.0})
        for (const double material : {400.0, 1273.15, 3000.0})
          for (const double ambient : {298.15, 1600.0}) {
            if (bore + gas + contact == 0) continue;  // nothing heats such a tip
            Stem s = bare(4, 1.5, 15);
            s.bore_emissivity = bore;
            s.gas_conductance = gas;
            s.outside_film = gas / 12;
            s.tip_contact = contact;
            const double round = pi * s.diameter, area = 0.25 * pi * s.diameter * s.diameter;
            const auto rate = [&](const Way& at) {
              const double T = material - at.excess;
              const double flux =
                  bore * stefan_boltzmann * (std::pow(material, 4) - std::pow(T, 4)) + gas * at.excess;
              return Way{at.slope, 4 * flux / (s.conductivity * s.diameter), round * flux};
            };
            const auto along = [](const Way& a, double by, const Way& d) {
              return Way{a.excess + by * d.excess, a.slope + by * d.slope, a.heat + by * d.heat};
            };
            const double start = material - tip_temperature(s, material, ambient);
            Way at{start, contact * start / s.conductivity, 0};
            constexpr int steps = 2000;
            const double step = s.depth / steps;
            for (int i = 0; i < steps; ++i) {
              const Way a = rate(at), b = rate(along(at, step / 2, a)), c = rate(along(at, step / 2, b)),
                        d = rate(along(at, step, c));
              at = along(along(along(along(at, step / 6, a), step / 3, b), step / 3, c), step / 6, d);
            }
            const double T = material - at.excess, out = T - ambient;
            const double integral =
                s.outside_emissivity * stefan_boltzmann *
                    (std::pow(T, 5) / 5 - std::pow(ambient, 4) * T + 0.8 * std::pow(ambient, 5)) +
                s.outside_film * out * out / 2;
            const double leaves =
                std::copysign(area * std::sqrt(8 * s.conductivity / s.diameter * integral), out);
            const double comes = at.heat + area * contact * start;
            CAPTURE(contact);
            CAPTURE(material);
            CAPTURE(ambient);
            CHECK(std::abs(comes - leaves) <= 1e-5 * std::abs(leaves));
            CHECK(std::abs(area * s.conductivity * at.slope - comes) <= 1e-9 * std::abs(comes));
          }
}

TEST_CASE("a stem that loses nothing outside shows the material") {
  // From the equations: no flow, no fall.
  Stem s = bare(2, 1.5, 15);
  s.outside_emissivity = 0;
  for (const double material : temperatures) CHECK(tip_temperature(s, material, 298.15) == material);
  s = bare(2, 1.5, 15);
  for (const double T : temperatures) CHECK(tip_temperature(s, T, T) == T);
}

TEST_CASE("an ever better contact at the tip brings it to the material") {
  // From the tip condition: k T' finite.
  for (const double material : temperatures) {
    Stem s = bare(3, 3, 10);
    double last = std::abs(material - tip_temperature(s, material, 298.15));
    for (const double contact : {1e2, 1e4, 1e6, 1e8, 1e12}) {
      s.tip_contact = contact;
      const double off = std::abs(material - tip_temperature(s, material, 298.15));
      CHECK(off < last);
      last = off;
    }
    CHECK(last <= 1e-5);
  }
}

TEST_CASE("close to the surroundings the tip is that of two linear fins") {
  // Joined fins with a contact at the tip and films 4 e s T^3 + h, T the material in the bore and the ambient
  // outside (textbook fin).
  constexpr double ambient = 700;
  for (const Stem& s : many_stems())
    for (const double span : {0.05, -0.05}) {
      const double material = ambient + span;
      const auto per_length = [&](double emissivity, double T, double film) {
        const double h = 4 * emissivity * stefan_boltzmann * T * T * T + film;
        return std::sqrt(4 * h / (s.conductivity * s.diameter));
      };
      const double in = per_length(s.bore_emissivity, material, s.gas_conductance),
                   out = per_length(s.outside_emissivity, ambient, s.outside_film),
                   touch = s.tip_contact / s.conductivity / in, length = in * s.depth;
      const double mouth_over_tip = std::cosh(length) + touch * std::sinh(length),
                   slope_over_tip = in * (std::sinh(length) + touch * std::cosh(length));
      const double expected = span * out / (slope_over_tip + out * mouth_over_tip);
      const double error = material - tip_temperature(s, material, ambient);
      CHECK(std::abs(error - expected) <= 1e-3 * std::abs(expected) + 1e-12);  // and the rounding of 700 K
    }
}

TEST_CASE("the tip lies between ambient and material and rises smoothly with the material") {
  for (const Stem& s : many_stems())
    for (const double ambient : surroundings)
      for (const double T : temperatures) {
        const auto tip = [&](double material) { return tip_temperature(s, material, ambient); };
        const auto slope = [&](double width) { return (tip(T + width) - tip(T - width)) / (2 * width); };
        CHECK(tip(T) >= std::min(T, ambient));
        CHECK(tip(T) <= std::max(T, ambient));
        CHECK(tip(T + 1e-3) > tip(T));
        // From the equations: the slope changes over tens of kelvin, so these differ by rounding only.
        CHECK(std::abs(slope(0.02) - slope(0.001)) <= 1e-7);
      }
}

TEST_CASE("the material of a tip is its inverse") {
  const std::vector<Stem> stems = many_stems();
  for (std::size_t i = 0; i < stems.size(); i += 5)
    for (const double ambient : surroundings)
      for (const double tip : temperatures) {
        const Stem& s = stems[i];
        const double material = material_for_tip(s, tip, ambient);
        if (!(material > 2 && material < 9e5)) continue;  // no material is cold or hot enough
        CHECK(std::abs(tip_temperature(s, material, ambient) - tip) <= 1e-9);
      }
  // A deep search that finds nothing ends near absolute zero, as a stem in a warm chamber keeps the tip warm.
  const double none = material_for_tip(bare(11, 1.5, 15), 272.15, 298.15);
  CHECK(none > 0);
  CHECK(none < 2);
}

TEST_CASE("the bound is farther from the material than the tip") {
  // Theory: a weaker film in the bore and a stronger one outside (comparison of t'/t along the bore).
  double tightest = 1e9;
  for (const Stem& s : many_stems())
    for (const double ambient : surroundings)
      for (const double T : temperatures) {
        const double error = std::abs(T - tip_temperature(s, T, ambient));
        const double bound = std::abs(T - bound_tip(s, T, ambient));
        CHECK(bound >= error - 1e-9);
        if (error > 1) tightest = std::min(tightest, bound / error);
      }
  CHECK(tightest <= 1.001);
}

TEST_CASE("linear fins bound the error below the ambient and from three times it on, not between") {
  // Radiation alone makes the ratio a function of Tm/Ta and m L: the grid stands for every bare stem.
  double least_hot = 1e9, least_warm = 1e9, most = 0;
  for (int i = 0; i < 112; ++i)
    for (int j = 0; j < 36; ++j) {
      const double ratio = 0.15 * std::pow(1.04, i), length = 0.02 * std::pow(1.2, j);
      const double ambient = 293.15, T = ratio * ambient;
      Stem s = bare(1, 1.5, 15);
      s.depth = length / std::sqrt(16 * 0.7 * stefan_boltzmann * T * T * T / (s.conductivity * s.diameter));
      const double over = (T - linear_tip(s, T, ambient)) / (T - tip_temperature(s, T, ambient));
      if (ratio < 1) {  // a cold material: always
        CHECK(over >= 1);
        continue;
      }
      (ratio >= 3 ? least_hot : least_warm) = std::min(ratio >= 3 ? least_hot : least_warm, over);
      most = std::max(most, over);
    }
  CHECK(least_hot >= 1);
  CHECK(least_warm < 0.97);
  CHECK(least_warm >= 0.955);
  CHECK(most <= 1.185);
}
