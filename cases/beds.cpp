#include "cases/beds.hpp"

#include <fmt/format.h>

#include "cases/pressing.hpp"
#include "materials/powder.hpp"

namespace joulepress::cases {
namespace {

/// The part of the column that something rides on.
struct Carrier {
  std::string part;     ///< empty: it is of the column itself
  double of_a_bed = 0;  ///< where that is a bed: how far it rises per growth; its bottom, middle or top
};

/// How far a block of the column rises per growth of a bed: all above it, nothing below.
double ride_in_column(const Stack& stack, std::size_t part, int bed_block, double of_a_bed) {
  const mesh::Block &its = stack.layout[part], &bed = stack.layout[bed_block];
  if (static_cast<int>(part) == bed_block) return of_a_bed;
  return its.z_bottom >= bed.z_top - mesh::touch_tolerance ? 1.0 : 0.0;
}

/// What a sleeve rides on, over the sleeves it stands on or hangs below.
Carrier carrier_of(const Case& c, const Sleeve& sleeve) {
  if (!sleeve.moves_with.empty()) return {sleeve.moves_with, 0.5};
  if (!sleeve.centre_on.empty()) return {sleeve.centre_on, 0.5};
  if (const Sleeve* support = sleeve_named(c, support_of(sleeve))) return carrier_of(c, *support);
  return {support_of(sleeve), sleeve.stands_on.empty() ? 0.0 : 1.0};
}

/// What a part rides on: a lining with its sleeve.
Carrier carrier_of(const Case& c, const StackPart& part) {
  if (part.role == Role::sleeve) return carrier_of(c, c.sleeves[part.source]);
  if (part.role == Role::lining) return carrier_of(c, *sleeve_named(c, c.foils[part.source].along));
  return {};
}

/// Longest way of the powder along its wall over its height: half of it where the wall keeps to the middle.
double dragged(const Case& c, const Stack& stack, int block) {
  const mesh::Block& powder = stack.layout[block];
  const double middle = 0.5 * (powder.z_bottom + powder.z_top);
  const int wall = sleeve_around(stack, powder, middle, middle);
  return wall < 0 || carrier_of(c, stack.parts[wall]).part == powder.name ? 0.5 : 1.0;
}

std::vector<solver::ForcePoint> force_of(const Case& c) {
  std::vector<solver::ForcePoint> points;
  double time = 0.0;
  for (const ProgrammeStep& step : c.programme.pressure) {
    const double force = force_on_column(c, step.to);
    if (points.empty())
      points.push_back({0.0, step.kind == ProgrammeStep::Kind::hold ? force : force_on_column(c, 0.0)});
    time += step.duration.value_or(0.0);
    points.push_back({time, force});
  }
  return points;
}

}  // namespace

std::string held_density_reason(const Case& c, const ColumnPart& powder) {
  if (!powder.densification) return "densification is off in the case";
  const materials::Material& material = material_named(c, powder.material);
  if (material.creep.empty())
    return fmt::format(
        "no sourced creep data of {} are known; to get them, measure its densification at two pressures and "
        "two temperatures and give `creep:` in a material file of your own",
        material.name);
  if (!powder.relative_density)
    return "its density under the preload is not given; measure the height of the weighed charge under the "
           "preload and give `relative density`";
  if (c.programme.pressure.empty()) return "there is no programme of the pressure; give `pressure on powder`";
  return {};
}

std::vector<std::string> held_density_reasons(const Case& c, const std::vector<std::string>& powders) {
  std::vector<std::string> reasons;
  for (const std::string& name : powders) {
    const ColumnPart* part = column_part_named(c, name);
    reasons.push_back(part ? held_density_reason(c, *part) : std::string());
  }
  return reasons;
}

double start_density(const Case& c, const ColumnPart& powder) {
  return held_density_reason(c, powder).empty() ? *powder.relative_density : powder.end_density;
}

void set_beds(const Case& c, const Stack& stack, solver::Problem& p) {
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    if (stack.parts[k].role != Role::powder) continue;
    const ColumnPart& powder = c.column[stack.parts[k].source];
    if (!held_density_reason(c, powder).empty()) continue;
    solver::Bed bed;
    bed.block = static_cast<int>(k);
    const materials::Material& material = material_named(c, powder.material);
    bed.grain = powder.grain;
    if (material.yield_strength)
      bed.loose = materials::loose_density(material, c.initial_temperature, *powder.relative_density,
                                           powder.density_pressure.value_or(c.programme.pressure.front().to));
    bed.wall_friction = powder.wall_friction;
    bed.dragged = dragged(c, stack, bed.block);
    p.beds.push_back(bed);
  }
  p.force = force_of(c);
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const Carrier carrier = carrier_of(c, stack.parts[k]);
    const std::size_t part =
        carrier.part.empty() ? k : static_cast<std::size_t>(block_named(stack, carrier.part));
    std::vector<double> rides;
    for (const solver::Bed& bed : p.beds)
      rides.push_back(ride_in_column(stack, part, bed.block, carrier.of_a_bed));
    p.rides.push_back(std::move(rides));
  }
}

}  // namespace joulepress::cases
