#include "solver/properties.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <limits>

namespace joulepress::solver {
namespace {

/// Calls f(first cell, one past the last, part) for every block: cells of a block share one material.
template <class F>
void for_each_block(const Problem& problem, F&& f) {
  for (const mesh::BlockGrid& grid : problem.mesh.grids) {
    const int part = problem.mesh.layout[grid.block].part;
    f(grid.first_cell, grid.first_cell + grid.n_r() * grid.n_z(), problem.parts[part]);
  }
}

const materials::Curve& through(const materials::DirectionalProperty& property, bool across) {
  return across && property.across ? property.across->curve : property.along.curve;
}

void inverse_conductivity(const materials::DirectionalProperty& k, const Part& part, mesh::Axis axis,
                          std::span<const double> temperature, int begin, int end, CellField& out) {
  const materials::Curve& curve = through(k, part.across == axis);
  for (int i = begin; i < end; ++i) out[i] = 1.0 / (part.heat_factor * curve.value(temperature[i]));
}

void resistivity(const materials::DirectionalProperty& rho, const Part& part, mesh::Axis axis,
                 std::span<const double> temperature, int begin, int end, CellField& out) {
  const materials::Curve& curve = through(rho, part.across == axis);
  for (int i = begin; i < end; ++i) out[i] = curve.value(temperature[i]) / part.current_factor;
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

CellField cell_masses(const Problem& problem) {
  CellField mass(problem.mesh.volume);
  for_each_block(problem, [&](int begin, int end, const Part& part) {
    const double density =
        problem.materials[part.material].density.curve.value(298.15) * part.relative_density;
    for (int i = begin; i < end; ++i) mass[i] *= density;
  });
  return mass;
}

void properties_at(const Problem& problem, std::span<const double> temperature, Properties& out) {
  const std::size_t n = problem.mesh.volume.size();
  out.heat_resistivity_r.resize(n);
  out.heat_resistivity_z.resize(n);
  out.electric_resistivity_r.resize(n);
  out.electric_resistivity_z.resize(n);
  for_each_block(problem, [&](int begin, int end, const Part& part) {
    const materials::Material& material = problem.materials[part.material];
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
  });
}

void enthalpy_at(const Problem& problem, std::span<const double> mass, std::span<const double> temperature,
                 CellField& enthalpy, CellField& capacity) {
  enthalpy.resize(mass.size());
  capacity.resize(mass.size());
  for_each_block(problem, [&](int begin, int end, const Part& part) {
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
  for_each_block(problem, [&](int begin, int end, const Part& part) {
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

std::vector<std::string> range_warnings(const Problem& problem, std::span<const double> lowest,
                                        std::span<const double> highest) {
  std::vector<std::string> warnings;
  std::vector<std::pair<double, double>> met(problem.materials.size(),
                                             {std::numeric_limits<double>::infinity(), 0.0});
  for_each_block(problem, [&](int begin, int end, const Part& part) {
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
  }
  return warnings;
}

}  // namespace joulepress::solver
