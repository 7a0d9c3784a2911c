// What a case says about thermoelectric heat, and how it arrives.
#include <doctest/doctest.h>

#include <string>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;
using namespace joulepress::test;

namespace {

const std::string material =
    "format: 1\nmaterial: p-type\nfrom: silicon carbide\n"
    "seebeck: {unit: uV/K, table: [[300, 120], [1300, 250]], source: invented}\n";

std::string case_text(const char* pole, const char* thermoelectric) {
  return "format: 1\npress: {name: p, column ends: insulated" + std::string(pole) +
         "}\ncolumn:\n"
         "  - {name: lower punch, material: isotropic graphite, diameter: 20 mm, height: 20 mm}\n"
         "  - {name: disc, material: p-type, diameter: 20 mm, height: 10 mm}\n"
         "  - {name: upper punch, material: isotropic graphite, diameter: 20 mm, height: 20 mm}\n"
         "programme:\n" +
         thermoelectric + "  current: [{ramp to: 100 A, in: 1 min}]\n";
}

}  // namespace

TEST_CASE("thermoelectric: keys arrive, come back from the resolved case, and the whole is solved") {
  const Folder folder("thermoelectric_case");
  folder.write("p-type.yaml", material);
  folder.write("on.yaml", case_text(", positive pole: lower", "  thermoelectric: on\n"));
  folder.write("off.yaml", case_text("", ""));
  const auto [c, p] = cases::load_case(folder.path / "on.yaml");
  CHECK(p.thermoelectric);
  CHECK(p.positive_below);
  CHECK(p.half == nullptr);
  const materials::Material& disc = p.materials[p.parts[1].material];
  REQUIRE(disc.seebeck);
  CHECK(disc.seebeck->curve.value(300) == relative(120e-6));
  CHECK(disc.seebeck->curve.value(1300) == relative(250e-6));
  const std::string resolved = cases::resolved_case(c);
  folder.write("resolved.yaml", resolved);
  const auto [again, q] = cases::load_case(folder.path / "resolved.yaml");
  CHECK(cases::resolved_case(again) == resolved);
  CHECK(q.thermoelectric);
  CHECK(q.positive_below);
  const solver::Problem off = cases::load_case(folder.path / "off.yaml").problem;
  CHECK_FALSE(off.thermoelectric);
  CHECK_FALSE(off.positive_below);
  CHECK(off.half != nullptr);
}

TEST_CASE("thermoelectric: a report says what is left out") {
  const Folder folder("thermoelectric_words");
  folder.write("p-type.yaml", material);
  folder.write("on.yaml", case_text("", "  thermoelectric: on\n"));
  folder.write("off.yaml", case_text("", ""));
  const auto all = [&folder](const char* file) {
    std::string text;
    for (const std::string& sentence : solver::not_modelled(cases::load_case(folder.path / file).problem))
      text += sentence + "\n";
    return text;
  };
  const std::string on = all("on.yaml"), off = all("off.yaml");
  CHECK(on.find("circulate") != std::string::npos);
  CHECK(on.find("The Seebeck coefficient of isotropic graphite: not known, counts as 0.") !=
        std::string::npos);
  CHECK(on.find("Peltier and Seebeck heat.") == std::string::npos);
  CHECK(off.find("Peltier and Seebeck heat.") != std::string::npos);
}
