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

double powder_resistivity(const Material& material, double temperature, double relative_density) {
  return material.resistivity.along.curve.value(temperature) /
         relative_conductivity(material.porous.current, relative_density);
}

}  // namespace joulepress::materials
