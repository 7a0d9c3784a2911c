// How a case says that its programme is followed: controller, hand-over, rules, pulses, meters; what of it
// comes back from the resolved case, and what makes one look again.
#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/control_faults.hpp"
#include "cases/drive.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/half.hpp"
#include "solver/pulse.hpp"
#include "tests/support/relative.hpp"

namespace {

using namespace joulepress;
using test::relative;

const std::filesystem::path root = JOULEPRESS_SOURCE_DIR;

cases::Case every_key() {
  return cases::read_case(root / "tests" / "all_keys" / "case-press.yaml");
}

void check_same_following(const solver::Problem& a, const solver::Problem& b) {
  REQUIRE(a.drive.controller.has_value() == b.drive.controller.has_value());
  if (a.drive.controller) {
    const solver::Controller &x = *a.drive.controller, &y = *b.drive.controller;
    CHECK(x.by_power == y.by_power);
    for (double solver::Controller::*member :
         {&solver::Controller::period, &solver::Controller::gain, &solver::Controller::integral_time,
          &solver::Controller::derivative_time, &solver::Controller::lowest, &solver::Controller::highest,
          &solver::Controller::rate, &solver::Controller::start_until, &solver::Controller::arrival})
      CHECK(x.*member == y.*member);
    CHECK(x.start_power == y.start_power);
  }
  REQUIRE(a.drive.hand_over.has_value() == b.drive.hand_over.has_value());
  if (a.drive.hand_over) {
    CHECK(a.drive.hand_over->sensor == b.drive.hand_over->sensor);
    CHECK(a.drive.hand_over->at == b.drive.hand_over->at);
  }
  REQUIRE(a.drive.aborts.size() == b.drive.aborts.size());
  for (std::size_t k = 0; k < a.drive.aborts.size(); ++k) {
    CHECK(a.drive.aborts[k].what == b.drive.aborts[k].what);
    CHECK(a.drive.aborts[k].above == b.drive.aborts[k].above);
    CHECK(a.drive.aborts[k].sensor == b.drive.aborts[k].sensor);
    CHECK(a.drive.aborts[k].until == b.drive.aborts[k].until);
  }
  REQUIRE(a.pulse.has_value() == b.pulse.has_value());
  if (a.pulse) {
    CHECK(a.pulse->on == b.pulse->on);
    CHECK(a.pulse->off == b.pulse->off);
    CHECK(a.pulse->ratio == b.pulse->ratio);
    CHECK(a.largest_mean == b.largest_mean);
  }
  REQUIRE(a.taps.size() == b.taps.size());
  REQUIRE(a.fits.size() == b.fits.size());
  for (std::size_t k = 0; k < a.fits.size(); ++k) {
    CHECK(a.fits[k].radius == b.fits[k].radius);
    CHECK(a.fits[k].fit_pressure == b.fits[k].fit_pressure);
    CHECK(a.fits[k].foil_modulus == b.fits[k].foil_modulus);
  }
}

}  // namespace

TEST_CASE("following: the keys arrive, by hand") {
  const solver::Problem p = cases::build_problem(every_key());
  REQUIRE(p.drive.controller);
  const solver::Controller& c = *p.drive.controller;
  CHECK_FALSE(c.by_power);
  CHECK(c.gain == relative(5000.0 / 100));  // the full current over the proportional band
  CHECK(c.lowest == relative(50.0));        // 1 % of 5 kA
  CHECK(c.highest == relative(4500.0));     // 90 %
  CHECK(c.rate == relative(1000.0));        // 5 kA in 5 s
  CHECK(c.start_power == 1000.0);
  CHECK(c.start_until == relative(573.15));
  CHECK(p.drive.sensor == 0);  // the usual sensor of the press
  REQUIRE(p.drive.hand_over);
  CHECK(p.drive.hand_over->sensor == 1);
  REQUIRE(p.drive.aborts.size() == 4);
  CHECK(p.drive.aborts[0].until == relative(873.15));
  CHECK(p.drive.aborts[3].sensor == 2);
  CHECK(p.drive.aborts[3].above == relative(1773.15));
  REQUIRE(p.pulse);
  CHECK(solver::duty(*p.pulse) == relative(40.0 / 47));
  REQUIRE(p.taps.size() == 2);
  CHECK(p.mesh.layout[p.taps[0].block].name == "lower punch");
  CHECK(p.taps[0].side == mesh::Side::bottom);
  CHECK(p.mesh.layout[p.taps[1].block].name == "upper punch");  // its ring, not its floor
  CHECK(p.taps[1].side == mesh::Side::top);
}

TEST_CASE("following: what is followed comes back from the resolved case") {
  for (const cases::Case& first :
       {every_key(), cases::read_case(root / "cases" / "alumina-20mm-press.yaml"),
        cases::load_case(root / "cases" / "alumina-20mm-press.yaml", "workshop-250kN").c}) {
    const cases::Case second = cases::read_case("resolved_case.yaml", cases::resolved_case(first));
    check_same_following(cases::build_problem(first), cases::build_problem(second));
    CHECK(cases::resolved_case(second) == cases::resolved_case(first));
  }
}

TEST_CASE("following: pulses that do not reach the middle of a part are told, with the depth by hand") {
  cases::Case c = cases::load_case(root / "cases" / "copper-20mm.yaml", "workshop-250kN").c;
  CHECK(cases::doubts_of_pulses(c).empty());  // pulses are off by default
  c.programme.pulses = true;
  // 40 and 7 ms: 21.28 a second; copper cold 1.7e-8 ohm m: sqrt(rho / (pi f mu0)) = 14 mm, above the radius
  CHECK(cases::doubts_of_pulses(c).empty());
  c.press.pulse->on = 4e-3;
  c.press.pulse->off = 1e-3;  // 200 a second: 4.6 mm
  std::string text;
  for (const cases::Doubt& doubt : cases::doubts_of_pulses(c)) text += doubt.sentence + "\n";
  CHECK(
      text.find("At the 200 pulses a second of \"workshop press, 250 kN\" current enters copper only 5 mm") !=
      std::string::npos);
  CHECK(text.find("graphite") == std::string::npos);
}
