#include "cases/build_problem.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>

#include "cases/stack.hpp"
#include "materials/porous.hpp"
#include "solver/electric.hpp"

namespace joulepress::cases {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double gap_beside_powder_max = 0.05e-3;  // m, design rule: wider and the powder runs out
constexpr double room = 298.15;                    // K, where touches are derived from totals
constexpr double part_size_max = 2.0;              // m, no die press takes a larger part; a slip of the unit
constexpr double cells_max = 2e6;                  // a factor of such a matrix fills some gigabytes

const Place& place_of(const Case& c, const StackPart& part) {
  switch (part.role) {
    case Role::column:
    case Role::powder:
      return c.column[part.source].place;
    case Role::sleeve:
      return c.sleeves[part.source].place;
    case Role::disc_foil:
    case Role::lining:
      break;
  }
  return c.foils[part.source].place;
}

bool is_foil(const StackPart& part) {
  return part.role == Role::disc_foil || part.role == Role::lining;
}

/// Block at the upper end of the column; the lower end is block 0.
int top_of_column(const Stack& stack) {
  int top = 0;
  for (std::size_t k = 0; k < stack.parts.size(); ++k)
    if (stack.parts[k].role == Role::column || stack.parts[k].role == Role::powder) top = static_cast<int>(k);
  return top;
}

/// Parts no press could take; meshed anyway they would fill the memory.
void report_giants(const Case& c, const Stack& stack, ErrorList& errors) {
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const mesh::Block& b = stack.layout[k];
    const double size = std::max(2.0 * b.r_outer, b.z_top - b.z_bottom);
    if (size > part_size_max)
      errors.add(place_of(c, stack.parts[k]), "",
                 fmt::format("\"{}\" would be {:.6g} mm large; parts go up to {:.0f} mm.", b.name, 1e3 * size,
                             1e3 * part_size_max),
                 "Check the units and the powers of ten of its dimensions and its mass.");
  }
}

/// Least number of cells the grid would have.
void report_cells(const Case& c, const Stack& stack, const mesh::GridRule& rule, ErrorList& errors) {
  double cells = 0.0;
  for (const mesh::Block& b : stack.layout)
    cells += std::ceil((b.r_outer - b.r_inner) / rule.largest) *
             std::ceil((b.z_top - b.z_bottom) / rule.largest) * rule.refinement * rule.refinement;
  if (cells > cells_max)
    errors.add(Place{c.file, 0, 0}, "numerics.refinement",
               fmt::format("The grid would have more than {:.1f} million cells; {:.0f} million are possible.",
                           1e-6 * cells, 1e-6 * cells_max),
               "Lower the refinement, or check the dimensions of the parts.");
}

/// The ram sits on the column: a sleeve that stands proud of it would carry force and current instead.
void report_proud_sleeves(const Case& c, const Stack& stack, ErrorList& errors) {
  const double high = stack.layout[top_of_column(stack)].z_top;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    if (stack.parts[k].role != Role::sleeve) continue;
    const double proud = std::max(-stack.layout[k].z_bottom, stack.layout[k].z_top - high);
    if (proud > mesh::touch_tolerance)
      errors.add(place_of(c, stack.parts[k]), "",
                 fmt::format("\"{}\" reaches {:.3f} mm beyond the end of the column.", stack.layout[k].name,
                             1e3 * proud),
                 "The rams press on the column: shorten the sleeve or lengthen the column.");
  }
}

void report_faults(const Case& c, const Stack& stack, ErrorList& errors) {
  for (const mesh::LayoutFault& fault : mesh::faults_of(stack.layout)) {
    const mesh::Block& block = stack.layout[fault.block];
    const Place& place = place_of(c, stack.parts[fault.block]);
    const double mm = 1e3 * fault.size;
    if (fault.kind == mesh::LayoutFault::Kind::empty) {
      errors.add(place, "", fmt::format("\"{}\" has no thickness ({:.3f} mm).", block.name, mm),
                 "Check its diameters, thickness and height.");
    } else if (fault.kind == mesh::LayoutFault::Kind::overlap) {
      errors.add(place, "",
                 fmt::format("\"{}\" and \"{}\" overlap by {:.3f} mm.", block.name,
                             stack.layout[*fault.other].name, mm),
                 "Check diameters, bore, foil thickness and heights.");
    } else {
      errors.add(place, "",
                 fmt::format("\"{}\" touches nothing; the nearest part, \"{}\", is {:.3f} mm away.",
                             block.name, fault.other ? stack.layout[*fault.other].name : "none", mm),
                 "Line the bore with a foil, or correct the diameters.");
    }
  }
}

void report_gaps(const Case& c, const Stack& stack, const solver::Problem& p, ErrorList& errors) {
  for (const mesh::BlockPair& pair : p.interfaces.pairs) {
    if (pair.side_a != mesh::Side::outer || pair.gap <= gap_beside_powder_max) continue;
    for (const int block : {pair.block_a, pair.block_b}) {
      if (stack.parts[block].role != Role::powder) continue;
      const int other = block == pair.block_a ? pair.block_b : pair.block_a;
      errors.add(place_of(c, stack.parts[block]), "",
                 fmt::format("Beside \"{}\" a gap of {:.3f} mm to \"{}\" is open; the powder would run out.",
                             stack.layout[block].name, 1e3 * pair.gap, stack.layout[other].name),
                 "Line the bore with a foil or make the bore fit (at most 0.05 mm).");
    }
  }
}

/// Powder that nothing holds at its side.
void report_bare_powder(const Case& c, const Stack& stack, const solver::Problem& p, ErrorList& errors) {
  std::vector<double> bare(stack.parts.size(), 0.0);  // m2
  for (const mesh::OuterFace& face : p.interfaces.outer_faces)
    if (face.a.side == mesh::Side::outer) bare[p.mesh.block_of[face.a.cell]] += face.a.area;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const double height = bare[k] / (2.0 * std::numbers::pi * stack.layout[k].r_outer);
    if (stack.parts[k].role == Role::powder && height > mesh::touch_tolerance)
      errors.add(place_of(c, stack.parts[k]), "",
                 fmt::format("Nothing holds \"{}\" at its side over {:.3f} mm of its height.",
                             stack.layout[k].name, 1e3 * height),
                 "Add a sleeve around it, tall enough.");
  }
}

/// Parts reached from the first column part through touching conductors.
void report_current_path(const Case& c, const Stack& stack, const solver::Problem& p, ErrorList& errors) {
  if (c.column.empty()) return;
  const auto conducts = [&](int block) { return !material_named(c, stack.parts[block].material).insulator; };
  const int top = top_of_column(stack);
  std::vector<bool> reached(stack.parts.size(), false);
  reached[0] = conducts(0);
  for (std::size_t round = 0; round < stack.parts.size(); ++round)
    for (const mesh::BlockPair& pair : p.interfaces.pairs)
      if (pair.gap == 0.0 && conducts(pair.block_a) && conducts(pair.block_b) &&
          (reached[pair.block_a] || reached[pair.block_b]))
        reached[pair.block_a] = reached[pair.block_b] = true;
  if (!reached[top])
    errors.add(place_of(c, stack.parts[top]), "",
               fmt::format("The current finds no way from \"{}\" to \"{}\".", stack.layout[0].name,
                           stack.layout[top].name),
               "A conducting chain of parts must touch from end to end: check the sleeve, its foil and the "
               "punches.");
}

solver::Part part_of(const Case& c, const Stack& stack, std::size_t k) {
  const StackPart& source = stack.parts[k];
  solver::Part part;
  part.name = stack.layout[k].name;
  for (std::size_t m = 0; m < c.materials.size(); ++m)
    if (c.materials[m].name == source.material) part.material = static_cast<int>(m);
  part.is_foil = is_foil(source);
  if (c.materials[part.material].conductivity.across)
    part.across = source.role == Role::lining || source.role == Role::sleeve ? mesh::Axis::r : mesh::Axis::z;
  if (source.role == Role::powder) {
    part.is_powder = true;
    part.relative_density = end_density(c.column[source.source]);
    part.conductivity_factor = materials::maxwell_eucken(part.relative_density);
  }
  return part;
}

/// Bulk of a foil through its thickness at room temperature.
struct FoilBulk {
  double electric = 0;  ///< ohm m2
  double heat = 0;      ///< m2 K/W
};

FoilBulk bulk_of(const Case& c, const FoilLayer& foil) {
  const materials::Material& m = material_named(c, foil.material);
  const auto through = [](const materials::DirectionalProperty& p) {
    return (p.across ? *p.across : p.along).curve.value(room);
  };
  return {foil.thickness * through(m.resistivity), foil.thickness / through(m.conductivity)};
}

struct Touch {
  double electric, heat;
};

/// Force on the column at the end of the pressure programme [N]; none without powder or pressures.
std::optional<double> final_force(const Case& c) {
  if (c.programme.pressure.empty()) return std::nullopt;
  for (const ColumnPart& part : c.column)
    if (part.powder)
      return c.programme.pressure.back().to * 0.25 * std::numbers::pi *
             (part.diameter * part.diameter - part.bore * part.bore);
  return std::nullopt;
}

/// How much better a touch conducts than at the pressure its total was published for: (P / 20 MPa)^0.95
/// (Cooper, Mikic, Yovanovich; from memory).  Axial: force over the contact's area at the programme's final
/// pressure.  Lateral: 1, since the side pressure between punch and die is not known.
double pressure_factor(const Case& c, const mesh::BlockPair& pair) {
  constexpr double published_pressure = 20e6;  // Pa
  const auto force = final_force(c);
  if (!force || pair.side_a == mesh::Side::outer) return 1.0;
  return std::pow(*force / pair.area / published_pressure, 0.95);
}

/// What stands between two touching parts so that foil and touches add up to the published total at 20 MPa.
Touch touch_between(const Case& c, const Stack& stack, const mesh::BlockPair& pair) {
  const double factor = pressure_factor(c, pair);
  const bool lateral = pair.side_a == mesh::Side::outer;
  const double electric = lateral ? c.contacts.electric_lateral : c.contacts.electric_axial;
  const double heat = lateral ? c.contacts.heat_lateral : c.contacts.heat_axial;
  for (const int block : {pair.block_a, pair.block_b}) {
    if (!is_foil(stack.parts[block])) continue;
    const FoilBulk bulk = bulk_of(c, c.foils[stack.parts[block].source]);
    const double resistance = 0.5 * (1.0 / heat - bulk.heat);
    return {std::max(0.0, 0.5 * (electric - bulk.electric)) / factor,
            resistance > 1e-9 ? factor / resistance : infinity};
  }
  return {electric / factor, heat * factor};
}

double emissivity_of(const solver::Problem& p, int block) {
  const auto& emissivity = p.materials[p.parts[p.mesh.layout[block].part].material].emissivity;
  return emissivity ? emissivity->curve.value(1273.15) : 0.8;
}

void set_contacts(const Case& c, const Stack& stack, solver::Problem& p) {
  for (const mesh::BlockPair& pair : p.interfaces.pairs) {
    solver::ContactLaw law;
    const double ea = emissivity_of(p, pair.block_a), eb = emissivity_of(p, pair.block_b);
    if (c.radiating) law.radiation = pair.view / (1.0 / ea + 1.0 / eb - 1.0);
    if (pair.gap > 0.0) {
      law.electric_resistance = infinity;
      law.heat_conductance = 0.0;
      if (c.radiating) {
        law.chamber_a = ea * (1.0 - pair.view);
        law.chamber_b = eb * (1.0 - pair.view);
      }
    } else {
      const Touch touch = touch_between(c, stack, pair);
      law.electric_resistance = touch.electric;
      law.heat_conductance = touch.heat;
    }
    p.contacts.push_back(law);
  }
}

solver::SideCondition column_end(const Press& press, solver::Electrode pole) {
  solver::SideCondition end;
  end.electrode = pole;
  if (press.end_temperature) {
    const double T = *press.end_temperature;
    end.fixed_temperature = [T](double, double, double) { return T; };
  } else if (!press.ends_insulated) {
    end.film = press.end_film;
    end.film_temperature = press.water_temperature;
  }
  return end;
}

void set_sides(const Case& c, const Stack& stack, solver::Problem& p) {
  p.sides.resize(p.mesh.layout.size());
  for (int k = 0; k < static_cast<int>(p.sides.size()); ++k)
    for (solver::SideCondition& side : p.sides[k]) side.emissivity = c.radiating ? emissivity_of(p, k) : 0.0;
  const int low = 0, high = top_of_column(stack);
  p.sides[low][static_cast<int>(mesh::Side::bottom)] = column_end(c.press, solver::Electrode::low);
  p.sides[high][static_cast<int>(mesh::Side::top)] = column_end(c.press, solver::Electrode::high);
}

int block_named(const Stack& stack, const std::string& name) {
  for (std::size_t k = 0; k < stack.layout.size(); ++k)
    if (stack.layout[k].name == name) return static_cast<int>(k);
  return -1;
}

void set_sensors(const Case& c, const Stack& stack, solver::Problem& p, ErrorList& errors) {
  for (std::size_t k = 0; k < c.sensors.size(); ++k) {
    const CaseSensor& source = c.sensors[k];
    const int block = block_named(stack, source.part);
    const mesh::Block& b = stack.layout[block];
    solver::Sensor sensor;
    sensor.name = source.name;
    sensor.part = block;
    sensor.r = b.r_outer - source.depth;
    sensor.z = source.height ? b.z_bottom + *source.height : 0.5 * (b.z_bottom + b.z_top);
    sensor.stem = source.stem;
    sensor.depth = source.depth;
    sensor.sheath_diameter = source.sheath_diameter;
    sensor.sheath_conductivity = source.sheath_conductivity;
    if (sensor.r < b.r_inner || sensor.z < b.z_bottom || sensor.z > b.z_top) {
      errors.add(source.place, fmt::format("sensors[{}]", k),
                 fmt::format("The bore of \"{}\" ends outside \"{}\": r = {:.2f} mm, {:.2f} mm above its "
                             "bottom; the part reaches from r = {:.2f} to {:.2f} mm and is {:.2f} mm high.",
                             source.name, source.part, 1e3 * sensor.r, 1e3 * (sensor.z - b.z_bottom),
                             1e3 * b.r_inner, 1e3 * b.r_outer, 1e3 * (b.z_top - b.z_bottom)),
                 "Change its depth or its height.");
      continue;
    }
    sensor.junction = mesh::point(p.mesh, block, sensor.r, sensor.z);
    p.sensors.push_back(std::move(sensor));
  }
}

void set_powder(const Case& c, const Stack& stack, solver::Problem& p) {
  solver::PowderWatch watch;
  for (std::size_t k = 0; k < stack.parts.size(); ++k)
    if (stack.parts[k].role == Role::powder) watch.parts.push_back(static_cast<int>(k));
  if (watch.parts.empty()) return;
  const int first = watch.parts.front();
  const mesh::Block& b = stack.layout[first];
  watch.mid_height = 0.5 * (b.z_bottom + b.z_top);
  watch.mean = mesh::mean(p.mesh, watch.parts);
  watch.centre =
      mesh::point(p.mesh, first, b.r_inner > 0.0 ? 0.5 * (b.r_inner + b.r_outer) : 0.0, watch.mid_height);
  watch.edge = mesh::edge_point(p.mesh, p.interfaces, first, mesh::Side::outer, watch.mid_height);
  for (std::size_t k = 0; k < c.sleeves.size() && watch.wall.faces.empty(); ++k)
    watch.wall = mesh::edge_point(p.mesh, p.interfaces, block_named(stack, c.sleeves[k].name),
                                  mesh::Side::inner, watch.mid_height);
  p.powder = watch;
}

solver::Drive drive_of(const Case& c) {
  solver::Drive drive;
  using Driven = Programme::Driven;
  const Programme& programme = c.programme;
  switch (programme.driven) {
    case Driven::temperature:
      drive.kind = solver::DriveKind::tracking;
      break;
    case Driven::current:
      drive.kind = solver::DriveKind::current;
      break;
    case Driven::voltage:
      drive.kind = solver::DriveKind::voltage;
      break;
    case Driven::power:
      drive.kind = solver::DriveKind::power;
      break;
    case Driven::nothing:
      break;
  }
  drive.current_limit = c.press.current_limit.value_or(infinity);
  drive.voltage_limit = c.press.voltage_limit.value_or(infinity);
  drive.power_limit = c.press.power_limit.value_or(infinity);
  if (drive.kind == solver::DriveKind::tracking)
    for (std::size_t k = 0; k < c.sensors.size(); ++k)
      if (c.sensors[k].name == programme.control) drive.sensor = static_cast<int>(k);
  double time = 0.0, value = drive.kind == solver::DriveKind::tracking ? c.initial_temperature : 0.0;
  int holds = 0;
  for (const ProgrammeStep& step : programme.steps) {
    solver::Segment segment;
    segment.start = time;
    segment.from = value;
    segment.to = step.kind == ProgrammeStep::Kind::ramp ? step.to : value;
    segment.hold = step.kind == ProgrammeStep::Kind::hold;
    segment.off = step.kind == ProgrammeStep::Kind::cool_free;
    segment.name = step.name;
    if (segment.hold && segment.name.empty()) segment.name = fmt::format("hold {}", ++holds);
    const double length = step.duration ? *step.duration : std::abs(segment.to - segment.from) / *step.rate;
    segment.end = time + length;
    time = segment.end;
    value = segment.off && drive.kind != solver::DriveKind::tracking ? 0.0 : segment.to;
    if (length > 0.0) drive.segments.push_back(segment);
  }
  return drive;
}

}  // namespace

mesh::GridRule default_grid(const Case& c) {
  mesh::GridRule rule;
  rule.refinement = c.refinement;
  return rule;
}

solver::Problem build_problem(const Case& c) {
  ErrorList errors;
  if (!c.text.empty()) errors.remember(c.file, c.text);
  const Stack stack = stack_of(c);
  if (stack.layout.empty())
    errors.add(Place{c.file, 0, 0}, "column", "The column is empty.", "List its parts from bottom to top.");
  report_giants(c, stack, errors);
  report_faults(c, stack, errors);
  if (!stack.layout.empty()) report_proud_sleeves(c, stack, errors);
  errors.throw_if_any();
  report_cells(c, stack, default_grid(c), errors);
  errors.throw_if_any();

  solver::Problem p;
  p.mesh = mesh::build_mesh(stack.layout, default_grid(c));
  p.interfaces = mesh::interfaces_at(p.mesh, std::vector<double>(stack.layout.size(), 0.0));
  p.materials = c.materials;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) p.parts.push_back(part_of(c, stack, k));
  p.chamber_temperature = c.chamber_temperature;
  p.initial_temperature = c.initial_temperature;
  p.history_every = c.history_every;
  set_contacts(c, stack, p);
  set_sides(c, stack, p);
  set_sensors(c, stack, p, errors);
  set_powder(c, stack, p);
  p.drive = drive_of(c);
  report_gaps(c, stack, p, errors);
  report_bare_powder(c, stack, p, errors);
  report_current_path(c, stack, p, errors);
  errors.throw_if_any();
  return p;
}

std::vector<ContactSeries> contact_series(const Case& c, const solver::Problem& p) {
  const Stack stack = stack_of(c);
  std::vector<ContactSeries> list;
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    const mesh::BlockPair& pair = p.interfaces.pairs[k];
    if (pair.gap > 0.0) continue;
    ContactSeries series;
    series.name = p.parts[pair.block_a].name + " | " + p.parts[pair.block_b].name;
    series.lateral = pair.side_a == mesh::Side::outer;
    series.electric_touch = p.contacts[k].electric_resistance;
    series.heat_touch = p.contacts[k].heat_conductance;
    series.area = pair.area;
    series.total_electric = series.lateral ? c.contacts.electric_lateral : c.contacts.electric_axial;
    series.total_heat = series.lateral ? c.contacts.heat_lateral : c.contacts.heat_axial;
    for (const int block : {pair.block_a, pair.block_b}) {
      if (!is_foil(stack.parts[block])) continue;
      const FoilBulk bulk = bulk_of(c, c.foils[stack.parts[block].source]);
      series.foil_electric = bulk.electric;
      series.foil_heat = 1.0 / bulk.heat;
    }
    list.push_back(series);
  }
  return list;
}

}  // namespace joulepress::cases
