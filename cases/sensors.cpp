#include "cases/sensors.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/contacts.hpp"
#include "cases/reader/units.hpp"

namespace joulepress::cases {
namespace {

std::optional<solver::Thermocouple> type_of(const std::string& letter) {
  using solver::Thermocouple;
  if (letter.empty()) return std::nullopt;
  switch (letter.front()) {
    case 'B':
      return Thermocouple::B;
    case 'C':
      return Thermocouple::C;
    case 'J':
      return Thermocouple::J;
    case 'K':
      return Thermocouple::K;
    case 'N':
      return Thermocouple::N;
    case 'R':
      return Thermocouple::R;
    case 'S':
      return Thermocouple::S;
    default:
      return std::nullopt;
  }
}

/// A junction at the bottom of a radial bore; false where that is outside the part.
bool set_couple(const CaseSensor& source, const mesh::Block& b, int block, const mesh::Mesh& mesh,
                solver::Sensor& sensor, ErrorList& errors) {
  sensor.r = b.r_outer - source.depth;
  sensor.exact = !source.stem;
  sensor.stem.depth = source.depth;
  sensor.stem.diameter = source.sheath_diameter;
  sensor.stem.conductivity = source.sheath_conductivity;
  sensor.stem.tip_contact = source.tip_contact;
  sensor.stem.gas_conductance = source.gas;
  sensor.type = type_of(source.type);
  sensor.tolerance_class = source.tolerance_class;
  if (sensor.r < b.r_inner || sensor.z < b.z_bottom || sensor.z > b.z_top) {
    errors.add(source.written.at("depth"), source.written.path_of("depth"),
               fmt::format("The bore of \"{}\" ends outside \"{}\": r = {:.2f} mm, {:.2f} mm above its "
                           "bottom; the part reaches from r = {:.2f} to {:.2f} mm and is {:.2f} mm high.",
                           source.name, source.part, in_mm(sensor.r), in_mm(sensor.z - b.z_bottom),
                           in_mm(b.r_inner), in_mm(b.r_outer), in_mm(b.z_top - b.z_bottom)),
               "Change its depth or its height.");
    return false;
  }
  sensor.junction = mesh::point(mesh, block, sensor.r, sensor.z);
  return true;
}

/// Depth of the bore over its radius as the pyrometer looks down it: of the tool itself.
double depth_over_radius(const ColumnPart& tool) {
  return (*tool.height - tool.blind_bore->leaves) / (0.5 * tool.blind_bore->diameter);
}

bool set_spot(const Case& c, const CaseSensor& source, const mesh::Block& b, int block,
              const solver::Problem& p, solver::Sensor& sensor, ErrorList& errors) {
  const double half = 0.5 * source.spot;
  const ColumnPart* tool = column_part_named(c, source.part);
  if (source.in_bore) {
    if (!tool || !tool->blind_bore) {
      errors.add(source.written.at("spot"), source.written.path_of("spot"),
                 fmt::format("\"{}\" has no blind bore to look down.", source.part),
                 "Give the part `blind bore: {diameter: 6 mm, leaves: 4 mm}`, or look at its outer surface.");
      return false;
    }
    sensor.r = 0.0;
    sensor.z = tool->blind_bore->from_top ? b.z_top : b.z_bottom;
    sensor.spot = mesh::spot(p.mesh, p.interfaces, block,
                             tool->blind_bore->from_top ? mesh::Side::top : mesh::Side::bottom, 0.0, half);
  } else {
    sensor.r = b.r_outer;
    sensor.spot =
        mesh::spot(p.mesh, p.interfaces, block, mesh::Side::outer, sensor.z - half, sensor.z + half);
  }
  if (!sensor.spot.faces.empty()) return true;
  errors.add(source.written.at("looks at"), source.written.path_of("looks at"),
             fmt::format("What \"{}\" looks at is covered, or not all of its spot lies on \"{}\".",
                         source.name, source.part),
             source.in_bore ? "Bore the parts above through as well (`bore:`), or take a smaller spot."
                            : "Change its height or its spot size, or look at what covers it.");
  return false;
}

void set_optics(const Case& c, const CaseSensor& source, double of_material, solver::Sensor& sensor) {
  const ColumnPart* tool = column_part_named(c, source.part);
  solver::Pyrometer& optics = sensor.optics;
  const double seen =
      source.in_bore ? solver::cavity_emissivity(of_material, depth_over_radius(*tool)) : of_material;
  optics.wavelength = source.wavelength;
  optics.second_wavelength = source.second_wavelength.value_or(0.0);
  optics.emissivity = source.emissivity.value_or(seen);
  optics.second_emissivity = source.second_emissivity.value_or(optics.emissivity);
  optics.window = source.window;
  optics.set_emissivity = source.set_emissivity.value_or(optics.emissivity);
  optics.set_ratio = source.set_ratio;
  optics.wien = source.wien;
  optics.lower_limit = source.sees_from;
}

}  // namespace

void set_sensors(const Case& c, const Stack& stack, solver::Problem& p, ErrorList& errors) {
  for (const CaseSensor& source : c.sensors) {
    const ColumnPart* tool = column_part_named(c, source.part);
    const bool floor = source.in_bore && tool && tool->blind_bore;
    const int block = block_named(stack, floor ? floor_name(source.part) : source.part);
    if (block < 0) continue;  // reported when it was read
    const mesh::Block& b = stack.layout[block];
    solver::Sensor sensor;
    sensor.name = source.name;
    sensor.kind = source.pyrometer ? solver::SensorKind::pyrometer : solver::SensorKind::thermocouple;
    sensor.part = block;
    sensor.z = source.height ? b.z_bottom + *source.height : 0.5 * (b.z_bottom + b.z_top);
    sensor.response = source.response;
    sensor.noise = source.noise;
    sensor.reads_high_by = source.reads_high_by;
    if (source.pyrometer ? !set_spot(c, source, b, block, p, sensor, errors)
                         : !set_couple(source, b, block, p.mesh, sensor, errors))
      continue;
    if (source.pyrometer) set_optics(c, source, emissivity_of(p, block), sensor);
    p.sensors.push_back(std::move(sensor));
  }
  if (!c.programme.by_furnace) return;
  solver::Sensor furnace;
  furnace.name = furnace_name;
  furnace.kind = solver::SensorKind::furnace;
  furnace.part = -1;
  furnace.exact = true;
  p.sensors.push_back(std::move(furnace));
}

}  // namespace joulepress::cases
