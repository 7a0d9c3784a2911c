// Small problems for tests: a layout, materials given by numbers, everything else set by name.
#pragma once

#include <string>
#include <vector>

#include "solver/problem.hpp"

namespace joulepress::test {

/// Material with constant properties: k [W/(m K)], rho_e [ohm m], cp [J/(kg K)], density [kg/m3].
materials::Material constant_material(const std::string& name, double k, double rho_e = 1e-5,
                                      double cp = 1000, double density = 1000);

/// A problem on the layout: one part per part index (material index = part index, the last material serves
/// the rest), perfect contacts, gaps that exchange nothing, every outer side insulated.
solver::Problem plain_problem(const mesh::Layout& layout, const mesh::GridRule& rule,
                              const std::vector<materials::Material>& materials);

/// The condition of one side of a block.
solver::SideCondition& side_of(solver::Problem& problem, int block, mesh::Side side);

/// Adds a sensor that reads the material exactly at a point of a block; returns its number.
int add_probe(solver::Problem& problem, int block, double r, double z);

/// A condition that holds the surface at T [K].
solver::SideCondition held_at(double T);

/// Steady heat that leaves through one side of a block [W].
double steady_heat_through(const solver::Problem& problem, int block, mesh::Side side);

/// A grid of equal cells: n_min between features, no grading.
mesh::GridRule even_grid(double size, int refinement = 1);

/// One segment of a programme.
solver::Segment segment(double start, double end, double from, double to, bool hold = false);

}  // namespace joulepress::test
