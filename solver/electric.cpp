#include "solver/electric.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/touches.hpp"

namespace joulepress::solver {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

double along(const CellField& in_r, const CellField& in_z, mesh::Axis axis, int cell) {
  return axis == mesh::Axis::r ? in_r[cell] : in_z[cell];
}

double rho(const Properties& p, mesh::Axis axis, int cell) {
  return along(p.electric_resistivity_r, p.electric_resistivity_z, axis, cell);
}

/// Resistance from the cell's values to the edge.
double half_resistance(const Properties& p, const mesh::FaceSide& side, const mesh::SideStencil& row) {
  const CellField& resistivity =
      normal_of(side.side) == mesh::Axis::r ? p.electric_resistivity_r : p.electric_resistivity_z;
  return row.path * mesh::at_edge(side.cell, row, resistivity);
}

}  // namespace

double electrode_value(const Problem& problem, const mesh::OuterFace& face) {
  const int block = problem.mesh.block_of[face.a.cell];
  switch (problem.sides[block][static_cast<int>(face.a.side)].electrode) {
    case Electrode::low:
      return 0.0;
    case Electrode::high:
      return 1.0;
    case Electrode::none:
      break;
  }
  return std::nan("");
}

std::vector<Link> face_links(const Problem& problem) {
  std::vector<Link> links;
  links.reserve(problem.mesh.inner_faces.size() + problem.interfaces.pair_faces.size());
  for (const mesh::InnerFace& f : problem.mesh.inner_faces) links.push_back({f.a, f.b});
  for (const mesh::PairFace& f : problem.interfaces.pair_faces) links.push_back({f.a.cell, f.b.cell});
  return links;
}

bool has_electrodes(const Problem& problem) {
  bool low = false, high = false;
  for (const mesh::OuterFace& face : problem.interfaces.outer_faces) {
    const double value = electrode_value(problem, face);
    low = low || value == 0.0;
    high = high || value == 1.0;
  }
  return low && high;
}

void electric_conductances(const Problem& problem, const Properties& p, ElectricFaces& out) {
  const auto& inner = problem.mesh.inner_faces;
  const auto& pairs = problem.interfaces.pair_faces;
  const auto& outer = problem.interfaces.outer_faces;
  out.inner.resize(inner.size());
  out.pair.resize(pairs.size());
  out.outer.resize(outer.size());
  for (std::size_t f = 0; f < inner.size(); ++f) {
    const mesh::InnerFace& face = inner[f];
    out.inner[f] =
        1.0 / (face.path_a * rho(p, face.normal, face.a) + face.path_b * rho(p, face.normal, face.b));
  }
  out.half_a.resize(pairs.size());
  out.half_b.resize(pairs.size());
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    const mesh::PairFace& face = pairs[f];
    if (face.area == 0.0) {  // not there at present
      out.half_a[f] = out.half_b[f] = out.pair[f] = 0.0;
      continue;
    }
    const double touch = law_of(problem, p, f).electric_resistance / face.area;
    out.half_a[f] = half_resistance(p, face.a, problem.rows.pair_a[f]);
    out.half_b[f] = half_resistance(p, face.b, problem.rows.pair_b[f]);
    out.pair[f] = 1.0 / (out.half_a[f] + touch + out.half_b[f]);
  }
  out.half_outer.resize(outer.size());
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::OuterFace& face = outer[f];
    const bool electrode = !std::isnan(electrode_value(problem, face));
    out.half_outer[f] = electrode ? half_resistance(p, face.a, problem.rows.outer[f]) : infinity;
    out.outer[f] = 1.0 / out.half_outer[f];
  }
}

MatrixValues electric_matrix(const Problem& problem, const ElectricFaces& faces) {
  MatrixValues m;
  m.diagonal.assign(problem.mesh.volume.size(), 0.0);
  m.coupling.reserve(faces.inner.size() + faces.pair.size());
  const auto couple = [&](int a, int b, double g) {
    m.diagonal[a] += g;
    m.diagonal[b] += g;
    m.coupling.push_back(-g);
  };
  for (std::size_t f = 0; f < faces.inner.size(); ++f)
    couple(problem.mesh.inner_faces[f].a, problem.mesh.inner_faces[f].b, faces.inner[f]);
  for (std::size_t f = 0; f < faces.pair.size(); ++f)
    couple(problem.interfaces.pair_faces[f].a.cell, problem.interfaces.pair_faces[f].b.cell, faces.pair[f]);
  for (std::size_t f = 0; f < faces.outer.size(); ++f)
    m.diagonal[problem.interfaces.outer_faces[f].a.cell] += faces.outer[f];
  return m;
}

void electric_currents(const Problem& problem, const ElectricFaces& faces, std::span<const double> psi,
                       Currents& currents) {
  CellField& net = currents.net;
  const auto& inner = problem.mesh.inner_faces;
  const auto& pairs = problem.interfaces.pair_faces;
  const auto& outer = problem.interfaces.outer_faces;
  const mesh::Reconstruction& rows = problem.rows;
  const std::size_t n = psi.size();
  currents.inner.resize(inner.size());
  currents.on_face.resize(inner.size());
  currents.pair.resize(pairs.size());
  currents.edge_a.resize(pairs.size());
  currents.edge_b.resize(pairs.size());
  currents.outer.resize(outer.size());
  currents.edge_outer.resize(outer.size());
  currents.values.assign(n + static_cast<std::size_t>(rows.n_edges), 0.0);
  std::copy(psi.begin(), psi.end(), currents.values.begin());
  net.assign(n, 0.0);
  double* const edges = currents.values.data() + n;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    const mesh::PairFace& face = pairs[f];
    const mesh::SideStencil &a = rows.pair_a[f], &b = rows.pair_b[f];
    const double at_a = mesh::trace_of(face.a.trace, a, psi, mesh::Parity::odd),
                 at_b = mesh::trace_of(face.b.trace, b, psi, mesh::Parity::odd);
    const double current = faces.pair[f] * (at_a - at_b);
    currents.pair[f] = current;
    currents.edge_a[f] = at_a - current * faces.half_a[f];
    currents.edge_b[f] = at_b + current * faces.half_b[f];
    edges[a.edge] += a.share * currents.edge_a[f];
    edges[b.edge] += b.share * currents.edge_b[f];
    net[face.a.cell] += current;
    net[face.b.cell] -= current;
  }
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::OuterFace& face = outer[f];
    const mesh::SideStencil& row = rows.outer[f];
    const double at = mesh::trace_of(face.a.trace, row, psi, mesh::Parity::odd);
    const bool electrode = faces.outer[f] > 0.0;
    const double held = electrode ? electrode_value(problem, face) : at;
    currents.outer[f] = faces.outer[f] * (at - held);
    currents.edge_outer[f] = held;
    edges[row.edge] += row.share * (row.mid_plane ? -psi[face.a.cell] : held);
    net[face.a.cell] += currents.outer[f];
  }
  for (std::size_t f = 0; f < inner.size(); ++f) {
    const double current = faces.inner[f] * mesh::drop_over(rows.inner[f], currents.values);
    currents.inner[f] = current;
    currents.on_face[f] = mesh::value_on(rows.inner[f], currents.values);
    net[inner[f].a] += current;
    net[inner[f].b] -= current;
  }
}

namespace {

/// Adds what the two-point conductances carry for a change of psi, to the currents and to their net.
void add_linear_currents(const Problem& problem, const ElectricFaces& faces, std::span<const double> change,
                         Currents& currents) {
  CellField& net = currents.net;
  const auto add = [&](int a, int b, double conductance, double& current) {
    const double more = conductance * (change[a] - change[b]);
    current += more;
    net[a] += more;
    net[b] -= more;
  };
  for (std::size_t f = 0; f < faces.inner.size(); ++f)
    add(problem.mesh.inner_faces[f].a, problem.mesh.inner_faces[f].b, faces.inner[f], currents.inner[f]);
  for (std::size_t f = 0; f < faces.pair.size(); ++f) {
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    add(face.a.cell, face.b.cell, faces.pair[f], currents.pair[f]);
  }
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    const int cell = problem.interfaces.outer_faces[f].a.cell;
    const double more = faces.outer[f] * change[cell];
    currents.outer[f] += more;
    net[cell] += more;
  }
}

}  // namespace

void start_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                     CellField& psi) {
  std::fill(psi.begin(), psi.end(), 0.0);
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    const mesh::OuterFace& face = problem.interfaces.outer_faces[f];
    if (faces.outer[f] > 0.0) psi[face.a.cell] += faces.outer[f] * electrode_value(problem, face);
  }
  factor.solve(psi);
}

double correct_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                         const ElectricFaces& kept, CellField& psi, Currents& currents) {
  electric_currents(problem, faces, psi, currents);
  CellField& change = currents.change;
  change.resize(psi.size());
  for (std::size_t i = 0; i < psi.size(); ++i) change[i] = -currents.net[i];
  factor.solve(change);
  // Measured by power, what lies in an insulator counts for nothing.
  double power = 0.0;
  for (std::size_t i = 0; i < psi.size(); ++i) {
    psi[i] += change[i];
    power -= change[i] * currents.net[i];
  }
  add_linear_currents(problem, kept, change, currents);
  return std::sqrt(std::max(power, 0.0) / terminal_currents(problem, currents).low);
}

PotentialOutcome solve_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                                 const ElectricFaces& kept, double tolerance, CellField& psi,
                                 Currents& currents) {
  constexpr int iterations_max = 60;
  constexpr double hopeless = 2.0;  // growth of the correction: the factor no longer fits the conductances
  PotentialOutcome outcome;
  double before = 0.0;
  const CellField start = psi;
  while (outcome.iterations < iterations_max) {
    ++outcome.iterations;
    outcome.change = correct_potential(problem, faces, factor, kept, psi, currents);
    const double contraction = outcome.iterations > 1 ? outcome.change / before : 1.0;
    if (!(contraction < hopeless)) break;
    outcome.converged = potential_settled(outcome.change, contraction, tolerance);
    if (outcome.converged) return outcome;
    before = outcome.change;
  }
  psi = start;
  return outcome;
}

bool potential_settled(double change, double contraction, double tolerance) {
  constexpr double rounding = 1e-7;  // beside a metal the rounding of psi alone is worth so much
  if (change <= tolerance || (contraction > 0.9 && change <= rounding)) return true;
  return contraction < 0.9 && change * contraction <= tolerance * (1.0 - contraction);
}

double charge_imbalance(const Problem& problem, const Currents& currents) {
  const TerminalCurrents terminal = terminal_currents(problem, currents);
  double sum = 0.0;
  for (const double value : currents.net) sum += std::abs(value);
  return sum / std::max(std::abs(terminal.low), std::abs(terminal.high));
}

TerminalCurrents terminal_currents(const Problem& problem, const Currents& currents) {
  TerminalCurrents sum;
  for (std::size_t f = 0; f < currents.outer.size(); ++f) {
    const double held = electrode_value(problem, problem.interfaces.outer_faces[f]);
    if (held == 0.0) sum.low += currents.outer[f];
    if (held == 1.0) sum.high -= currents.outer[f];
  }
  return sum;
}

double joule_heat(const Problem& problem, const Currents& currents, std::span<const double> psi,
                  CellField& out) {
  const auto& inner = problem.mesh.inner_faces;
  const auto& pairs = problem.interfaces.pair_faces;
  const mesh::Reconstruction& rows = problem.rows;
  out.assign(problem.mesh.volume.size(), 0.0);
  const std::vector<double>& on_face = currents.on_face;
  for (std::size_t f = 0; f < inner.size(); ++f) {
    const mesh::InnerFace& face = inner[f];
    const mesh::Beside& beside = rows.inner_beside[f];
    const auto density = [&](int k) { return currents.inner[k] / inner[k].area; };
    const double together = beside.factor * face.area *
                            (on_face[beside.high] - beside.low_sign * on_face[beside.low]) *
                            (density(beside.high) - beside.low_sign * density(beside.low));
    out[face.a] += currents.inner[f] * (psi[face.a] - on_face[f]) - together;
    out[face.b] += currents.inner[f] * (on_face[f] - psi[face.b]) + together;
  }
  double in_contacts = 0.0;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    const mesh::PairFace& face = pairs[f];
    const mesh::Beside& beside = rows.pair_beside[f];
    // Where there is no piece, only what a kept matrix corrected may have run.
    const auto density = [&](int k) { return pairs[k].area > 0.0 ? currents.pair[k] / pairs[k].area : 0.0; };
    const double slope =
        beside.factor * face.area * (density(beside.high) - beside.low_sign * density(beside.low));
    const double current = currents.pair[f];
    const double together_a =
        slope * (currents.edge_a[beside.high] - beside.low_sign * currents.edge_a[beside.low]);
    const double together_b =
        slope * (currents.edge_b[beside.high] - beside.low_sign * currents.edge_b[beside.low]);
    const double touch = current * (currents.edge_a[f] - currents.edge_b[f]) + together_a - together_b;
    out[face.a.cell] += current * (psi[face.a.cell] - currents.edge_a[f]) - together_a + 0.5 * touch;
    out[face.b.cell] += current * (currents.edge_b[f] - psi[face.b.cell]) + together_b + 0.5 * touch;
    in_contacts += touch;
  }
  for (std::size_t f = 0; f < currents.outer.size(); ++f) {
    const int cell = problem.interfaces.outer_faces[f].a.cell;
    out[cell] += currents.outer[f] * (psi[cell] - currents.edge_outer[f]);
  }
  return in_contacts;
}

}  // namespace joulepress::solver
