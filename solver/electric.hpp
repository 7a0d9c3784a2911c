// Current:   div( (1/rho) grad phi ) = 0
//
// phi [V] potential, rho [ohm m] resistivity (may differ along r and z), J = -(1/rho) grad phi [A/m2].
// Electrodes hold psi = 0 (low) and psi = 1 (high); other outer faces are insulated; contacts are resistances
// in series.  Solved once for unit voltage (psi), then scaled:  G = current at unit voltage [S],
// I = G U.  Neglected: inductance and skin effect (justified to 50 Hz and beyond for graphite; Pavia 2013).
// Discretisation: mesh/reconstruction.hpp; half-cell and contact resistances in series.  The matrix is the
// two-point one; psi is improved by solving it for the net currents that the true fluxes leave in the cells.
// What the last correction carries is added to the currents: they close in every cell to rounding, however
// loose the tolerance.  Joule heat of a cell is the sum of current times (psi of the cell - psi on the face)
// over its faces: as exact as the fluxes, and its sum over the stack is I x U to rounding. Tests:
// tests/verification/test_electric.cpp.
#pragma once

#include <span>
#include <vector>

#include "solver/factor.hpp"
#include "solver/problem.hpp"
#include "solver/properties.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// Links (in cells) of the two-point pattern: inner faces, then pair faces.
std::vector<Link> face_links(const Problem& problem);

/// True when some outer face is an electrode of each pole.
bool has_electrodes(const Problem& problem);

/// Value at unit voltage that an electrode holds on an outer face [-]; NaN where it is insulated.
double electrode_value(const Problem& problem, const mesh::OuterFace& face);

void electric_conductances(const Problem& problem, const Properties& properties, ElectricFaces& out);

MatrixValues electric_matrix(const Problem& problem, const ElectricFaces& faces);

/// Currents at unit voltage [S], from a to b and out of the stack, with the potentials of the edges [-].
struct Currents {
  std::vector<double> inner, pair, outer;
  std::vector<double> edge_a, edge_b, edge_outer;
  std::vector<double> on_face;  ///< psi on inner faces [-]
  CellField values;  ///< psi of cells, then mean psi of edges: what the rows' polynomials run through
  CellField net;     ///< what leaves each cell, zero but for rounding once the currents are closed
  CellField change;  ///< last correction of psi [-]
};

/// Currents that belong to psi, and their net (zero for the exact psi).
void electric_currents(const Problem& problem, const ElectricFaces& faces, std::span<const double> psi,
                       Currents& currents);

/// The psi of the two-point conductances that the factor was formed from: a smooth start for the corrections.
void start_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                     CellField& psi);

/// Corrects psi once, with a factor formed from `kept`, and leaves the currents that close: those of psi as
/// it came and what `kept` carries for its change.  Returns the size of the correction: root of its power
/// over the stack's [-].
double correct_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                         const ElectricFaces& kept, CellField& psi, Currents& currents);

/// Whether corrections have come down to an error below the tolerance, all measured like their size.
bool potential_settled(double change, double contraction, double tolerance);

struct PotentialOutcome {
  bool converged = false;
  int iterations = 0;
  double change = 0;  ///< size of the last correction [-]
};

/// Corrects psi until it has settled; where it does not, psi is left as it came.
PotentialOutcome solve_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                                 const ElectricFaces& kept, double tolerance, CellField& psi,
                                 Currents& currents);

/// Sum over cells of |net current| / G [-].
double charge_imbalance(const Problem& problem, const Currents& currents);

/// Current at unit voltage, through the low and through the high electrode [S].
struct TerminalCurrents {
  double low = 0, high = 0;
};
TerminalCurrents terminal_currents(const Problem& problem, const Currents& currents);

/// Joule heat per cell at unit voltage [W/V2].  Contact heat goes half to each side.  Returns the part that
/// is made in contacts.
double joule_heat(const Problem& problem, const Currents& currents, std::span<const double> psi,
                  CellField& out);

/// Normal of a side.
inline mesh::Axis normal_of(mesh::Side side) {
  return side == mesh::Side::inner || side == mesh::Side::outer ? mesh::Axis::r : mesh::Axis::z;
}

}  // namespace joulepress::solver
