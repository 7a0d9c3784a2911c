#include "solver/thermal.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/convection.hpp"
#include "solver/drive.hpp"
#include "solver/electric.hpp"
#include "solver/touches.hpp"

namespace joulepress::solver {
namespace {

double fourth(double x) {
  return (x * x) * (x * x);
}

double face_conductance(const Properties& p, const mesh::InnerFace& face) {
  const CellField& resistivity = face.normal == mesh::Axis::r ? p.heat_resistivity_r : p.heat_resistivity_z;
  return 1.0 / (face.path_a * resistivity[face.a] + face.path_b * resistivity[face.b]);
}

const SideCondition& condition_of(const Problem& problem, const mesh::FaceSide& side) {
  return problem.sides[problem.mesh.block_of[side.cell]][static_cast<int>(side.side)];
}

/// What an outer surface gives and gets.
struct Surface {
  double film, film_temperature;  ///< W/K, K
  double sends;                   ///< black area in effect [m2]
  double gets;                    ///< radiation taken [W]
  const materials::Gas* gas;      ///< that carries heat off; null: none does
  Orientation looks;
  double area, length, gas_temperature;  ///< m2, m, K
};

/// Heat that the gas carries off [W].
double carried_off(const Surface& s, double x) {
  if (!s.gas) return 0.0;
  return s.area * film(*s.gas, s.looks, s.length, x, s.gas_temperature) * (x - s.gas_temperature);
}

struct Leaving {
  double flow, slope;
};
/// What leaves a surface at temperature x, and its slope.
Leaving leaving(const Surface& s, double x) {
  const double sent = s.sends * stefan_boltzmann;
  Leaving out{s.film * (x - s.film_temperature) + sent * fourth(x) - s.gets, s.film + 4.0 * sent * x * x * x};
  if (s.gas) {
    constexpr double power = 1.25;  // of the temperature difference in laminar flow
    out.flow += carried_off(s, x);
    out.slope += power * s.area * film(*s.gas, s.looks, s.length, x, s.gas_temperature);
  }
  return out;
}

/// Without the radiation it gets.
Surface surface_of(const Problem& problem, std::size_t f, double chamber) {
  const mesh::FaceSide& face = problem.interfaces.outer_faces[f].a;
  const SideCondition& c = condition_of(problem, face);
  Surface s{};
  s.film = face.area * c.film;
  s.film_temperature = c.film_temperature;
  s.sends = problem.exchange ? problem.exchange->sends[f] : face.area * c.emissivity;
  if (problem.gas && problem.exchange && problem.exchange->convects[f] > 0.0) {
    s.gas = &*problem.gas;
    s.looks = face.side == mesh::Side::top      ? Orientation::up
              : face.side == mesh::Side::bottom ? Orientation::down
                                                : Orientation::vertical;
    s.area = face.area;
    s.length = problem.exchange->convects[f];
    s.gas_temperature = chamber;
  }
  return s;
}

constexpr int newton_max = 50;
constexpr double newton_tolerance = 1e-7;  // last step, relative: Newton squares it to rounding

/// Surface temperature of an outer face; the balance is monotone and convex, Newton from any start converges.
double solve_outer(const Surface& surface, double half, double inside, double x) {
  if (surface.film == 0.0 && surface.sends == 0.0 && !surface.gas) return inside;
  for (int k = 0; k < newton_max; ++k) {
    const Leaving out = leaving(surface, x);
    const double step = (half * (inside - x) - out.flow) / (half + out.slope);
    x = std::max(x + step, 0.2 * x);  // a large cold overshoot must not turn negative
    if (std::abs(step) <= newton_tolerance * x) break;
  }
  return x;
}

/// An outer face whose surface temperature follows from a balance.
struct FreeFace {
  std::size_t face;
  double half, inside;  ///< conductance to it [W/K], temperature behind that [K]
  Surface surface;
};

/// Radiation that every face gets at the present surface temperatures.
void take_radiation(const Problem& problem, double chamber, std::span<const double> outer,
                    std::vector<double>& gets) {
  gets.assign(outer.size(), 0.0);
  if (!problem.exchange) {
    const double black = stefan_boltzmann * fourth(chamber);
    for (std::size_t f = 0; f < outer.size(); ++f) gets[f] = surface_of(problem, f, chamber).sends * black;
    return;
  }
  const std::vector<double> taken = irradiation(*problem.exchange, outer, chamber);
  for (const Exchange::Patch& patch : problem.exchange->patches)
    gets[patch.face] += patch.area * taken[patch.zone];
}

/// Surface temperatures that belong together: what one sends another gets.
void solve_free(const Problem& problem, double chamber, std::vector<FreeFace>& faces,
                std::vector<double>& outer) {
  constexpr int rounds_max = 200;
  constexpr double settled = 1e-10;  // of a temperature, from round to round
  std::vector<double> gets;
  for (int round = 0; round < rounds_max; ++round) {
    take_radiation(problem, chamber, outer, gets);
    double largest = 0.0;
    for (FreeFace& its : faces) {
      its.surface.gets = gets[its.face];
      double& x = outer[its.face];
      const double before = x;
      x = solve_outer(its.surface, its.half, its.inside, x);
      largest = std::max(largest, std::abs(x - before) / x);
    }
    if (!problem.exchange || largest <= settled) break;
  }
}

/// Heat across a pair face from surface temperature x to y.
double across(const mesh::PairFace& face, const ContactLaw& law, double x, double y) {
  return face.area *
         (law.heat_conductance * (x - y) + stefan_boltzmann * law.radiation * (fourth(x) - fourth(y)));
}

void solve_pair(const mesh::PairFace& face, const ContactLaw& law, double ga, double gb, double Ta, double Tb,
                double& x, double& y) {
  const double s = stefan_boltzmann;
  for (int k = 0; k < newton_max; ++k) {
    const double flow = across(face, law, x, y);
    const double miss_a = ga * (Ta - x) - flow, miss_b = gb * (Tb - y) + flow;
    const double hx = face.area * (law.heat_conductance + 4.0 * s * law.radiation * x * x * x);
    const double hy = face.area * (law.heat_conductance + 4.0 * s * law.radiation * y * y * y);
    const double maa = ga + hx, mbb = gb + hy, determinant = maa * mbb - hx * hy;
    const double dx = (miss_a * mbb + miss_b * hy) / determinant;
    const double dy = (miss_b * maa + miss_a * hx) / determinant;
    x = std::max(x + dx, 0.2 * x);
    y = std::max(y + dy, 0.2 * y);
    if (std::abs(dx) <= newton_tolerance * x && std::abs(dy) <= newton_tolerance * y) break;
  }
}

void pair_flow(const Problem& problem, const Properties& p, std::size_t f,
               std::span<const double> temperature, double& x, double& y, CellField& into) {
  const mesh::PairFace& face = problem.interfaces.pair_faces[f];
  if (face.area == 0.0) {  // not there at present
    x = temperature[face.a.cell];
    y = temperature[face.b.cell];
    return;
  }
  const mesh::SideStencil &a = problem.rows.pair_a[f], &b = problem.rows.pair_b[f];
  const ContactLaw law = law_of(problem, p, f);
  const double ga = half_conductance(p, face.a, a), gb = half_conductance(p, face.b, b);
  const double Ta = mesh::trace_of(face.a.trace, a, temperature, mesh::Parity::even);
  const double Tb = mesh::trace_of(face.b.trace, b, temperature, mesh::Parity::even);
  double flow;
  if (std::isinf(law.heat_conductance)) {
    flow = (Ta - Tb) / (1.0 / ga + 1.0 / gb);
    x = y = Ta - flow / ga;
  } else {
    solve_pair(face, law, ga, gb, Ta, Tb, x, y);
    flow = across(face, law, x, y);
  }
  into[face.a.cell] -= flow;
  into[face.b.cell] += flow;
}

/// Flows through outer faces; a mid-plane lets none through.
void outer_flows(const Problem& problem, const Properties& p, std::span<const double> temperature, double t,
                 EdgeTemperatures& edges, HeatFlows& out) {
  const auto& outer = problem.interfaces.outer_faces;
  const mesh::Reconstruction& rows = problem.rows;
  std::vector<FreeFace> free;
  const double chamber = out.chamber;
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const mesh::FaceSide& face = outer[f].a;
    const mesh::SideStencil& row = rows.outer[f];
    double& x = edges.outer[f];
    out.outer[f] = 0.0;
    if (face.area == 0.0) {
      x = temperature[face.cell];
      continue;
    }
    if (row.mid_plane) {
      const double here = temperature[face.cell];
      x = here + row.level * (here - temperature[face.cell + row.inward]);
      continue;
    }
    const double half = half_conductance(p, face, row);
    const double inside = mesh::trace_of(face.trace, row, temperature, mesh::Parity::even);
    const SideCondition& condition = condition_of(problem, face);
    if (condition.fixed_temperature) {
      x = condition.fixed_temperature(outer[f].r, outer[f].z, t);
      out.outer[f] = half * (inside - x);
    } else {
      free.push_back({f, half, inside, surface_of(problem, f, chamber)});
    }
  }
  solve_free(problem, chamber, free, edges.outer);
  for (const FreeFace& its : free) out.outer[its.face] = leaving(its.surface, edges.outer[its.face]).flow;
  double* const at_edges = out.values.data() + temperature.size();
  for (std::size_t f = 0; f < outer.size(); ++f) {
    if (outer[f].a.area == 0.0) continue;
    const double x = rows.outer[f].mid_plane ? temperature[outer[f].a.cell] : edges.outer[f];
    at_edges[rows.outer[f].edge] += rows.outer[f].share * x;
    out.into_cells[outer[f].a.cell] -= out.outer[f];
  }
}

}  // namespace

double half_conductance(const Properties& p, const mesh::FaceSide& side, const mesh::SideStencil& row) {
  const CellField& resistivity =
      normal_of(side.side) == mesh::Axis::r ? p.heat_resistivity_r : p.heat_resistivity_z;
  return 1.0 / (row.path * mesh::at_edge(side.cell, row, resistivity));
}

double leaving_slope(const Problem& problem, std::size_t face, double chamber, double x) {
  if (condition_of(problem, problem.interfaces.outer_faces[face].a).fixed_temperature)
    return std::numeric_limits<double>::infinity();
  return leaving(surface_of(problem, face, chamber), x).slope;
}

void heat_flows(const Problem& problem, const Properties& p, std::span<const double> temperature, double t,
                EdgeTemperatures& edges, HeatFlows& out) {
  const auto& mesh = problem.mesh;
  const auto& pairs = problem.interfaces.pair_faces;
  const mesh::Reconstruction& rows = problem.rows;
  const std::size_t n = temperature.size();
  out.into_cells.assign(n, 0.0);
  out.outer.resize(problem.interfaces.outer_faces.size());
  out.source = out.source_magnitude = 0.0;
  out.chamber = chamber_at(problem, t);
  out.values.assign(n + static_cast<std::size_t>(rows.n_edges), 0.0);
  std::copy(temperature.begin(), temperature.end(), out.values.begin());
  double* const at_edges = out.values.data() + n;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    pair_flow(problem, p, f, temperature, edges.pair_a[f], edges.pair_b[f], out.into_cells);
    at_edges[rows.pair_a[f].edge] += rows.pair_a[f].share * edges.pair_a[f];
    at_edges[rows.pair_b[f].edge] += rows.pair_b[f].share * edges.pair_b[f];
  }
  outer_flows(problem, p, temperature, t, edges, out);
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

HeatFaces heat_conductances(const Problem& problem, const Properties& p, double chamber,
                            const EdgeTemperatures& edges) {
  HeatFaces out;
  const double s = stefan_boltzmann;
  for (const mesh::InnerFace& face : problem.mesh.inner_faces) out.inner.push_back(face_conductance(p, face));
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    const mesh::PairFace& face = pairs[f];
    if (face.area == 0.0) {
      out.pair.push_back(0.0);
      continue;
    }
    const ContactLaw law = law_of(problem, p, f);
    const double ga = half_conductance(p, face.a, problem.rows.pair_a[f]);
    const double gb = half_conductance(p, face.b, problem.rows.pair_b[f]);
    if (std::isinf(law.heat_conductance)) {
      out.pair.push_back(1.0 / (1.0 / ga + 1.0 / gb));
      continue;
    }
    const double x = edges.pair_a[f], y = edges.pair_b[f];
    // Secant of x^4 - y^4: symmetric, so that the matrix stays symmetric.
    const double h = face.area * (law.heat_conductance + s * law.radiation * (x + y) * (x * x + y * y));
    out.pair.push_back(ga * gb * h / (ga * gb + h * (ga + gb)));
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t f = 0; f < outer.size(); ++f) {
    const double half = half_conductance(p, outer[f].a, problem.rows.outer[f]);
    // What a surface gets from others answers to them only in the next sweep.
    const double slope = leaving_slope(problem, f, chamber, edges.outer[f]);
    out.outer.push_back(slope > 0.0 ? 1.0 / (1.0 / half + 1.0 / slope) : 0.0);
  }
  return out;
}

MatrixValues heat_matrix_values(const Problem& problem, const HeatMatrix& matrix) {
  const double g = matrix.gamma_dt;
  const HeatFaces& faces = matrix.faces;
  MatrixValues m;
  m.diagonal = matrix.capacity;
  m.coupling.reserve(faces.inner.size() + faces.pair.size());
  for (std::size_t f = 0; f < faces.inner.size(); ++f) {
    const mesh::InnerFace& face = problem.mesh.inner_faces[f];
    m.diagonal[face.a] += g * faces.inner[f];
    m.diagonal[face.b] += g * faces.inner[f];
    m.coupling.push_back(-g * faces.inner[f]);
  }
  for (std::size_t f = 0; f < faces.pair.size(); ++f) {
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    m.diagonal[face.a.cell] += g * faces.pair[f];
    m.diagonal[face.b.cell] += g * faces.pair[f];
    m.coupling.push_back(-g * faces.pair[f]);
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
  for (std::size_t f = 0; f < faces.pair.size(); ++f) {
    const mesh::PairFace& face = problem.interfaces.pair_faces[f];
    const double flow = ratio * faces.pair[f] * (dT[face.a.cell] - dT[face.b.cell]);
    into[face.a.cell] -= flow;
    into[face.b.cell] += flow;
  }
  for (std::size_t f = 0; f < faces.outer.size(); ++f) {
    const int a = problem.interfaces.outer_faces[f].a.cell;
    const double flow = ratio * faces.outer[f] * dT[a];
    into[a] -= flow;
    flows.outer[f] += flow;
  }
}

Losses split_outer(const Problem& problem, const HeatFlows& flows, std::size_t face, double x) {
  const mesh::FaceSide& side = problem.interfaces.outer_faces[face].a;
  const SideCondition& c = condition_of(problem, side);
  const double flow = flows.outer[face];
  if (c.fixed_temperature) return {.fixed = flow};
  const double gas = carried_off(surface_of(problem, face, flows.chamber), x);
  if (c.emissivity == 0.0) return {.film = flow - gas, .gas = gas};
  const double film = side.area * c.film * (x - c.film_temperature);
  return {.radiation = flow - film - gas, .film = film, .gas = gas};
}

Losses losses_of(const Problem& problem, const HeatFlows& flows, const EdgeTemperatures& edges) {
  Losses sum;
  for (std::size_t f = 0; f < flows.outer.size(); ++f) {
    const Losses part = split_outer(problem, flows, f, edges.outer[f]);
    sum.radiation += part.radiation;
    sum.film += part.film;
    sum.fixed += part.fixed;
    sum.gas += part.gas;
  }
  return sum;
}

}  // namespace joulepress::solver
