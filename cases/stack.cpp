#include "cases/stack.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <stdexcept>

namespace joulepress::cases {
namespace {

const FoilLayer* foil_between(const Case& c, const std::string& low, const std::string& high) {
  for (const FoilLayer& foil : c.foils)
    if (foil.between_low == low && foil.between_high == high) return &foil;
  return nullptr;
}

const materials::Material* find_material_of(const Case& c, const std::string& name) {
  for (const materials::Material& material : c.materials)
    if (material.name == name) return &material;
  return nullptr;
}

bool material_is_known(const Case& c, const std::string& name) {
  const materials::Material* material = find_material_of(c, name);
  return material && material->density.curve.value(298.15) > 0.0;
}

bool in_column(const Case& c, const std::string& name) {
  return std::any_of(c.column.begin(), c.column.end(),
                     [&name](const ColumnPart& part) { return part.name == name; });
}

}  // namespace

bool stack_is_known(const Case& c) {
  const auto part_is_known = [&c](const ColumnPart& part) {
    const bool tall = part.height ? *part.height > 0.0
                                  : part.powder && part.mass && *part.mass > 0.0 && part.end_density > 0.0;
    return tall && part.diameter > part.bore && part.bore >= 0.0 && material_is_known(c, part.material);
  };
  const auto sleeve_is_known = [&c](const Sleeve& s) {
    return s.outer_diameter > s.inner_diameter && s.inner_diameter >= 0.0 && s.height > 0.0 &&
           in_column(c, s.centre_on) && material_is_known(c, s.material);
  };
  const auto foil_is_known = [&c](const FoilLayer& foil) {
    const bool placed = foil.along.empty()
                            ? in_column(c, foil.between_low) && in_column(c, foil.between_high)
                            : std::any_of(c.sleeves.begin(), c.sleeves.end(),
                                          [&foil](const Sleeve& s) { return s.name == foil.along; });
    return placed && foil.thickness > 0.0 && material_is_known(c, foil.material);
  };
  return !c.column.empty() && std::all_of(c.column.begin(), c.column.end(), part_is_known) &&
         std::all_of(c.sleeves.begin(), c.sleeves.end(), sleeve_is_known) &&
         std::all_of(c.foils.begin(), c.foils.end(), foil_is_known);
}

const materials::Material& material_named(const Case& c, const std::string& name) {
  if (const materials::Material* material = find_material_of(c, name)) return *material;
  throw std::logic_error("material was not read: " + name);
}

double end_density(const ColumnPart& powder) {
  return powder.end_density;
}

double cross_section(const ColumnPart& part) {
  return 0.25 * std::numbers::pi * (part.diameter * part.diameter - part.bore * part.bore);
}

double powder_height(const ColumnPart& powder, const materials::Material& material) {
  if (powder.height) return *powder.height;
  return *powder.mass / (end_density(powder) * material.density.curve.value(298.15) * cross_section(powder));
}

Stack stack_of(const Case& c) {
  Stack stack;
  const auto add = [&](const std::string& name, Role role, int source, const std::string& material, double r0,
                       double r1, double z0, double z1) {
    stack.layout.push_back({name, static_cast<int>(stack.parts.size()), r0, r1, z0, z1});
    stack.parts.push_back({role, source, material});
  };
  double z = 0.0;
  for (std::size_t k = 0; k < c.column.size(); ++k) {
    const ColumnPart& part = c.column[k];
    if (k > 0) {
      const ColumnPart& below = c.column[k - 1];
      if (const FoilLayer* foil = foil_between(c, below.name, part.name)) {
        const double radius = 0.5 * std::min(below.diameter, part.diameter);
        const double bore = 0.5 * std::max(below.bore, part.bore);
        add(fmt::format("foil {} / {}", below.name, part.name), Role::disc_foil,
            static_cast<int>(foil - c.foils.data()), foil->material, bore, radius, z, z + foil->thickness);
        z += foil->thickness;
      }
    }
    const double height = part.powder ? powder_height(part, material_named(c, part.material)) : *part.height;
    add(part.name, part.powder ? Role::powder : Role::column, static_cast<int>(k), part.material,
        0.5 * part.bore, 0.5 * part.diameter, z, z + height);
    z += height;
  }
  for (std::size_t k = 0; k < c.sleeves.size(); ++k) {
    const Sleeve& sleeve = c.sleeves[k];
    const auto centre = std::find_if(stack.layout.begin(), stack.layout.end(),
                                     [&](const mesh::Block& b) { return b.name == sleeve.centre_on; });
    const double middle = 0.5 * (centre->z_bottom + centre->z_top);
    const double low = middle - 0.5 * sleeve.height, high = middle + 0.5 * sleeve.height;
    const double bore = 0.5 * sleeve.inner_diameter;
    add(sleeve.name, Role::sleeve, static_cast<int>(k), sleeve.material, bore, 0.5 * sleeve.outer_diameter,
        low, high);
    for (std::size_t f = 0; f < c.foils.size(); ++f)
      if (c.foils[f].along == sleeve.name)
        add(fmt::format("foil in bore of {}", sleeve.name), Role::lining, static_cast<int>(f),
            c.foils[f].material, bore - c.foils[f].thickness, bore, low, high);
  }
  return stack;
}

bool is_foil(const StackPart& part) {
  return part.role == Role::disc_foil || part.role == Role::lining;
}

int top_of_column(const Stack& stack) {
  int top = 0;
  for (std::size_t k = 0; k < stack.parts.size(); ++k)
    if (stack.parts[k].role == Role::column || stack.parts[k].role == Role::powder) top = static_cast<int>(k);
  return top;
}

}  // namespace joulepress::cases
