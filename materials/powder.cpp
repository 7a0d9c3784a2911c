#include "materials/powder.hpp"

namespace joulepress::materials {

double closing_rate(const Material& material, const Pressed& at) {
  const Creep& creep = material.creep.value();
  return closed_die_rate(creep.exponent, uniaxial_strength(creep, at.temperature, at.grain), at.stress,
                         at.relative_density);
}

double powder_conductivity(const Material& material, double temperature, double relative_density) {
  return relative_conductivity(material.porous.heat, relative_density) *
         material.conductivity.along.curve.value(temperature);
}

double powder_resistivity(const Material& material, double temperature, double relative_density,
                          double film_share) {
  const double bare = material.resistivity.along.curve.value(temperature) /
                      relative_conductivity(material.porous.current, relative_density);
  return material.oxide_film ? with_film(*material.oxide_film, bare, film_share) : bare;
}

double film_left(const Material& material, double hottest) {
  return material.oxide_film ? film_left(*material.oxide_film, hottest) : 0.0;
}

}  // namespace joulepress::materials
