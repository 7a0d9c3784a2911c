#include "materials/scaling.hpp"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace joulepress::materials {
namespace {

/// Hands every curve and rate with its name to `see`; absent ones are not handed out.
template <class M, class See>
void each(M& m, See&& see) {
  const auto one = [&see](const char* name, auto& property) {
    if (property) see(name, *property);
  };
  const auto both = [&](const char* along, const char* across, auto& property) {
    see(along, property.along);
    one(across, property.across);
  };
  see("density", m.density);
  see("heat capacity", m.heat_capacity);
  both("conductivity", "conductivity across", m.conductivity);
  both("resistivity", "resistivity across", m.resistivity);
  one("emissivity", m.emissivity);
  one("compressive strength", m.compressive_strength);
  one("flexural strength", m.flexural_strength);
  one("tensile strength", m.tensile_strength);
  if (m.expansion) both("expansion", "expansion across", *m.expansion);
  one("elastic modulus", m.elastic_modulus);
  one("poisson ratio", m.poisson_ratio);
  one("yield strength", m.yield_strength);
  one("surface energy", m.surface_energy);
  one("loose touch", m.loose_touch);
  one("seebeck", m.seebeck);
  for (auto& set : m.creep) see("creep", set);
  one("oxide film", m.oxide_film);
  one("gas in pores", m.gas_in_pores);
}

void multiply(Property& property, double factor) {
  property.curve = property.curve.scaled(factor);
  std::array<char, 32> digits{};
  const auto end =
      std::to_chars(digits.data(), digits.data() + digits.size(), factor, std::chars_format::general, 4);
  property.source += "; times " + std::string(digits.data(), end.ptr) + ", as the case says";
}
void multiply(Creep& creep, double factor) {
  (creep.law == Creep::Law::measured ? creep.rate : creep.factor) *= factor;
}
void multiply(OxideFilm& film, double factor) {
  film.resistivity *= factor;
}
void multiply(GasInPores& pores, double factor) {
  pores.factor *= factor;
}

/// What a property cannot exceed; infinity: nothing.
double bound_of(std::string_view property) {
  if (property == "emissivity") return 1.0;
  return property == "poisson ratio" ? largest_poisson_ratio : std::numeric_limits<double>::infinity();
}

}  // namespace

std::vector<std::string> scalable() {
  Material all;
  all.conductivity.across = all.resistivity.across = Property{};
  all.emissivity = all.compressive_strength = all.flexural_strength = Property{};
  all.tensile_strength = all.poisson_ratio = Property{};
  all.expansion.emplace().across = Property{};
  all.elastic_modulus = all.yield_strength = all.surface_energy = Property{};
  all.loose_touch = all.seebeck = Property{};
  all.creep.resize(1);
  all.oxide_film.emplace();
  all.gas_in_pores.emplace();
  std::vector<std::string> names;
  each(all, [&names](const char* name, const auto&) { names.emplace_back(name); });
  return names;
}

Uncertainty uncertainty_of(const Material& material, std::string_view property) {
  Uncertainty least_sure;
  each(material, [&](std::string_view name, const auto& what) {
    if (name == property && two_sigma_factor(what.uncertainty) > two_sigma_factor(least_sure))
      least_sure = what.uncertainty;
  });
  return least_sure;
}

bool has(const Material& material, std::string_view property) {
  bool found = false;
  each(material, [&](std::string_view name, const auto&) { found = found || name == property; });
  return found;
}

double largest_factor(const Material& material, std::string_view property) {
  const double bound = bound_of(property);
  if (std::isinf(bound) || !has(material, property)) return std::numeric_limits<double>::infinity();
  const auto& bounded = property == "emissivity" ? material.emissivity : material.poisson_ratio;
  return bound / bounded->curve.extremes().second;
}

void scale(Material& material, std::string_view property, double factor) {
  if (!(factor > 0.0)) throw std::invalid_argument("a factor is above 0");
  if (!has(material, property))
    throw std::invalid_argument(material.name + " has no " + std::string(property) + " to scale");
  if (factor > largest_factor(material, property) * (1.0 + 1e-12))
    throw std::invalid_argument("the " + std::string(property) + " of " + material.name +
                                " would rise above " + (property == "emissivity" ? "1" : "0.45"));
  each(material, [&](std::string_view name, auto& what) {
    if (name == property) multiply(what, factor);
  });
  if (material.mixture && property == "resistivity") {
    Mixture& mixture = *material.mixture;
    mixture.conducting_resistivity = mixture.conducting_resistivity.scaled(factor);
    mixture.insulating_resistivity = mixture.insulating_resistivity.scaled(factor);
  }
}

}  // namespace joulepress::materials
