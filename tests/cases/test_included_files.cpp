// Files a case includes by name: press, tool sets, private materials that start from a shipped one.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/process_faults.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/stack.hpp"
#include "solver/march.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using test::Folder;
using test::holds;
using test::relative;

const fs::path root = JOULEPRESS_SOURCE_DIR;

const std::string head =
    "format: 1\npress: presses/workshop-30kN.yaml\n"
    "programme: {power: [{ramp to: 100 W, in: 1 min}]}\n";

std::string error_of(const fs::path& file) {
  try {
    cases::read_case(file);
  } catch (const cases::InputErrors& errors) {
    return errors.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("tooling: a filled tool set is the same stack as the case that lists its parts") {
  const Folder folder("joulepress_tooling");
  folder.write("filled.yaml",
               head +
                   "tooling: tooling/graphite-20mm.yaml\nfillings: [{in: powder, powder: alumina, "
                   "mass: 6 g, relative density: 0.55, end density: 0.99}]\n");
  const cases::Case filled = cases::read_case(folder.path / "filled.yaml");
  const cases::Case listed = cases::read_case(root / "cases" / "alumina-20mm.yaml");
  const cases::Stack a = cases::stack_of(filled), b = cases::stack_of(listed);
  REQUIRE(a.layout.size() == b.layout.size());
  for (std::size_t k = 0; k < a.layout.size(); ++k) {
    CHECK(a.layout[k].name == b.layout[k].name);
    CHECK(a.layout[k].z_top == b.layout[k].z_top);
    CHECK(a.layout[k].r_outer == b.layout[k].r_outer);
    CHECK(a.parts[k].material == b.parts[k].material);
  }
  REQUIRE(filled.included.size() == 2);
  CHECK(filled.included[1].name == "tooling/graphite-20mm.yaml");
  CHECK(filled.sensors.size() == 1);
}

TEST_CASE("tooling: cavities without filling, fillings without cavity, two columns") {
  const Folder folder("joulepress_cavities");
  folder.write("empty.yaml", head + "tooling: tooling/graphite-20mm.yaml\n");
  CHECK(holds(error_of(folder.path / "empty.yaml"), "The cavity \"powder\" is not filled."));
  folder.write("stray.yaml",
               head +
                   "tooling: tooling/graphite-20mm.yaml\nfillings: [{in: powder, powder: alumina, "
                   "mass: 6 g}, {in: podwer, powder: alumina, mass: 6 g}]\n");
  const std::string stray = error_of(folder.path / "stray.yaml");
  CHECK(holds(stray, "There is no cavity \"podwer\"."));
  CHECK(holds(stray, "Did you mean \"powder\"?"));
  folder.write("both.yaml", head + "tooling: tooling/graphite-20mm.yaml\ncolumn: []\n");
  CHECK(holds(error_of(folder.path / "both.yaml"), "The tooling brings its own column."));
  folder.write("mistake.yaml", head + "tooling: set.yaml\n");
  folder.write("set.yaml",
               "column:\n  - {name: rod, material: isotropic graphite, diameter: 20, height: 9 mm}\n");
  // a mistake in an included file is reported where it stands
  CHECK(holds(error_of(folder.path / "mistake.yaml"), "set.yaml:2:57  error in tooling.column[0].diameter"));
}

TEST_CASE("materials: one measured resistivity scales the curve, and the heat conductivity the other way") {
  const Folder folder("joulepress_lot");
  folder.write("own-graphite.yaml",
               "material: own graphite\nfrom: isotropic graphite\n"
               "measured resistivity: {value: 15 uohm m, at: 20 degC}\n");
  const materials::Material own = cases::read_material(folder.path / "own-graphite.yaml");
  const materials::Material base = cases::read_material(cases::shipped_material("isotropic graphite"));
  const double factor = 15e-6 / base.resistivity.along.curve.value(293.15);
  CHECK(own.resistivity.along.curve.value(293.15) == relative(15e-6));
  for (const double T : {300.0, 1000.0, 1900.0}) {
    CHECK(own.resistivity.along.curve.value(T) == relative(factor * base.resistivity.along.curve.value(T)));
    CHECK(own.conductivity.along.curve.value(T) == relative(base.conductivity.along.curve.value(T) / factor));
    // Hust 1978: the product of the two hardly differs from grade to grade
    CHECK(own.resistivity.along.curve.value(T) * own.conductivity.along.curve.value(T) ==
          relative(base.resistivity.along.curve.value(T) * base.conductivity.along.curve.value(T)));
    CHECK(own.heat_capacity.curve.value(T) == base.heat_capacity.curve.value(T));
  }
  CHECK(own.name == "own graphite");
  CHECK(own.resistivity.along.uncertainty.size < base.resistivity.along.uncertainty.size);
  CHECK(holds(own.resistivity.along.source, "measured"));
}

TEST_CASE(
    "materials: a private material is found beside the case and goes into the resolved case with its base") {
  const Folder folder("joulepress_private");
  folder.write("own-graphite.yaml",
               "material: own graphite\nfrom: isotropic graphite\n"
               "emissivity: {value: 0.7, source: measured in the workshop}\n");
  folder.write("case.yaml",
               head + "column: [{name: rod, material: own graphite, diameter: 20 mm, height: 50 mm}]\n");
  const cases::Case c = cases::read_case(folder.path / "case.yaml");
  const auto& own = cases::material_named(c, "own graphite");
  CHECK(own.emissivity->curve.value(1000) == relative(0.7));
  const std::string resolved = cases::resolved_case(c);
  const Folder elsewhere("joulepress_private_resolved");
  elsewhere.write("resolved_case.yaml", resolved);
  const cases::Case again = cases::read_case(elsewhere.path / "resolved_case.yaml");
  CHECK(cases::material_named(again, "own graphite").emissivity->curve.value(1000) == relative(0.7));
  CHECK(cases::resolved_case(again) == resolved);
}

TEST_CASE("materials: a mixture is resolved with its two solids, and only what a part is of is judged") {
  const Folder folder("joulepress_mixture");
  folder.write("case.yaml", head + "column: [{name: rod, material: mine, diameter: 20 mm, height: 50 mm}]\n");
  folder.write("mine.yaml",
               "material: mine\nmixture: {of: [titanium nitride, zirconia 3y], volume fractions: [0.4, 0.6], "
               "threshold: 0.2, exponent: 2, source: invented}\n");
  const cases::Case c = cases::read_case(folder.path / "case.yaml");
  const std::string resolved = cases::resolved_case(c);
  const Folder elsewhere("joulepress_mixture_resolved");
  elsewhere.write("resolved_case.yaml", resolved);
  const cases::Case again = cases::read_case(elsewhere.path / "resolved_case.yaml");
  const auto value = [](const cases::Case& some) {
    return cases::material_named(some, "mine").resistivity.along.curve.value(1000);
  };
  // (0.4 - 0.2) / 0.8 squared: a sixteenth of the nitride's conductivity, 0.6 uohm m (McLachlan 1990)
  CHECK(value(c) == relative(16 * 0.6e-6, 0.01));
  CHECK(value(again) == relative(value(c)));
  CHECK(cases::resolved_case(again) == resolved);
  REQUIRE(c.materials.size() == 3);
  REQUIRE(cases::beyond_data(c, 1300).size() == 1);
  CHECK(holds(cases::beyond_data(c, 1300)[0], "\"mine\" is known less far"));
}

TEST_CASE("materials: a base that does not exist, a measurement that cannot be") {
  const Folder folder("joulepress_bases");
  folder.write("case.yaml", head + "column: [{name: rod, material: mine, diameter: 20 mm, height: 50 mm}]\n");
  folder.write("mine.yaml", "material: mine\nfrom: isotropic grafite\n");
  CHECK(holds(error_of(folder.path / "case.yaml"), "There is no shipped material \"isotropic grafite\"."));
  folder.write("mine.yaml",
               "material: mine\nfrom: isotropic graphite\nmeasured resistivity: {value: 1500 uohm m}\n");
  CHECK(holds(error_of(folder.path / "case.yaml"), "The measured resistivity is"));
}

TEST_CASE("strict: leaving the range of a material's data fails the run and says which") {
  const Folder folder("joulepress_strict");
  const std::string rod =
      "press: {name: bench}\nformat: 1\nsurroundings: {radiation: on}\n"
      "column: [{name: rod, material: copper, diameter: 10 mm, height: 30 mm}]\n"
      "start temperature: 1000 degC\n"
      "programme: {power: [{ramp to: 20 kW, in: 1 s}, {hold: 60 s}]}\n";
  folder.write("case.yaml", rod + "numerics: {strict: on}\n");
  const cases::Case c = cases::read_case(folder.path / "case.yaml");
  const solver::RunResult strict = solver::run(cases::build_problem(c));
  CHECK(strict.status == solver::RunStatus::failed);
  CHECK(holds(strict.reason, "of copper is known from"));
  folder.write("case.yaml", rod);
  const solver::RunResult lenient =
      solver::run(cases::build_problem(cases::read_case(folder.path / "case.yaml")));
  CHECK(lenient.status == solver::RunStatus::completed);
  CHECK(!lenient.warnings.empty());
}
