#include "solver/stroke.hpp"

#include <numbers>

#include "solver/compaction.hpp"
#include "solver/properties.hpp"

namespace joulepress::solver {
namespace {

constexpr double cold = zero_celsius + 20.0;  // K, where expansions count from

double strain(const materials::Curve& expansion, double T) {
  return expansion.value(T) * (T - cold);
}

/// Volume mean over a block of what `value` makes of a temperature.
template <class F>
double mean_of(const Problem& p, int block, std::span<const double> temperature, F&& value) {
  const mesh::BlockGrid& grid = p.mesh.grids[block];
  double sum = 0.0, volume = 0.0;
  for (int cell = grid.first_cell; cell < grid.first_cell + grid.n_r() * grid.n_z(); ++cell) {
    volume += p.mesh.volume[cell];
    sum += p.mesh.volume[cell] * value(temperature[cell]);
  }
  return sum / volume;
}

}  // namespace

double thermal_strain(const Problem& p, int block, mesh::Axis axis, std::span<const double> temperature) {
  const Part& part = p.parts[p.mesh.layout[block].part];
  const auto& expansion = p.materials[part.material].expansion;
  if (!expansion) return 0.0;
  const materials::Curve& curve = curve_along(*expansion, part, axis);
  return mean_of(p, block, temperature, [&curve](double T) { return strain(curve, T); }) -
         strain(curve, p.initial_temperature);
}

Stroke elastic_and_thermal_stroke(const Problem& p, double force, std::span<const double> temperature) {
  const double more = force - force_at(p, 0.0);
  Stroke stroke;
  stroke.frame = p.frame_compliance * more;
  for (const mesh::BlockGrid& grid : p.mesh.grids) {
    const mesh::Block& block = p.mesh.layout[grid.block];
    const Part& part = p.parts[block.part];
    if (!part.in_column) continue;
    const double height = block.z_top - block.z_bottom;
    // Of a powder the dense share of its height grows.
    const double solid = part.is_powder ? height * part.relative_density : height;
    (part.is_foil ? stroke.foil : stroke.growth) -=
        solid * thermal_strain(p, grid.block, mesh::Axis::z, temperature);
    const auto& modulus = p.materials[part.material].elastic_modulus;
    if (!modulus || part.is_powder || part.is_foil) continue;  // a foil is as thick as under pressure
    const double area = std::numbers::pi * (block.r_outer * block.r_outer - block.r_inner * block.r_inner);
    const double mean = mean_of(p, grid.block, temperature, [](double T) { return T; });
    stroke.elastic += height * more / (area * modulus->curve.value(mean));
  }
  return stroke;
}

std::vector<std::string> parts_without_stroke(const Problem& p) {
  std::vector<std::string> names;
  for (const Part& part : p.parts) {
    const materials::Material& material = p.materials[part.material];
    const bool stiff = material.elastic_modulus || part.is_powder || part.is_foil;
    if (part.in_column && !(stiff && material.expansion)) names.push_back(part.name);
  }
  return names;
}

}  // namespace joulepress::solver
