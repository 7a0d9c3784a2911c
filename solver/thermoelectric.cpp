#include "solver/thermoelectric.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "solver/pulse.hpp"
#include "solver/touches.hpp"

namespace joulepress::solver {
namespace {

double seebeck(const Problem& problem, int cell, double T) {
  const auto& S = problem.materials[problem.parts[problem.mesh.part_of(cell)].material].seebeck;
  return S ? S->curve.value(T) : 0.0;
}

/// A point of a link.
struct Node {
  double T, S;
};
Node node(const Problem& problem, int cell, double T) {
  return {T, seebeck(problem, cell, T)};
}

/// Heat of a link per current [V].
double heat_of(const Node& m, const Node& n) {
  return -0.5 * (m.T + n.T) * (n.S - m.S);
}

double cubed(double x) {
  return x * x * x;
}

constexpr int passes_max = 20;
constexpr double settled = 1e-12;  // of a surface temperature, relative

/// All that one call hands around.
struct Links {
  const Problem& problem;
  const Properties& properties;
  const Currents& currents;
  double conductance, current;
  std::span<const double> temperature;
  EdgeTemperatures& edges;
  HeatFlows& flows;
  CellField raised;  ///< by heat on surfaces: cells (0), then edges [K]
  double voltage = 0;

  /// A link with a share of the current: its heat [W].
  double heat(double share, const Node& m, const Node& n) {
    const double h = share * heat_of(m, n);
    voltage += h;
    return current * h;
  }
  void raise(const mesh::SideStencil& row, double dx) {
    raised[temperature.size() + static_cast<std::size_t>(row.edge)] += row.share * dx;
  }
};

/// By how much heat raises the two surfaces of a touch; half of it is made on each.
struct Raised {
  double a = 0, b = 0;
};
Raised raised_by(const Links& links, std::size_t f, double ga, double gb, double heat) {
  const ContactLaw law = law_of(links.problem, links.properties, f);
  if (std::isinf(law.heat_conductance)) return {heat / (ga + gb), heat / (ga + gb)};
  const double area = links.problem.interfaces.pair_faces[f].area;
  const auto across = [&](double x) {
    return area * (law.heat_conductance + 4.0 * stefan_boltzmann * law.radiation * cubed(x));
  };
  const double ha = across(links.edges.pair_a[f]), hb = across(links.edges.pair_b[f]);
  const double determinant = ga * gb + ga * hb + gb * ha;
  return {heat * (0.5 * gb + hb) / determinant, heat * (0.5 * ga + ha) / determinant};
}

void pair_link(std::size_t f, Links& links) {
  const Problem& problem = links.problem;
  const mesh::PairFace& face = problem.interfaces.pair_faces[f];
  const double share = links.currents.pair[f] / links.conductance;
  if (share == 0.0) return;
  const int a = face.a.cell, b = face.b.cell;
  CellField& into = links.flows.into_cells;
  double &x = links.edges.pair_a[f], &y = links.edges.pair_b[f];
  const double x0 = x, y0 = y;
  if (face.area > 0.0) {
    const double ga = half_conductance(links.properties, face.a, problem.rows.pair_a[f]);
    const double gb = half_conductance(links.properties, face.b, problem.rows.pair_b[f]);
    for (int pass = 0; pass < passes_max; ++pass) {
      const double heat = links.current * share * heat_of(node(problem, a, x), node(problem, b, y));
      const Raised by = raised_by(links, f, ga, gb, heat);
      const double change = std::abs(x0 + by.a - x) + std::abs(y0 + by.b - y);
      x = x0 + by.a;
      y = y0 + by.b;
      if (!(change > settled * x)) break;
    }
    links.raise(problem.rows.pair_a[f], x - x0);
    links.raise(problem.rows.pair_b[f], y - y0);
    const double back = ga * (x - x0);
    into[a] += back;
    into[b] += links.heat(share, node(problem, a, x), node(problem, b, y)) - back;
  } else {
    const double half = 0.5 * links.heat(share, node(problem, a, x), node(problem, b, y));
    into[a] += half;
    into[b] += half;
  }
  into[a] += links.heat(share, node(problem, a, links.temperature[a]), node(problem, a, x));
  into[b] += links.heat(share, node(problem, b, y), node(problem, b, links.temperature[b]));
}

void outer_link(std::size_t f, Links& links) {
  const Problem& problem = links.problem;
  const mesh::OuterFace& face = problem.interfaces.outer_faces[f];
  const double share = links.currents.outer[f] / links.conductance;
  if (share == 0.0) return;
  const int cell = face.a.cell;
  double& x = links.edges.outer[f];
  const double x0 = x;
  const double half = half_conductance(links.properties, face.a, problem.rows.outer[f]);
  const auto ram = [&x] { return Node{x, 0.0}; };
  for (int pass = 0; pass < passes_max; ++pass) {
    const double heat = links.current * share * heat_of(node(problem, cell, x), ram());
    const double next = x0 + heat / (half + leaving_slope(problem, f, links.flows.chamber, x0));
    const double change = std::abs(next - x);
    x = next;
    if (!(change > settled * x)) break;
  }
  links.raise(problem.rows.outer[f], x - x0);
  const double back = half * (x - x0);
  links.flows.outer[f] += links.heat(share, node(problem, cell, x), ram()) - back;
  links.flows.into_cells[cell] +=
      back + links.heat(share, node(problem, cell, links.temperature[cell]), node(problem, cell, x));
}

/// What raised edges change in the flow through an inner face, then the heat of its two links.
void inner_link(std::size_t f, Links& links) {
  const Problem& problem = links.problem;
  const mesh::InnerFace& face = problem.mesh.inner_faces[f];
  const mesh::FaceStencil& row = problem.rows.inner[f];
  const Properties& p = links.properties;
  CellField& into = links.flows.into_cells;
  const CellField& resistivity = face.normal == mesh::Axis::r ? p.heat_resistivity_r : p.heat_resistivity_z;
  const double flow = mesh::drop_over(row, links.raised) /
                      (face.path_a * resistivity[face.a] + face.path_b * resistivity[face.b]);
  const double share = links.currents.inner[f] / links.conductance;
  const Node between = node(problem, face.a, mesh::value_on(row, links.flows.values));
  into[face.a] += links.heat(share, node(problem, face.a, links.temperature[face.a]), between) - flow;
  into[face.b] += links.heat(share, between, node(problem, face.b, links.temperature[face.b])) + flow;
}

}  // namespace

double signed_current(const Problem& problem, double current_squared) {
  const double effective = std::sqrt(std::max(current_squared, 0.0));
  const double mean =
      problem.pulse ? mean_current(*problem.pulse, effective, problem.largest_mean) : effective;
  return problem.positive_below ? -mean : mean;
}

Thermoelectric add_thermoelectric_heat(const Problem& problem, const Properties& properties,
                                       const Currents& currents, double conductance, double current,
                                       std::span<const double> temperature, EdgeTemperatures& edges,
                                       HeatFlows& flows) {
  if (!(conductance > 0.0)) return {};
  Links links{problem,     properties, currents,
              conductance, current,    temperature,
              edges,       flows,      CellField(flows.values.size(), 0.0)};
  for (std::size_t f = 0; f < problem.interfaces.pair_faces.size(); ++f) pair_link(f, links);
  for (std::size_t f = 0; f < problem.interfaces.outer_faces.size(); ++f) outer_link(f, links);
  for (std::size_t i = temperature.size(); i < flows.values.size(); ++i) flows.values[i] += links.raised[i];
  for (std::size_t f = 0; f < problem.mesh.inner_faces.size(); ++f) inner_link(f, links);
  return {links.voltage, current * links.voltage};
}

double with_seebeck(double effective, double mean, double seebeck) {
  return std::sqrt(std::max(effective * effective + seebeck * (2.0 * mean + seebeck), 0.0));
}

}  // namespace joulepress::solver
