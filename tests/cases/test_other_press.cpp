// A case on another press than its own: what the press brings, what the case keeps, what is wrong with
// either.
#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using test::Folder;
using test::holds;

const fs::path root = JOULEPRESS_SOURCE_DIR;
const fs::path three_sensors = root / "cases" / "alumina-20mm-press.yaml";  // its press: 30 kN
const std::string other = "presses/workshop-250kN.yaml";

std::string error_of(const fs::path& file, const std::string& press) {
  try {
    cases::load_case(file, press);
  } catch (const cases::InputErrors& errors) {
    return errors.what();
  }
  return "accepted";
}

}  // namespace

TEST_CASE("another press: limits, meters, ends and the sensor that controls are its own") {
  const auto [own, own_problem] = cases::load_case(three_sensors);
  const auto [c, problem] = cases::load_case(three_sensors, other);
  REQUIRE(own.press.name == "workshop press, 30 kN");
  CHECK(own.programme.control == "die thermocouple");
  CHECK(c.press.name == "workshop press, 250 kN");
  CHECK(c.programme.control == "punch pyrometer");
  CHECK(problem.sensors[problem.drive.sensor].name == "punch pyrometer");
  CHECK(problem.drive.controller->period == 0.5);
  CHECK(problem.pulse.has_value());  // the case has pulses on "where the press pulses"
  CHECK(!own_problem.pulse.has_value());
  CHECK(c.column.size() == own.column.size());
  REQUIRE(c.included.size() == 1);
  CHECK(c.included[0].name == other);
  CHECK(fs::equivalent(c.included[0].file, root / "cases" / other));
  CHECK(holds(c.included[0].text, "250 kN"));
}

TEST_CASE("another press: the resolved case is that of a case that names it itself") {
  const Folder folder("joulepress_other_press");
  std::ifstream stream(three_sensors);
  std::string text{std::istreambuf_iterator<char>(stream), {}};
  const std::string its = "press: presses/workshop-30kN.yaml";
  const auto at = text.find(its + "\ncolumn");
  REQUIRE(at != std::string::npos);
  text.replace(at, its.size(), "press: " + other);
  const cases::Case written = cases::read_case(folder.write("case.yaml", text));
  const std::string resolved = cases::resolved_case(cases::load_case(three_sensors, other).c);
  CHECK(resolved == cases::resolved_case(written));
  CHECK(resolved != cases::resolved_case(cases::read_case(three_sensors)));
  // read back, the press is inside
  CHECK(cases::resolved_case(cases::read_case(folder.write("resolved.yaml", resolved))) == resolved);
  // and a case with its press inside takes another one as well
  CHECK(cases::load_case(folder.path / "resolved.yaml", "workshop-30kN").c.press.name ==
        "workshop press, 30 kN");
}

TEST_CASE("another press: a shipped name alone, a file beside the working folder, not beside the case") {
  const Folder folder("joulepress_press_files");
  const fs::path mine =
      folder.write("mine.yaml", "name: my press\nusual sensor: skin pyrometer\nlimits: {power: 30 kW}\n");
  CHECK(cases::load_case(three_sensors, "workshop-250kN").c.press.name == "workshop press, 250 kN");
  CHECK(cases::load_case(three_sensors, mine.string()).c.press.name == "my press");
  const fs::path relative = fs::relative(mine);
  REQUIRE(relative.is_relative());
  CHECK(cases::load_case(three_sensors, relative.string()).c.press.name == "my press");
  const fs::path beside =
      folder.write("case.yaml",
                   "format: 1\npress: mine.yaml\nprogramme: {power: [{ramp to: 100 W, in: 1 min}]}\n"
                   "column: [{name: rod, material: isotropic graphite, diameter: 20 mm, height: 50 mm}]\n");
  CHECK(cases::load_case(beside).c.press.name == "my press");
  CHECK(holds(error_of(beside, "mine.yaml"), "There is no press \"mine.yaml\""));
}

TEST_CASE("another press: its mistakes are told where they stand, with those of the case") {
  const Folder folder("joulepress_press_mistakes");
  const std::string none = error_of(three_sensors, "workshop-25kN");
  CHECK(holds(none, "There is no press \"workshop-25kN\" to use instead."));
  CHECK(holds(none, "Did you mean \"workshop-250kN\"?"));
  CHECK(holds(none, "1 error; nothing was written."));
  CHECK(holds(error_of(three_sensors, folder.path.string()), "There is no press"));

  const fs::path wrong = folder.write("wrong.yaml", "name: mine\nvacum pull: 1 kN\nlimits: {current: 5}\n");
  const std::string both = error_of(three_sensors, wrong.string());
  CHECK(holds(both, "wrong.yaml:2:1  error in press.vacum pull"));
  CHECK(holds(both, "wrong.yaml:3:19  error in press.limits.current"));

  // the press is too weak for the case, or asks for a sensor that the stack does not have
  const fs::path weak = folder.write("weak.yaml", "name: weak\nlimits: {force: 2 kN}\n");
  CHECK(holds(error_of(root / "cases" / "nickel-20mm.yaml", weak.string()), "the press gives 2 kN"));
  const fs::path strange = folder.write("strange.yaml", "name: strange\nusual sensor: roof pyrometer\n");
  CHECK(holds(error_of(three_sensors, strange.string()),
              "There is no sensor (the usual one of the press) \"roof pyrometer\"."));
  const fs::path taps = folder.write(
      "taps.yaml",
      "name: taps\nmeters: {current: mean, voltage: mean, voltage taps: [top of roof, top of die]}\n");
  CHECK(holds(error_of(root / "cases" / "nickel-20mm.yaml", taps.string()),
              "taps.yaml:2:9  error in press.meters"));
}
