#include "materials/fixed_points.hpp"

#include <array>

namespace joulepress::materials {
namespace {

constexpr double zero_celsius = 273.15;  // K

constexpr FixedPoint keeps(std::string_view name, std::string_view symbol, double celsius) {
  return {name, symbol, zero_celsius + celsius};
}
constexpr FixedPoint eutectic(std::string_view name, std::string_view symbol, double celsius,
                              std::string_view beside_carbon) {
  return {name, symbol, zero_celsius + celsius, beside_carbon};
}
constexpr FixedPoint carbide(std::string_view name, std::string_view symbol, double celsius,
                             std::string_view beside_carbon) {
  return {name, symbol, zero_celsius + celsius, beside_carbon, true};
}

constexpr std::array table_of_points{
    // ITS-90, table 1
    keeps("indium", "In", 156.5985),
    keeps("tin", "Sn", 231.928),
    keeps("zinc", "Zn", 419.527),
    keeps("aluminium", "Al", 660.323),
    keeps("silver", "Ag", 961.78),
    keeps("gold", "Au", 1064.18),
    keeps("copper", "Cu", 1084.62),
    // Bedford 1996 (from memory)
    keeps("antimony", "Sb", 630.63),
    keeps("germanium", "Ge", 938.2),
    eutectic("nickel", "Ni", 1455.0, "nickel-carbon"),
    eutectic("cobalt", "Co", 1495.0, "cobalt-carbon"),
    eutectic("iron", "Fe", 1538.0, "iron-carbon"),
    eutectic("palladium", "Pd", 1554.8, "palladium-carbon"),
    carbide("titanium", "Ti", 1668.0, "titanium carbide-carbon"),
    eutectic("platinum", "Pt", 1768.2, "platinum-carbon"),
    carbide("zirconium", "Zr", 1855.0, "zirconium carbide-carbon"),
    eutectic("rhodium", "Rh", 1963.0, "rhodium-carbon"),
    eutectic("ruthenium", "Ru", 2334.0, "ruthenium-carbon"),
    eutectic("iridium", "Ir", 2446.0, "iridium-carbon"),
    carbide("molybdenum", "Mo", 2622.0, "molybdenum carbide-carbon"),
    eutectic("rhenium", "Re", 3185.0, "rhenium-carbon"),
    carbide("tungsten", "W", 3414.0, "tungsten carbide-carbon"),
    // Yamada 1999 and 2001, Machin 2013 (from memory)
    keeps("iron-carbon", "Fe-C", 1153.0),
    keeps("cobalt-carbon", "Co-C", 1324.2),
    keeps("nickel-carbon", "Ni-C", 1329.0),
    keeps("palladium-carbon", "Pd-C", 1492.0),
    keeps("rhodium-carbon", "Rh-C", 1657.0),
    keeps("platinum-carbon", "Pt-C", 1738.3),
    keeps("ruthenium-carbon", "Ru-C", 1953.0),
    keeps("iridium-carbon", "Ir-C", 2290.0),
    keeps("rhenium-carbon", "Re-C", 2474.7),
    keeps("molybdenum carbide-carbon", "MoC-C", 2583.0),
    keeps("tungsten carbide-carbon", "WC-C", 2749.0),  // a peritectic
    keeps("titanium carbide-carbon", "TiC-C", 2761.0),
    keeps("zirconium carbide-carbon", "ZrC-C", 2882.0),
};

}  // namespace

std::span<const FixedPoint> fixed_points() {
  return table_of_points;
}

const FixedPoint* find_fixed_point(std::string_view name) {
  for (const FixedPoint& point : table_of_points)
    if (point.name == name || point.symbol == name) return &point;
  return nullptr;
}

}  // namespace joulepress::materials
