#include "tests/support/problems.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "solver/frame.hpp"
#include "solver/steady.hpp"

namespace joulepress::test {

materials::Material constant_material(const std::string& name, double k, double rho_e, double cp,
                                      double density) {
  materials::Material m;
  m.name = name;
  const auto property = [](double value) {
    return materials::Property{materials::Curve::constant(value), "test", {}, ""};
  };
  m.conductivity.along = property(k);
  m.resistivity.along = property(rho_e);
  m.heat_capacity = property(cp);
  m.density = property(density);
  return m;
}

solver::Problem plain_problem(const mesh::Layout& layout, const mesh::GridRule& rule,
                              const std::vector<materials::Material>& materials) {
  solver::Problem p;
  p.mesh = mesh::build_mesh(layout, rule);
  p.interfaces = mesh::interfaces_at(p.mesh, std::vector<double>(layout.size(), 0.0));
  p.rows = mesh::reconstruction_of(p.mesh, p.interfaces, mesh::Fluxes::cubic);
  p.materials = materials;
  int n_parts = 0;
  for (const mesh::Block& block : layout) n_parts = std::max(n_parts, block.part + 1);
  for (int k = 0; k < n_parts; ++k) {
    solver::Part part;
    part.material = std::min(k, static_cast<int>(materials.size()) - 1);
    p.parts.push_back(part);
  }
  for (const mesh::Block& block : layout) p.parts[block.part].name = block.name;
  for (const mesh::BlockPair& pair : p.interfaces.pairs) {
    solver::ContactLaw law;
    if (pair.gap > 0.0) {
      law.electric_resistance = std::numeric_limits<double>::infinity();
      law.heat_conductance = 0.0;
    }
    p.contacts.push_back(law);
  }
  p.sides.resize(layout.size());
  p.numerics.nonlinear_tolerance = 1e-9;  // so that what is left is the discretisation's
  p.numerics.potential_tolerance = 1e-12;
  return p;
}

solver::SideCondition& side_of(solver::Problem& problem, int block, mesh::Side side) {
  return problem.sides[block][static_cast<int>(side)];
}

solver::SideCondition held_at(double T) {
  solver::SideCondition condition;
  condition.fixed_temperature = [T](double, double, double) { return T; };
  return condition;
}

int add_probe(solver::Problem& problem, int block, double r, double z) {
  solver::Sensor probe;
  probe.part = problem.mesh.layout[block].part;
  probe.junction = mesh::point(problem.mesh, block, r, z);
  probe.exact = true;
  problem.sensors.push_back(std::move(probe));
  return static_cast<int>(problem.sensors.size()) - 1;
}

double steady_heat_through(const solver::Problem& problem, int block, mesh::Side side) {
  const solver::Steady steady = solver::solve_steady(problem);
  REQUIRE(steady.converged);
  solver::Workspace workspace(problem);
  const solver::Frame frame = solver::frame_of(problem, workspace, steady.state);
  double flow = 0;
  for (std::size_t f = 0; f < frame.flows.outer.size(); ++f) {
    const mesh::FaceSide& face = problem.interfaces.outer_faces[f].a;
    if (problem.mesh.block_of[face.cell] == block && face.side == side) flow += frame.flows.outer[f];
  }
  return flow;
}

mesh::GridRule even_grid(double size, int refinement) {
  mesh::GridRule rule;
  rule.smallest = rule.largest = size;
  rule.growth = 1.0;
  rule.cells_across_min = 1;
  rule.refinement = refinement;
  return rule;
}

solver::Segment segment(double start, double end, double from, double to, bool hold) {
  return {start, end, from, to, false, hold, hold ? "hold" : ""};
}

}  // namespace joulepress::test
