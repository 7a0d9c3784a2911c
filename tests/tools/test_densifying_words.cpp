// What the screen says about densification: times from creep where it is known, what to measure where not.
#include <doctest/doctest.h>

#include <numbers>
#include <sstream>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/forecast.hpp"
#include "cases/reader/material_reader.hpp"
#include "solver/compaction.hpp"
#include "solver/march.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/screen/powder_words.hpp"
#include "tools/screen/pressing_table.hpp"

using namespace joulepress;

namespace {

cases::Case shipped(const std::string& name) {
  return cases::load_case(std::string(JOULEPRESS_SOURCE_DIR) + "/cases/" + name + ".yaml").c;
}

/// On one line, one space between words.
std::string flat(const std::string& text) {
  std::istringstream words(text);
  std::string packed;
  for (std::string word; words >> word;) packed += (packed.empty() ? "" : " ") + word;
  return packed;
}

void says(const std::string& text, const std::string& words) {
  INFO(text);
  CHECK(flat(text).find(words) != std::string::npos);
}

}  // namespace

TEST_CASE(
    "the check tells which powder densifies and how long it would take, or why not and what to measure") {
  const cases::Case nickel = shipped("nickel-20mm");
  says(tools::pressing_lines(nickel), "\"powder\" densifies in the run, from 0.6 on.");
  says(tools::forecast_lines(nickel, cases::forecast(nickel)), "nickel would go from 0.60 to 0.95 in");
  cases::Case alumina = shipped("alumina-20mm");
  for (cases::ColumnPart& part : alumina.column) part.grain.reset();
  says(tools::forecast_lines(alumina, cases::forecast(alumina)), "with grains of 5 um");
  for (cases::ColumnPart& part : alumina.column)
    if (part.powder) part.grain = 0.5e-6;
  says(tools::forecast_lines(alumina, cases::forecast(alumina)), "with grains of 0.5 um");
  const cases::Case zirconia = shipped("zirconia-40mm");
  says(tools::pressing_lines(zirconia),
       "\"powder\" keeps a density of 0.99 through the run: no sourced creep data of zirconia 3y are known; "
       "to "
       "get them, measure its densification at two pressures");
  CHECK(tools::forecast_lines(zirconia, cases::forecast(zirconia)).find("Densifying") == std::string::npos);
}

TEST_CASE("the check counts vacuum pull and weight into the force on the column") {
  cases::Case c = shipped("nickel-20mm");
  CHECK(tools::pressing_lines(c).find("the column bears") == std::string::npos);
  c.press.vacuum_pull = 1000;
  c.press.moving_weight = 500;
  // 50 MPa on 20 mm: 15.708 kN; 1.5 kN more are 54.77 MPa on the same section
  says(tools::pressing_lines(c),
       "force 15.71 kN at 50 MPa on the powder (the press gives 30 kN); with 1 kN of vacuum pull and 0.5 kN "
       "of "
       "weight the column bears 17.21 kN; pressure in");
  says(tools::pressing_lines(c), "powder 54.8 MPa");
}

TEST_CASE("a powder that is held still bears the programme's force, which counts in the stroke") {
  const solver::Problem p = cases::build_problem(shipped("zirconia-40mm"));
  CHECK(p.beds.empty());
  const double besides = 1500.0 + 400.0;  // vacuum pull and moving weight of that press
  CHECK(solver::force_at(p, 0.0) ==
        doctest::Approx(16e6 * 400e-6 * std::numbers::pi + besides).epsilon(1e-12));
  CHECK(solver::force_at(p, 1e4) ==
        doctest::Approx(50e6 * 400e-6 * std::numbers::pi + besides).epsilon(1e-12));
}

TEST_CASE("not modelled: what holds for this case") {
  const auto all = [](const cases::Case& c) {
    std::string text;
    for (const std::string& sentence : solver::not_modelled(cases::build_problem(c))) text += sentence + " ";
    return text;
  };
  const std::string closing = all(shipped("nickel-20mm")), held = all(shipped("zirconia-40mm"));
  says(closing, "differences of density along the radius");
  says(closing, "grains keep their size");
  says(closing, "In the stroke: how foil gives under pressure.");
  CHECK(closing.find("keeps one density") == std::string::npos);
  says(held, "Densification of powder: it keeps one density");
  CHECK(held.find("along the radius") == std::string::npos);
  cases::Case unknown = shipped("nickel-20mm");
  for (materials::Material& m : unknown.materials)
    if (m.name == "isotropic graphite") m.elastic_modulus.reset();
  says(all(unknown), "what lower spacer, lower step spacer, lower punch");
  const std::string column = all(shipped("graphite-column"));
  says(column, "Thermal expansion, stresses and the strength");
  CHECK(column.find("stroke") == std::string::npos);
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
