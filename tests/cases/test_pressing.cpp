// The stack while it is pressed, what is doubtful about it, and what to expect at the holds.
#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <numbers>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/forecast.hpp"
#include "cases/reader/case_reader.hpp"
#include "solver/march.hpp"
#include "solver/properties.hpp"
#include "solver/summary.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/text.hpp"

namespace {

using namespace joulepress;
using cases::PowderState;
using test::holds;
using test::relative;

const std::filesystem::path root = JOULEPRESS_SOURCE_DIR;

cases::Case shipped(const char* name) {
  return cases::read_case(root / "cases" / name);
}

std::string all_doubts(const cases::Case& c) {
  std::string text;
  for (const cases::Doubt& doubt : cases::doubts_of(c)) text += doubt.sentence + "\n";
  return text;
}

}  // namespace

TEST_CASE("pressing: heights of the powder follow from its mass, free punch from the drawing") {
  // By hand: 6 g of alumina (3984 kg/m3, Munro 1997) on a circle of 20 mm; punches 25 mm, die 36 mm centred
  // on the powder, foil 0.2 mm under and over it.
  const cases::Case c = shipped("alumina-20mm.yaml");
  const double area = 0.25 * std::numbers::pi * 0.02 * 0.02;
  for (const auto& [state, density] :
       {std::pair{PowderState::preload, 0.55}, {PowderState::end, 0.99}, {PowderState::dense, 1.0}}) {
    const double height = 6e-3 / (density * 3984 * area);
    const double free = 0.5 * height + 0.2e-3 + 25e-3 - 18e-3;
    const double guided = 18e-3 - 0.5 * height - 0.2e-3;
    const auto entries = cases::entries_of(c, state);
    REQUIRE(entries.size() == 2);
    for (const cases::Entry& entry : entries) {
      CHECK(entry.free == relative(free));
      CHECK(entry.guided == relative(guided));
      CHECK(c.column[entry.stop].name == (entry.upper ? "upper step spacer" : "lower step spacer"));
    }
  }
}

TEST_CASE("pressing: the cells of a powder hold the mass that was filled") {
  for (const char* name : {"alumina-20mm.yaml", "nickel-ring-30mm.yaml", "two-pellets-20mm.yaml"}) {
    CAPTURE(name);
    const cases::Case c = shipped(name);
    const solver::Problem p = cases::build_problem(c);
    const auto mass = solver::cell_masses(p);
    for (const cases::ColumnPart& part : c.column) {
      if (!part.powder) continue;
      double sum = 0.0;
      for (int i = 0; i < p.mesh.n_cells(); ++i)
        if (p.parts[p.mesh.part_of(i)].name == part.name) sum += mass[i];
      CHECK(sum == relative(*part.mass));
    }
  }
}

TEST_CASE("pressing: two pellets shrink both, their die counts from its outer punches") {
  const cases::Case c = shipped("two-pellets-20mm.yaml");
  const auto start = cases::entries_of(c, PowderState::preload), end = cases::entries_of(c, PowderState::end);
  REQUIRE(start.size() == 2);
  CHECK(c.column[start[0].punch].name == "lower punch");
  CHECK(c.column[start[1].punch].name == "upper punch");
  CHECK(start[1].free > end[1].free);
  CHECK(start[1].guided < end[1].guided);
}

TEST_CASE("pressing: force and highest pressure") {
  const cases::Case c = shipped("alumina-20mm.yaml");
  CHECK(*cases::highest_pressure(c) == relative(50e6));
  CHECK(cases::force_at(c, 50e6) == relative(50e6 * 0.25 * std::numbers::pi * 0.02 * 0.02));
  CHECK(!cases::highest_pressure(shipped("graphite-column.yaml")).has_value());
  CHECK(cases::is_punch(c, 2));
  CHECK(!cases::is_punch(c, 1));
}

TEST_CASE("doubts: a powder that creeps by diffusion wants its grain size") {
  cases::Case c = shipped("alumina-20mm.yaml");
  CHECK_FALSE(holds(all_doubts(c), "has no `grain size`"));
  for (cases::ColumnPart& part : c.column) part.grain.reset();
  CHECK(holds(all_doubts(c), "a tenth of that close 1000 times as fast"));
  for (cases::ColumnPart& part : c.column) part.densification = false;
  CHECK_FALSE(holds(all_doubts(c), "has no `grain size`"));
  CHECK_FALSE(
      holds(all_doubts(shipped("nickel-20mm.yaml")), "has no `grain size`"));  // dislocations do not care
}

TEST_CASE("doubts: a sound case raises none of these, and each fault raises its own") {
  cases::Case sound = shipped("nickel-20mm.yaml");
  sound.sensors[0].depth = 15e-3;
  CHECK(all_doubts(sound) == "");

  cases::Case c = sound;
  c.sensors[0].depth = 5e-3;
  CHECK(holds(all_doubts(c), "inserted 3.3 sheath diameters"));
  c = sound;
  c.foils.erase(c.foils.begin() + 1);
  CHECK(holds(all_doubts(c), "No foil lies between"));
  c = sound;
  c.foils.erase(c.foils.begin());
  CHECK(holds(all_doubts(c), "has no foil"));
  CHECK(holds(all_doubts(c), "0.05 to 0.1 mm without foil"));
  c = sound;
  c.programme.pressure.clear();
  CHECK(holds(all_doubts(c), "says nothing of the pressure"));
  c = sound;
  c.programme.pressure.back().to =
      80e6;  // standard graphite crushes at 100-150 MPa (data sheets, from memory)
  CHECK(holds(all_doubts(c), "more than half"));
  c = sound;
  // Ni-C 1329 degC: Yamada and others 1999, Metrologia 36:207 (from memory)
  c.programme.steps[0].to = 1250 + 273.15;
  CHECK(holds(all_doubts(c), "in touch with carbon begins to melt at 1329 degC"));
  CHECK(holds(all_doubts(c), "tabled to 1200 degC"));
  CHECK(holds(all_doubts(c), "is known less far than 1250 degC"));
  c = sound;
  for (cases::ColumnPart& part : c.column)
    if (part.name == "upper punch" || part.name == "lower punch") part.height = 15.8e-3;
  CHECK(holds(all_doubts(c), "stands only"));
}

TEST_CASE("forecast: limits, current density and liquid are doubted") {
  cases::Case c = shipped("nickel-20mm.yaml");
  c.press.current_limit = 1000;
  c.programme.steps[0].to = 1100 + 273.15;
  std::string text;
  for (const cases::Doubt& doubt : cases::doubts_of(c, cases::forecast(c))) text += doubt.sentence + "\n";
  CHECK(holds(text, "A (the press gives 1000 A)"));
  CHECK(holds(text, "1329 degC, where \"nickel\" in touch with carbon begins to melt and runs out"));
  cases::HoldForecast hold;
  hold.name = "sinter";
  hold.current_A = 2500;  // 796 A/cm2 on 20 mm
  const auto doubts = cases::doubts_of(shipped("alumina-20mm.yaml"), {hold});
  REQUIRE(doubts.size() == 1);
  CHECK(holds(doubts[0].sentence, "796 A/cm2 pass \"lower punch\", \"upper punch\""));
}

TEST_CASE("full: the forecast of the shipped cases is near the full run") {
  // What `check` says of itself: 2 % of the current, 3 % of the offset.
  for (const char* name : {"alumina-20mm.yaml", "nickel-20mm.yaml", "copper-20mm.yaml"}) {
    CAPTURE(name);
    const cases::Case c = shipped(name);
    const auto expected = cases::forecast(c);
    const solver::RunResult run = solver::run(cases::build_problem(c));
    const solver::Summary summary = solver::summarise(run.frame, run.rows);
    REQUIRE(expected.size() == 1);
    REQUIRE(expected[0].problem == "");
    const double offset = *expected[0].powder_K - expected[0].set_K;
    CHECK(std::abs(expected[0].current_A / summary.holds[0].current_A - 1.0) < 0.02);
    CHECK(std::abs(offset / *summary.holds[0].offset_mean_K - 1.0) < 0.03);
    const solver::HistoryRow* corner = nullptr;  // the end of the ramp
    for (const solver::HistoryRow& row : run.rows)
      if (row.time_s <= summary.holds[0].start_s + 1e-6) corner = &row;
    REQUIRE(corner);
    REQUIRE(expected[0].ramp_power_W);
    CHECK(std::abs(*expected[0].ramp_current_A / corner->current_A - 1.0) < 0.02);
    CHECK(std::abs(*expected[0].ramp_voltage_V / corner->voltage_V - 1.0) < 0.02);
    CHECK(std::abs(*expected[0].ramp_power_W / corner->power_W - 1.0) < 0.02);
  }
}

namespace {

std::string doubts_with(const cases::Case& c, const cases::HoldForecast& hold) {
  std::string text;
  for (const cases::Doubt& doubt : cases::doubts_of(c, {hold})) text += doubt.sentence + "\n";
  return text;
}

std::size_t index_of(const cases::Case& c, const std::string& material) {
  std::size_t k = 0;
  while (c.materials.at(k).name != material) ++k;
  return k;
}

}  // namespace

TEST_CASE("forecast: limits are written out; the end of a ramp is doubted only where the hold is not") {
  const cases::Case c = shipped("alumina-20mm.yaml");  // 5 kA, 10 V, 40 kW
  cases::HoldForecast hold;
  hold.name = "sinter";
  hold.current_A = 1500;
  hold.voltage_V = 4;
  hold.power_W = 6e3;
  hold.ramp_current_A = 3900;
  hold.ramp_voltage_V = 10;
  hold.ramp_power_W = 39.9e3;
  CHECK(doubts_with(c, hold).empty());
  hold.ramp_power_W = 41e3;
  CHECK(
      holds(doubts_with(c, hold), "end of the ramp to \"sinter\" takes about 41 kW (the press gives 40 kW)"));
  hold.voltage_V = 10.1;
  CHECK(holds(doubts_with(c, hold), "\"sinter\" takes about 10.1 V (the press gives 10 V)"));
  CHECK(!holds(doubts_with(c, hold), "end of the ramp"));
}

TEST_CASE("forecast: the hottest place of the powder within 100 K of its first liquid is doubted") {
  const cases::Case c = shipped("nickel-20mm.yaml");  // Ni-C 1329 degC, as above
  cases::HoldForecast hold;
  hold.powder_max_K = 1228 + 273.15;
  CHECK(doubts_with(c, hold).empty());
  hold.powder_max_K = 1230 + 273.15;
  CHECK(holds(doubts_with(c, hold), "99 K below 1329 degC"));
  hold.powder_max_K = 1400 + 273.15;
  CHECK(holds(doubts_with(c, hold), "71 K above 1329 degC"));
}

TEST_CASE("melting: a spacer stays colder than the sensor and is left to the forecast, a punch is refused") {
  cases::Case c = shipped("alumina-20mm.yaml");
  materials::Material metal = c.materials[index_of(c, "isotropic graphite")];
  metal.name = "metal";
  metal.melting_K = 1300 + 273.15;  // below the programme's 1350 degC
  c.materials.push_back(metal);
  c.column[0].material = "metal";
  CHECK_NOTHROW(cases::build_problem(c));
  CHECK(!holds(doubts_with(c, cases::forecast(c).at(0)), "A tool of"));
  c.column[1].material = "metal";  // the step spacer comes closer
  cases::HoldForecast hold;
  hold.highest_by_material_K.assign(c.materials.size(), 0.0);
  hold.highest_by_material_K.back() = 1250 + 273.15;
  CHECK(holds(doubts_with(c, hold), "A tool of \"metal\" would come to about 1250 degC"));
  c.column[2].material = "metal";
  CHECK_THROWS_AS(cases::build_problem(c), cases::InputErrors);
}

TEST_CASE("forecast: data that end between the programme and what is expected are doubted") {
  cases::Case c = shipped("nickel-20mm.yaml");  // 1000 degC; nickel is known to 1500 K
  cases::HoldForecast hold;
  hold.highest_by_material_K.assign(c.materials.size(), 0.0);
  const std::size_t nickel = index_of(c, "nickel");
  hold.highest_by_material_K[nickel] = 1500;
  CHECK(cases::doubts_of_data(c, {hold}).empty());
  hold.highest_by_material_K[nickel] = 1501;
  REQUIRE(cases::doubts_of_data(c, {hold}).size() == 1);
  CHECK(holds(cases::doubts_of_data(c, {hold})[0].sentence, "heat conductivity to 1227 degC"));
  CHECK(!holds(cases::doubts_of_data(c, {hold})[0].sentence, "strict"));
  c.strict = true;
  CHECK(holds(cases::doubts_of_data(c, {hold})[0].sentence, "strict"));
  c.programme.steps[0].to = 1502;  // then the programme itself says it (doubts.cpp)
  CHECK(cases::doubts_of_data(c, {hold}).empty());
}

TEST_CASE("forecast: couples under a programme of current are doubted above 1200 degC") {
  const cases::Case c = shipped("graphite-column.yaml");
  cases::HoldForecast hold;
  hold.readings_K = {1200 + 273.15};
  CHECK(doubts_with(c, hold).empty());
  hold.readings_K = {1201 + 273.15};
  CHECK(holds(doubts_with(c, hold), "tabled to 1200 degC"));
}
