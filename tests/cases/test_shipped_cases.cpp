// Shipped cases: stacks, touches, surfaces, sensors and programme by hand; every case reads, builds, and
// comes back from its resolved form as the same problem.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "cases/reader/material_reader.hpp"
#include "solver/observe.hpp"
#include "tests/support/cell_means.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using test::Folder;

const fs::path root = JOULEPRESS_SOURCE_DIR;

std::vector<fs::path> shipped_cases() {
  std::vector<fs::path> files;
  for (const fs::path& folder : {root / "cases", root / "cases" / "checks"})
    for (const auto& entry : fs::directory_iterator(folder))
      if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

void write(const fs::path& file, const std::string& text) {
  std::ofstream(file, std::ios::binary) << text;
}

int block_named(const solver::Problem& p, const std::string& name) {
  for (std::size_t k = 0; k < p.mesh.layout.size(); ++k)
    if (p.mesh.layout[k].name == name) return static_cast<int>(k);
  FAIL("no block " << name);
  return -1;
}

const mesh::Block& block(const solver::Problem& p, const std::string& name) {
  return p.mesh.layout[block_named(p, name)];
}

/// The law between two parts.
const solver::ContactLaw& law_between(const solver::Problem& p, const std::string& a, const std::string& b,
                                      mesh::BlockPair* found = nullptr) {
  const int low = block_named(p, a), high = block_named(p, b);
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k)
    if (p.interfaces.pairs[k].block_a == low && p.interfaces.pairs[k].block_b == high) {
      if (found) *found = p.interfaces.pairs[k];
      return p.contacts[k];
    }
  FAIL("no pair " << a << " | " << b);
  static const solver::ContactLaw none;
  return none;
}

solver::Problem problem_of(const std::string& name) {
  return cases::build_problem(cases::read_case(root / "cases" / name));
}

void check_same_curve(const materials::Curve& a, const materials::Curve& b) {
  for (const double T : {250.0, 298.15, 640.0, 1000.0, 1623.15, 2500.0}) {
    CHECK(a.value(T) == b.value(T));
    CHECK(a.integral(T) == b.integral(T));
  }
}

void check_same_side(const solver::SideCondition& a, const solver::SideCondition& b) {
  CHECK(a.film == b.film);
  CHECK(a.film_temperature == b.film_temperature);
  CHECK(a.emissivity == b.emissivity);
  CHECK(a.electrode == b.electrode);
  REQUIRE(bool(a.fixed_temperature) == bool(b.fixed_temperature));
  if (a.fixed_temperature) CHECK(a.fixed_temperature(0, 0, 0) == b.fixed_temperature(0, 0, 0));
}

void check_same_drive(const solver::Drive& a, const solver::Drive& b) {
  CHECK(a.kind == b.kind);
  CHECK(a.sensor == b.sensor);
  CHECK(a.current_limit == b.current_limit);
  CHECK(a.voltage_limit == b.voltage_limit);
  CHECK(a.power_limit == b.power_limit);
  REQUIRE(a.segments.size() == b.segments.size());
  for (std::size_t k = 0; k < a.segments.size(); ++k) {
    CHECK(a.segments[k].start == b.segments[k].start);
    CHECK(a.segments[k].end == b.segments[k].end);
    CHECK(a.segments[k].from == b.segments[k].from);
    CHECK(a.segments[k].to == b.segments[k].to);
    CHECK(a.segments[k].off == b.segments[k].off);
    CHECK(a.segments[k].hold == b.segments[k].hold);
    CHECK(a.segments[k].name == b.segments[k].name);
  }
}

void check_same_beds(const solver::Problem& a, const solver::Problem& b) {
  REQUIRE(a.beds.size() == b.beds.size());
  for (std::size_t k = 0; k < a.beds.size(); ++k) {
    CHECK(a.beds[k].block == b.beds[k].block);
    CHECK(a.beds[k].grain == b.beds[k].grain);
    CHECK(a.beds[k].loose == b.beds[k].loose);
    CHECK(a.beds[k].wall_friction == b.beds[k].wall_friction);
    CHECK(a.beds[k].dragged == b.beds[k].dragged);
  }
  CHECK(a.rides == b.rides);
  REQUIRE(a.force.size() == b.force.size());
  for (std::size_t k = 0; k < a.force.size(); ++k) {
    CHECK(a.force[k].time == b.force[k].time);
    CHECK(a.force[k].force == b.force[k].force);
  }
  CHECK(a.frame_compliance == b.frame_compliance);
}

/// Equal to the last bit in everything a run depends on.
void check_same(const solver::Problem& a, const solver::Problem& b) {
  REQUIRE(a.mesh.grids.size() == b.mesh.grids.size());
  for (std::size_t k = 0; k < a.mesh.grids.size(); ++k) {
    CHECK(a.mesh.grids[k].r_lines == b.mesh.grids[k].r_lines);
    CHECK(a.mesh.grids[k].z_lines == b.mesh.grids[k].z_lines);
    CHECK(a.parts[k].name == b.parts[k].name);
    CHECK(a.parts[k].across == b.parts[k].across);
    CHECK(a.parts[k].relative_density == b.parts[k].relative_density);
    CHECK(a.parts[k].oxide_film == b.parts[k].oxide_film);
    CHECK(a.materials[a.parts[k].material].name == b.materials[b.parts[k].material].name);
    for (std::size_t side = 0; side < 4; ++side) check_same_side(a.sides[k][side], b.sides[k][side]);
  }
  REQUIRE(a.materials.size() == b.materials.size());
  for (std::size_t k = 0; k < a.materials.size(); ++k) {
    check_same_curve(a.materials[k].heat_capacity.curve, b.materials[k].heat_capacity.curve);
    check_same_curve(a.materials[k].conductivity.along.curve, b.materials[k].conductivity.along.curve);
    check_same_curve(a.materials[k].resistivity.along.curve, b.materials[k].resistivity.along.curve);
  }
  REQUIRE(a.contacts.size() == b.contacts.size());
  for (std::size_t k = 0; k < a.contacts.size(); ++k) {
    CHECK(a.contacts[k].electric_resistance == b.contacts[k].electric_resistance);
    CHECK(a.contacts[k].heat_conductance == b.contacts[k].heat_conductance);
    CHECK(a.contacts[k].radiation == b.contacts[k].radiation);
  }
  REQUIRE(a.sensors.size() == b.sensors.size());
  for (std::size_t k = 0; k < a.sensors.size(); ++k) {
    CHECK(a.sensors[k].name == b.sensors[k].name);
    CHECK(a.sensors[k].r == b.sensors[k].r);
    CHECK(a.sensors[k].z == b.sensors[k].z);
    CHECK(a.sensors[k].kind == b.sensors[k].kind);
    CHECK(a.sensors[k].exact == b.sensors[k].exact);
    CHECK(a.sensors[k].stem.depth == b.sensors[k].stem.depth);
    CHECK(a.sensors[k].stem.diameter == b.sensors[k].stem.diameter);
    CHECK(a.sensors[k].stem.tip_contact == b.sensors[k].stem.tip_contact);
    CHECK(a.sensors[k].spot.weights == b.sensors[k].spot.weights);
    CHECK(a.sensors[k].optics.wavelength == b.sensors[k].optics.wavelength);
    CHECK(a.sensors[k].optics.emissivity == b.sensors[k].optics.emissivity);
    CHECK(a.sensors[k].optics.set_emissivity == b.sensors[k].optics.set_emissivity);
    CHECK(a.sensors[k].optics.window == b.sensors[k].optics.window);
    CHECK(a.sensors[k].optics.lower_limit == b.sensors[k].optics.lower_limit);
    CHECK(a.sensors[k].response == b.sensors[k].response);
    CHECK(a.sensors[k].noise == b.sensors[k].noise);
    CHECK(a.sensors[k].type == b.sensors[k].type);
  }
  CHECK(a.chamber_temperature == b.chamber_temperature);
  CHECK(a.initial_temperature == b.initial_temperature);
  REQUIRE(a.gas.has_value() == b.gas.has_value());
  if (a.gas) CHECK(a.gas->name == b.gas->name);
  if (a.gas) CHECK(a.gas->pressure == b.gas->pressure);
  CHECK(a.history_every == b.history_every);
  CHECK(a.fields_every == b.fields_every);
  check_same_drive(a.drive, b.drive);
  check_same_beds(a, b);
}

}  // namespace

TEST_CASE("every shipped case opens with five comment lines, builds, and comes back from its resolved form") {
  const auto files = shipped_cases();
  CHECK(files.size() >= 6);
  const Folder scratch("resolved");
  for (const fs::path& file : files) {
    CAPTURE(file.filename().string());
    const std::string text = test::content(file);
    int comments = 0;
    for (std::size_t at = 0; at < text.size() && text[at] == '#'; at = text.find('\n', at) + 1) ++comments;
    CHECK(comments == 5);
    const cases::Case first = cases::read_case(file);
    const std::string resolved = cases::resolved_case(first);
    write(scratch.path / "resolved_case.yaml", resolved);
    const cases::Case second = cases::read_case(scratch.path / "resolved_case.yaml");
    check_same(cases::build_problem(first), cases::build_problem(second));
    CHECK(cases::resolved_case(second) == resolved);
  }
}

TEST_CASE("height of a powder from its mass") {
  // 6 g / (D * 3.984 g/cm3 * pi * (10 mm)^2), density of dense alumina: Munro 1997, as in its data file
  const auto height_of = [](const solver::Problem& p) {
    const mesh::Block& powder = block(p, "powder");
    return powder.z_top - powder.z_bottom;
  };
  const double dense = 6e-3 / (3984.0 * std::numbers::pi * 1e-4);
  cases::Case c = cases::read_case(root / "cases" / "alumina-20mm.yaml");
  SUBCASE("one that densifies begins loose") {
    CHECK(dense / 0.55 == test::relative(8.716e-3).epsilon(2e-4));
    CHECK(height_of(cases::build_problem(c)) == test::relative(dense / 0.55).epsilon(1e-12));
    CHECK(height_of(cases::build_pressed_problem(c)) == test::relative(dense / 0.99).epsilon(1e-12));
  }
  SUBCASE("one that does not has its end density all the time") {
    c.column[3].densification = false;
    CHECK(dense / 0.99 == test::relative(4.842e-3).epsilon(2e-4));
    CHECK(height_of(cases::build_problem(c)) == test::relative(dense / 0.99).epsilon(1e-12));
  }
}

TEST_CASE("the alumina stack by hand") {
  const solver::Problem p = problem_of("alumina-20mm.yaml");
  REQUIRE(p.mesh.layout.size() == 11);  // 7 of the column, 2 foil discs, die, lining
  const double height = 6e-3 / (0.55 * 3984.0 * std::numbers::pi * 1e-4);  // loose, as the run begins
  const double middle = 85.2e-3 + 0.5 * height;
  const auto lies = [&](const std::string& name, double r0, double r1, double z0, double z1) {
    CAPTURE(name);
    CHECK(block(p, name).r_inner == test::relative(r0));
    CHECK(block(p, name).r_outer == test::relative(r1));
    CHECK(block(p, name).z_bottom == test::relative(z0));
    CHECK(block(p, name).z_top == test::relative(z1));
  };
  lies("lower spacer", 0, 40e-3, 0, 40e-3);
  lies("lower step spacer", 0, 20e-3, 40e-3, 60e-3);
  lies("lower punch", 0, 10e-3, 60e-3, 85e-3);
  lies("foil lower punch / powder", 0, 10e-3, 85e-3, 85.2e-3);
  lies("powder", 0, 10e-3, 85.2e-3, 85.2e-3 + height);
  lies("foil powder / upper punch", 0, 10e-3, 85.2e-3 + height, 85.4e-3 + height);
  lies("upper spacer", 0, 40e-3, 130.4e-3 + height, 170.4e-3 + height);
  lies("die", 10.2e-3, 25e-3, middle - 18e-3, middle + 18e-3);
  lies("foil in bore of die", 10e-3, 10.2e-3, middle - 18e-3, middle + 18e-3);

  const auto& disc = p.parts[block_named(p, "foil lower punch / powder")];
  const auto& lining = p.parts[block_named(p, "foil in bore of die")];
  CHECK(disc.is_foil);
  CHECK(disc.across == mesh::Axis::z);
  CHECK(lining.across == mesh::Axis::r);
  const auto& powder = p.parts[block_named(p, "powder")];
  CHECK(powder.is_powder);
  CHECK(powder.relative_density == 0.55);  // loose, as the case says
}

TEST_CASE("touches so that foil and touches give the published totals") {
  // Totals at 20 MPa, published for foil and both touches (see contacts in cases/case.hpp): lateral 1.32
  // kW/m2K and 1.3e-7 ohm m2, axial 2.4 kW/m2K and 8e-8 ohm m2.  Foil 0.2 mm: 4 W/mK, 350 uohm m through it.
  const solver::Problem p = problem_of("alumina-20mm.yaml");
  for (const auto& law :
       {law_between(p, "powder", "foil in bore of die"), law_between(p, "foil in bore of die", "die")}) {
    CHECK(law.heat_conductance == test::relative(2.0 / (1.0 / 1320.0 - 5e-5)));
    CHECK(law.heat_conductance == test::relative(2826.5).epsilon(1e-4));
    CHECK(law.electric_resistance == test::relative(3e-8));
  }
  // Axial touches at the final 50 MPa of the programme, (P / 20 MPa)^0.95 better: 2.388 on the punch face.
  const auto& foil = law_between(p, "lower punch", "foil lower punch / powder");
  CHECK(foil.electric_resistance == test::relative(5e-9 / 2.388).epsilon(1e-4));
  CHECK(foil.heat_conductance == test::relative(2.388 * 2.0 / (1.0 / 2400.0 - 5e-5)).epsilon(1e-4));
  // Bare: the total itself, 50 MPa on the punch face, 12.5 MPa on the four times larger one (0.625^0.95 =
  // 0.6399).
  const auto& punch = law_between(p, "lower step spacer", "lower punch");
  CHECK(punch.electric_resistance == test::relative(8e-8 / 2.388).epsilon(1e-4));
  CHECK(punch.heat_conductance == test::relative(2400.0 * 2.388).epsilon(1e-4));
  const auto& spacer = law_between(p, "lower spacer", "lower step spacer");
  CHECK(spacer.electric_resistance == test::relative(8e-8 / 0.6399).epsilon(1e-4));
  CHECK(spacer.heat_conductance == test::relative(2400.0 * 0.6399).epsilon(1e-4));
}

TEST_CASE("a foil that alone exceeds the total touches perfectly") {
  cases::Case c = cases::read_case(root / "cases" / "alumina-20mm.yaml");
  c.foils[0].thickness = 0.2e-3;
  c.contacts.heat_lateral = 30e3;      // W/m2K; the foil alone: 4 / 0.2e-3 = 20 kW/m2K
  c.contacts.electric_lateral = 5e-8;  // ohm m2; the foil alone: 7e-8
  const solver::Problem p = cases::build_problem(c);
  const auto& law = law_between(p, "foil in bore of die", "die");
  CHECK(law.electric_resistance == 0.0);
  CHECK(law.heat_conductance == std::numeric_limits<double>::infinity());
}

TEST_CASE("a narrow gap radiates across and carries nothing else; touches radiate beside what they conduct") {
  cases::Case c = cases::read_case(root / "cases" / "nickel-20mm.yaml");
  c.column[2].worn_by = 0.08e-3;
  const solver::Problem p = cases::build_problem(c);
  mesh::BlockPair pair;
  const auto& law = law_between(p, "lower punch", "foil in bore of die", &pair);
  const double e = p.materials[p.parts[block_named(p, "lower punch")].material].emissivity->curve.value(
                   1273.15),
               f = p.materials[p.parts[block_named(p, "foil in bore of die")].material]
                       .emissivity->curve.value(1273.15);
  CHECK(pair.gap == test::relative(0.04e-3, 1e-9));
  CHECK(law.electric_resistance == std::numeric_limits<double>::infinity());
  CHECK(law.heat_conductance == 0.0);
  // Long coaxial cylinders (textbook)
  CHECK(law.radiation == test::relative(1.0 / (1.0 / e + 19.92 / 20.0 * (1.0 / f - 1.0))));
  CHECK(law_between(p, "lower spacer", "lower step spacer").radiation ==
        test::relative(1.0 / (2.0 / e - 1.0)));
}

TEST_CASE("column ends carry the electrodes and the film of the press") {
  const solver::Problem p = problem_of("alumina-20mm.yaml");
  const auto& low = p.sides[block_named(p, "lower spacer")][static_cast<int>(mesh::Side::bottom)];
  const auto& high = p.sides[block_named(p, "upper spacer")][static_cast<int>(mesh::Side::top)];
  CHECK(low.electrode == solver::Electrode::low);
  CHECK(high.electrode == solver::Electrode::high);
  CHECK(low.film == 880.0);
  CHECK(high.film_temperature == test::relative(293.15));
  int electrodes = 0;
  for (const auto& sides : p.sides)
    for (const auto& side : sides) electrodes += side.electrode != solver::Electrode::none;
  CHECK(electrodes == 2);
  const solver::Problem rod = problem_of("heated-rod.yaml");
  const auto& end = rod.sides[0][static_cast<int>(mesh::Side::top)];
  REQUIRE(bool(end.fixed_temperature));
  CHECK(end.fixed_temperature(0, 0, 0) == test::relative(298.15));
  CHECK(end.film == 0.0);
  CHECK(rod.sides[0][static_cast<int>(mesh::Side::outer)].emissivity == 0.0);  // radiation: off
}

TEST_CASE("sensor and powder watches of the alumina case") {
  const solver::Problem p = problem_of("alumina-20mm.yaml");
  REQUIRE(p.sensors.size() == 1);
  const mesh::Block& die = block(p, "die");
  CHECK(p.sensors[0].r == test::relative(14e-3));  // 25 mm - 11 mm
  CHECK(p.sensors[0].z == test::relative(0.5 * (die.z_bottom + die.z_top)));
  REQUIRE(p.powders.size() == 1);
  const std::vector<double> r2 = test::mean_square_radius(p.mesh);  // what a watch reads is where it looks
  CHECK(p.sensors[0].junction.of(r2) == test::relative(196e-6));
  const solver::Readings at = solver::readings_of(p, p.powders[0]);
  CHECK(std::abs(at.centre.of(r2)) < 1e-15);
  double sum = 0;
  for (const double weight : at.mean.weights) sum += weight;
  CHECK(sum == test::relative(1.0));
  CHECK_FALSE(at.edge.faces.empty());
  CHECK_FALSE(at.wall.faces.empty());
  for (const int face : at.edge.faces) CHECK(p.interfaces.pair_faces[face].r == test::relative(10e-3));
  for (const int face : at.wall.faces) CHECK(p.interfaces.pair_faces[face].r == test::relative(10.2e-3));
}

TEST_CASE("the programme of the alumina case by the clock") {
  const solver::Problem p = problem_of("alumina-20mm.yaml");
  CHECK(p.drive.kind == solver::DriveKind::tracking);
  CHECK(p.drive.sensor == 0);
  CHECK(p.drive.current_limit == 5000.0);
  REQUIRE(p.drive.segments.size() == 3);
  const auto& ramp = p.drive.segments[0];
  CHECK(ramp.from == test::relative(298.15));
  CHECK(ramp.to == test::relative(1623.15));
  CHECK(ramp.end == test::relative(795.0));  // (1350 - 25) / 100 min
  CHECK(p.drive.segments[1].hold);
  CHECK(p.drive.segments[1].name == "sinter");
  CHECK(p.drive.segments[1].end == test::relative(1095.0));
  CHECK(p.drive.segments[2].off);
  CHECK(p.drive.segments[2].end == test::relative(1395.0));
}

TEST_CASE("names with quotes, umlauts, colons and line breaks come back from the resolved case") {
  const Folder scratch("names");
  cases::Case c = cases::read_case(root / "cases" / "heated-rod.yaml");
  c.title = "first line\nsecond: \"quoted\", back\\slash, 100 %";
  c.column[0].name = c.sensors[0].part = "Stößel #1: {oben}";
  write(scratch.path / "names.yaml", cases::resolved_case(c));
  const cases::Case again = cases::read_case(scratch.path / "names.yaml");
  CHECK(again.title == c.title);
  CHECK(again.column[0].name == c.column[0].name);
}

TEST_CASE("refinement divides every cell") {
  cases::Case c = cases::read_case(root / "cases" / "heated-rod.yaml");
  const int coarse = cases::build_problem(c).mesh.n_cells();
  c.refinement = 2;
  CHECK(cases::build_problem(c).mesh.n_cells() == 4 * coarse);
}

TEST_CASE("a private material beside the case wins over the shipped one") {
  const Folder scratch("private");
  std::string text = test::content(root / "materials" / "data" / "isotropic-graphite.yaml");
  const std::size_t at = text.find("kg/m3");
  REQUIRE(at != std::string::npos);
  const std::size_t digits = text.find_last_of(' ', at - 2) + 1;
  text.replace(digits, at - digits, "1234 ");
  write(scratch.path / "isotropic-graphite.yaml", text);
  write(scratch.path / "rod.yaml", test::content(root / "cases" / "heated-rod.yaml"));
  const cases::Case c = cases::read_case(scratch.path / "rod.yaml");
  REQUIRE(c.materials.size() == 1);
  CHECK(c.materials[0].density.curve.value(298.15) == 1234.0);
}

TEST_CASE("defaults: chamber 25 degC, end density 0.99, published contact totals, history every 5 s") {
  const cases::Case c = cases::read_case(root / "cases" / "checks" / "insulated-stack.yaml");
  CHECK(c.chamber_temperature == test::relative(298.15));
  CHECK(c.initial_temperature == c.chamber_temperature);
  CHECK(c.history_every == 5.0);
  CHECK(!c.fields_every);
  CHECK(c.contacts.heat_lateral == 1320.0);
  CHECK(c.contacts.electric_axial == 8e-8);
  const solver::Problem p = cases::build_problem(c);
  CHECK(p.parts[block_named(p, "powder")].relative_density == 0.99);
}
