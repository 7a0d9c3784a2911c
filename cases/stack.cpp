#include "cases/stack.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <limits>
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

const Sleeve* sleeve_named(const Case& c, const std::string& name) {
  for (const Sleeve& sleeve : c.sleeves)
    if (sleeve.name == name) return &sleeve;
  return nullptr;
}

const std::string& support_of(const Sleeve& sleeve) {
  return sleeve.stands_on.empty() ? sleeve.hangs_below : sleeve.stands_on;
}

namespace {

/// Whether its place leads to the column, over the sleeves between.
bool is_placed(const Case& c, const Sleeve& sleeve) {
  const Sleeve* at = &sleeve;
  for (std::size_t k = 0; k <= c.sleeves.size() && at; ++k) {
    if (at->centre_on.empty() + at->stands_on.empty() + at->hangs_below.empty() != 2) return false;
    const std::string& next = at->centre_on.empty() ? support_of(*at) : at->centre_on;
    if (in_column(c, next)) return true;
    at = sleeve_named(c, next);
  }
  return false;
}

}  // namespace

bool stack_is_known(const Case& c) {
  const auto part_is_known = [&c](const ColumnPart& part) {
    const bool tall = part.height ? *part.height > 0.0
                                  : part.powder && part.mass && *part.mass > 0.0 && part.end_density > 0.0;
    return tall && part.diameter > part.bore && part.bore >= 0.0 && material_is_known(c, part.material);
  };
  const auto sleeve_is_known = [&c](const Sleeve& s) {
    // a bore that is written but could not be read must not pass for that of a core rod
    const bool bore_is_known = s.inner_diameter > 0.0 || !s.written.has("inner diameter");
    return bore_is_known && s.outer_diameter > s.inner_diameter && s.height > 0.0 && is_placed(c, s) &&
           material_is_known(c, s.material);
  };
  const auto foil_is_known = [&c](const FoilLayer& foil) {
    const bool placed = foil.along.empty() ? in_column(c, foil.between_low) && in_column(c, foil.between_high)
                                           : sleeve_named(c, foil.along) != nullptr;
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

bool is_used(const Case& c, const materials::Material& material) {
  const auto of_it = [&material](const auto& part) { return part.material == material.name; };
  return std::any_of(c.column.begin(), c.column.end(), of_it) ||
         std::any_of(c.sleeves.begin(), c.sleeves.end(), of_it) ||
         std::any_of(c.foils.begin(), c.foils.end(), of_it);
}

bool anything_worn(const Case& c) {
  return std::any_of(c.column.begin(), c.column.end(),
                     [](const ColumnPart& part) { return part.worn_by > 0.0; }) ||
         std::any_of(c.sleeves.begin(), c.sleeves.end(), [](const Sleeve& s) { return s.worn_by > 0.0; });
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

namespace {

/// The parts with the sizes they have in the stack: as drawn, or as worn.
struct Sizes {
  std::vector<ColumnPart> column;
  std::vector<Sleeve> sleeves;
};

struct Builder {
  Stack stack;
  void add(const std::string& name, Role role, std::size_t source, const std::string& material, double r0,
           double r1, double z0, double z1) {
    stack.layout.push_back({name, static_cast<int>(stack.parts.size()), r0, r1, z0, z1});
    stack.parts.push_back({role, static_cast<int>(source), material});
  }
};

/// A tool with a blind bore: a ring and a floor.
void add_drilled(const ColumnPart& part, std::size_t source, double low, double high, Builder& builder) {
  const BlindBore& hole = *part.blind_bore;
  const double radius = 0.5 * part.diameter, bottom = hole.from_top ? low + hole.leaves : high - hole.leaves;
  const auto ring = [&](double z0, double z1) {
    builder.add(part.name, Role::column, source, part.material, 0.5 * hole.diameter, radius, z0, z1);
  };
  const auto floor = [&](double z0, double z1) {
    builder.add(floor_name(part.name), Role::column, source, part.material, 0.0, radius, z0, z1);
    builder.stack.parts.back().floor = true;
  };
  if (hole.from_top) {
    floor(low, bottom);
    ring(bottom, high);
  } else {
    ring(low, bottom);
    floor(bottom, high);
  }
}

void add_column(const Case& c, const Sizes& sizes, Builder& builder) {
  double z = 0.0;
  for (std::size_t k = 0; k < sizes.column.size(); ++k) {
    const ColumnPart& part = sizes.column[k];
    if (k > 0) {
      const ColumnPart& below = sizes.column[k - 1];
      if (const FoilLayer* foil = foil_between(c, below.name, part.name)) {
        const double radius = 0.5 * std::min(below.diameter, part.diameter);
        const double bore = 0.5 * std::max(below.bore, part.bore);
        builder.add(fmt::format("foil {} / {}", below.name, part.name), Role::disc_foil,
                    static_cast<std::size_t>(foil - c.foils.data()), foil->material, bore, radius, z,
                    z + foil->thickness);
        z += foil->thickness;
      }
    }
    const double height = part.powder ? powder_height(part, material_named(c, part.material)) : *part.height;
    if (part.blind_bore)
      add_drilled(part, k, z, z + height, builder);
    else
      builder.add(part.name, part.powder ? Role::powder : Role::column, k, part.material, 0.5 * part.bore,
                  0.5 * part.diameter, z, z + height);
    z += height;
  }
}

struct Ends {
  double low, high;  ///< m
};

/// Of a part of the column, with the floor of its blind bore.
Ends ends_in_column(const mesh::Layout& column, const std::string& name) {
  Ends ends{std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
  for (const mesh::Block& b : column)
    if (b.name == name || b.name == floor_name(name))
      ends = {std::min(ends.low, b.z_bottom), std::max(ends.high, b.z_top)};
  return ends;
}

/// From its support, or the part it is centred on, over all sleeves between.
Ends ends_of(const Case& c, const mesh::Layout& column, const Sleeve& sleeve) {
  if (!sleeve.centre_on.empty()) {
    const auto centre = std::find_if(column.begin(), column.end(),
                                     [&](const mesh::Block& b) { return b.name == sleeve.centre_on; });
    const double middle = 0.5 * (centre->z_bottom + centre->z_top);
    return {middle - 0.5 * sleeve.height, middle + 0.5 * sleeve.height};
  }
  const Sleeve* below = sleeve_named(c, support_of(sleeve));
  const Ends support = below ? ends_of(c, column, *below) : ends_in_column(column, support_of(sleeve));
  return sleeve.stands_on.empty() ? Ends{support.low - sleeve.height, support.low}
                                  : Ends{support.high, support.high + sleeve.height};
}

void add_sleeves(const Case& c, const Sizes& sizes, Builder& builder) {
  const mesh::Layout column = builder.stack.layout;
  for (std::size_t k = 0; k < sizes.sleeves.size(); ++k) {
    const Sleeve& sleeve = sizes.sleeves[k];
    const auto [low, high] = ends_of(c, column, sleeve);
    const double bore = 0.5 * sleeve.inner_diameter, radius = 0.5 * sleeve.outer_diameter;
    builder.add(sleeve.name, Role::sleeve, k, sleeve.material, bore, radius, low, high);
    for (std::size_t f = 0; f < c.foils.size(); ++f) {
      const FoilLayer& foil = c.foils[f];
      if (foil.along != sleeve.name) continue;
      if (foil.outside)
        builder.add(fmt::format("foil outside of {}", sleeve.name), Role::lining, f, foil.material, radius,
                    radius + foil.thickness, low, high);
      else
        builder.add(fmt::format("foil in bore of {}", sleeve.name), Role::lining, f, foil.material,
                    bore - foil.thickness, bore, low, high);
    }
  }
}

Stack assemble(const Case& c, const Sizes& sizes) {
  Builder builder;
  add_column(c, sizes, builder);
  add_sleeves(c, sizes, builder);
  for (StackPart& part : builder.stack.parts)
    part.soft = material_named(c, part.material).loose_touch.has_value();
  return std::move(builder.stack);
}

/// Powder fills the wider cavity: up to its sleeve's wear, as far as the lining leaves room (a thicker foil
/// takes up wear).  Its wall is the next sleeve outward from the drawn size, its rod the next one inward.
void let_powder_fill(const Case& c, const Sizes& drawn, const mesh::Layout& layout, std::size_t k,
                     Sizes& worn) {
  const ColumnPart& powder = drawn.column[k];
  const auto block_of = [&](const std::string& name) {
    return *std::find_if(layout.begin(), layout.end(), [&](const mesh::Block& b) { return b.name == name; });
  };
  const mesh::Block here = block_of(powder.name);
  const double middle = 0.5 * (here.z_bottom + here.z_top);
  const Sleeve *wall = nullptr, *rod = nullptr;
  for (const Sleeve& sleeve : drawn.sleeves) {
    const mesh::Block beside = block_of(sleeve.name);
    if (material_named(c, sleeve.material).loose_touch) continue;
    if (middle < beside.z_bottom || middle > beside.z_top) continue;
    if (sleeve.inner_diameter > powder.diameter - mesh::touch_tolerance &&
        (!wall || sleeve.inner_diameter < wall->inner_diameter))
      wall = &sleeve;
    if (sleeve.outer_diameter < powder.bore + mesh::touch_tolerance &&
        (!rod || sleeve.outer_diameter > rod->outer_diameter))
      rod = &sleeve;
  }
  if (wall) {
    const double room = wall->inner_diameter + wall->worn_by - 2.0 * lining_thickness(c, wall->name, false);
    worn.column[k].diameter = std::max(powder.diameter, std::min(powder.diameter + wall->worn_by, room));
  }
  if (rod && rod->inner_diameter == 0.0) {
    const double room = rod->outer_diameter - rod->worn_by + 2.0 * lining_thickness(c, rod->name, true);
    worn.column[k].bore = std::min(powder.bore, std::max(powder.bore - rod->worn_by, room));
  }
}

/// `stack` is that of the drawn sizes: it says beside which sleeve a powder lies.
Sizes worn_sizes(const Case& c, const Sizes& drawn, const Stack& stack) {
  Sizes worn = drawn;
  for (ColumnPart& part : worn.column) part.diameter -= part.worn_by;
  for (Sleeve& sleeve : worn.sleeves) {
    if (sleeve.inner_diameter > 0.0)
      sleeve.inner_diameter += sleeve.worn_by;
    else
      sleeve.outer_diameter -= sleeve.worn_by;
  }
  for (std::size_t k = 0; k < drawn.column.size(); ++k)
    if (drawn.column[k].powder) let_powder_fill(c, drawn, stack.layout, k, worn);
  return worn;
}

}  // namespace

Stack stack_of(const Case& c) {
  const Sizes drawn{c.column, c.sleeves};
  const Stack stack = assemble(c, drawn);
  return anything_worn(c) ? assemble(c, worn_sizes(c, drawn, stack)) : stack;
}

bool is_foil(const StackPart& part) {
  return part.role == Role::disc_foil || part.role == Role::lining;
}

double lining_thickness(const Case& c, const std::string& sleeve, bool outside) {
  for (const FoilLayer& foil : c.foils)
    if (foil.along == sleeve && foil.outside == outside) return foil.thickness;
  return 0.0;
}

int block_named(const Stack& stack, const std::string& name) {
  for (std::size_t k = 0; k < stack.layout.size(); ++k)
    if (stack.layout[k].name == name) return static_cast<int>(k);
  return -1;
}

const ColumnPart* column_part_named(const Case& c, const std::string& name) {
  for (const ColumnPart& part : c.column)
    if (part.name == name) return &part;
  return nullptr;
}

int sensor_named(const Case& c, const std::string& name) {
  for (std::size_t k = 0; k < c.sensors.size(); ++k)
    if (c.sensors[k].name == name) return static_cast<int>(k);
  if (c.programme.by_furnace && name == furnace_name) return static_cast<int>(c.sensors.size());
  return -1;
}

int sleeve_around(const Stack& stack, const mesh::Block& part, double low, double high) {
  int found = -1;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const mesh::Block& b = stack.layout[k];
    if (stack.parts[k].role != Role::sleeve || stack.parts[k].soft || b.z_bottom > high || b.z_top < low ||
        b.r_inner < part.r_outer - mesh::touch_tolerance)
      continue;
    if (found < 0 || b.r_inner < stack.layout[found].r_inner) found = static_cast<int>(k);
  }
  return found;
}

std::string floor_name(const std::string& tool) {
  return "floor of " + tool;
}

bool one_piece(const StackPart& a, const StackPart& b) {
  return a.role == Role::column && b.role == Role::column && a.source == b.source && a.floor != b.floor;
}

int top_of_column(const Stack& stack) {
  int top = 0;
  for (std::size_t k = 0; k < stack.parts.size(); ++k)
    if (stack.parts[k].role == Role::column || stack.parts[k].role == Role::powder) top = static_cast<int>(k);
  return top;
}

}  // namespace joulepress::cases
