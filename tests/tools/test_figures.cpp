// The figures of a result: lines against closed forms, sums against what they are sums of, and lettering that
// keeps clear of everything.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "tests/support/svg.hpp"
#include "tools/figures/colour_tables.hpp"
#include "tools/figures/contours.hpp"
#include "tools/figures/current_lines.hpp"
#include "tools/figures/field_map.hpp"
#include "tools/figures/heat_bars.hpp"
#include "tools/figures/history_panels.hpp"
#include "tools/figures/signed_bars.hpp"

using namespace joulepress;
using namespace joulepress::tools::figures;
using namespace joulepress::test;
namespace svg = joulepress::tools::svg;

namespace {

constexpr double pi = std::numbers::pi;
constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

/// Relative difference.
double off(double value, double reference) {
  return std::abs(value / reference - 1.0);
}

/// Cells of equal size; heights in mm, radii in mm.
void add_block(Cells& cells, int part, double r0, double r1, double z0, double z1, int n_r, int n_z) {
  const auto line = [](double from, double to, int k, int n) { return 1e-3 * (from + (to - from) * k / n); };
  for (int j = 0; j < n_z; ++j)
    for (int i = 0; i < n_r; ++i) {
      cells.r_low.push_back(line(r0, r1, i, n_r));
      cells.r_high.push_back(line(r0, r1, i + 1, n_r));
      cells.z_low.push_back(line(z0, z1, j, n_z));
      cells.z_high.push_back(line(z0, z1, j + 1, n_z));
      cells.part.push_back(part);
    }
}

/// Two punches and a powder in a die, long names, one part without.
Stack small_stack() {
  Stack stack;
  add_block(stack.cells, 0, 0, 10, -28, -3, 8, 12);
  add_block(stack.cells, 1, 0, 10, -3, 3, 8, 6);
  add_block(stack.cells, 2, 0, 10, 3, 28, 8, 12);
  add_block(stack.cells, 3, 10.2, 25, -18, 18, 7, 15);
  add_block(stack.cells, 4, 10, 10.2, -18, 18, 1, 15);
  stack.names = {"unterer Stempel", "Nickelpulver aus der Werkstatt", "oberer Stempel", "Matrize", ""};
  stack.more = {"", "31 % des Stroms"};
  stack.is_powder = {false, true, false, false, false};
  stack.radius_label = "r in mm";
  stack.height_label = "z in mm";
  return stack;
}

std::vector<double> by_cell(const Cells& cells, double (*value)(double r, double z)) {
  std::vector<double> values;
  for (std::size_t k = 0; k < cells.part.size(); ++k)
    values.push_back(
        value(0.5 * (cells.r_low[k] + cells.r_high[k]), 0.5 * (cells.z_low[k] + cells.z_high[k])));
  return values;
}

double warm(double r, double z) {
  return 1250.0 - 4e5 * r * r - 8e5 * z * z;
}

FieldMap small_map() {
  FieldMap map;
  map.head = {"field", "a field", ','};
  map.stack = small_stack();
  map.values = by_cell(map.stack.cells, warm);
  map.label = "Temperatur in °C";
  map.sensors = {{"Thermoelement", 0.014, 0.0, "1000 °C"}, {"Pyrometer", 0.025, 0.001, "985 °C"}};
  return map;
}

HistoryFigure small_history() {
  HistoryFigure figure;
  figure.head = {"history", "a run", ','};
  figure.time_label = "Zeit in min";
  HistoryPanel temperatures{"Temperatur in °C", {}}, current{"Strom in A", {}};
  for (const auto& [name, role] : std::vector<std::pair<std::string, LineRole>>{
           {"Programm", LineRole::programme},
           {"Thermoelement in der Matrize, das regelt", LineRole::sensor},
           {"Pulver, Mittel", LineRole::mean},
           {"kälteste Stelle", LineRole::coldest},
           {"heißeste Stelle", LineRole::hottest}})
    temperatures.lines.push_back({name, role, {}});
  current.lines.push_back({"Strom", LineRole::other, {}});
  for (int k = 0; k <= 40; ++k) {
    figure.times.push_back(0.5 * k);
    for (std::size_t n = 0; n < temperatures.lines.size(); ++n)
      temperatures.lines[n].values.push_back(25.0 + 50.0 * std::min(k, 20) + 2.0 * static_cast<double>(n));
    current.lines[0].values.push_back(k == 10 ? nothing : 100.0 * k);
  }
  figure.holds = {{"Halten", 10, 20}};
  figure.panels = {
      temperatures, current, {"leer", {{"nichts", LineRole::other, std::vector<double>(41, nothing)}}}};
  return figure;
}

solver::OffsetParts some_parts() {
  solver::OffsetParts parts;
  parts.powder_gradient_K = 7.8;
  parts.lateral_contact_K = 166.9;
  parts.wall_drop_K = -15.0;
  parts.stem_K = 32.6;
  return parts;
}

SignedBars small_bars() {
  SignedBars bars;
  bars.head = {"offset", "why", ','};
  bars.start_name = "Der Fühler zeigt";
  bars.end_name = "Pulver im Mittel";
  bars.start = 1000.0;
  bars.steps =
      offset_steps(some_parts(), {{"lateral_contact", "Kontakt zwischen Pulver, Folie und Matrizenwand"},
                                  {"stem", "Schaft des Fühlers"}});
  bars.axis_label = "Temperatur in °C";
  bars.unit = "°C";
  bars.step_unit = "K";
  return bars;
}

HeatBars small_heat() {
  HeatBars bars;
  bars.head = {"heat", "ways", ','};
  bars.made_title = "entsteht in";
  bars.goes_title = "geht an";
  bars.rest_name = "übrige";
  bars.made = {{"unterer Stempel", 748.2}, {"Folie zwischen oberem Stempel und Pulver, zwei Lagen", 9.4},
               {"oberer Stempel", 748.3},  {"Matrize", 1590.0},
               {"Folie A", 0.4},           {"Folie B", 0.3}};
  bars.goes = {{"Strahlung der Matrize", 1900.0}, {"Kühlwasser", 1204.0}, {"gespeichert", -7.4}};
  return bars;
}

CurrentFigure small_current() {
  CurrentFigure figure;
  figure.head = {"current", "lines", ','};
  figure.stack = small_stack();
  for (const int part : figure.stack.cells.part) figure.axial.push_back(part == 3 ? 2e6 : 1e6);
  return figure;
}

std::vector<std::pair<std::string, std::string>> all_figures() {
  return {{"map", field_map(small_map())},
          {"history", history_panels(small_history())},
          {"offset", signed_bars(small_bars())},
          {"heat", heat_bars(small_heat())},
          {"current", current_lines(small_current())}};
}

}  // namespace

TEST_CASE("cells: blocks are recovered from the order of cells") {
  const std::vector<CellBlock> blocks = blocks_of(small_stack().cells);
  REQUIRE(blocks.size() == 5);
  CHECK(blocks[3].part == 3);
  CHECK(blocks[3].n_r == 7);
  CHECK(blocks[3].n_z == 15);
  CHECK(blocks[3].r_high == doctest::Approx(0.025));
  CHECK(blocks[4].n_r == 1);
  CHECK(extent_of(blocks).radius == doctest::Approx(0.025));
  CHECK_THROWS_AS(blocks_of({}), std::invalid_argument);
  // Two blocks of one part.
  Cells bored;
  add_block(bored, 0, 0, 10, 0, 5, 4, 3);
  add_block(bored, 0, 4, 10, 5, 9, 3, 2);
  CHECK(blocks_of(bored).size() == 2);
}

TEST_CASE("field map: patches cover every cell once, with its colour") {
  const FieldMap map = small_map();
  const Cells& c = map.stack.cells;
  std::vector<int> colours;
  for (const double value : map.values) colours.push_back(colour_index(value, 800, 1250, 8));
  colours[3] = -1;
  double cells_area = 0.0, patch_area = 0.0;
  std::vector<Patch> patches;
  for (const CellBlock& block : blocks_of(c))
    for (const Patch& patch : patches_of(c, block, colours)) patches.push_back(patch);
  CHECK(patches.size() < c.part.size() / 2);
  for (const Patch& p : patches) patch_area += (p.r_high - p.r_low) * (p.z_high - p.z_low);
  for (std::size_t k = 0; k < c.part.size(); ++k) {
    if (colours[k] >= 0) cells_area += (c.r_high[k] - c.r_low[k]) * (c.z_high[k] - c.z_low[k]);
    const double r = 0.5 * (c.r_low[k] + c.r_high[k]), z = 0.5 * (c.z_low[k] + c.z_high[k]);
    std::vector<int> over;
    for (const Patch& p : patches)
      if (p.r_low < r && r < p.r_high && p.z_low < z && z < p.z_high) over.push_back(p.colour);
    CHECK(over == (colours[k] < 0 ? std::vector<int>{} : std::vector<int>{colours[k]}));
  }
  CHECK(off(patch_area, cells_area) < 1e-12);
}

TEST_CASE("field map: contours of a cone and of a circle lie where they must") {
  Cells cells;
  add_block(cells, 0, 0, 10, 0, 10, 40, 40);
  const CellBlock block = blocks_of(cells)[0];
  const auto straight = contours_of(cells, block, by_cell(cells, [](double r, double) { return r; }), 0.0043);
  REQUIRE(straight.size() == 1);
  for (const svg::Point& p : straight[0]) CHECK(std::abs(p.x - 0.0043) < 1e-15);
  CHECK(std::abs(straight[0].front().y - straight[0].back().y) == doctest::Approx(0.01));
  const auto round =
      contours_of(cells, block,
                  by_cell(cells, [](double r, double z) { return std::hypot(r - 0.005, z - 0.005); }), 0.003);
  REQUIRE(round.size() == 1);
  CHECK(round[0].front().x == round[0].back().x);
  CHECK(round[0].front().y == round[0].back().y);
  for (const svg::Point& p : round[0])
    CHECK(std::abs(std::hypot(p.x - 0.005, p.y - 0.005) - 0.003) < 0.125 * 0.25e-3 * 0.25e-3 / 0.003 * 1.1);
  // A saddle: two lines that do not cross.
  CHECK(contours_of(cells, block,
                    by_cell(cells, [](double r, double z) { return (r - 0.005) * (z - 0.005); }), 1e-7)
            .size() == 2);
}

TEST_CASE("field map: a shipped stack takes less than 150 kB, an even field is drawn, no value is refused") {
  const solver::Problem problem = cases::build_pressed_problem(
      cases::read_case(std::filesystem::path(JOULEPRESS_SOURCE_DIR) / "cases" / "nickel-20mm.yaml"));
  FieldMap map;
  for (const mesh::BlockGrid& grid : problem.mesh.grids)
    for (int j = 0; j < grid.n_z(); ++j)
      for (int i = 0; i < grid.n_r(); ++i) {
        map.stack.cells.r_low.push_back(grid.r_lines[i]);
        map.stack.cells.r_high.push_back(grid.r_lines[i + 1]);
        map.stack.cells.z_low.push_back(grid.z_lines[j]);
        map.stack.cells.z_high.push_back(grid.z_lines[j + 1]);
        map.stack.cells.part.push_back(problem.mesh.layout[grid.block].part);
      }
  for (const solver::Part& part : problem.parts) {
    map.stack.names.push_back(part.is_foil ? "" : part.name);
    map.stack.is_powder.push_back(part.is_powder);
  }
  // Steeper across the stack than any field of it.
  map.values = by_cell(map.stack.cells, [](double r, double z) { return 300 + 6e6 * r * z - 1e5 * z * z; });
  CHECK(blocks_of(map.stack.cells).size() == problem.mesh.grids.size());
  CHECK(field_map(map).size() < 150000);
  FieldMap even = small_map();
  even.values.assign(even.values.size(), 25.0);
  CHECK(field_map(even).find("class=\"scale\"") != std::string::npos);
  even.values.assign(even.values.size(), nothing);
  CHECK_THROWS_AS(field_map(even), std::invalid_argument);
  even = small_map();
  even.stack.is_powder.pop_back();
  CHECK_THROWS_AS(field_map(even), std::invalid_argument);
  even = small_map();
  even.values.pop_back();
  CHECK_THROWS_AS(field_map(even), std::invalid_argument);
}

TEST_CASE("current lines: an even current has its lines at R sqrt(share)") {
  Cells cells;
  add_block(cells, 0, 0, 10, 0, 20, 7, 5);
  const auto lines = lines_of_current(cells, std::vector<double>(35, -3e6), 0.2);
  REQUIRE(lines.size() == 4);
  for (const CurrentLine& line : lines) {
    CHECK(line.r.size() == 5);
    for (const double r : line.r) CHECK(off(r, 0.01 * std::sqrt(line.share)) < 1e-12);
  }
  CHECK(lines_of_current(cells, std::vector<double>(35, 0.0), 0.2).empty());
  CHECK_THROWS_AS(lines_of_current(cells, std::vector<double>(35, 1.0), 1.0), std::invalid_argument);
  CHECK_THROWS_AS(lines_of_current(cells, std::vector<double>(34, 1.0), 0.1), std::invalid_argument);
}

TEST_CASE("current lines: the share inside each line is its own, and the powder's lines are its share") {
  const CurrentFigure figure = small_current();
  const auto lines = lines_of_current(figure.stack.cells, figure.axial, 0.1);
  REQUIRE(lines.size() == 9);
  // At the powder: 1 A/mm2 within 10.2 mm, 2 A/mm2 from there to 25 mm.
  const auto inside = [](double r) {
    return 1e6 * pi * std::pow(std::min(r, 0.0102), 2) + 2e6 * pi * std::max(0.0, r * r - 0.0102 * 0.0102);
  };
  int in_powder = 0;
  for (const CurrentLine& line : lines)
    for (std::size_t k = 0; k < line.z.size(); ++k) {
      if (std::abs(line.z[k]) > 0.0005) continue;
      CHECK(off(inside(line.r[k]), line.share * inside(0.025)) < 1e-12);
      in_powder += line.r[k] < 0.01;
    }
  CHECK(in_powder == 0);  // 100 of 1146: 8.7 % flow there, less than the first line takes
  CHECK(current_lines(figure).find("class=\"current-line\"") != std::string::npos);
  CurrentFigure none = figure;
  none.axial.assign(none.axial.size(), 0.0);
  CHECK(current_lines(none).empty());
}

TEST_CASE("offset bars: from the sensor to the powder mean, each bar as long as its term") {
  const solver::OffsetParts parts = some_parts();
  const SignedBars bars = small_bars();
  REQUIRE(bars.steps.size() == 4);
  CHECK(bars.steps.front().name == "Schaft des Fühlers");
  CHECK(bars.steps.back().name == "powder_gradient");  // no word given
  CHECK(end_of(bars) == doctest::Approx(1000.0 + parts.sum()));
  const std::string file = signed_bars(bars);
  CHECK(file.find(">1192,3 °C<") == std::string::npos);  // no decimals where the smallest term is 7.8 K
  CHECK(file.find(">1192 °C<") != std::string::npos);
  CHECK(file.find(">\u221215 K<") != std::string::npos);
  const double from = attribute(tags(file, "line", "class=\"start\"").at(0), "x1"),
               to = attribute(tags(file, "line", "class=\"end\"").at(0), "x1");
  const double scale = (to - from) / parts.sum();
  double at = from;
  const std::vector<std::string> drawn = tags(file, "rect", "class=\"bar-");
  REQUIRE(drawn.size() == bars.steps.size());
  for (std::size_t k = 0; k < drawn.size(); ++k) {
    const double left = attribute(drawn[k], "x"), width = attribute(drawn[k], "width");
    CHECK(std::abs(width - scale * std::abs(bars.steps[k].value)) < 1e-3);
    CHECK(std::abs((bars.steps[k].value > 0 ? left : left + width) - at) < 1e-3);
    at += scale * bars.steps[k].value;
  }
  CHECK(std::abs(at - to) < 1e-3);
}

TEST_CASE("heat bars: sorted, small ones together, sums unchanged, lengths on one scale") {
  const HeatBars bars = small_heat();
  const std::vector<HeatBar> made = sorted_bars(bars.made, "rest");
  REQUIRE(made.size() == 4);
  CHECK(made[0].name == "Matrize");
  CHECK(made[3].name == "rest");
  CHECK(made[3].watts == doctest::Approx(10.1));
  const std::vector<HeatBar> goes = sorted_bars(bars.goes, "rest");
  REQUIRE(goes.size() == 3);  // one small one stays itself
  const std::string file = heat_bars(bars);
  const std::vector<std::string> left = tags(file, "rect", "bar-made"),
                                 right = tags(file, "rect", "bar-goes");
  REQUIRE(left.size() == made.size());
  REQUIRE(right.size() == goes.size());
  CHECK(attribute(left[0], "width") / attribute(right[0], "width") ==
        doctest::Approx(1590.0 / 1900.0).epsilon(1e-3));
  CHECK(file.find(">\u22127,4 W<") != std::string::npos);
  HeatBars cold = bars;
  cold.made.clear();
  cold.goes = {{"a", 0.0}};
  CHECK(heat_bars(cold).empty());
}

TEST_CASE("history: gaps open a line, empty panels are left out, lists must match") {
  HistoryFigure figure = small_history();
  const std::string file = history_panels(figure);
  CHECK(file.find("leer") == std::string::npos);
  // Two stretches and the piece to its name.
  CHECK(tags(file, "polyline", "series-other-1").size() == 3);
  CHECK(tags(file, "rect", "class=\"hold\"").size() == 2);
  figure.panels[0].lines[0].values.pop_back();
  CHECK_THROWS_AS(history_panels(figure), std::invalid_argument);
  figure.panels.clear();
  CHECK(history_panels(figure).empty());
}

TEST_CASE("figures: no text meets another or leaves the page, and no style attribute is used") {
  for (const auto& figure : all_figures()) {
    INFO(figure.first);
    CHECK(texts_of(figure.second).size() > 8);
    check_lettering(figure.second);
  }
}
