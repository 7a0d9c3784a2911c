// What the screen says about densification: times from creep where it is known, what to measure where not.
#include <doctest/doctest.h>

#include <string>

#include "cases/build_problem.hpp"
#include "cases/forecast.hpp"
#include "cases/reader/material_reader.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/screen/powder_words.hpp"
#include "tools/screen/pressing_table.hpp"

using namespace joulepress;

namespace {

std::string forecast_of(const std::string& name) {
  const cases::Case c = cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/" + name + ".yaml").c;
  return tools::forecast_lines(c, cases::forecast(c));
}

}  // namespace

TEST_CASE("the check tells how long the powder would take, or that nobody knows here") {
  CHECK(forecast_of("nickel-20mm").find("nickel would go from 0.60 to 0.95 in") != std::string::npos);
  CHECK(forecast_of("alumina-20mm").find("with grains of 5 um") != std::string::npos);
  CHECK(forecast_of("zirconia-40mm").find("How fast zirconia 3y densifies is not known here") !=
        std::string::npos);
}

TEST_CASE("a material's page says what its creep means at the press") {
  const auto page = [](const char* name) {
    return tools::material_page(cases::read_material(cases::shipped_material(name)));
  };
  // (50 MPa / A_u)^n at 1073.15 K: 0.60 to 0.95 in a day or so (dislocations, Frost and Ashby).
  CHECK(page("nickel").find("to 0.95      26 h") != std::string::npos);
  CHECK(page("zirconia 3y").find("creep") == std::string::npos);
  CHECK(tools::about(0.2) == "< 1 s");
  CHECK(tools::about(480) == "8 min");
  CHECK(tools::about(1e7) == "> 100 h");
}

TEST_CASE("a material's page tells of film, mixture, sets of creep and of an isostatic law") {
  const auto holds = [](const materials::Material& m, const std::string& words) {
    // lines are wrapped: compare with single spaces
    std::string flat;
    for (const char c : tools::material_page(m))
      if (!(c == ' ' || c == '\n') || flat.empty() || flat.back() != ' ') flat += c == '\n' ? ' ' : c;
    INFO(flat);
    CHECK(flat.find(words) != std::string::npos);
  };
  auto nickel = cases::read_material(cases::shipped_material("nickel"));
  holds(nickel,
        "10 uohm m in series with the powder; goes for good as the hottest temperature met rises from 300 "
        "to 500 degC");
  holds(nickel, "heat: koh fortini; current: koh fortini");
  // Koh and Fortini 1973: 0.217, 0.352, 0.556, 0.811, 0.925 at D 0.6, 0.7, 0.8, 0.9, 0.95
  holds(nickel, "0.22 0.35 0.56 0.81 0.92");
  holds(nickel, "mean expansion from 20 degC");
  holds(nickel, "surface energy 2.3 J/m2");
  // 22 % of the whole is reached by 30 % of the solid at D = 0.73
  holds(cases::read_material(cases::shipped_material("zirconia titanium nitride")),
        "fill 22 % of the whole, pores included, which is at a relative density of 0.73");
  nickel.densification = {materials::Densification::Law::contacts_of_spheres, 0.62, "invented"};
  nickel.creep.push_back(nickel.creep.front());
  nickel.creep.front().up_to_density = 0.85;
  holds(nickel, "contacts of spheres from a tap density of 0.62 on, an isostatic law");
  holds(nickel, "a powder at 50 MPa by the isostatic law, from 0.63 on");
  holds(nickel, "up to a relative density of 0.85");
}
