#include "solver/properties.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

#include "materials/powder.hpp"
#include "solver/compaction.hpp"

namespace joulepress::solver {
namespace {

/// Calls f(first cell, one past the last, part, block) for every block: its cells share one material.
template <class F>
void for_each_block(const Problem& problem, F&& f) {
  for (const mesh::BlockGrid& grid : problem.mesh.grids) {
    const int part = problem.mesh.layout[grid.block].part;
    f(grid.first_cell, grid.first_cell + grid.n_r() * grid.n_z(), problem.parts[part], grid.block);
  }
}

/// The state of the bed in a block; none elsewhere.
const BedState* state_in(const Problem& problem, std::span<const BedState> beds, int block) {
  const int b = bed_in(problem, block);
  return b < 0 ? nullptr : &beds[b];
}

/// A powder conducts alike in all directions, by its density.
void powder_properties(const materials::Material& material, const Part& part, const BedState* bed,
                       std::span<const double> temperature, std::span<const double> hottest, int begin,
                       int end, Properties& out) {
  for (int i = begin; i < end; ++i) {
    const double T = temperature[i],
                 D = bed ? relative_density(std::min(bed->L[i - begin], dense_L)) : part.relative_density;
    const double film = part.oxide_film ? materials::film_left(material, std::max(T, hottest[i])) : 0.0;
    out.heat_resistivity_r[i] = out.heat_resistivity_z[i] =
        1.0 / materials::powder_conductivity(material, T, D);
    out.electric_resistivity_r[i] = out.electric_resistivity_z[i] =
        materials::powder_resistivity(material, T, D, film);
  }
}

void inverse_conductivity(const materials::DirectionalProperty& k, const Part& part, mesh::Axis axis,
                          std::span<const double> temperature, int begin, int end, CellField& out) {
  const materials::Curve& curve = curve_along(k, part, axis);
  for (int i = begin; i < end; ++i) out[i] = 1.0 / curve.value(temperature[i]);
}

/// Felt: the gas in its pores conducts beside what it does in vacuum, alike in all directions.
void add_gas_in_pores(const materials::GasInPores& pores, const materials::Gas& gas,
                      std::span<const double> temperature, int begin, int end, Properties& out) {
  for (int i = begin; i < end; ++i) {
    const double added = materials::conductivity_added(pores, gas, temperature[i]);
    for (CellField* const field : {&out.heat_resistivity_r, &out.heat_resistivity_z})
      (*field)[i] /= 1.0 + added * (*field)[i];
  }
}

void resistivity(const materials::DirectionalProperty& rho, const Part& part, mesh::Axis axis,
                 std::span<const double> temperature, int begin, int end, CellField& out) {
  const materials::Curve& curve = curve_along(rho, part, axis);
  for (int i = begin; i < end; ++i) out[i] = curve.value(temperature[i]);
}

constexpr double settled_step = 1e-8;             // K, of the last Newton step on an enthalpy
constexpr double reference_temperature = 298.15;  // K, a start when there is no better one

/// Newton on h(T) = target, kept inside a bracket: h is strictly increasing, cp may have a peak.
double invert(const materials::Curve& heat_capacity, double target, double guess) {
  double low = 0.0, high = std::numeric_limits<double>::infinity();
  double T = guess > 0.0 && std::isfinite(guess) ? guess : reference_temperature;
  for (int k = 0; k < 100; ++k) {
    const materials::Curve::Both at = heat_capacity.both(T);
    const double miss = at.integral - target;
    double next = T - miss / at.value;
    if (std::abs(next - T) <= settled_step) return next;
    (miss > 0 ? high : low) = T;
    if (!(next > low && next < high)) next = std::isfinite(high) ? 0.5 * (low + high) : 2.0 * T;
    T = next;
  }
  return T;
}

/// For messages; never "-0".
double whole_celsius(double kelvin) {
  return std::round(kelvin - zero_celsius) + 0.0;
}

}  // namespace

const materials::Curve& curve_along(const materials::DirectionalProperty& property, const Part& part,
                                    mesh::Axis axis) {
  return part.across == axis && property.across ? property.across->curve : property.along.curve;
}

CellField cell_masses(const Problem& problem) {
  CellField mass(problem.mesh.volume);
  for_each_block(problem, [&](int begin, int end, const Part& part, int) {
    const double density =
        problem.materials[part.material].density.curve.value(298.15) * part.relative_density;
    for (int i = begin; i < end; ++i) mass[i] *= density;
  });
  return mass;
}

void properties_at(const Problem& problem, std::span<const double> temperature,
                   std::span<const BedState> beds, std::span<const double> hottest, Properties& out) {
  const std::size_t n = problem.mesh.volume.size();
  out.heat_resistivity_r.resize(n);
  out.heat_resistivity_z.resize(n);
  out.electric_resistivity_r.resize(n);
  out.electric_resistivity_z.resize(n);
  for_each_block(problem, [&](int begin, int end, const Part& part, int block) {
    const materials::Material& material = problem.materials[part.material];
    if (part.is_powder) {
      powder_properties(material, part, state_in(problem, beds, block), temperature, hottest, begin, end,
                        out);
      return;
    }
    inverse_conductivity(material.conductivity, part, mesh::Axis::r, temperature, begin, end,
                         out.heat_resistivity_r);
    resistivity(material.resistivity, part, mesh::Axis::r, temperature, begin, end,
                out.electric_resistivity_r);
    if (part.across) {
      inverse_conductivity(material.conductivity, part, mesh::Axis::z, temperature, begin, end,
                           out.heat_resistivity_z);
      resistivity(material.resistivity, part, mesh::Axis::z, temperature, begin, end,
                  out.electric_resistivity_z);
    } else {
      std::copy(out.heat_resistivity_r.begin() + begin, out.heat_resistivity_r.begin() + end,
                out.heat_resistivity_z.begin() + begin);
      std::copy(out.electric_resistivity_r.begin() + begin, out.electric_resistivity_r.begin() + end,
                out.electric_resistivity_z.begin() + begin);
    }
    if (problem.gas && material.gas_in_pores)
      add_gas_in_pores(*material.gas_in_pores, *problem.gas, temperature, begin, end, out);
  });
}

void enthalpy_at(const Problem& problem, std::span<const double> mass, std::span<const double> temperature,
                 CellField& enthalpy, CellField& capacity) {
  enthalpy.resize(mass.size());
  capacity.resize(mass.size());
  for_each_block(problem, [&](int begin, int end, const Part& part, int) {
    const materials::Curve& cp = problem.materials[part.material].heat_capacity.curve;
    for (int i = begin; i < end; ++i) {
      const materials::Curve::Both at = cp.both(temperature[i]);
      enthalpy[i] = mass[i] * at.integral;
      capacity[i] = mass[i] * at.value;
    }
  });
}

void temperature_from_enthalpy(const Problem& problem, std::span<const double> mass,
                               std::span<const double> enthalpy, CellField& temperature) {
  constexpr int passes = 4;
  for_each_block(problem, [&](int begin, int end, const Part& part, int) {
    const materials::Curve& cp = problem.materials[part.material].heat_capacity.curve;
    // Newton in step over the block: one cell need not wait for the division of the one before.
    for (int pass = 0; pass < passes; ++pass) {
      double largest = 0.0;
      for (int i = begin; i < end; ++i) {
        const materials::Curve::Both at = cp.both(temperature[i]);
        const double step = (enthalpy[i] / mass[i] - at.integral) / at.value;
        temperature[i] += step;
        largest = std::max(largest, std::abs(step));
      }
      if (largest <= settled_step) return;
    }
    for (int i = begin; i < end; ++i) temperature[i] = invert(cp, enthalpy[i] / mass[i], temperature[i]);
  });
}

CellField relative_densities(const Problem& problem, std::span<const BedState> beds) {
  CellField densities(problem.mesh.volume.size(), 1.0);
  for_each_block(problem, [&](int begin, int end, const Part& part, int block) {
    if (!part.is_powder) return;
    const BedState* bed = state_in(problem, beds, block);
    for (int i = begin; i < end; ++i)
      densities[i] = bed ? relative_density(bed->L[i - begin]) : part.relative_density;
  });
  return densities;
}

std::vector<std::string> range_warnings(const Problem& problem, std::span<const double> lowest,
                                        std::span<const double> highest) {
  std::vector<std::string> warnings;
  std::vector<std::pair<double, double>> met(problem.materials.size(),
                                             {std::numeric_limits<double>::infinity(), 0.0});
  for_each_block(problem, [&](int begin, int end, const Part& part, int) {
    auto& [low, high] = met[part.material];
    for (int i = begin; i < end; ++i) {
      low = std::min(low, lowest[i]);
      high = std::max(high, highest[i]);
    }
  });
  for (std::size_t m = 0; m < problem.materials.size(); ++m) {
    const materials::Material& material = problem.materials[m];
    const double low = met[m].first, high = met[m].second;
    const auto report = [&](const char* what, const materials::Curve& curve) {
      constexpr double slack = 0.5;  // K: a range that starts at 298.15 K serves a room at 25 degC
      if (low >= curve.t_min() - slack && high <= curve.t_max() + slack) return;
      char text[256];
      std::snprintf(text, sizeof text,
                    "%s of %s is known from %.0f to %.0f degC and was used from %.0f to %.0f degC; "
                    "beyond the range its end value was held.",
                    what, material.name.c_str(), whole_celsius(curve.t_min()), whole_celsius(curve.t_max()),
                    whole_celsius(low), whole_celsius(high));
      warnings.emplace_back(text);
    };
    if (!(high > 0.0)) continue;  // material of no part
    report("Heat capacity", material.heat_capacity.curve);
    report("Heat conductivity", material.conductivity.along.curve);
    report("Electrical resistivity", material.resistivity.along.curve);
    if (problem.thermoelectric && material.seebeck) report("Seebeck coefficient", material.seebeck->curve);
  }
  return warnings;
}

}  // namespace joulepress::solver
