#include "materials/powder.hpp"

#include <cmath>

#include "materials/smooth.hpp"

namespace joulepress::materials {
namespace {

double rate_by(const Material& material, const Creep& creep, const Pressed& at) {
  return densification_rate(material.densification, creep.exponent,
                            uniaxial_strength(creep, at.temperature, at.grain), at.stress,
                            at.relative_density);
}

/// Resistivity of the bare powder over that of the dense material.
double over_dense(const Material& material, double temperature, double relative_density) {
  if (!material.mixture) return 1 / relative_conductivity(material.porous.current, relative_density);
  return mixture_resistivity(*material.mixture, temperature, relative_density) /
         mixture_resistivity(*material.mixture, temperature, 1);
}

}  // namespace

double closing_rate(const Material& material, const Pressed& at) {
  const std::vector<Creep>& sets = material.creep;
  std::size_t k = 0;
  while (k + 1 < sets.size() && at.relative_density >= sets[k].up_to_density + creep_blend) ++k;
  const double rate = rate_by(material, sets.at(k), at);
  if (k + 1 == sets.size()) return rate;
  const double weight = smooth_step(0.5 + (at.relative_density - sets[k].up_to_density) / (2 * creep_blend));
  if (!(weight > 0)) return rate;
  return std::pow(rate, 1 - weight) * std::pow(rate_by(material, sets[k + 1], at), weight);
}

double yield_pressure(const Material& material, double temperature, double relative_density, double loose) {
  constexpr double border = 0.9, half_width = 0.02;
  const double D = relative_density, strength = material.yield_strength.value().curve.value(temperature);
  const double contacts = 2.97 * D * D * (D - loose) / (1.0 - loose) * strength;
  const double holes = -2.0 / 3.0 * strength * std::log1p(-D);
  return contacts + smooth_step((D - border + half_width) / (2.0 * half_width)) * (holes - contacts);
}

double loose_density(const Material& material, double temperature, double relative_density, double pressure) {
  const double D = relative_density, strength = material.yield_strength.value().curve.value(temperature);
  const double share = pressure / (2.97 * D * D * strength);  // (D - D0) / (1 - D0)
  return share < D ? (D - share) / (1.0 - share) : 0.0;
}

double closing_time(const Material& material, const Pressed& at, double to) {
  const auto rate = [&](double relative_density) {
    Pressed there = at;
    there.relative_density = relative_density;
    return closing_rate(material, there);
  };
  return densification_time(rate, at.relative_density, to);
}

double sintering_stress(const Material& material, double grain_radius, double temperature,
                        double relative_density) {
  if (!material.surface_energy) return 0.0;
  const double alpha = material.surface_energy->curve.value(temperature);
  return 3 * alpha * relative_density * relative_density / grain_radius;
}

double powder_conductivity(const Material& material, double temperature, double relative_density) {
  return relative_conductivity(material.porous.heat, relative_density) *
         material.conductivity.along.curve.value(temperature);
}

double powder_resistivity(const Material& material, double temperature, double relative_density,
                          double film_share) {
  const double bare = material.resistivity.along.curve.value(temperature) *
                      over_dense(material, temperature, relative_density);
  return material.oxide_film ? with_film(*material.oxide_film, bare, film_share) : bare;
}

double film_left(const Material& material, double hottest) {
  return material.oxide_film ? film_left(*material.oxide_film, hottest) : 0.0;
}

}  // namespace joulepress::materials
