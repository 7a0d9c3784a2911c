#include "solver/electric.hpp"

#include <cmath>
#include <limits>
#include <numeric>

namespace joulepress::solver {
namespace {

double along(const CellField& in_r, const CellField& in_z, mesh::Axis axis, int cell) {
  return axis == mesh::Axis::r ? in_r[cell] : in_z[cell];
}

double rho(const Properties& p, mesh::Axis axis, int cell) {
  return along(p.electric_resistivity_r, p.electric_resistivity_z, axis, cell);
}

double sum_of_magnitudes(const CellField& values) {
  double sum = 0.0;
  for (const double v : values) sum += std::abs(v);
  return sum;
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
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    const mesh::PairFace& face = pairs[f];
    const mesh::Axis axis = normal_of(face.a.side);
    const double touch = problem.contacts[face.pair].electric_resistance / face.area;
    out.pair[f] =
        1.0 / (face.a.path * rho(p, axis, face.a.cell) + touch + face.b.path * rho(p, axis, face.b.cell));
  }
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::OuterFace& face = outer[f];
    out.outer[f] = std::isnan(electrode_value(problem, face))
                       ? 0.0
                       : 1.0 / (face.a.path * rho(p, normal_of(face.a.side), face.a.cell));
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

namespace {

/// A psi without the electrodes' share of the right side when `homogeneous`.
void apply(const Problem& problem, const ElectricFaces& faces, std::span<const double> psi, bool homogeneous,
           CellField& out) {
  out.assign(problem.mesh.volume.size(), 0.0);
  for (std::size_t f = 0; f < faces.inner.size(); ++f) {
    const mesh::InnerFace& face = problem.mesh.inner_faces[f];
    const double current = faces.inner[f] * (psi[face.a] - psi[face.b]);
    out[face.a] += current;
    out[face.b] -= current;
  }
  for (std::size_t f = 0; f < faces.pair.size(); ++f) {
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    const double current = faces.pair[f] * (trace_of(face.a.trace, psi) - trace_of(face.b.trace, psi));
    give_back(face.a.trace, current, out);
    give_back(face.b.trace, -current, out);
  }
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    if (faces.outer[f] == 0.0) continue;
    const mesh::OuterFace& face = problem.interfaces.outer_faces[f];
    const double held = homogeneous ? 0.0 : electrode_value(problem, face);
    give_back(face.a.trace, faces.outer[f] * (trace_of(face.a.trace, psi) - held), out);
  }
}

}  // namespace

void electric_residual(const Problem& problem, const ElectricFaces& faces, std::span<const double> psi,
                       CellField& out) {
  apply(problem, faces, psi, false, out);
}

PotentialOutcome solve_potential(const Problem& problem, const ElectricFaces& faces, const Factor& factor,
                                 double tolerance, CellField& psi) {
  constexpr int iterations_max = 60;
  // Thin cells, many cells, metal beside graphite: rounding of psi alone leaves a residual above the
  // tolerance, and iterating on it gains nothing.  The charge balance reports what is left.
  constexpr double rounding_floor = 100.0;
  constexpr int patience = 3;  // the residual of conjugate gradients may rise now and then
  PotentialOutcome outcome;
  double best = std::numeric_limits<double>::infinity();
  int without_gain = 0;
  CellField residual, direction, image;
  electric_residual(problem, faces, psi, residual);
  double rz_before = 0.0;
  for (;;) {
    const TerminalCurrents currents = terminal_currents(problem, faces, psi);
    const double scale = std::max(std::abs(currents.high), std::abs(currents.low));
    outcome.residual = sum_of_magnitudes(residual) / scale;
    without_gain = outcome.residual < 0.7 * best ? 0 : without_gain + 1;
    best = std::min(best, outcome.residual);
    const bool stalled = without_gain >= patience && outcome.residual <= rounding_floor * tolerance;
    outcome.converged = outcome.residual <= tolerance || stalled;
    if (outcome.converged || outcome.iterations >= iterations_max || !std::isfinite(outcome.residual))
      return outcome;
    ++outcome.iterations;
    CellField z(residual);
    factor.solve(z);
    const double rz = std::inner_product(residual.begin(), residual.end(), z.begin(), 0.0);
    if (direction.empty()) {
      direction = std::move(z);
    } else {
      const double beta = rz / rz_before;
      for (std::size_t i = 0; i < z.size(); ++i) direction[i] = z[i] + beta * direction[i];
    }
    rz_before = rz;
    apply(problem, faces, direction, true, image);
    const double alpha = rz / std::inner_product(direction.begin(), direction.end(), image.begin(), 0.0);
    for (std::size_t i = 0; i < psi.size(); ++i) psi[i] -= alpha * direction[i];
    // The residual is computed afresh, not updated: at 1e-11 the recursion would drift away from the truth.
    electric_residual(problem, faces, psi, residual);
  }
}

TerminalCurrents terminal_currents(const Problem& problem, const ElectricFaces& faces,
                                   std::span<const double> psi) {
  TerminalCurrents currents;
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    if (faces.outer[f] == 0.0) continue;
    const mesh::OuterFace& face = problem.interfaces.outer_faces[f];
    const double held = electrode_value(problem, face);
    const double current = faces.outer[f] * std::abs(trace_of(face.a.trace, psi) - held);
    (held == 0.0 ? currents.low : currents.high) += current;
  }
  return currents;
}

double joule_heat(const Problem& problem, const Properties& p, const ElectricFaces& faces,
                  std::span<const double> psi, CellField& out) {
  out.assign(problem.mesh.volume.size(), 0.0);
  double in_contacts = 0.0;
  for (std::size_t f = 0; f < faces.inner.size(); ++f) {
    const mesh::InnerFace& face = problem.mesh.inner_faces[f];
    const double current = faces.inner[f] * (psi[face.a] - psi[face.b]);
    out[face.a] += current * current * face.path_a * rho(p, face.normal, face.a);
    out[face.b] += current * current * face.path_b * rho(p, face.normal, face.b);
  }
  for (std::size_t f = 0; f < faces.pair.size(); ++f) {
    if (faces.pair[f] == 0.0) continue;
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    const mesh::Axis axis = normal_of(face.a.side);
    const double current = faces.pair[f] * (trace_of(face.a.trace, psi) - trace_of(face.b.trace, psi));
    const double touch = current * current * problem.contacts[face.pair].electric_resistance / face.area;
    out[face.a.cell] += current * current * face.a.path * rho(p, axis, face.a.cell) + 0.5 * touch;
    out[face.b.cell] += current * current * face.b.path * rho(p, axis, face.b.cell) + 0.5 * touch;
    in_contacts += touch;
  }
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    if (faces.outer[f] == 0.0) continue;
    const mesh::OuterFace& face = problem.interfaces.outer_faces[f];
    const double current = faces.outer[f] * (trace_of(face.a.trace, psi) - electrode_value(problem, face));
    out[face.a.cell] += current * current / faces.outer[f];
  }
  return in_contacts;
}

}  // namespace joulepress::solver
