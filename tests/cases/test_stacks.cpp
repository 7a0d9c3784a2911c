// Stacks beyond one disc in one die, by hand: core rods, linings outside, worn tools, jackets and plates,
// several powder bodies.  Every length follows from the drawing in the case; no outside source is needed.
#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <numbers>
#include <string>

#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/observe.hpp"
#include "tests/cases/by_name.hpp"
#include "tests/support/cell_means.hpp"
#include "tests/support/relative.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using test::between, test::block, test::Found, test::height_of, test::message, test::named, test::part;
constexpr double pi = std::numbers::pi;
const fs::path root = JOULEPRESS_SOURCE_DIR;

cases::Case shipped(const std::string& name) {
  return cases::read_case(root / "cases" / name);
}

/// The one foil along a sleeve.
cases::FoilLayer& lining(cases::Case& c, const std::string& sleeve) {
  for (cases::FoilLayer& foil : c.foils)
    if (foil.along == sleeve) return foil;
  FAIL("no foil along " << sleeve);
  return c.foils.front();
}

}  // namespace

TEST_CASE("ring and core rod: the rod is solid, its foil lies on its outside and fills the bores") {
  const cases::Case c = shipped("nickel-ring-30mm.yaml");
  const solver::Problem p = cases::build_problem(c);
  const mesh::Block &rod = block(p, "core rod"), &foil = block(p, "foil outside of core rod"),
                    &ring = block(p, "ring");
  CHECK(rod.r_inner == 0.0);
  CHECK(rod.r_outer == test::relative(7.8e-3));
  CHECK(foil.r_inner == rod.r_outer);
  CHECK(foil.r_outer == test::relative(8e-3));
  CHECK(foil.z_bottom == rod.z_bottom);
  CHECK(foil.z_top == rod.z_top);
  CHECK(ring.r_inner == test::relative(8e-3));
  CHECK(block(p, "foil lower punch / ring").r_inner == test::relative(8e-3));
  CHECK(rod.z_bottom + rod.z_top == test::relative(ring.z_bottom + ring.z_top));
  // 27 g of nickel, 8.908 g/cm3 at 0.60 as the run begins, on pi (15^2 - 8^2) mm2
  const double density = 8908.0;
  CHECK(height_of(ring) == test::relative(27e-3 / (0.60 * density * pi * (225e-6 - 64e-6)), 1e-3));
  // Foil and touches give the lateral totals on both sides of the ring.
  for (const auto& [a, b] :
       {std::pair{"core rod", "foil outside of core rod"}, std::pair{"foil outside of core rod", "ring"},
        std::pair{"ring", "foil in bore of die"}}) {
    CAPTURE(a);
    const Found found = between(p, a, b);
    CHECK(found.pair.gap == 0.0);
    CHECK(found.law.heat_conductance == test::relative(2.0 / (1.0 / 1320.0 - 5e-5)));
    CHECK(found.law.electric_resistance == test::relative(3e-8));
  }
  CHECK(part(p, "foil outside of core rod").across == mesh::Axis::r);
  CHECK(part(p, "foil outside of core rod").is_foil);
}

TEST_CASE("a ring is read in the middle of its wall, at both edges, and at the die") {
  const solver::Problem p = cases::build_problem(shipped("nickel-ring-30mm.yaml"));
  REQUIRE(p.powders.size() == 1);
  CHECK(p.powders[0].name == "ring");
  const solver::Readings ring = solver::readings_of(p, p.powders[0]);
  CHECK(ring.centre.of(test::mean_square_radius(p.mesh)) == test::relative(11.5e-3 * 11.5e-3));
  const auto radius_of = [&](const mesh::EdgeWatch& watch) {
    REQUIRE_FALSE(watch.faces.empty());
    return p.interfaces.pair_faces[watch.faces[0]].r;
  };
  CHECK(radius_of(ring.edge) == test::relative(15e-3));
  CHECK(ring.edge.on_a);
  CHECK(radius_of(ring.inner) == test::relative(8e-3));
  CHECK_FALSE(ring.inner.on_a);
  CHECK(radius_of(ring.wall) == test::relative(15.2e-3));
}

TEST_CASE("the space at the end of a core rod is closed: nothing in it radiates to the chamber") {
  const cases::Case c = shipped("nickel-ring-30mm.yaml");
  const solver::Problem p = cases::build_problem(c);
  const auto enclosure = solver::enclosure_of(p);
  const solver::Exchange exchange = solver::exchange_at(*enclosure, p, 0.0);
  int inside = 0, outside = 0;
  for (std::size_t z = 0; z < enclosure->zones.size(); ++z) {
    const solver::Zone& zone = enclosure->zones[z];
    if (zone.block < 0) continue;
    const std::string& name = p.parts[zone.block].name;
    const double sent = exchange.areas.chamber[z] / (zone.emissivity * exchange.zone_area[z]);
    if (name == "core rod" || zone.side == mesh::Side::inner) {
      CHECK(sent == 0.0);
      ++inside;
    } else if (name == "die") {
      CHECK(sent > 0.1);  // between the die's end and the step spacer it is open
      ++outside;
    }
  }
  CHECK(inside >= 4);
  CHECK(outside >= 24);
}

TEST_CASE("nothing in the bore of a ring, a short rod, or a gap beside the rod: the powder would run out") {
  cases::Case c = shipped("nickel-ring-30mm.yaml");
  cases::Case bare = c;
  bare.sleeves.pop_back();
  std::erase_if(bare.foils, [](const cases::FoilLayer& foil) { return foil.outside; });
  CHECK(message(bare).find("Nothing holds \"ring\" in its bore over 9.996") != std::string::npos);
  CHECK(message(bare).find("Add a core rod") != std::string::npos);
  cases::Case shorter = c;
  named(shorter.sleeves, "core rod").height = 4e-3;
  CHECK(message(shorter).find("Nothing holds \"ring\" in its bore over 5.996") != std::string::npos);
  // The ring alone fits its rod loosely; the rod hangs in the foil of the lower punch's bore otherwise.
  named(c.column, "ring").bore = 16.2e-3;
  CHECK(message(c).find("Beside \"ring\" a gap of 0.100 mm to \"foil outside of core rod\" is open") !=
        std::string::npos);
  CHECK(message(c).find("core rod with a foil") != std::string::npos);
}

TEST_CASE(
    "a worn bore: the powder fills it and its height shrinks, the foil lies on the wall, the punches lose "
    "touch") {
  cases::Case c = shipped("nickel-20mm.yaml");
  const double drawn = height_of(block(cases::build_problem(c), "powder"));
  named(c.sleeves, "die").worn_by = 0.4e-3;
  const solver::Problem p = cases::build_problem(c);
  CHECK(block(p, "die").r_inner == test::relative(10.4e-3));
  CHECK(block(p, "die").r_outer == test::relative(25e-3));
  CHECK(block(p, "foil in bore of die").r_inner == test::relative(10.2e-3));
  CHECK(block(p, "foil in bore of die").r_outer == test::relative(10.4e-3));
  CHECK(block(p, "powder").r_outer == test::relative(10.2e-3));
  CHECK(height_of(block(p, "powder")) == test::relative(drawn / (1.02 * 1.02)));  // mass kept
  CHECK(block(p, "lower punch").r_outer == test::relative(10e-3));
  CHECK(between(p, "powder", "foil in bore of die").pair.gap == 0.0);
  const Found punch = between(p, "lower punch", "foil in bore of die");
  CHECK(punch.pair.gap == test::relative(0.2e-3));
  CHECK(std::isinf(punch.law.electric_resistance));
  CHECK(punch.law.heat_conductance == 0.0);
  CHECK(punch.law.radiation > 0.0);
  // force is set on the drawn face of the powder, so the axial touches stay those of the new die
  CHECK(between(p, "lower step spacer", "lower punch").law.electric_resistance ==
        between(cases::build_problem(shipped("nickel-20mm.yaml")), "lower step spacer", "lower punch")
            .law.electric_resistance);
}

TEST_CASE("a powder given by its height keeps it in a worn bore") {
  cases::Case c = shipped("nickel-20mm.yaml");
  cases::ColumnPart& powder = named(c.column, "powder");
  powder.mass.reset();
  powder.height = 5e-3;
  named(c.sleeves, "die").worn_by = 0.4e-3;
  const solver::Problem p = cases::build_problem(c);
  CHECK(block(p, "powder").r_outer == test::relative(10.2e-3));
  CHECK(height_of(block(p, "powder")) == test::relative(5e-3 * 0.99 / 0.60));  // it is that of the compact
  CHECK(height_of(block(cases::build_pressed_problem(c), "powder")) == test::relative(5e-3));
}

TEST_CASE("a thicker foil takes the wear up: nothing else changes") {
  cases::Case c = shipped("alumina-20mm.yaml");
  const double drawn = height_of(block(cases::build_problem(c), "powder"));
  named(c.sleeves, "die").worn_by = 0.4e-3;
  CHECK(message(c).find("The current finds no way") != std::string::npos);
  CHECK(message(c).find("a thicker foil takes it up") != std::string::npos);
  lining(c, "die").thickness = 0.4e-3;
  const solver::Problem p = cases::build_problem(c);
  CHECK(block(p, "powder").r_outer == test::relative(10e-3));
  CHECK(height_of(block(p, "powder")) == test::relative(drawn));
  CHECK(between(p, "lower punch", "foil in bore of die").pair.gap == 0.0);
  lining(c, "die").thickness = 0.3e-3;  // half of it
  CHECK(message(c).find("The current finds no way") != std::string::npos);
  lining(c, "die").thickness = 0.5e-3;  // too much
  CHECK(message(c).find("narrow to 19.80 mm") != std::string::npos);
}

TEST_CASE("a worn punch is thinner; the powder and the die stay") {
  cases::Case c = shipped("nickel-20mm.yaml");
  named(c.column, "lower punch").worn_by = 0.1e-3;
  const solver::Problem p = cases::build_problem(c);
  CHECK(block(p, "lower punch").r_outer == test::relative(9.95e-3));
  CHECK(block(p, "foil lower punch / powder").r_outer == test::relative(9.95e-3));
  CHECK(block(p, "powder").r_outer == test::relative(10e-3));
  CHECK(between(p, "lower punch", "foil in bore of die").pair.gap == test::relative(0.05e-3, 1e-9));
  CHECK(between(p, "upper punch", "foil in bore of die").pair.gap == 0.0);
  const auto warnings = cases::gap_warnings(c, p);
  REQUIRE(warnings.size() == 1);
  CHECK(warnings[0].find("Between \"lower punch\" and \"foil in bore of die\" a gap of 0.050 mm") == 0);
  CHECK(warnings[0].find("A thicker foil takes wear up") != std::string::npos);
  const cases::Case fresh = shipped("nickel-20mm.yaml");
  CHECK(cases::gap_warnings(fresh, cases::build_problem(fresh)).empty());
}

TEST_CASE("a worn core rod is thinner: the ring's bore follows it, those of the punches do not") {
  cases::Case c = shipped("nickel-ring-30mm.yaml");
  named(c.sleeves, "core rod").worn_by = 0.2e-3;
  const solver::Problem p = cases::build_problem(c);
  CHECK(block(p, "core rod").r_outer == test::relative(7.7e-3));
  CHECK(block(p, "foil outside of core rod").r_outer == test::relative(7.9e-3));
  CHECK(block(p, "ring").r_inner == test::relative(7.9e-3));
  CHECK(block(p, "ring").r_outer == test::relative(15e-3));
  CHECK(between(p, "foil outside of core rod", "ring").pair.gap == 0.0);
  CHECK(between(p, "foil outside of core rod", "lower punch").pair.gap == test::relative(0.1e-3, 1e-9));
}

TEST_CASE("only the sleeve that holds the powder lets it grow: wear behind a liner opens a gap there") {
  cases::Case c = shipped("nickel-20mm.yaml");
  cases::Sleeve die = c.sleeves[0];
  named(c.sleeves, "die").name = "liner";
  named(c.sleeves, "liner").outer_diameter = 24e-3;
  lining(c, "die").along = "liner";
  die.inner_diameter = 24e-3;
  die.worn_by = 0.3e-3;
  c.sleeves.push_back(die);
  const solver::Problem p = [&] {
    cases::FoilLayer foil = lining(c, "liner");  // lies in the worn bore of the die and holds the liner
    foil.along = "die";
    foil.thickness = 0.15e-3;
    c.foils.push_back(foil);
    return cases::build_problem(c);
  }();
  CHECK(block(p, "powder").r_outer == test::relative(10e-3));
  CHECK(block(p, "die").r_inner == test::relative(12.15e-3));
  CHECK(between(p, "liner", "foil in bore of die").pair.gap == 0.0);
  // what counts as the wall beside the powder is the liner's bore
  CHECK(p.interfaces.pair_faces[solver::readings_of(p, p.powders[0]).wall.faces.at(0)].r ==
        test::relative(10.2e-3));
}

TEST_CASE("wear comes back from the resolved case, and so does a foil outside") {
  cases::Case c = shipped("nickel-ring-30mm.yaml");
  named(c.sleeves, "core rod").worn_by = 0.2e-3;
  named(c.sleeves, "die").worn_by = 0.04e-3;
  named(c.column, "upper punch").worn_by = 0.06e-3;
  const fs::path file = fs::temp_directory_path() / "joulepress-worn.yaml";
  std::ofstream(file, std::ios::binary) << cases::resolved_case(c);
  cases::Case again = cases::read_case(file);
  fs::remove(file);
  CHECK(named(again.sleeves, "core rod").worn_by == 0.2e-3);
  CHECK(named(again.sleeves, "core rod").inner_diameter == 0.0);
  CHECK(named(again.sleeves, "die").worn_by == 0.04e-3);
  CHECK(named(again.column, "upper punch").worn_by == 0.06e-3);
  CHECK(lining(again, "core rod").outside);
  CHECK_FALSE(lining(again, "die").outside);
  CHECK(cases::resolved_case(again) == cases::resolved_case(c));
}

TEST_CASE("layers of a plate lie flat, those of a sleeve stand around the axis") {
  // As a carbon fibre composite whose data sheet states the resistivity across the fibres.
  cases::Case c = shipped("nickel-20mm.yaml");
  for (materials::Material& m : c.materials)
    if (m.name == "isotropic graphite") m.resistivity.across = m.resistivity.along;
  const solver::Problem p = cases::build_problem(c);
  CHECK(part(p, "lower spacer").across == mesh::Axis::z);
  CHECK(part(p, "lower punch").across == mesh::Axis::z);
  CHECK(part(p, "die").across == mesh::Axis::r);
}

TEST_CASE("two pellets: each has its own watch, at its own height, weighed by its volume") {
  const solver::Problem p = cases::build_problem(shipped("two-pellets-20mm.yaml"));
  REQUIRE(p.powders.size() == 2);
  CHECK(p.powders[0].name == "lower pellet");
  CHECK(p.powders[1].name == "upper pellet");
  for (const solver::PowderBody& body : p.powders) {
    const mesh::Block& b = block(p, body.name);
    const solver::Readings at = solver::readings_of(p, body);
    CHECK(solver::mid_height(p, body) == test::relative(0.5 * (b.z_bottom + b.z_top)));
    CHECK(at.mean.of(p.mesh.z) == test::relative(solver::mid_height(p, body), 1e-9));
    CHECK(body.volume == test::relative(pi * 1e-4 * height_of(b)));
    CHECK_FALSE(at.edge.faces.empty());
    CHECK_FALSE(at.wall.faces.empty());
    CHECK(at.inner.faces.empty());
  }
}
