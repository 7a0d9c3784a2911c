#include "cases/build_problem.hpp"

#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <numbers>

#include "cases/beds.hpp"
#include "cases/contacts.hpp"
#include "cases/control_faults.hpp"
#include "cases/drive.hpp"
#include "cases/pressing.hpp"
#include "cases/process_faults.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/sensors.hpp"
#include "cases/stack.hpp"
#include "cases/stack_faults.hpp"
#include "solver/drive.hpp"
#include "solver/half.hpp"
#include "solver/motion.hpp"

namespace joulepress::cases {
namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// `at_start`: loose powder with its film; otherwise as expected at the end.
solver::Part part_of(const Case& c, const Stack& stack, std::size_t k, bool at_start) {
  const StackPart& source = stack.parts[k];
  solver::Part part;
  part.name = stack.layout[k].name;
  for (std::size_t m = 0; m < c.materials.size(); ++m)
    if (c.materials[m].name == source.material) part.material = static_cast<int>(m);
  part.is_foil = is_foil(source);
  part.in_column =
      source.role == Role::column || source.role == Role::powder || source.role == Role::disc_foil;
  // Sheets lie flat in the column; a sleeve or a rod is wound or extruded along the axis.
  const materials::Material& material = c.materials[part.material];
  if (material.conductivity.across || material.resistivity.across)
    part.across = source.role == Role::lining || source.role == Role::sleeve ? mesh::Axis::r : mesh::Axis::z;
  if (source.role == Role::powder) {
    part.is_powder = true;
    const ColumnPart& powder = c.column[source.source];
    part.relative_density = at_start ? start_density(c, powder) : end_density(powder);
    part.oxide_film = at_start && powder.oxide_film;
  }
  return part;
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

/// The next sleeve outward that touches something at a powder's mid-height (the powder, or the foil between).
int wall_of(const Stack& stack, const solver::Problem& p, const mesh::Block& powder) {
  int wall = -1;
  double nearest = infinity;
  const double height = 0.5 * (powder.z_bottom + powder.z_top);
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    const double radius = stack.layout[k].r_inner;
    if (stack.parts[k].role != Role::sleeve || stack.parts[k].soft ||
        radius < powder.r_outer - mesh::touch_tolerance || radius >= nearest)
      continue;
    if (mesh::edge_point(p.mesh, p.interfaces, static_cast<int>(k), mesh::Side::inner, height).faces.empty())
      continue;
    wall = static_cast<int>(k);
    nearest = radius;
  }
  return wall;
}

void set_powders(const Stack& stack, solver::Problem& p) {
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    if (stack.parts[k].role != Role::powder) continue;
    const mesh::Block& b = stack.layout[k];
    solver::PowderBody body;
    body.name = b.name;
    body.part = body.block = static_cast<int>(k);
    body.wall_block = wall_of(stack, p, b);
    body.volume = std::numbers::pi * (b.r_outer * b.r_outer - b.r_inner * b.r_inner) * (b.z_top - b.z_bottom);
    p.powders.push_back(std::move(body));
  }
}

/// The face that "top of ..." or "bottom of ..." names; none when there is no such part.
std::optional<solver::Tap> tap_named(const Stack& stack, const std::string& face) {
  for (const auto& [words, side] :
       {std::pair{"bottom of ", mesh::Side::bottom}, std::pair{"top of ", mesh::Side::top}}) {
    if (!face.starts_with(words)) continue;
    const std::string part = face.substr(std::string(words).size());
    std::optional<solver::Tap> tap;
    for (std::size_t k = 0; k < stack.parts.size(); ++k) {
      const bool its = stack.layout[k].name == part || stack.layout[k].name == floor_name(part);
      // Of a drilled part the block at that end.
      if (its &&
          (!tap || (side == mesh::Side::top) == (stack.layout[k].z_top > stack.layout[tap->block].z_top)))
        tap = solver::Tap{static_cast<int>(k), side};
    }
    return tap;
  }
  return std::nullopt;
}

void report_taps(const Case& c, const Stack& stack, ErrorList& errors) {
  if (!c.press.meters) return;
  for (const std::string& face : c.press.meters->taps)
    if (!tap_named(stack, face))
      errors.add(c.press.written.at("meters"), c.press.written.path_of("meters"),
                 fmt::format("There is no face \"{}\" to take a voltage from.", face),
                 "Name the top or the bottom of a part, as in `top of upper punch`.");
}

void set_meters(const Case& c, const Stack& stack, solver::Problem& p) {
  if (c.programme.pulses && c.press.pulse) {
    p.pulse = solver::Pulse{c.press.pulse->on, c.press.pulse->off, c.press.pulse->ratio};
    p.largest_mean = c.press.pulse->largest_mean.value_or(0.0);
  }
  if (c.press.meters)
    for (const std::string& face : c.press.meters->taps) p.taps.push_back(*tap_named(stack, face));
}

solver::Problem with_mesh(const Case& c, const Stack& stack, const mesh::GridRule& rule, mesh::Fluxes fluxes,
                          bool at_start) {
  solver::Problem p;
  mesh::GridRule graded = rule;
  graded.mirror = solver::mid_plane(stack.layout);  // a line there does no harm to other stacks
  p.mesh = mesh::build_mesh(stack.layout, graded);
  p.materials = c.materials;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) p.parts.push_back(part_of(c, stack, k, at_start));
  if (at_start)
    set_beds(c, stack, p);  // without beds too: the force counts in the stroke
  else if (const auto pressure = highest_pressure(c))
    p.force = {{0.0, force_on_column(c, *pressure)}};  // that touches follow
  if (!p.beds.empty()) {
    mesh::Mesh dense = p.mesh;
    mesh::move_to(dense, solver::reachable_placements(p).back());
    p.mesh = mesh::build_mesh(stack.layout, graded, dense.layout);
  }
  p.interfaces = solver::interfaces_for(p);
  p.rows = mesh::reconstruction_of(p.mesh, p.interfaces, fluxes);
  return p;
}

void finish(const Case& c, const Stack& stack, solver::Problem& p) {
  p.chamber_temperature = c.chamber_temperature;
  p.walls_exchange = (c.radiating && c.walls_see_each_other) || c.gas;  // the gas goes by the same openings
  p.gas = c.gas;
  p.initial_temperature = c.initial_temperature;
  p.history_every = c.history_every;
  p.frame_compliance = c.press.frame_compliance;
  p.strength = {c.judge_strength, c.safety_factor, c.ejection_friction};
  p.numerics.strict = c.strict;
  // Beyond 0.1 K the estimate of a step's error is blind.
  p.numerics.time_tolerance = std::min(0.8 * c.accuracy, 0.1);
  p.numerics.nonlinear_tolerance = 0.05 * p.numerics.time_tolerance;
  p.numerics.first_step *= std::sqrt(c.accuracy / 0.1);
  p.numerics.unseen_heat = 0.5 * p.numerics.time_tolerance;
  p.numerics.potential_tolerance = 5e-3 * p.numerics.nonlinear_tolerance;
  p.numerics.density_tolerance = 2.5e-4 * p.numerics.time_tolerance;
  set_contacts(c, stack, p);
  set_fits(c, stack, p);
  set_sides(c, stack, p);
  set_powders(stack, p);
  set_meters(c, stack, p);
  p.thermoelectric = c.programme.thermoelectric;
  p.positive_below = c.press.positive_below;
  p.drive = drive_of(c);
  p.fields_every = c.fields_every.value_or(solver::end_time(p.drive) / 12.0);
}

/// For excerpts in messages about a case that was read earlier.
void remember_files(const Case& c, ErrorList& errors) {
  if (!c.text.empty()) errors.remember(c.file, c.text);
  for (const IncludedFile& included : c.included) errors.remember(included.file, included.text);
}

}  // namespace

namespace {

/// Diameter of the powder, or of the most slender part: what the current squeezes through.
double waist(const Case& c) {
  double powder = 0.0, least = infinity;
  for (const ColumnPart& part : c.column) {
    if (part.powder) powder = std::max(powder, part.diameter);
    least = std::min(least, part.diameter);
  }
  return powder > 0.0 ? powder : least;
}

/// Length scale of the grid over that of the default accuracy.  Far from corners the error falls with the
/// third to fourth power of the cells, less fast where they are coarse; toward corners cells shrink with the
/// square of this.
double coarsening(double accuracy) {
  constexpr double standard = 0.1;  // K
  return std::pow(accuracy / standard, accuracy > standard ? 0.25 : 1.0 / 3.0);
}

}  // namespace

// Measured on shipped stacks against runs at 0.01 K (docs/performance.md): the errors of the holds stay below
// what is asked for from 0.02 to 2 K.
mesh::GridRule default_grid(const Case& c) {
  constexpr double foil = 0.2e-3;  // m; cells at corners stay far thinner than the usual sheet
  const double scale = coarsening(c.accuracy), size = waist(c);
  mesh::GridRule rule;
  rule.largest = scale * size / 11.5;
  rule.smallest = scale * scale * std::min(size / 900.0, foil / 6.0);
  rule.growth = std::min(0.78 * scale, 1.2);
  rule.per_stretch = 8.2 / scale;
  rule.refinement = c.refinement;
  return rule;
}

std::optional<solver::Problem> build_problem(const Case& c, ErrorList& errors) {
  if (!errors.empty() && !stack_is_known(c)) return std::nullopt;
  if (!c.column.empty()) report_limits(c, errors);
  report_control(c, errors);
  const std::size_t before = errors.size();
  const Stack stack = stack_of(c, PowderState::start);
  const bool collides = report_pressing(c, errors);
  report_impossible_layout(c, stack, collides, errors);
  if (errors.size() == before) report_closing(c, stack, errors);
  if (errors.size() == before) report_cells(c, stack, default_grid(c), errors);
  if (errors.size() > before) return std::nullopt;

  solver::Problem p = with_mesh(c, stack, default_grid(c),
                                c.two_point_fluxes ? mesh::Fluxes::two_point : mesh::Fluxes::cubic, true);
  set_sensors(c, stack, p, errors);
  report_impossible_contacts(c, stack, p, errors);
  report_taps(c, stack, errors);
  if (!errors.empty()) return std::nullopt;
  finish(c, stack, p);
  if (c.mirror) p.half = solver::half_of(p);
  return p;
}

namespace {

solver::Problem pressed_problem(const Case& c, const mesh::GridRule& rule, mesh::Fluxes fluxes) {
  ErrorList errors;
  const Stack stack = stack_of(c);
  solver::Problem p = with_mesh(c, stack, rule, fluxes, false);
  set_sensors(c, stack, p, errors);
  errors.throw_if_any();
  finish(c, stack, p);
  return p;
}

}  // namespace

solver::Problem build_pressed_problem(const Case& c) {
  return pressed_problem(c, default_grid(c), mesh::Fluxes::cubic);
}

solver::Problem build_coarse_problem(const Case& c, const mesh::GridRule& rule) {
  return pressed_problem(c, rule, mesh::Fluxes::two_point);
}

solver::Problem build_problem(const Case& c) {
  ErrorList errors;
  remember_files(c, errors);
  auto problem = build_problem(c, errors);
  errors.throw_if_any();
  return std::move(problem).value();
}

LoadedCase load_case(const std::filesystem::path& path, const std::string& press,
                     const std::string& calibration) {
  ErrorList errors;
  Instead instead;
  instead.press = press;
  instead.calibration = calibration;
  Case c = read_case(path, errors, instead);
  auto problem = build_problem(c, errors);
  errors.throw_if_any();
  return {std::move(c), std::move(problem).value()};
}

}  // namespace joulepress::cases
