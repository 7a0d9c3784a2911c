// A material: named curves with sources and uncertainty.  Plain data, SI units.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "materials/creep.hpp"
#include "materials/curve.hpp"
#include "materials/densification.hpp"
#include "materials/gas_in_pores.hpp"
#include "materials/mixture.hpp"
#include "materials/oxide_film.hpp"
#include "materials/porous.hpp"
#include "materials/uncertainty.hpp"
#include "materials/weibull.hpp"

namespace joulepress::materials {

struct Property {
  Curve curve;
  std::string source;  ///< where the numbers come from; says "from memory" where they do
  Uncertainty uncertainty;
  std::string note;
};

/// A property that may differ along and across the layers of a sheet (foil, fibre plate).
struct DirectionalProperty {
  Property along;                  ///< in the plane of the sheet; every direction when `across` is empty
  std::optional<Property> across;  ///< through the sheet
};

/// Nearer to 0.5 a solid keeps its volume and the stresses of a field of displacements lose their digits.
inline constexpr double largest_poisson_ratio = 0.45;

struct Material {
  std::string name;
  std::string file;  ///< as given to the reader, for messages and hashes
  std::string note;
  Property density;                              ///< kg/m3, fully dense, cold
  Property heat_capacity;                        ///< J/(kg K)
  DirectionalProperty conductivity;              ///< W/(m K)
  DirectionalProperty resistivity;               ///< ohm m
  std::optional<Property> emissivity;            ///< total hemispherical, 0..1
  std::optional<double> melting_K;               ///< first liquid of the material by itself
  std::optional<double> carbon_eutectic_K;       ///< first liquid in touch with carbon (foil, graphite die)
  std::optional<Property> compressive_strength;  ///< Pa
  std::optional<Property> flexural_strength;     ///< Pa
  std::optional<Property> tensile_strength;      ///< Pa
  std::optional<Weibull> weibull;  ///< scatter of the flexural or the tensile strength, as its specimen says
  std::optional<DirectionalProperty> expansion;  ///< 1/K, mean linear coefficient from 20 degC to T
  std::optional<Property> elastic_modulus;       ///< Pa; of a sheet through it
  std::optional<Property> poisson_ratio;         ///< 0 to largest_poisson_ratio
  std::optional<Property> yield_strength;        ///< Pa, annealed
  std::optional<Property> surface_energy;        ///< J/m2, of the solid against vacuum; drives sintering
  std::optional<Property> loose_touch;     ///< ohm m2, of a touch where nothing presses; then it is soft
  std::optional<Property> seebeck;         ///< V/K, of the solid as powder too; not known: counts as 0
  Porous porous;                           ///< as powder; closed pores when the file says nothing
  std::optional<Mixture> mixture;          ///< of two solids; then the current follows it, not `porous`
  std::optional<OxideFilm> oxide_film;     ///< between the grains of its powder
  std::optional<GasInPores> gas_in_pores;  ///< of a felt, whose conductivity is that in vacuum
  /// Of the dense solid, and by it a powder densifies.  Usually one set; several follow each other in the
  /// density of the powder.  Empty: not known.
  std::vector<Creep> creep;
  Densification
      densification;       ///< how the powder follows from the creep; a closed die unless the file says else
  bool carbon = false;     ///< graphite or another carbon: powders may form a eutectic with it
  bool insulator = false;  ///< carries no current worth the name beside graphite
};

}  // namespace joulepress::materials
