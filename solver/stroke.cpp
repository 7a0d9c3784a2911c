#include "solver/stroke.hpp"

#include <numbers>

#include "solver/compaction.hpp"

namespace joulepress::solver {
namespace {

constexpr double cold = zero_celsius + 20.0;  // K, where expansions count from

const materials::Curve* expansion_of(const Problem& p, const Part& part) {
  const auto& expansion = p.materials[part.material].expansion;
  if (!expansion) return nullptr;
  const bool through = part.across == mesh::Axis::z && expansion->across;
  return through ? &expansion->across->curve : &expansion->along.curve;
}

double strain(const materials::Curve& expansion, double T) {
  return expansion.value(T) * (T - cold);
}

/// Volume means over a block.
struct Means {
  double temperature = 0, strain = 0;
};
Means means_of(const Problem& p, const mesh::BlockGrid& grid, const materials::Curve* expansion,
               std::span<const double> temperature) {
  Means means;
  double volume = 0.0;
  for (int cell = grid.first_cell; cell < grid.first_cell + grid.n_r() * grid.n_z(); ++cell) {
    const double v = p.mesh.volume[cell];
    volume += v;
    means.temperature += v * temperature[cell];
    if (expansion) means.strain += v * strain(*expansion, temperature[cell]);
  }
  means.temperature /= volume;
  means.strain /= volume;
  return means;
}

}  // namespace

Stroke elastic_and_thermal_stroke(const Problem& p, double force, std::span<const double> temperature) {
  const double more = force - force_at(p, 0.0);
  Stroke stroke;
  stroke.frame = p.frame_compliance * more;
  for (const mesh::BlockGrid& grid : p.mesh.grids) {
    const mesh::Block& block = p.mesh.layout[grid.block];
    const Part& part = p.parts[block.part];
    if (!part.in_column) continue;
    const materials::Curve* expansion = expansion_of(p, part);
    const Means means = means_of(p, grid, expansion, temperature);
    const double height = block.z_top - block.z_bottom;
    // Of a powder the dense share of its height grows.
    const double solid = part.is_powder ? height * part.relative_density : height;
    if (expansion)
      (part.is_foil ? stroke.foil : stroke.growth) -=
          solid * (means.strain - strain(*expansion, p.initial_temperature));
    const auto& modulus = p.materials[part.material].elastic_modulus;
    if (!modulus || part.is_powder) continue;
    const double area = std::numbers::pi * (block.r_outer * block.r_outer - block.r_inner * block.r_inner);
    stroke.elastic += height * more / (area * modulus->curve.value(means.temperature));
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
