// A stack without its powder: the plug has the place and the height of the dense powder, nothing densifies.
#include "cases/blank_case.hpp"

#include <doctest/doctest.h>

#include <filesystem>
#include <numbers>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress;

TEST_CASE("a blank run has a plug of the punch's graphite where the powder was") {
  const std::filesystem::path folder = std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases";
  const cases::Case c = cases::read_case(folder / "alumina-20mm.yaml");
  const auto blank = cases::blank_case(c);
  REQUIRE(blank);
  const cases::ColumnPart& plug = blank->column[3];
  CHECK_FALSE(plug.powder);
  CHECK(plug.material == "isotropic graphite");
  // 6 g at 0.99 of 3970 to 3990 kg/m3 on 20 mm: handbook densities of alumina
  const double area = std::numbers::pi / 4.0 * 0.02 * 0.02;
  CHECK(*plug.height == test::relative(6e-3 / (0.99 * 3980.0 * area), 0.01));
  const solver::Problem problem = cases::build_problem(*blank);
  CHECK(problem.beds.empty());
  CHECK(problem.powders.empty());
  CHECK_FALSE(cases::blank_case(cases::read_case(folder / "graphite-column.yaml")));
}
