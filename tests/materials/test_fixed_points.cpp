// Melting points against their tables, and which of them carbon changes.
#include <doctest/doctest.h>

#include <cmath>
#include <set>
#include <string>

#include "materials/fixed_points.hpp"
#include "tests/support/record.hpp"

using namespace joulepress::materials;

TEST_CASE("fixed points: those that define the scale stand as in ITS-90") {
  struct Known {
    const char* name;
    double kelvin;
  };
  // ITS-90, Preston-Thomas 1990, Metrologia 27:3, table 1
  for (const Known& known : {Known{"indium", 429.7485},
                             {"tin", 505.078},
                             {"zinc", 692.677},
                             {"aluminium", 933.473},
                             {"silver", 1234.93},
                             {"gold", 1337.33},
                             {"copper", 1357.77}}) {
    CAPTURE(known.name);
    const FixedPoint* point = find_fixed_point(known.name);
    REQUIRE(point != nullptr);
    joulepress::test::compare({std::string("melting point of ") + known.name, "ITS-90, table 1", known.kelvin,
                               point->temperature, 1e-4, "K", "table of fixed points"});
    CHECK(point->beside_carbon.empty());  // none of them takes up carbon
  }
}

TEST_CASE("fixed points: beside graphite a metal that takes up carbon melts at its eutectic") {
  const FixedPoint* nickel = find_fixed_point("nickel");
  REQUIRE(nickel != nullptr);
  const FixedPoint* eutectic = find_fixed_point(nickel->beside_carbon);
  REQUIRE(eutectic != nullptr);
  CHECK(eutectic->name == "nickel-carbon");
  // Nickel with carbon 1329 degC (Yamada et al. 1999, Metrologia 36:207, from memory), pure 1455 degC
  // (Bedford et al. 1996, Metrologia 33:133, from memory).
  CHECK(std::abs(nickel->temperature - eutectic->temperature - 126.0) <= 0.5);
  // Co 1495 - 1324.2, Fe 1538 - 1153, Pd 1554.8 - 1492, Pt 1768.2 - 1738.3 (the same sources, from memory)
  struct Lower {
    const char* name;
    double by;  // K
  };
  for (const Lower& lower :
       {Lower{"cobalt", 170.8}, {"iron", 385.0}, {"palladium", 62.8}, {"platinum", 29.9}}) {
    CAPTURE(lower.name);
    const FixedPoint* metal = find_fixed_point(lower.name);
    REQUIRE(metal != nullptr);
    CHECK(std::abs(metal->temperature - find_fixed_point(metal->beside_carbon)->temperature - lower.by) <=
          0.05);
  }
}

TEST_CASE("fixed points: the table holds together") {
  std::set<std::string_view> names;
  for (const FixedPoint& point : fixed_points()) {
    CAPTURE(point.name);
    CHECK(names.insert(point.name).second);
    CHECK(names.insert(point.symbol).second);
    CHECK(find_fixed_point(point.symbol) == &point);
    if (point.beside_carbon.empty()) {
      CHECK_FALSE(point.carbide);
      continue;
    }
    const FixedPoint* beside = find_fixed_point(point.beside_carbon);
    REQUIRE(beside != nullptr);
    CHECK(beside->beside_carbon.empty());
    // A eutectic lies below the metal; a carbide may melt above or below it.
    if (!point.carbide) CHECK(beside->temperature < point.temperature);
  }
  CHECK(find_fixed_point("unobtainium") == nullptr);
}
