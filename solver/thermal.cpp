#include "solver/thermal.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/electric.hpp"
#include "solver/touches.hpp"

namespace joulepress::solver {
namespace {

double fourth(double x) {
  return (x * x) * (x * x);
}

double half_conductance(const Properties& p, const mesh::FaceSide& side, const mesh::SideStencil& row) {
  const CellField& resistivity =
      normal_of(side.side) == mesh::Axis::r ? p.heat_resistivity_r : p.heat_resistivity_z;
  return 1.0 / (row.path * mesh::at_edge(side.cell, row, resistivity));
}

double face_conductance(const Properties& p, const mesh::InnerFace& face) {
  const CellField& resistivity = face.normal == mesh::Axis::r ? p.heat_resistivity_r : p.heat_resistivity_z;
  return 1.0 / (face.path_a * resistivity[face.a] + face.path_b * resistivity[face.b]);
}

const SideCondition& condition_of(const Problem& problem, const mesh::FaceSide& side) {
  return problem.sides[problem.mesh.block_of[side.cell]][static_cast<int>(side.side)];
}

/// What leaves an outer surface at temperature x, and its slope.
struct Leaving {
  double flow, slope;
};
Leaving leaving(const SideCondition& c, const mesh::OuterFace& face, double chamber, double x) {
  const double area = face.a.area, radiating = area * face.open * c.emissivity * stefan_boltzmann;
  return {area * c.film * (x - c.film_temperature) + radiating * (fourth(x) - fourth(chamber)),
          area * c.film + 4.0 * radiating * x * x * x};
}

constexpr int newton_max = 50;
constexpr double newton_tolerance = 1e-7;  // last step, relative: Newton squares it to rounding

/// Surface temperature of an outer face; the balance is monotone and convex, Newton from any start converges.
double solve_outer(const SideCondition& c, const mesh::OuterFace& face, double chamber, double half,
                   double inside, double x) {
  if (c.film == 0.0 && c.emissivity == 0.0) return inside;
  for (int k = 0; k < newton_max; ++k) {
    const Leaving out = leaving(c, face, chamber, x);
    const double step = (half * (inside - x) - out.flow) / (half + out.slope);
    x = std::max(x + step, 0.2 * x);  // a large cold overshoot must not turn negative
    if (std::abs(step) <= newton_tolerance * x) break;
  }
  return x;
}

/// Terms of a pair face at surface temperatures x and y.
struct PairTerms {
  double across, loss_a, loss_b;
};
PairTerms pair_terms(double chamber_temperature, const mesh::PairFace& face, const ContactLaw& law, double x,
                     double y) {
  const double s = stefan_boltzmann, chamber = fourth(chamber_temperature);
  return {face.area * (law.heat_conductance * (x - y) + s * law.radiation * (fourth(x) - fourth(y))),
          face.a.area * s * law.chamber_a * (fourth(x) - chamber),
          face.b.area * s * law.chamber_b * (fourth(y) - chamber)};
}

void solve_pair(double chamber, const mesh::PairFace& face, const ContactLaw& law, double ga, double gb,
                double Ta, double Tb, double& x, double& y) {
  const double s = stefan_boltzmann;
  for (int k = 0; k < newton_max; ++k) {
    const PairTerms terms = pair_terms(chamber, face, law, x, y);
    const double miss_a = ga * (Ta - x) - terms.across - terms.loss_a;
    const double miss_b = gb * (Tb - y) + terms.across - terms.loss_b;
    const double hx = face.area * (law.heat_conductance + 4.0 * s * law.radiation * x * x * x);
    const double hy = face.area * (law.heat_conductance + 4.0 * s * law.radiation * y * y * y);
    const double maa = ga + hx + 4.0 * face.a.area * s * law.chamber_a * x * x * x;
    const double mbb = gb + hy + 4.0 * face.b.area * s * law.chamber_b * y * y * y;
    const double determinant = maa * mbb - hx * hy;
    const double dx = (miss_a * mbb + miss_b * hy) / determinant;
    const double dy = (miss_b * maa + miss_a * hx) / determinant;
    x = std::max(x + dx, 0.2 * x);
    y = std::max(y + dy, 0.2 * y);
    if (std::abs(dx) <= newton_tolerance * x && std::abs(dy) <= newton_tolerance * y) break;
  }
}

void pair_flow(const Problem& problem, const Properties& p, double chamber, std::size_t f,
               std::span<const double> temperature, double& x, double& y, CellField& into, double& loss) {
  const mesh::PairFace& face = problem.interfaces.pair_faces[f];
  if (face.area == 0.0) {  // not there at present
    x = temperature[face.a.cell];
    y = temperature[face.b.cell];
    loss = 0.0;
    return;
  }
  const mesh::SideStencil &a = problem.rows.pair_a[f], &b = problem.rows.pair_b[f];
  const ContactLaw law = law_of(problem, p, f);
  const double ga = half_conductance(p, face.a, a), gb = half_conductance(p, face.b, b);
  const double Ta = mesh::trace_of(face.a.trace, a, temperature, mesh::Parity::even);
  const double Tb = mesh::trace_of(face.b.trace, b, temperature, mesh::Parity::even);
  double from_a, from_b;
  if (std::isinf(law.heat_conductance)) {
    from_a = (Ta - Tb) / (1.0 / ga + 1.0 / gb);
    from_b = -from_a;
    x = y = Ta - from_a / ga;
  } else {
    solve_pair(chamber, face, law, ga, gb, Ta, Tb, x, y);
    const PairTerms terms = pair_terms(chamber, face, law, x, y);
    from_a = terms.across + terms.loss_a;
    from_b = -terms.across + terms.loss_b;
  }
  into[face.a.cell] -= from_a;
  into[face.b.cell] -= from_b;
  loss = from_a + from_b;
}

}  // namespace

void heat_flows(const Problem& problem, const Properties& p, std::span<const double> temperature, double t,
                EdgeTemperatures& edges, HeatFlows& out) {
  const auto& mesh = problem.mesh;
  const auto& pairs = problem.interfaces.pair_faces;
  const auto& outer = problem.interfaces.outer_faces;
  const mesh::Reconstruction& rows = problem.rows;
  const std::size_t n = temperature.size();
  const double chamber = chamber_at(problem, t);
  out.into_cells.assign(n, 0.0);
  out.pair_loss.resize(pairs.size());
  out.outer.resize(outer.size());
  out.source = out.source_magnitude = 0.0;
  out.values.assign(n + static_cast<std::size_t>(rows.n_edges), 0.0);
  std::copy(temperature.begin(), temperature.end(), out.values.begin());
  double* const at_edges = out.values.data() + n;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    pair_flow(problem, p, chamber, f, temperature, edges.pair_a[f], edges.pair_b[f], out.into_cells,
              out.pair_loss[f]);
    at_edges[rows.pair_a[f].edge] += rows.pair_a[f].share * edges.pair_a[f];
    at_edges[rows.pair_b[f].edge] += rows.pair_b[f].share * edges.pair_b[f];
  }
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::OuterFace& face = outer[f];
    const SideCondition& condition = condition_of(problem, face.a);
    double& x = edges.outer[f];
    if (face.a.area == 0.0) {
      x = temperature[face.a.cell];
      out.outer[f] = 0.0;
      continue;
    }
    if (rows.outer[f].mid_plane) {
      const double here = temperature[face.a.cell];
      x = here + rows.outer[f].level * (here - temperature[face.a.cell + rows.outer[f].inward]);
      out.outer[f] = 0.0;
      at_edges[rows.outer[f].edge] += rows.outer[f].share * here;
      continue;
    }
    const double half = half_conductance(p, face.a, rows.outer[f]);
    const double inside = mesh::trace_of(face.a.trace, rows.outer[f], temperature, mesh::Parity::even);
    if (condition.fixed_temperature) {
      x = condition.fixed_temperature(face.r, face.z, t);
      out.outer[f] = half * (inside - x);
    } else {
      x = solve_outer(condition, face, chamber, half, inside, x);
      out.outer[f] = leaving(condition, face, chamber, x).flow;
    }
    at_edges[rows.outer[f].edge] += rows.outer[f].share * x;
    out.into_cells[face.a.cell] -= out.outer[f];
  }
  for (std::size_t f = 0; f < mesh.inner_faces.size(); ++f) {
    const mesh::InnerFace& face = mesh.inner_faces[f];
    const double flow = face_conductance(p, face) * mesh::drop_over(rows.inner[f], out.values);
    out.into_cells[face.a] -= flow;
    out.into_cells[face.b] += flow;
  }
  if (problem.heat_source) {
    for (int i = 0; i < mesh.n_cells(); ++i) {
      const double heat = mesh.volume[i] * problem.heat_source(mesh.r[i], mesh.z[i], t);
      out.into_cells[i] += heat;
      out.source += heat;
      out.source_magnitude += std::abs(heat);
    }
  }
}

HeatFaces heat_conductances(const Problem& problem, const Properties& p, const EdgeTemperatures& edges) {
  HeatFaces out;
  const double s = stefan_boltzmann;
  for (const mesh::InnerFace& face : problem.mesh.inner_faces) out.inner.push_back(face_conductance(p, face));
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    const mesh::PairFace& face = pairs[f];
    if (face.area == 0.0) {
      for (std::vector<double>* const none : {&out.pair_aa, &out.pair_bb, &out.pair_ab}) none->push_back(0.0);
      continue;
    }
    const ContactLaw law = law_of(problem, p, f);
    const double ga = half_conductance(p, face.a, problem.rows.pair_a[f]);
    const double gb = half_conductance(p, face.b, problem.rows.pair_b[f]);
    if (std::isinf(law.heat_conductance)) {
      const double g = 1.0 / (1.0 / ga + 1.0 / gb);
      out.pair_aa.push_back(g);
      out.pair_bb.push_back(g);
      out.pair_ab.push_back(-g);
      continue;
    }
    const double x = edges.pair_a[f], y = edges.pair_b[f];
    // Secant of x^4 - y^4: symmetric, so that the matrix stays symmetric.
    const double h = face.area * (law.heat_conductance + s * law.radiation * (x + y) * (x * x + y * y));
    const double ca = 4.0 * face.a.area * s * law.chamber_a * x * x * x;
    const double cb = 4.0 * face.b.area * s * law.chamber_b * y * y * y;
    const double maa = ga + ca + h, mbb = gb + cb + h, determinant = maa * mbb - h * h;
    out.pair_aa.push_back(ga * (1.0 - ga * mbb / determinant));
    out.pair_bb.push_back(gb * (1.0 - gb * maa / determinant));
    out.pair_ab.push_back(-ga * gb * h / determinant);
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::OuterFace& face = outer[f];
    const SideCondition& condition = condition_of(problem, face.a);
    const double half = half_conductance(p, face.a, problem.rows.outer[f]);
    if (condition.fixed_temperature) {
      out.outer.push_back(half);
      continue;
    }
    const double slope = leaving(condition, face, problem.chamber_temperature, edges.outer[f]).slope;
    out.outer.push_back(slope > 0.0 ? 1.0 / (1.0 / half + 1.0 / slope) : 0.0);
  }
  return out;
}

MatrixValues heat_matrix_values(const Problem& problem, const HeatMatrix& matrix) {
  const double g = matrix.gamma_dt;
  const HeatFaces& faces = matrix.faces;
  MatrixValues m;
  m.diagonal = matrix.capacity;
  m.coupling.reserve(faces.inner.size() + faces.pair_ab.size());
  for (std::size_t f = 0; f < faces.inner.size(); ++f) {
    const mesh::InnerFace& face = problem.mesh.inner_faces[f];
    m.diagonal[face.a] += g * faces.inner[f];
    m.diagonal[face.b] += g * faces.inner[f];
    m.coupling.push_back(-g * faces.inner[f]);
  }
  for (std::size_t f = 0; f < faces.pair_ab.size(); ++f) {
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    m.diagonal[face.a.cell] += g * faces.pair_aa[f];
    m.diagonal[face.b.cell] += g * faces.pair_bb[f];
    m.coupling.push_back(g * faces.pair_ab[f]);
  }
  for (std::size_t f = 0; f < faces.outer.size(); ++f)
    m.diagonal[problem.interfaces.outer_faces[f].a.cell] += g * faces.outer[f];
  return m;
}

void add_linear_flows(const Problem& problem, const HeatFaces& faces, double ratio,
                      std::span<const double> dT, HeatFlows& flows) {
  CellField& into = flows.into_cells;
  for (std::size_t f = 0; f < faces.inner.size(); ++f) {
    const mesh::InnerFace& face = problem.mesh.inner_faces[f];
    const double flow = ratio * faces.inner[f] * (dT[face.a] - dT[face.b]);
    into[face.a] -= flow;
    into[face.b] += flow;
  }
  for (std::size_t f = 0; f < faces.pair_ab.size(); ++f) {
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    const int a = face.a.cell, b = face.b.cell;
    const double from_a = ratio * (faces.pair_aa[f] * dT[a] + faces.pair_ab[f] * dT[b]);
    const double from_b = ratio * (faces.pair_ab[f] * dT[a] + faces.pair_bb[f] * dT[b]);
    into[a] -= from_a;
    into[b] -= from_b;
    flows.pair_loss[f] += from_a + from_b;
  }
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    const int a = problem.interfaces.outer_faces[f].a.cell;
    const double flow = ratio * faces.outer[f] * dT[a];
    into[a] -= flow;
    flows.outer[f] += flow;
  }
}

Losses split_outer(const Problem& problem, const mesh::OuterFace& face, double flow, double x) {
  const SideCondition& c = condition_of(problem, face.a);
  if (c.fixed_temperature) return {.fixed = flow};
  if (c.emissivity == 0.0) return {.film = flow};
  if (c.film == 0.0) return {.radiation = flow};
  const double film = face.a.area * c.film * (x - c.film_temperature);
  return {.radiation = flow - film, .film = film};
}

Losses losses_of(const Problem& problem, const HeatFlows& flows, const EdgeTemperatures& edges) {
  Losses sum;
  for (const double loss : flows.pair_loss) sum.radiation += loss;
  for (std::size_t f = 0; f < flows.outer.size(); ++f) {
    const Losses part =
        split_outer(problem, problem.interfaces.outer_faces[f], flows.outer[f], edges.outer[f]);
    sum.radiation += part.radiation;
    sum.film += part.film;
    sum.fixed += part.fixed;
  }
  return sum;
}

}  // namespace joulepress::solver
