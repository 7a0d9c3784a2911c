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
