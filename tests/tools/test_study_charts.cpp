// The charts of studies: where marks, bars and ranges stand against the data that they are of.
#include <doctest/doctest.h>
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

#include "tests/support/svg.hpp"
#include "tests/support/text.hpp"
#include "tools/figures/cause_bars.hpp"
#include "tools/figures/range_rows.hpp"
#include "tools/figures/variant_chart.hpp"

using namespace joulepress::test;
namespace figures = joulepress::tools::figures;

namespace {

constexpr double nothing = std::numeric_limits<double>::quiet_NaN();

figures::VariantPanel small_panel() {
  figures::VariantPanel panel;
  panel.head = {"power", "power of every variant", ','};
  panel.title = "Leistung [kW]";
  panel.x_label = "outer diameter [mm]";
  panel.lines = {
      {{{32, 1.1, true}, {40, 1.5, true}, {60, nothing, false}, {70, 2.9, false}, {90, 4.2, false}}},
      {{{32, 0.9, true}, {40, 1.2, true}, {90, 3.1, false}}}};
  panel.limits = {{"höchstens 2,00 kW", 2.0, true}, {"höchstens 40,0 kW", 40.0, false}};
  return panel;
}

}  // namespace

TEST_CASE("variant panel: marks and limits stand where their numbers are, hollow ones are not good") {
  const figures::VariantPanel panel = small_panel();
  const std::string file = figures::variant_panel(panel);
  check_lettering(file);
  const std::vector<std::string> marks = tags(file, "circle", "class=\"variant");
  std::vector<double> xs, ys;
  std::size_t hollow = 0;
  for (const figures::VariantLine& line : panel.lines)
    for (const figures::VariantMark& mark : line.marks)
      if (std::isfinite(mark.value)) {
        CHECK(holds(marks.at(xs.size()), "hollow") == !mark.good);
        hollow += mark.good ? 0 : 1;
        xs.push_back(mark.x);
        ys.push_back(mark.value);
      }
  CHECK(hollow == 3);
  check_straight(xs, attributes(marks, "cx"));
  const std::vector<std::string> limits = tags(file, "line", "class=\"limit\"");
  REQUIRE(limits.size() == 1);  // 40 kW is nowhere near
  CHECK(!holds(file, "40,0 kW"));
  std::vector<double> heights = attributes(marks, "cy");
  ys.push_back(2.0);
  heights.push_back(attribute(limits[0], "y1"));
  check_straight(ys, heights);
  CHECK(heights[0] > heights[3]);  // upward
  // A missing number opens its line: two pieces of the first, one of the second.
  CHECK(tags(file, "polyline", "series-other-1").size() == 2);
  CHECK(tags(file, "polyline", "series-other-2").size() == 1);
  CHECK(figures::variant_panel({panel.head, "t", "x", {}, {{{{1, nothing}}}}, {}}).empty());
}

TEST_CASE("variant panel: words become rows in their order, a single number has a place too") {
  figures::VariantPanel panel = small_panel();
  panel.words = {"thin wall", "thick wall with a long name for its row", "none"};
  panel.x_label = "";
  panel.lines = {{{{0, 1.1, true}, {1, 2.9, false}, {2, nothing, false}}}};
  const std::string file = figures::variant_panel(panel);
  check_lettering(file);
  const std::vector<std::string> marks = tags(file, "circle", "class=\"variant");
  REQUIRE(marks.size() == 2);
  CHECK(attribute(marks[0], "cy") < attribute(marks[1], "cy"));
  const std::vector<std::string> limits = tags(file, "line", "class=\"limit\"");
  REQUIRE(limits.size() == 1);
  check_straight({1.1, 2.9, 2.0},
                 {attribute(marks[0], "cx"), attribute(marks[1], "cx"), attribute(limits[0], "x1")});
  for (const char* name : {"thin wall", "none"}) CHECK(holds(file, std::string(">") + name + "<"));
  panel.lines = {{{{0, 1.1, true}}}};
  panel.words = {};
  panel.limits = {};
  check_lettering(figures::variant_panel(panel));
}

TEST_CASE("lines: sixteen of them differ in colour or dash, the key names them all") {
  std::vector<std::string> looks, names;
  for (std::size_t k = 0; k < figures::line_looks; ++k) {
    const figures::LineLook look = figures::line_look(k);
    looks.push_back(look.pen.stroke + "/" + look.pen.dashes);
    names.push_back(fmt::format("rate {} K/min", 25 * (k + 1)));
  }
  std::sort(looks.begin(), looks.end());
  CHECK(std::unique(looks.begin(), looks.end()) == looks.end());
  const std::string key = figures::variant_key({"key", "key", '.'}, names);
  check_lettering(key);
  for (const std::string& name : names) CHECK(holds(key, ">" + name + "<"));
  CHECK(figures::variant_key({"key", "key", '.'}, {"one"}).empty());
}

TEST_CASE("cause bars: largest on top, lengths and whiskers in proportion to the shares") {
  const std::vector<figures::CauseBar> given{
      {"small", 0.07, 0.03, 0.11},
      {"largest of all with a name that takes two lines", 0.61, 0.52, 0.70},
      {"negligible", 0.004, 0, 0.01},
      {"middle", 0.22, 0.15, 0.28}};
  const std::vector<figures::CauseBar> shown = figures::shown_causes(given);
  REQUIRE(shown.size() == 3);
  CHECK(shown[0].share == 0.61);
  const std::string file = figures::cause_bars({{"causes", "causes", ','}, "share in %", given});
  check_lettering(file);
  const std::vector<std::string> bars = tags(file, "rect", "bar-cause"),
                                 whiskers = tags(file, "line", "class=\"whisker\"");
  REQUIRE(bars.size() == 3);
  REQUIRE(whiskers.size() == 3);
  const double scale = attribute(bars[0], "width") / shown[0].share, zero = attribute(bars[0], "x");
  for (std::size_t k = 0; k < 3; ++k) {
    CHECK(std::abs(attribute(bars[k], "width") - scale * shown[k].share) < 1e-3);
    CHECK(std::abs(attribute(whiskers[k], "x1") - zero - scale * shown[k].low) < 1e-3);
    CHECK(std::abs(attribute(whiskers[k], "x2") - zero - scale * shown[k].high) < 1e-3);
    if (k > 0) CHECK(attribute(bars[k], "y") > attribute(bars[k - 1], "y"));
  }
  for (const char* text : {">61 %<", ">22 %<", ">7,0 %<"}) CHECK(holds(file, text));
  CHECK(figures::cause_bars({{"", "", '.'}, "", {}}).empty());
  CHECK(figures::cause_bars({{"", "", '.'}, "", {{"none", nothing, 0, 0}}}).empty());
}

TEST_CASE("range rows: case, range, its ends, numerical error and shifts on one scale") {
  figures::RangeRows rows;
  rows.head = {"range", "range", ','};
  rows.axis_label = "Versatz in K";
  rows.unit = "K";
  rows.case_name = "der Fall";
  rows.span_name = "2,5 bis 97,5 % der Stichproben";
  rows.numerical_name = "Fehler der Rechnung";
  rows.value = -94.6;
  rows.span = figures::RangeSpan{{-114.6, -121.0, -110.0}, {-92.0, -94.0, -91.0}, {-64.6, -70.0, -51.0}};
  rows.half_width = 0.37;
  rows.shifts = {{"walls see the chamber only", 3.1}, {"no film of oxide, whatever it may do there", -40.0}};
  const std::string file = figures::range_rows(rows);
  check_lettering(file);
  const auto one = [&](const char* kind, const char* css) {
    const std::vector<std::string> found = tags(file, kind, std::string("class=\"") + css + "\"");
    REQUIRE(found.size() == 1);
    return found[0];
  };
  const std::vector<std::string> ends = tags(file, "rect", "class=\"range-end\""),
                                 shifts = tags(file, "circle", "class=\"shift\"");
  REQUIRE(ends.size() == 2);
  REQUIRE(shifts.size() == 2);
  const std::string range = one("rect", "range"), numerical = one("rect", "numerical");
  const auto right = [](const std::string& rect) { return attribute(rect, "x") + attribute(rect, "width"); };
  check_straight(
      {-94.6, -92.0, -114.6, -64.6, -121.0, -110.0, -70.0, -51.0, -94.6 - 0.37, -94.6 + 0.37, -94.6 + 3.1,
       -94.6 - 40.0},
      {attribute(one("line", "case"), "x1"), attribute(one("line", "median"), "x1"), attribute(range, "x"),
       right(range), attribute(ends[0], "x"), right(ends[0]), attribute(ends[1], "x"), right(ends[1]),
       attribute(numerical, "x"), right(numerical), attribute(shifts[0], "cx"), attribute(shifts[1], "cx")});
  for (const char* text : {">−94,6 K<", ">−115 … −65 K<", ">±0,37 K<", ">+3,1 K<", ">−40,0 K<"})
    CHECK_MESSAGE(holds(file, text), text);
  rows.span.reset();
  rows.half_width.reset();
  rows.shifts.clear();
  check_lettering(figures::range_rows(rows));
  rows.value = nothing;
  CHECK(figures::range_rows(rows).empty());
}
