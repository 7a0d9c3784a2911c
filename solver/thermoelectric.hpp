// Thermoelectric heat:   J = -(1/rho) (grad phi + S grad T),   q = -k grad T + S T J
//
// S [V/K] Seebeck coefficient (of rams and of materials without one 0), phi [V] potential, rho [ohm m]
// resistivity, J [A/m2] current density, q [W/m2] heat flux.  Beside Joule heat the current then makes
//   -T J . grad S   [W/m3]     Thomson heat inside a material, Peltier heat where two meet
// which changes its sign with the current (Onsager's relations; textbook, from memory).  Current runs along
// links: cell -> face -> cell inside a block, cell -> its surface -> surface of the other -> cell where two
// touch, cell -> surface -> ram at an electrode.  Along a link from m to n with the current I it makes
//   heat  I h,   h = -(T_m + T_n)/2 (S_n - S_m)
// and works against the Seebeck voltage  (S_m + S_n)/2 (T_n - T_m).
// The two differ by [T S] from m to n, which cancels along any way through the stack: so the sum of h over
// the links, each weighted with its share of the terminal current, is the Seebeck voltage E between the
// terminals, and what the terminals deliver is  s/G + I E  to rounding.
//
// I is the mean current, with its sign: positive from the high electrode to the low one.  Of pulses heat
// follows the mean current, Joule heat s = I_e^2 the effective one (solver/pulse.hpp).
//
// Heat of a surface comes to be on the surface: it raises it by dx, and what flows back into the cells and
// across follows from the conductances at hand, radiation linearised.  Where two materials meet, half of it
// is made on each of the two surfaces.
//
// E is exact whatever currents circulate inside: weighted with the flow of a terminal current they drop out
// of  integral( J . rho J_1 )  (reciprocity).  Neglected is the heat of those that circulate: where materials
// meet along a surface that is hotter by dT at one end, S dT drives a current around; beside the one from the
// terminals it is about  S dT / (rho J L),  L the way through the powder [calculated: 200 uV/K and 30 K are
// 6 mV; of the 0.5 V over 5 mm of 100 uohm m at 1 A/mm2 that is 1 %, of the 50 mV with 10 uohm m 12 %].
// Without a current it is all there is.
// S of a powder is that of its solid whatever its density: where no current flows grad phi = -S grad T holds
// in every grain, so pores change nothing.
// Tests: tests/verification/test_thermoelectric.cpp.
#pragma once

#include <span>

#include "solver/electric.hpp"
#include "solver/thermal.hpp"

namespace joulepress::solver {

/// Mean current with its sign, positive from the high electrode to the low one [A].
double signed_current(const Problem& problem, double current_squared);

struct Thermoelectric {
  double voltage = 0;  ///< Seebeck voltage that the current from high to low has to overcome [V]
  double power = 0;    ///< sum of the heats, what the terminals do against that voltage [W]
};

/// Adds the heats to the flows, and to the surface temperatures and flows what follows from those on
/// surfaces.  Both come as heat_flows left them, the currents at unit voltage with their conductance [S];
/// `current` is signed.
Thermoelectric add_thermoelectric_heat(const Problem& problem, const Properties& properties,
                                       const Currents& currents, double conductance, double current,
                                       std::span<const double> temperature, EdgeTemperatures& edges,
                                       HeatFlows& flows);

/// Voltage at the terminals [V], effective: <(R i + E)^2> of a current with the effective voltage R I_e, the
/// mean R I_m and E > 0 against it.
double with_seebeck(double effective, double mean, double seebeck);

}  // namespace joulepress::solver
