// The parts of the stroke by hand: two cylinders under a force, heated.
#include "solver/stroke.hpp"

#include <doctest/doctest.h>

#include <cmath>
#include <numbers>

#include "cases/build_problem.hpp"
#include "solver/march.hpp"
#include "tests/support/problems.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

materials::Property always(double value) {
  materials::Property property;
  property.curve = materials::Curve::constant(value);
  return property;
}

}  // namespace

TEST_CASE("stroke: elastic, frame, growth and foil of a column by hand") {
  materials::Material tool = constant_material("tool", 50), foil = constant_material("foil", 5);
  tool.elastic_modulus = always(11e9);
  tool.expansion = materials::DirectionalProperty{always(5e-6), {}};
  foil.elastic_modulus = always(0.3e9);  // counts for nothing: a foil is as thick as under pressure
  foil.expansion = materials::DirectionalProperty{always(-0.4e-6), always(30e-6)};
  solver::Problem p = plain_problem({{"punch", 0, 0, 10e-3, 0, 30e-3},
                                     {"foil", 1, 0, 10e-3, 30e-3, 30.2e-3},
                                     {"spacer", 2, 0, 20e-3, 30.2e-3, 50.2e-3}},
                                    even_grid(5e-3), {tool, foil, tool});
  for (solver::Part& part : p.parts) part.in_column = true;
  p.parts[1].is_foil = true;
  p.parts[1].across = mesh::Axis::z;
  p.initial_temperature = 293.15;
  p.force = {{0.0, 5e3}, {10.0, 15e3}};
  p.frame_compliance = 1e-8;
  std::vector<double> T(p.mesh.volume.size(), 293.15 + 1000);
  const solver::Stroke stroke = solver::elastic_and_thermal_stroke(p, 15e3, T);
  const double small = std::numbers::pi * 1e-4, large = std::numbers::pi * 4e-4;
  CHECK(stroke.elastic == relative(10e3 / 11e9 * (30e-3 / small + 20e-3 / large), 1e-12));
  CHECK(stroke.frame == relative(1e-4, 1e-12));
  CHECK(stroke.growth == relative(-50e-3 * 5e-6 * 1000, 1e-12));
  CHECK(stroke.foil == relative(-0.2e-3 * 30e-6 * 1000, 1e-9));  // through the sheet
  CHECK(stroke.densification == 0.0);
  CHECK(stroke.total() == relative(stroke.elastic + stroke.frame + stroke.growth + stroke.foil, 1e-12));
  CHECK(solver::parts_without_stroke(p).empty());
  p.materials[0].elastic_modulus.reset();
  CHECK(solver::parts_without_stroke(p) == std::vector<std::string>{"punch"});
}

TEST_CASE("stroke: what the powder loses is what the punches travel") {
  cases::Case c =
      cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/checks/viscous-column.yaml").c;
  c.programme.steps.back().duration = 100;
  c.programme.pressure.back().duration = 100;
  const solver::Problem p = cases::build_problem(c);
  double bottom = 0, top = 0;
  solver::Observers observers;
  observers.fields = [&](const solver::CellFields& fields) {
    bottom = fields.placement[0].front();
    top = fields.placement[2].back();  // of the upper punch
  };
  const solver::RunResult result = solver::run(p, observers);
  REQUIRE(result.status == solver::RunStatus::completed);
  const solver::HistoryRow& end = result.rows.back();
  const double height = p.mesh.layout[1].z_top - p.mesh.layout[1].z_bottom;
  CHECK(end.stroke.densification == relative(height * (1 - 0.6 / end.powder->density_mean), 1e-9));
  CHECK(std::abs(bottom - p.mesh.layout[0].z_bottom) < 1e-12);
  CHECK(p.mesh.layout[2].z_top - top == relative(end.stroke.densification, 1e-9));
}
