#include "solver/fields.hpp"

#include <numbers>

#include "solver/electric.hpp"

namespace joulepress::solver {
namespace {

using Vectors = std::vector<std::array<double, 2>>;

/// Flows through the four sides of every cell, positive toward larger r or z.
class SideFlows {
 public:
  explicit SideFlows(const mesh::Mesh& mesh) : mesh_(mesh), flows_(mesh.volume.size()) {}

  void through(const mesh::InnerFace& face, double flow) {
    const bool radial = face.normal == mesh::Axis::r;
    at(face.a, radial ? mesh::Side::outer : mesh::Side::top) += flow;
    at(face.b, radial ? mesh::Side::inner : mesh::Side::bottom) += flow;
  }

  /// Adds what leaves the cell through one piece of its side.
  void leaves(const mesh::FaceSide& piece, double flow) {
    const bool ascending = piece.side == mesh::Side::outer || piece.side == mesh::Side::top;
    at(piece.cell, piece.side) += ascending ? flow : -flow;
  }

  /// Flow per area at the middle of every cell.
  Vectors densities() const {
    using std::numbers::pi;
    Vectors out(flows_.size());
    for (const mesh::BlockGrid& grid : mesh_.grids)
      for (int j = 0; j < grid.n_z(); ++j)
        for (int i = 0; i < grid.n_r(); ++i) {
          const int cell = grid.cell(i, j);
          const auto& [inner, outer, bottom, top] = flows_[cell];
          const double height = grid.z_lines[j + 1] - grid.z_lines[j];
          const double low = grid.r_lines[i], high = grid.r_lines[i + 1], middle = mesh_.r[cell];
          const double passed = (middle - low) * (middle + low) / ((high - low) * (high + low));
          out[cell] = {(inner + (outer - inner) * passed) / (2.0 * pi * middle * height),
                       0.5 * (bottom + top) * height / mesh_.volume[cell]};
        }
    return out;
  }

 private:
  double& at(int cell, mesh::Side side) { return flows_[cell][static_cast<std::size_t>(side)]; }

  const mesh::Mesh& mesh_;
  std::vector<std::array<double, 4>> flows_;  ///< in the order of mesh::Side
};

Vectors current_density(const Problem& problem, const Frame& frame) {
  SideFlows flows(problem.mesh);
  if (!(frame.current > 0.0)) return flows.densities();
  const Currents& currents = frame.currents;
  const auto& inner = problem.mesh.inner_faces;
  for (std::size_t f = 0; f < inner.size(); ++f) flows.through(inner[f], frame.voltage * currents.inner[f]);
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    flows.leaves(pairs[f].a, frame.voltage * currents.pair[f]);
    flows.leaves(pairs[f].b, -frame.voltage * currents.pair[f]);
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t f = 0; f < outer.size(); ++f) flows.leaves(outer[f].a, frame.voltage * currents.outer[f]);
  return flows.densities();
}

Vectors heat_flux(const Problem& problem, const Frame& frame) {
  SideFlows flows(problem.mesh);
  const Properties& p = frame.properties;
  const auto resistivity = [&p](mesh::Axis axis) -> const CellField& {
    return axis == mesh::Axis::r ? p.heat_resistivity_r : p.heat_resistivity_z;
  };
  const auto& inner = problem.mesh.inner_faces;
  for (std::size_t f = 0; f < inner.size(); ++f) {
    const mesh::InnerFace& face = inner[f];
    const CellField& r = resistivity(face.normal);
    flows.through(face, mesh::drop_over(problem.rows.inner[f], frame.flows.values) /
                            (face.path_a * r[face.a] + face.path_b * r[face.b]));
  }
  const auto half = [&](const mesh::FaceSide& side, const mesh::SideStencil& row, double surface) {
    return (mesh::trace_of(side.trace, row, frame.temperature, mesh::Parity::even) - surface) /
           (row.path * mesh::at_edge(side.cell, row, resistivity(normal_of(side.side))));
  };
  const auto& pairs = problem.interfaces.pair_faces;
  for (std::size_t f = 0; f < pairs.size(); ++f) {
    flows.leaves(pairs[f].a, half(pairs[f].a, problem.rows.pair_a[f], frame.edges.pair_a[f]));
    flows.leaves(pairs[f].b, half(pairs[f].b, problem.rows.pair_b[f], frame.edges.pair_b[f]));
  }
  const auto& outer = problem.interfaces.outer_faces;
  for (std::size_t f = 0; f < outer.size(); ++f) flows.leaves(outer[f].a, frame.flows.outer[f]);
  return flows.densities();
}

}  // namespace

CellFields fields_of(const Problem& present, const Frame& frame) {
  CellFields fields;
  fields.time = frame.time;
  fields.temperature = frame.temperature;
  fields.electric_potential = frame.potential;
  for (double& value : fields.electric_potential) value *= frame.voltage;
  fields.current_density = current_density(present, frame);
  if (present.positive_below) {  // the frame has it from high to low
    for (double& value : fields.electric_potential) value = -value;
    for (auto& [j_r, j_z] : fields.current_density) {
      j_r = -j_r;
      j_z = -j_z;
    }
  }
  fields.heat_flux = heat_flux(present, frame);
  fields.joule_heat = frame.joule;
  for (std::size_t i = 0; i < fields.joule_heat.size(); ++i) fields.joule_heat[i] /= present.mesh.volume[i];
  fields.relative_density = relative_densities(present, frame.beds);
  fields.placement = mesh::placement_of(present.mesh);
  return fields;
}

}  // namespace joulepress::solver
