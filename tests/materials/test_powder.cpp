// A powder as a whole: oxide film, kinetics that change with density, isostatic laws.
#include <doctest/doctest.h>

#include <cmath>

#include "materials/powder.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::materials;
using joulepress::test::relative;

namespace {

Material metal() {
  Material m;
  m.resistivity.along.curve = Curve::constant(4e-7);
  m.porous.current = {PorousLaw::Kind::koh_fortini, 0, 0, 0};
  return m;
}

Material filmed_metal() {
  Material m = metal();
  m.oxide_film.emplace();
  m.oxide_film->resistivity = 1e-5;
  m.oxide_film->gone_from = 600;
  m.oxide_film->gone_to = 800;
  return m;
}

}  // namespace

TEST_CASE("oxide film: in series with the grains until it breaks, then gone for good") {
  const Material m = filmed_metal();
  // Two resistances in series add; Koh and Fortini 1973 give 0.352 at D = 0.7.
  const double bare = 4e-7 / 0.3518;
  CHECK(powder_resistivity(m, 500, 0.7, 1.0) == relative(1e-5 + bare, 1e-3));
  CHECK(powder_resistivity(m, 500, 0.7, 0.0) == relative(powder_resistivity(metal(), 500, 0.7, 0.0)));
  CHECK(powder_resistivity(metal(), 500, 0.7, 1.0) == powder_resistivity(metal(), 500, 0.7, 0.0));
  // Half of it: the geometric mean, between touches in parallel and touches in series.
  const double with = powder_resistivity(m, 500, 0.7, 1.0), without = powder_resistivity(m, 500, 0.7, 0.0);
  const double half = powder_resistivity(m, 500, 0.7, 0.5);
  CHECK(half == relative(std::sqrt(with * without)));
  CHECK(half > 2 / (1 / with + 1 / without));
  CHECK(half < (with + without) / 2);
}

TEST_CASE("oxide film: what is left falls from 1 to 0 through its window, without a kink") {
  const Material m = filmed_metal();
  CHECK(film_left(m, 300) == 1.0);
  CHECK(film_left(m, 600) == 1.0);
  CHECK(film_left(m, 700) == relative(0.5));
  CHECK(film_left(m, 800) == 0.0);
  CHECK(film_left(m, 2000) == 0.0);
  CHECK(film_left(metal(), 300) == 0.0);
  for (double T = 601; T < 800; T += 1) CHECK(film_left(m, T) < film_left(m, T - 1));
  for (const double edge : {600.0, 800.0})  // slopes on both sides within 1e-3 K of the edges, per kelvin
    CHECK(std::abs(film_left(m, edge + 1e-3) - film_left(m, edge - 1e-3)) / 2e-3 < 1e-6);
}
