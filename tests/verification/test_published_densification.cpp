// The kinetics as shipped against published end densities, nothing tuned: at one point, at the stated
// temperature and pressure, from 60 % where no start density is stated.  What is bracketed and what is missed
// is written in docs/densification-against-published.md, with what the sources do not state.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <string>

#include "cases/reader/material_reader.hpp"
#include "materials/powder.hpp"
#include "solver/compaction.hpp"

using namespace joulepress;

namespace {

struct Pressing {
  const char* material;
  double celsius, pressure, seconds, start;
  std::optional<double> grain;  ///< m
};

/// Density at the end with the rate times a factor and the temperature off by some kelvin.
double end_density(const Pressing& how, double factor, double off) {
  const materials::Material m = cases::read_material(cases::shipped_material(how.material));
  const double T = how.celsius + 273.15 + off;
  double D = how.start;
  if (m.yield_strength) {
    const double touching = materials::loose_density(m, 293.15, how.start, 16e6);
    double low = how.start, high = 1 - 1e-9;
    for (int k = 0; k < 60; ++k) {
      const double middle = 0.5 * (low + high);
      (materials::yield_pressure(m, T, middle, touching) < how.pressure ? low : high) = middle;
    }
    D = low;
  }
  double L = solver::L_of(D);
  for (double time = 0; time < how.seconds && L < solver::dense_L;) {
    D = solver::relative_density(L);
    const double sintering = how.grain ? materials::sintering_stress(m, 0.5 * *how.grain, T, D) : 0.0;
    const double slope =
        factor * materials::closing_rate(m, {how.pressure + sintering, T, D, how.grain}) * D / (1 - D);
    const double dt = std::min(how.seconds - time + 1e-9, 2e-3 / slope);
    L += dt * slope;
    time += dt;
  }
  return solver::relative_density(std::min(L, solver::dense_L));
}

/// As shipped, and from the slow and cold to the fast and hot side of what is not known.
struct Range {
  double low, middle, high;
};
Range range_of(const Pressing& how) {
  const materials::Material m = cases::read_material(cases::shipped_material(how.material));
  const double factor = m.creep[0].uncertainty.size;
  return {end_density(how, 1 / factor, -50), end_density(how, 1, 0), end_density(how, factor, 50)};
}

}  // namespace

TEST_CASE("published end densities that the shipped kinetics bracket") {
  // Alumina, crystallites to 50 nm, 0.53 at the start, 500 MPa, 1200 degC, 20 min: 0.9996, grains of 0.32 um
  // at the end (Ghanizadeh and others 2017, Ceram Int 43:275).  The grains of the end say least.
  const Range alumina = range_of({"alumina", 1200, 500e6, 1200, 0.53, 0.32e-6});
  CHECK(alumina.low < 0.9996);
  CHECK(alumina.high > 0.9996);
  CHECK(alumina.middle > 0.999);
  // Tungsten of 0.6 to 0.9 um, 85 MPa, 2000 degC, 30 min: 0.985 (Int J Refract Met Hard Mater 31:114, 2012).
  const Range tungsten = range_of({"tungsten", 2000, 85e6, 1800, 0.6, 0.75e-6});
  CHECK(tungsten.low < 0.985);
  CHECK(tungsten.high > 0.985);
  CHECK(std::abs(tungsten.middle - 0.985) < 0.03);
}

TEST_CASE("published end densities that the shipped kinetics miss, and by how much") {
  // A check of what is said of the misses: when a better law closes one of them, this test tells.
  // Copper of reduced nanometre powder, 60 MPa, 5 min: 0.87 at 450 degC, 0.92 at 600 degC (Rosinski and
  // others, E-MRS Fall 2005).  Ours yields like annealed coarse copper and comes out denser.
  for (const auto& [celsius, published] : {std::pair{450.0, 0.87}, std::pair{600.0, 0.92}}) {
    const Range copper = range_of({"copper", celsius, 60e6, 300, 0.6, 80e-9});
    CHECK(copper.middle - published > 0.05);
    CHECK(copper.middle - published < 0.10);
  }
  // Tungsten of exploded wire, 50 MPa, 1600 degC, 1 h: 0.97 (Kim and others 2014, J Powder Mater 21:447).
  // Ours knows dislocation creep only; fine grains close by diffusion.
  const Range tungsten = range_of({"tungsten", 1600, 50e6, 3600, 0.6, 1e-6});
  CHECK(tungsten.high < 0.97 - 0.2);
}
