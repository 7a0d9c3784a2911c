// Current:   div( (1/rho) grad phi ) = 0
//
// phi [V] potential, rho [ohm m] resistivity (may differ along r and z), J = -(1/rho) grad phi [A/m2].
// Electrodes hold psi = 0 (low) and psi = 1 (high); other outer faces are insulated; contacts are resistances
// in series.  Solved once for unit voltage (psi), then scaled:  G = current at unit voltage [S],
// I = G U.  Neglected: inductance and skin effect (justified to 50 Hz and beyond for graphite; Pavia 2013).
// Discretisation: two-point fluxes with half-cell and contact resistances in series; on non-matching faces
// B^T G B with linear traces.  Joule heat is formed face by face and shared by resistance, so that its sum is
// I x U to rounding.  The linear system is solved by conjugate gradients preconditioned with a kept factor
// of the two-point matrix: psi hardly notices a uniform change of conductivity.
// Tests: tests/verification/test_electric.cpp.
#pragma once

#include <span>
#include <vector>

#include "solver/factor.hpp"
#include "solver/problem.hpp"
#include "solver/properties.hpp"

namespace joulepress::solver {

/// Links (in cells) of the two-point pattern: inner faces, then pair faces.
std::vector<Link> face_links(const Problem& problem);

/// True when some outer face is an electrode of each pole.
bool has_electrodes(const Problem& problem);

/// Value at unit voltage that an electrode holds on an outer face [-]; NaN where it is insulated.
double electrode_value(const Problem& problem, const mesh::OuterFace& face);

/// Conductance per face [S].
struct ElectricFaces {
  std::vector<double> inner, pair, outer;
};

void electric_conductances(const Problem& problem, const Properties& properties, ElectricFaces& out);

MatrixValues electric_matrix(const Problem& problem, const ElectricFaces& faces);

/// Net current leaving each cell at unit voltage [A], zero for the exact psi.
void electric_residual(const Problem& problem, const ElectricFaces& faces, std::span<const double> psi,
                       CellField& out);

struct PotentialOutcome {
  bool converged = false;
  int iterations = 0;
  double residual = 0;  ///< sum over cells of |net current| / G [-]
};

/// Improves psi until the residual is below `tolerance` (relative to the terminal current).
PotentialOutcome solve_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                                 double tolerance, CellField& psi);

/// Current at unit voltage, read at the low and at the high electrode [S].
struct TerminalCurrents {
  double low = 0, high = 0;
};
TerminalCurrents terminal_currents(const Problem& problem, const ElectricFaces& faces,
                                   std::span<const double> psi);

/// Joule heat per cell at unit voltage [W/V2].  Contact heat goes half to each side.  Returns the part that
/// is made in contacts.
double joule_heat(const Problem& problem, const Properties& properties, const ElectricFaces& faces,
                  std::span<const double> psi, CellField& out);

/// Value that a side brings to the middle of its piece.
inline double trace_of(const mesh::Trace& trace, std::span<const double> values) {
  double sum = 0.0;
  for (int k = 0; k < trace.count; ++k) sum += trace.weights[k] * values[trace.cells[k]];
  return sum;
}

/// Gives a flow through a piece back to the cells of its trace.
inline void give_back(const mesh::Trace& trace, double flow, std::span<double> out) {
  for (int k = 0; k < trace.count; ++k) out[trace.cells[k]] += trace.weights[k] * flow;
}

/// Normal of a side.
inline mesh::Axis normal_of(mesh::Side side) {
  return side == mesh::Side::inner || side == mesh::Side::outer ? mesh::Axis::r : mesh::Axis::z;
}

}  // namespace joulepress::solver
