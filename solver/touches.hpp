// What touches resist and conduct under the pressure and at the temperature they have.
//
//   1/R = f s(T)/s(T_ref) / R_ref,   h = f k(T)/k(T_ref) h_ref,   f = (P / P_ref)^0.95 (solver/closure.hpp)
// R_ref, h_ref what the case gives for P_ref = 20 MPa; s, k harmonic means of the electrical and heat
// conductivities of the two solids (of one where the other is a powder, whose grains touch the tool with the
// tool's own hardness), T mean of the two surfaces, T_ref = 1000 degC, where published totals were fitted in
// hot runs (own choice).  P:
//   axial                the force over the area of the contact, never below 0.1 MPa (own choice)
//   powder and wall      side pressure of the bed, mean over its height; of a powder that does not densify
//   half
//                        the axial pressure (own choice, no source)
//   punch and die        lateral pressure as they close on the foil between; P_ref is there what the same
//                        formula gives cold under 20 MPa, so that the published total holds under that
//                        pressure
// Sleeves further out keep what the case gives.  Across a gap the gas in the chamber conducts
// (materials/gas.hpp) at the mean of the two surface temperatures, in parallel to radiation; that walls of a
// gap may be curved counts for (gap/r)^2 / 12.  Source of the law: Cooper, Mikic and Yovanovich, from memory.
// Tests: tests/solver/test_touches.cpp.
#pragma once

#include "solver/compaction.hpp"
#include "solver/properties.hpp"

namespace joulepress::solver {

inline constexpr double published_pressure = 20e6;  ///< Pa, to which the totals of a case belong
inline constexpr double standing_pressure = 1e5;    ///< Pa: a stack that stands at all touches (own choice)

/// What presses on touches at one instant.
struct TouchLoads {
  double force = 0;                   ///< on the column [N]
  std::vector<double> side_pressure;  ///< per Problem::beds [Pa]; empty: not known
};

/// Loads at a time of the force's programme.
TouchLoads loads_of(const Problem& problem, double force_time, std::span<const Closing> closings);

/// Fills Properties::touch_resistance and touch_conductance, one per pair face; leaves them empty where
/// touches do not follow and no gas is there.  `pair_a`, `pair_b`: surface temperatures [K].
void touches_at(const Problem& present, std::span<const double> temperature, std::span<const double> pair_a,
                std::span<const double> pair_b, const TouchLoads& loads, Properties& out);

/// The law of a pair face as touches are at present.
ContactLaw law_of(const Problem& present, const Properties& properties, std::size_t face);

}  // namespace joulepress::solver
