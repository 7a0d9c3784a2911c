// Laws of porous conduction against tabulated values, their exact limits, and each other.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <set>
#include <string>

#include "materials/porous.hpp"

using namespace joulepress::materials;
using Kind = PorousLaw::Kind;

namespace {

/// Every law with parameters in its usual range.
const std::array<PorousLaw, 7> usual_laws = {{{Kind::maxwell_eucken, 0, 0, 0},
                                              {Kind::bruggeman, 0, 0, 0},
                                              {Kind::koh_fortini, 0, 0, 0},
                                              {Kind::argento_bouvard, 0.6, 0, 0},
                                              {Kind::power, 0, 1.5, 0},
                                              {Kind::montes, 0.4, 1.5, 0},
                                              {Kind::mclachlan, 0, 1.8, 0.2}}};

}  // namespace

// The first four columns are those of the laws' forms worked out by pocket calculator: Eucken 1932, Bruggeman
// 1935, Koh and Fortini 1973 (Int J Heat Mass Transfer 16:2013), Argento and Bouvard 1996 (39:1343) with D0 =
// 0.6; forms from memory.  Power 1.5: D sqrt D.  Montes with tap density 0.4 and exponent 1.5: ((D - 0.4) /
// 0.6)^1.5.  McLachlan with pores that carry nothing: ((D - 0.2) / 0.8)^1.8.
TEST_CASE("porous solids against three-digit values") {
  struct Row {
    double density;
    std::array<double, 7> K;
  };
  constexpr std::array<Row, 6> rows = {{{0.6, {0.500, 0.400, 0.217, 0.000, 0.465, 0.192, 0.287}},
                                        {0.7, {0.609, 0.550, 0.352, 0.330, 0.586, 0.354, 0.429}},
                                        {0.8, {0.727, 0.700, 0.556, 0.574, 0.716, 0.544, 0.596}},
                                        {0.9, {0.857, 0.850, 0.811, 0.794, 0.854, 0.761, 0.786}},
                                        {0.95, {0.927, 0.925, 0.925, 0.899, 0.926, 0.878, 0.890}},
                                        {0.99, {0.985, 0.985, 0.989, 0.980, 0.985, 0.975, 0.978}}}};
  for (const Row& row : rows) {
    for (std::size_t k = 0; k < usual_laws.size(); ++k) {
      CAPTURE(row.density);
      CAPTURE(name_of(usual_laws[k].kind));
      const double expected = std::max(row.K[k], least_relative_conductivity);
      CHECK(std::abs(relative_conductivity(usual_laws[k], row.density) - expected) <= 0.00051);
    }
  }
}

TEST_CASE("every law ends in the dense solid, never gains with pores, and never falls below the floor") {
  for (const PorousLaw& law : usual_laws) {
    CAPTURE(name_of(law.kind));
    CHECK(relative_conductivity(law, 1) == doctest::Approx(1).epsilon(1e-14));
    double before = 0;
    for (double D = 0.01; D <= 1; D += 0.01) {
      CAPTURE(D);
      const double K = relative_conductivity(law, D);
      CHECK(K >= least_relative_conductivity);
      CHECK(K <= 1);
      CHECK(K >= before);
      before = K;
    }
    CHECK(relative_conductivity(law, 0) == least_relative_conductivity);
  }
}

// Few spherical pores take 3/2 of their share (Maxwell 1873): exact for the first two and the power 3/2.  The
// others take exponent / (1 - start) of it, and Koh-Fortini once.
TEST_CASE("the first pores take what each law says") {
  constexpr double porosity = 1e-6;
  const std::array<double, 7> slopes = {1.5, 1.5, 1, 2, 1.5, 1.5 / 0.6, 1.8 / 0.8};
  for (std::size_t k = 0; k < usual_laws.size(); ++k) {
    CAPTURE(name_of(usual_laws[k].kind));
    const double lost = 1 - relative_conductivity(usual_laws[k], 1 - porosity);
    CHECK(lost / porosity == doctest::Approx(slopes[k]).epsilon(1e-4));
  }
}

// Hashin and Shtrikman 1962, J Appl Phys 33:3125: no isotropic body carries more than closed pores leave it.
TEST_CASE("closed pores hinder least; Koh-Fortini oversteps that by 0.6 % at most") {
  for (double D = 0.02; D <= 1; D += 0.01) {
    CAPTURE(D);
    CHECK(bruggeman(D) <= maxwell_eucken(D) + 1e-15);
    CHECK(power(D, 1.5) <= maxwell_eucken(D) + 1e-15);
    CHECK(montes(D, 0.4, 1.5) <= maxwell_eucken(D) + 1e-15);
    CHECK(koh_fortini(D) <= 1.006 * maxwell_eucken(D));
    if (D < 0.95) CHECK(koh_fortini(D) < maxwell_eucken(D));
  }
  CHECK(koh_fortini(0.977) > 1.005 * maxwell_eucken(0.977));
}

TEST_CASE("below its start a packing carries nothing") {
  CHECK(bruggeman(0.2) == 0);
  CHECK(argento_bouvard(0.59, 0.6) == 0);
  CHECK(montes(0.39, 0.4, 1.5) == 0);
  CHECK(general_effective_medium(0.19, 1, 0, 0.2, 1.8) == 0);
}

TEST_CASE("the general effective medium solves its own equation, whatever the contrast") {
  for (const double threshold : {0.16, 1.0 / 3, 0.6})
    for (const double exponent : {1.0, 1.65, 2.0, 4.0})
      for (const double low : {1e-30, 1e-12, 1e-3, 0.5, 1.0})
        for (double f = 0.005; f < 1; f += 0.045) {
          CAPTURE(threshold);
          CAPTURE(exponent);
          CAPTURE(low);
          CAPTURE(f);
          const double result = general_effective_medium(f, 1, low, threshold, exponent);
          CHECK(result >= low * (1 - 1e-12));
          CHECK(result <= 1 + 1e-12);
          const double a = (1 - threshold) / threshold, x = std::pow(result, 1 / exponent);
          const double s = std::pow(low, 1 / exponent);
          const double high_term = f * (1 - x) / (1 + a * x), low_term = (1 - f) * (s - x) / (s + a * x);
          CHECK(std::abs(high_term + low_term) <= 1e-9 * (std::abs(high_term) + std::abs(low_term)) + 1e-15);
        }
}

// Bruggeman 1935 for two phases in equal parts, 1 and 0.1: x^2 - x (1 + 0.1) / 4 - 0.1 / 2 = 0, x = 0.4.
TEST_CASE("the general effective medium in its limits") {
  CHECK(general_effective_medium(0.5, 1, 0.1, 1.0 / 3, 1) == doctest::Approx(0.4).epsilon(1e-12));
  CHECK(general_effective_medium(1, 2e6, 3, 0.2, 1.8) == doctest::Approx(2e6).epsilon(1e-12));
  CHECK(general_effective_medium(0, 2e6, 3, 0.2, 1.8) == doctest::Approx(3).epsilon(1e-9));
  CHECK(general_effective_medium(0.4, 5, 5, 0.2, 1.8) == doctest::Approx(5).epsilon(1e-12));
  CHECK(general_effective_medium(0.4, 7, 0.7, 0.2, 1.8) ==
        doctest::Approx(7 * general_effective_medium(0.4, 1, 0.1, 0.2, 1.8)).epsilon(1e-12));
  CHECK(general_effective_medium(0.4, 0, 0, 0.2, 1.8) == 0);
  for (double D = 0.35; D < 1; D += 0.05) {
    CHECK(general_effective_medium(D, 1, 0, 1.0 / 3, 1) == doctest::Approx(bruggeman(D)).epsilon(1e-12));
    CHECK(general_effective_medium(D, 1, 0, 0.3, 1.7) == doctest::Approx(montes(D, 0.3, 1.7)).epsilon(1e-12));
  }
  // A conductor in an insulator, 1e12 apart, wakes up at its threshold (TiN or TiC in a ceramic: 20-30 %,
  // Vanmeensel 2005, from memory).
  CHECK(general_effective_medium(0.15, 1, 1e-12, 0.25, 1.8) < 1e-11);
  CHECK(general_effective_medium(0.35, 1, 1e-12, 0.25, 1.8) > 1e-2);
}

// 4 sigma T^3 d at 1273 K and 100 um, worked out by hand: 0.0468 W/mK.  Loeb 1954, from memory.
TEST_CASE("radiation across pores") {
  CHECK(pore_radiation(1273, 1, 100e-6) == doctest::Approx(0.0468).epsilon(1e-3));
  CHECK(pore_radiation(1273, 0.5, 1e-6) == doctest::Approx(0.0468 / 200).epsilon(1e-3));
}

TEST_CASE("every law has a name of its own") {
  std::set<std::string> names;
  for (const Kind kind : porous_laws()) names.insert(name_of(kind));
  CHECK(names.size() == usual_laws.size());
}
