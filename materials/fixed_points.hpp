// Melting points that need no sensor: pure metals, and metals that melt together with carbon.
//
// A bead of metal in the powder, or a ring around it, melts at a temperature that is known to a kelvin or so,
// whatever the sensors of the press read at that moment.  But a press is full of graphite: a metal that takes
// up carbon melts with it at the eutectic, nickel 126 K below its own point, and one that forms a carbide
// does not melt there at all.  Copper, silver, gold, aluminium (slowly a carbide, from memory), germanium,
// tin, zinc, indium and antimony keep theirs beside graphite.
//
// Sources: ITS-90, Preston-Thomas 1990, Metrologia 27:3, table 1, for the points that define the scale;
// secondary points on it, Bedford et al. 1996, Metrologia 33:133 (from memory); eutectics with carbon,
// Yamada et al. 1999 and 2001, Metrologia 36:207 and 38:213, Machin 2013, Metrologia 50 (all from memory).
// Tests: tests/materials/test_fixed_points.cpp.
#pragma once

#include <span>
#include <string_view>

namespace joulepress::materials {

struct FixedPoint {
  std::string_view name;    ///< as written in a map: nickel, nickel-carbon
  std::string_view symbol;  ///< the same in letters: Ni, Ni-C
  double temperature = 0;   ///< K, at which it melts
  /// Of a pure metal the point that holds in touch with graphite; empty: its own.
  std::string_view beside_carbon = {};
  bool carbide = false;  ///< beside graphite it becomes a carbide, which melts with carbon at that point
};

/// In the order of their groups: pure metals by temperature, then those with carbon.
std::span<const FixedPoint> fixed_points();

/// By name or symbol; null when there is none.
const FixedPoint* find_fixed_point(std::string_view name);

}  // namespace joulepress::materials
