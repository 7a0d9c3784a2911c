// Heat:   dH/dt = div( k grad T ) + Joule + sources
//
// H [J] enthalpy per cell, k [W/(m K)] (may differ along r and z), q = -k grad T.
// At every face where something radiates, is cooled, or touches imperfectly the surface has its own
// temperature, solved with the half cell in series (half a millimetre is several kelvin at 1500 degC):
//   outer face:  (T - x)/R = A h (x - Tf) + A h_g(x) (x - Tc) + B s x^4 - G
//   pair face:   (Ta - x)/Ra = p = (y - Tb)/Rb,  p = A [ h (x - y) + s f (x^4 - y^4) ]
// s = Stefan-Boltzmann constant, f = exchange factor of a narrow gap or an imperfect touch; B area in effect
// and G radiation taken from all other walls and the chamber (solver/enclosure.hpp), or, where walls do not
// exchange, A e and A e s Tc^4; h_g natural convection to a gas as hot as the chamber's wall.  The x of all
// outer faces are found together.
// Fluxes: mesh/reconstruction.hpp.  Matrix: two-point conductances, radiation linearised.  Energy is
// conserved by construction: every flow leaves one cell and enters another or the ledger.  Tests:
// tests/verification/test_thermal.cpp.
#pragma once

#include <span>

#include "solver/factor.hpp"
#include "solver/problem.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// Flows [W] that leave the stack, positive outward, and what enters.
struct HeatFlows {
  CellField into_cells;         ///< net conduction and surface flow into each cell, no Joule heat
  std::vector<double> outer;    ///< through each outer face
  CellField values;             ///< temperatures of cells, then mean ones of edges
  double chamber = 0;           ///< temperature of the chamber's wall and of its gas then [K]
  double source = 0;            ///< prescribed volumetric heat
  double source_magnitude = 0;  ///< the same, heats and colds of the cells counted positive
};

/// Net flow into every cell at the temperatures and time t, solving the surface balances (start values and
/// result in `edges`).
void heat_flows(const Problem& problem, const Properties& properties, std::span<const double> temperature,
                double t, EdgeTemperatures& edges, HeatFlows& out);

/// Conductance from a cell to its surface [W/K].
double half_conductance(const Properties& properties, const mesh::FaceSide& side,
                        const mesh::SideStencil& row);

/// What leaves an outer surface at x more per kelvin of its own [W/K]; infinity where x is held.
double leaving_slope(const Problem& problem, std::size_t face, double chamber, double x);

/// Linearised two-point conductances at the present surface temperatures.
HeatFaces heat_conductances(const Problem& problem, const Properties& properties, double chamber,
                            const EdgeTemperatures& edges);

/// capacity + gamma_dt * conductances, as a matrix on the face links.
MatrixValues heat_matrix_values(const Problem& problem, const HeatMatrix& matrix);

/// Adds to the flows what the linearised conductances (times `ratio`) carry for the correction dT [K] of the
/// last solve: these are the fluxes that were solved for, and H advanced by them conserves to rounding.
void add_linear_flows(const Problem& problem, const HeatFaces& faces, double ratio,
                      std::span<const double> dT, HeatFlows& flows);

/// Sums of the flows by path [W].
struct Losses {
  double radiation = 0, film = 0, fixed = 0, gas = 0;
};
Losses losses_of(const Problem& problem, const HeatFlows& flows, const EdgeTemperatures& edges);

/// Splits what leaves through an outer face by what carries it at the surface temperature x.
Losses split_outer(const Problem& problem, const HeatFlows& flows, std::size_t face, double x);

}  // namespace joulepress::solver
