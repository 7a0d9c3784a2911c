// Felt jackets and end caps, liners and fibre plates, by hand: where they lie, what they move with, how they
// touch, and what they are not taken for.  Lengths follow from the drawing in the case.
#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include "cases/pressing.hpp"
#include "cases/process_faults.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "cases/stack.hpp"
#include "solver/observe.hpp"
#include "solver/properties.hpp"
#include "tests/cases/by_name.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using test::between, test::block, test::Found, test::height_of, test::message, test::named, test::part;
const fs::path root = JOULEPRESS_SOURCE_DIR;

cases::Case all_round() {
  return cases::read_case(root / "tests" / "stacks" / "felt-all-round.yaml");
}

}  // namespace

TEST_CASE(
    "felt lies loosely: heat passes its touches freely, current hardly, and it is no wall of the powder") {
  const solver::Problem p =
      cases::build_problem(cases::read_case(root / "tests" / "stacks" / "felt-jacket.yaml"));
  const Found touch = between(p, "die", "felt jacket");
  CHECK(touch.pair.gap == 0.0);
  CHECK(std::isinf(touch.law.heat_conductance));  // the felt's conductivity was measured with its touches
  // 1e-4 ohm m2 (materials/data/carbon-felt.yaml): more than felt itself, 25 mm ln(35/25) of 1 to 3 mohm m.
  CHECK(touch.law.electric_resistance == test::relative(1e-4));
  CHECK(touch.law.electric_resistance > 25e-3 * std::log(35.0 / 25.0) * 3e-3);
  // The junction keeps its place in the die, the wall stays the bore of the die.
  CHECK(p.sensors[0].r == test::relative(14e-3));
  CHECK(p.interfaces.pair_faces[solver::readings_of(p, p.powders[0]).wall.faces.at(0)].r ==
        test::relative(10.2e-3));
}

TEST_CASE("end caps stand on the die and hang below it, layer on layer, and move with it") {
  const cases::Case c = all_round();
  const solver::Problem p = cases::build_problem(c);
  const auto middle = [&p](const char* name) {
    return 0.5 * (block(p, name).z_bottom + block(p, name).z_top);
  };
  CHECK(block(p, "upper cap").z_bottom == block(p, "die").z_top);
  CHECK(block(p, "second upper cap").z_bottom == block(p, "upper cap").z_top);
  CHECK(height_of(block(p, "second upper cap")) == test::relative(3e-3));
  CHECK(block(p, "lower cap").z_top == block(p, "die").z_bottom);
  CHECK(block(p, "second lower cap").z_top == block(p, "lower cap").z_bottom);
  CHECK(middle("second upper cap") - middle("powder") ==
        test::relative(middle("powder") - middle("second lower cap")));
  // With the powder's middle, as the die: half of what its height loses.
  REQUIRE(p.beds.size() == 1);
  for (std::size_t k = 0; k < p.mesh.layout.size(); ++k) {
    const std::string& name = p.mesh.layout[k].name;
    if (name.find("cap") != std::string::npos || name.find("die") != std::string::npos || name == "liner")
      CHECK(p.rides[k] == std::vector{0.5});
  }
  CHECK(p.half != nullptr);  // two caps mirror each other

  SUBCASE("a cap that is another's image no more leaves no half") {
    cases::Case other = c;
    named(other.sleeves, "second lower cap").height = 2e-3;
    CHECK(cases::build_problem(other).half == nullptr);
  }
  SUBCASE("moving with something else, it must not meet what it leaves") {
    cases::Case other = c;
    named(other.sleeves, "second upper cap").moves_with = "upper punch";
    named(other.sleeves, "second lower cap").height = 2e-3;
    CHECK_THROWS_AS(cases::build_problem(other), cases::InputErrors);  // would sink into the cap below it
    named(other.sleeves, "second upper cap").moves_with = "lower punch";
    const solver::Problem q = cases::build_problem(other);
    CHECK(q.rides[cases::block_named(cases::stack_of(other), "second upper cap")] == std::vector{0.0});
  }
  SUBCASE("standing on the column and hanging below it") {
    cases::Case other = c;
    cases::Sleeve& cap = named(other.sleeves, "second lower cap");
    cap.hangs_below.clear();
    cap.stands_on = "lower spacer";
    cap.inner_diameter = 60e-3;
    cap.outer_diameter = 70e-3;
    const solver::Problem q = cases::build_problem(other);
    CHECK(block(q, "second lower cap").z_bottom == block(q, "lower spacer").z_top);
    CHECK(q.rides[cases::block_named(cases::stack_of(other), "second lower cap")] == std::vector{0.0});
    cap.stands_on.clear();
    cap.hangs_below = "upper spacer";
    const solver::Problem r = cases::build_problem(other);
    CHECK(block(r, "second lower cap").z_top == block(r, "upper spacer").z_bottom);
    CHECK(r.rides[cases::block_named(cases::stack_of(other), "second lower cap")] == std::vector{1.0});
  }
}

TEST_CASE("felt around punch and die is no die: what is looked up around the powder and its punches") {
  cases::Case c = all_round();
  const auto entries = cases::entries_of(c, cases::PowderState::start);
  REQUIRE(entries.size() == 2);
  for (const cases::Entry& entry : entries) CHECK(c.sleeves[entry.sleeve].name == "liner");
  for (const cases::Doubt& doubt : cases::doubts_of(c)) {
    CAPTURE(doubt.sentence);
    CHECK(doubt.sentence.find("cap") == std::string::npos);
    CHECK(doubt.sentence.find("jacket") == std::string::npos);
  }
  const cases::Stack stack = cases::stack_of(c);
  const mesh::Block& punch = stack.layout[cases::block_named(stack, "upper punch")];
  CHECK(stack.parts[cases::block_named(stack, "upper cap")].soft);
  CHECK(stack.layout[cases::sleeve_around(stack, punch, punch.z_bottom, punch.z_top)].name == "liner");

  c.contacts.follow = true;
  const solver::Problem p = cases::build_problem(c);
  const int upper = cases::block_named(stack, "upper punch");
  CHECK(p.fits[upper].radius == test::relative(10e-3));
  CHECK(p.mesh.layout[p.sleeve_of[upper]].name == "liner");
  CHECK_FALSE(between(p, "upper punch", "upper cap").law.follows);
  CHECK_FALSE(between(p, "die", "upper cap").law.follows);
  CHECK(between(p, "upper punch", "upper spacer").law.follows);
  CHECK(p.mesh.layout[p.powders[0].wall_block].name == "liner");
}

TEST_CASE("felt alone neither holds powder nor closes the way of the current") {
  cases::Case c = all_round();
  CHECK(message(c) == "accepted");
  named(c.sleeves, "liner").material = "carbon felt";
  CHECK(message(c) == "accepted");  // its lining holds the powder and joins the punches
  c.foils.erase(c.foils.begin());
  named(c.sleeves, "liner").inner_diameter = 20e-3;
  CHECK(message(c).find("finds no way") != std::string::npos);
  CHECK(message(c).find("Nothing holds \"powder\" at its side") != std::string::npos);
}

TEST_CASE("where a sleeve stands on another no force of the press passes") {
  // (0.1 MPa / 20 MPa)^0.95 = 6.516e-3 of the published 2.4 kW/m2K: what presses is the weight of the ring.
  cases::Case c = all_round();
  named(c.sleeves, "upper cap").material = "isotropic graphite";
  named(c.sleeves, "upper cap").inner_diameter = 20.4e-3;
  for (const bool follow : {false, true}) {
    c.contacts.follow = follow;
    const Found touch = between(cases::build_problem(c), "die", "upper cap");
    CHECK(touch.law.heat_conductance == test::relative(2400.0 * std::pow(0.005, 0.95)));
    CHECK(touch.law.electric_resistance == test::relative(8e-8 / std::pow(0.005, 0.95)));
    CHECK_FALSE(touch.law.follows);
  }
}

TEST_CASE("fibre plates between spacer and ram conduct across their fibres along the axis") {
  const solver::Problem p = cases::build_problem(all_round());
  CHECK(part(p, "lower plate").across == mesh::Axis::z);
  CHECK(part(p, "upper plate").across == mesh::Axis::z);
  const materials::Material& m = p.materials[part(p, "lower plate").material];
  REQUIRE(m.conductivity.across);
  CHECK(solver::curve_along(m.conductivity, part(p, "lower plate"), mesh::Axis::z).value(300) ==
        m.conductivity.across->curve.value(300));
  CHECK(solver::curve_along(m.conductivity, part(p, "lower plate"), mesh::Axis::r).value(300) ==
        m.conductivity.along.curve.value(300));
  CHECK(p.sides[0][static_cast<int>(mesh::Side::bottom)].electrode == solver::Electrode::low);
}

TEST_CASE("places of sleeves come back from the resolved case") {
  const cases::Case c = all_round();
  const test::Folder folder("places");
  std::ofstream(folder.path / "again.yaml", std::ios::binary) << cases::resolved_case(c);
  cases::Case again = cases::read_case(folder.path / "again.yaml");
  CHECK(cases::resolved_case(again) == cases::resolved_case(c));
  CHECK(named(again.sleeves, "upper cap").stands_on == "die");
  CHECK(named(again.sleeves, "second lower cap").hangs_below == "lower cap");
  CHECK(named(again.sleeves, "upper cap").centre_on.empty());
}
