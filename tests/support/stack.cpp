#include "tests/support/stack.hpp"

#include "tests/support/problems.hpp"

namespace joulepress::test {
namespace {

using materials::Curve;
using materials::Material;

Material graphite() {
  Material m = constant_material("graphite", 60, 1e-5, 1500, 1850);
  m.conductivity.along.curve = Curve::table({{250, 105}, {600, 85}, {1000, 60}, {1500, 45}, {2500, 32}});
  m.resistivity.along.curve =
      Curve::table({{250, 13e-6}, {600, 9.8e-6}, {1000, 8.5e-6}, {1500, 9.1e-6}, {2500, 12e-6}});
  m.heat_capacity.curve =
      Curve::table({{250, 600}, {300, 713}, {600, 1391}, {1000, 1760}, {2000, 2023}, {2500, 2070}});
  m.emissivity = materials::Property{Curve::constant(0.8), "test", {}, ""};
  return m;
}

Material foil() {
  Material m = graphite();
  m.name = "foil";
  m.density.curve = Curve::constant(1000);
  m.conductivity.along.curve = Curve::constant(150);
  m.conductivity.across = materials::Property{Curve::constant(4), "test", {}, ""};
  m.resistivity.along.curve = Curve::constant(1e-5);
  m.resistivity.across = materials::Property{Curve::constant(350e-6), "test", {}, ""};
  return m;
}

Material powder(bool conducting) {
  Material m = constant_material("powder", conducting ? 75 : 7, conducting ? 4e-7 : 1e5, 1200,
                                 conducting ? 8900 : 3950);
  m.emissivity = materials::Property{Curve::constant(0.5), "test", {}, ""};
  return m;
}

enum PartIndex {
  lower_spacer,
  lower_punch,
  lower_disc,
  bed,
  upper_disc,
  upper_punch,
  upper_spacer,
  die,
  lining
};

mesh::Layout stack_layout() {
  constexpr double mm = 1e-3;
  double z = 0.0;
  mesh::Layout layout;
  const auto add = [&](const char* name, int part, double radius, double height) {
    layout.push_back({name, part, 0.0, radius * mm, z, z + height * mm});
    z += height * mm;
  };
  add("lower spacer", lower_spacer, 20, 20);
  add("lower punch", lower_punch, 10, 25);
  add("lower disc", lower_disc, 10, 0.2);
  add("powder", bed, 10, 5);
  add("upper disc", upper_disc, 10, 0.2);
  add("upper punch", upper_punch, 10, 25);
  add("upper spacer", upper_spacer, 20, 20);
  const double middle = 0.5 * z;
  layout.push_back({"die", die, 10.2 * mm, 25 * mm, middle - 18 * mm, middle + 18 * mm});
  layout.push_back({"lining", lining, 10 * mm, 10.2 * mm, middle - 18 * mm, middle + 18 * mm});
  return layout;
}

void set_contacts(solver::Problem& p, double lateral_heat) {
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    const mesh::BlockPair& pair = p.interfaces.pairs[k];
    solver::ContactLaw& law = p.contacts[k];
    law.radiation = solver::grey_exchange(0.8, 0.8);
    if (pair.gap > 0.0) continue;
    const bool lateral = pair.side_a == mesh::Side::outer;
    law.electric_resistance = lateral ? 3e-8 : 5e-9;
    law.heat_conductance = lateral ? lateral_heat : 5500;
  }
}

}  // namespace

solver::Problem small_stack(const StackOptions& options) {
  const mesh::Layout layout = stack_layout();
  solver::Problem p =
      plain_problem(layout, options.rule, {graphite(), foil(), powder(options.conducting_powder)});
  p.numerics = {};
  for (solver::Part& part : p.parts) part.material = 0;
  for (const int k : {lower_disc, upper_disc, lining}) {
    p.parts[k].material = 1;
    p.parts[k].is_foil = true;
    p.parts[k].across = k == lining ? mesh::Axis::r : mesh::Axis::z;
  }
  p.parts[bed].material = 2;
  p.parts[bed].is_powder = true;
  set_contacts(p, options.lateral_heat);
  p.walls_exchange = true;
  for (auto& sides : p.sides)
    for (solver::SideCondition& side : sides) side.emissivity = 0.8;
  for (const auto& [block, which, pole] : {std::tuple{0, mesh::Side::bottom, solver::Electrode::low},
                                           std::tuple{6, mesh::Side::top, solver::Electrode::high}}) {
    solver::SideCondition& end = side_of(p, block, which);
    end.emissivity = 0.0;
    end.film = 880;
    end.film_temperature = 293.15;
    end.electrode = pole;
  }
  const double middle = 0.5 * (layout[die].z_bottom + layout[die].z_top);
  solver::Sensor couple;
  couple.name = "die thermocouple";
  couple.part = die;
  couple.r = 14e-3;
  couple.z = middle;
  couple.stem.depth = 11e-3;
  couple.stem.diameter = 1.5e-3;
  couple.junction = mesh::point(p.mesh, die, couple.r, couple.z);
  p.sensors.push_back(couple);
  solver::PowderBody body;
  body.part = body.block = bed;
  body.wall_block = die;
  p.powders = {body};
  return p;
}

void track(solver::Problem& problem, std::vector<solver::Segment> segments) {
  problem.drive.kind = solver::DriveKind::tracking;
  problem.drive.sensor = 0;
  problem.drive.segments = std::move(segments);
}

}  // namespace joulepress::test
