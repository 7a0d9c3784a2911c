// The sheet of one part, read back from its SVG: sizes worked out by hand from the case file, shapes against
// them once the scale is undone, notes, lettering of every tool of every shipped case.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <sstream>
#include <stdexcept>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/stack.hpp"
#include "tests/support/svg_reader.hpp"
#include "tools/page/part_sheet.hpp"
#include "tools/page/section.hpp"

using namespace joulepress;
using test::Element;
using test::parse;
namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;

cases::Case read(const std::string& name) {
  return cases::read_case(root / name);
}

std::vector<Element> sheet(const cases::Case& c, const std::string& part,
                           const std::vector<std::string>& remarks = {}) {
  return parse(tools::draw_part(c, cases::build_pressed_problem(c), {part, "case.yaml", remarks}));
}

bool has(const std::vector<Element>& elements, const std::string& text) {
  const auto all = test::texts(elements);
  return std::find(all.begin(), all.end(), text) != all.end();
}

/// Notes as one text again, lines joined.
std::string notes(const std::vector<Element>& elements) {
  std::string all;
  for (const Element& e : elements)
    if (e.attributes.count("class") && e.attributes.at("class") == "note")
      all += (all.empty() ? "" : " ") + e.text;
  return all;
}

bool notes_say(const std::vector<Element>& elements, const std::string& text) {
  return notes(elements).find(text) != std::string::npos;
}

/// Of what is drawn in the section, in mm of the part: r to the right of the axis, z above the lower face.
struct Corners {
  double left, right, low, high;
};

std::vector<Corners> rectangles(const std::vector<Element>& elements, const std::string& attribute) {
  std::vector<Corners> list;
  for (const Element& e : elements) {
    if (e.tag != "rect" || !e.attributes.count(attribute)) continue;
    const auto of_view = [&](const char* key) { return std::stod(e.view.at(key)); };
    const double scale = of_view("data-scale"), x = (e.number("x") - of_view("data-axis-x")) / scale,
                 top = (of_view("data-zero-y") - e.number("y")) / scale;
    list.push_back({x, x + e.number("width") / scale, top - e.number("height") / scale, top});
  }
  return list;
}

/// Lines outside of the part, level or upright, that show where a dimension begins or ends: {upright, r or z
/// in mm}.
std::vector<std::pair<bool, double>> extension_lines(const std::vector<Element>& elements, double height) {
  const auto group = std::find_if(elements.begin(), elements.end(), [](const Element& e) {
    return e.attributes.count("data-view") && e.attributes.at("data-view") == "part";
  });
  const double scale = group->number("data-scale"), x0 = group->number("data-axis-x"),
               low = group->number("data-zero-y"), top = low - scale * height;
  std::vector<std::pair<bool, double>> lines;
  for (const Element& e : elements) {
    if (e.tag != "line" || !e.view.empty() || e.number("stroke-width") > 0.15) continue;
    const double x = e.number("x1"), y = e.number("y1"), end = e.number("y2");
    if (x == e.number("x2") && (std::min(y, end) > low || std::max(y, end) < top) && std::abs(end - y) > 4)
      lines.push_back({true, (x - x0) / scale});
    if (y == end && std::abs(e.number("x2") - x) < 6) lines.push_back({false, (low - y) / scale});
  }
  return lines;
}

bool near(const Corners& a, const Corners& b) {
  return std::abs(a.left - b.left) <= 0.001 && std::abs(a.right - b.right) <= 0.001 &&
         std::abs(a.low - b.low) <= 0.001 && std::abs(a.high - b.high) <= 0.001;
}

void add_bore(cases::Case& c, const std::string& name, const std::string& part, double depth, double height) {
  cases::CaseSensor sensor = c.sensors.front();
  sensor.name = name;
  sensor.part = part;
  sensor.depth = depth;
  sensor.height = height;
  c.sensors.push_back(sensor);
}

std::vector<std::string> tools_of(const cases::Case& c) {
  std::vector<std::string> names;
  for (const cases::ColumnPart& part : c.column)
    if (!part.powder) names.push_back(part.name);
  for (const cases::Sleeve& sleeve : c.sleeves)
    if (!cases::material_named(c, sleeve.material).loose_touch) names.push_back(sleeve.name);
  return names;
}

}  // namespace

TEST_CASE("part sheet: the die of the alumina case, figure by figure") {
  const auto elements = sheet(read("cases/alumina-20mm.yaml"), "die");
  // Die 50 x 36, bore 20.4; wall (50 - 20.4) / 2 = 14.8, of it 11 drilled and 3.8 left; axis at 36 / 2 = 18.
  for (const char* text :
       {"\u00d850", "\u00d820.4", "36", "(14.8)", "11", "(3.8 left)", "18",
        "die thermocouple: hole to suit the sheath \u00d81.5", "die", "material: isotropic graphite",
        "for: 20 mm alumina disc, 1350 degC for 5 min", "dimensions in mm", "scale 2:1"}) {
    INFO(text);
    CHECK(has(elements, text));
  }
  // (20.4 - 20) / 2 = 0.2, and the foil in the bore is 0.2 thick.
  CHECK(
      notes_say(elements,
                "bore \u00d820.4 over lower punch and upper punch \u00d820: nominal radial clearance 0.2 mm "
                "= thickness of the foil"));
  CHECK(notes_say(
      elements,
      "Edges unmarked: break 0.2 to 0.5 mm, none at the mouth of the bore (common practice, no source)"));
  CHECK(notes_say(elements, "drill to suit the sheath"));
  CHECK(notes_say(elements, "do not drill through"));
  CHECK(notes_say(elements, "The press maker's limits, local codes and licensed practice come first."));
  CHECK(notes_say(elements, "guards closed"));
}

TEST_CASE("part sheet: shapes of the die have the sizes of the case once the scale is undone") {
  const auto elements = sheet(read("cases/alumina-20mm.yaml"), "die");
  const auto walls = rectangles(elements, "data-part");
  REQUIRE(walls.size() == 2);
  CHECK(near(walls[0], {-25, -10.2, 0, 36}));
  CHECK(near(walls[1], {10.2, 25, 0, 36}));
  const auto bores = rectangles(elements, "data-sensor");
  REQUIRE(bores.size() == 1);
  CHECK(near(bores[0], {14, 25, 17.25, 18.75}));
  std::vector<double> circles;
  for (const Element& e : elements)
    if (e.tag == "circle" && e.view.count("data-view") && e.view.at("data-view") == "from above")
      circles.push_back(2 * e.number("r") / std::stod(e.view.at("data-scale")));
  REQUIRE(circles.size() == 2);
  CHECK(std::abs(circles[0] - 50) <= 0.001);
  CHECK(std::abs(circles[1] - 20.4) <= 0.001);
}

TEST_CASE("part sheet: dimensions begin and end where their figures say") {
  const auto lines = extension_lines(sheet(read("cases/alumina-20mm.yaml"), "die"), 36);
  const auto count = [&](bool upright, double at) {
    return std::count_if(lines.begin(), lines.end(), [&](const std::pair<bool, double>& line) {
      return line.first == upright && std::abs(line.second - at) <= 0.001;
    });
  };
  // Above bore and wall; below depth, what is left and outside; 25 = 50 / 2, 10.2 = 20.4 / 2, 14 = 25 - 11.
  CHECK(count(true, -25) == 1);
  CHECK(count(true, -10.2) == 1);
  CHECK(count(true, 10.2) == 3);
  CHECK(count(true, 14) == 2);
  CHECK(count(true, 25) == 3);
  // Height on the left, axis of the bore on the right.
  CHECK(count(false, 36) == 1);
  CHECK(count(false, 18) == 1);
  CHECK(count(false, 0) == 2);
}

TEST_CASE("part sheet: punches and spacers, bored, blind-bored and solid") {
  const cases::Case c = read("cases/alumina-20mm-press.yaml");
  // Upper punch 20 x 25, blind bore 5 that leaves 5: 20 deep, wall (20 - 5) / 2 = 7.5.
  auto elements = sheet(c, "upper punch");
  for (const char* text : {"\u00d820", "\u00d85", "25", "20", "(5 left)", "(7.5)"}) {
    INFO(text);
    CHECK(has(elements, text));
  }
  CHECK(notes_say(elements, "none at the rim of the face to the powder"));
  CHECK(
      notes_say(elements, "outside \u00d820 in the bore of die \u00d820.4: nominal radial clearance 0.2 mm"));
  CHECK(notes_say(elements, "both end faces, flat and square to the axis"));
  CHECK(notes_say(elements, "Blind bore: \"punch pyrometer\" looks into it"));
  const auto body = std::find_if(elements.begin(), elements.end(), [](const Element& e) {
    return e.tag == "polygon" && e.attributes.count("data-part");
  });
  REQUIRE(body != elements.end());
  std::string points = body->attributes.at("points");
  std::replace(points.begin(), points.end(), ',', ' ');
  std::istringstream stream(points);
  const double scale = std::stod(body->view.at("data-scale"));
  std::vector<double> r, z;
  for (double x = 0, y = 0; stream >> x >> y;) {
    r.push_back((x - std::stod(body->view.at("data-axis-x"))) / scale);
    z.push_back((std::stod(body->view.at("data-zero-y")) - y) / scale);
  }
  REQUIRE(r.size() == 8);
  CHECK(std::count_if(r.begin(), r.end(), [](double x) { return std::abs(std::abs(x) - 10) <= 0.001; }) == 4);
  CHECK(std::count_if(r.begin(), r.end(), [](double x) { return std::abs(std::abs(x) - 2.5) <= 0.001; }) ==
        4);
  CHECK(std::count_if(z.begin(), z.end(), [](double y) { return std::abs(y - 5) <= 0.001; }) == 2);
  CHECK(std::count_if(z.begin(), z.end(), [](double y) { return std::abs(y - 25) <= 0.001; }) == 4);
  CHECK(std::count_if(z.begin(), z.end(), [](double y) { return std::abs(y) <= 0.001; }) == 2);

  elements = sheet(c, "upper spacer");  // 80 x 40, bore 8
  for (const char* text : {"\u00d880", "\u00d88", "40", "(36)"}) CHECK(has(elements, text));
  CHECK(rectangles(elements, "data-part").size() == 2);
  CHECK(!notes_say(elements, "mouth"));
  CHECK(!notes_say(elements, "Sensor"));

  elements = sheet(c, "lower spacer");
  const auto solid = rectangles(elements, "data-part");
  REQUIRE(solid.size() == 1);
  CHECK(near(solid[0], {-40, 40, 0, 40}));
}

TEST_CASE("part sheet: heights of bores count from the lower face of a part with a blind bore") {
  cases::Case c = read("cases/alumina-20mm-press.yaml");
  // A case counts above the bottom of the bored ring, which lies 5 mm above the lower face; 10 - 3 - 2.5
  // = 4.5 left.
  add_bore(c, "punch couple", "upper punch", 3e-3, 16e-3);
  const auto elements = sheet(c, "upper punch");
  for (const char* text : {"3", "21", "(4.5 left)", "punch couple: hole to suit the sheath \u00d81.5"}) {
    INFO(text);
    CHECK(has(elements, text));
  }
  test::check_lettering(elements);
}

TEST_CASE(
    "part sheet: several bores go by letters, one goes through, the solid part has nothing left to say") {
  cases::Case c = read("cases/alumina-20mm.yaml");
  add_bore(c, "inner couple", "die", 14.8e-3, 30e-3);
  add_bore(c, "skin couple", "die", 1e-3, 18e-3);
  add_bore(c, "spacer couple", "lower spacer", 30e-3, 5e-3);
  auto elements = sheet(c, "die");
  // By height: A the die's own at 18, B the one in its skin, 14.8 - 1 = 13.8 left, C through at 30.
  for (const char* text : {"A 11", "(A 3.8 left)", "B 1", "(B 13.8 left)", "C 14.8 through", "C 30",
                           "A die thermocouple: hole to suit the sheath \u00d81.5",
                           "C inner couple: hole to suit the sheath \u00d81.5"}) {
    INFO(text);
    CHECK(has(elements, text));
  }
  CHECK(has(elements, "A B 18"));
  CHECK(!notes_say(elements, "do not drill through"));
  CHECK(notes_say(elements, "angles between them are free"));
  CHECK(rectangles(elements, "data-sensor").size() == 3);
  test::check_lettering(elements);
  elements = sheet(c, "lower spacer");
  for (const char* text : {"30", "5", "\u00d880"}) CHECK(has(elements, text));
  for (const std::string& text : test::texts(elements)) CHECK(text.find("left)") == std::string::npos);
  test::check_lettering(elements);
}

TEST_CASE("part sheet: worn tools are drawn as new") {
  cases::Case c = read("cases/alumina-20mm.yaml");
  c.sleeves.front().worn_by = 0.1e-3;
  const auto elements = sheet(c, "die");
  CHECK(has(elements, "\u00d820.4"));
  CHECK(has(elements, "(3.8 left)"));
  const auto walls = rectangles(elements, "data-part");
  REQUIRE(walls.size() == 2);
  CHECK(near(walls[1], {10.2, 25, 0, 36}));
  CHECK(notes_say(elements, "The case computes with this part worn: bore wider by 0.1 mm."));
}

TEST_CASE("part sheet: what is no tool is told so, with the tools there are") {
  const cases::Case c = read("tests/tools/drawing-nested.yaml");
  const solver::Problem p = cases::build_pressed_problem(c);
  for (const char* name : {"dye", "powder", "foil in bore of liner", "felt jacket", ""}) {
    INFO(name);
    CHECK_THROWS_AS(tools::draw_part(c, p, {name, "case.yaml", {}}), std::invalid_argument);
  }
  CHECK_THROWS_WITH_AS(
      tools::draw_part(c, p, {"dye", "case.yaml", {}}),
      "\"dye\" is no tool of the case. Its tools: lower spacer, lower punch, lower plate, upper "
      "plate, upper punch, upper spacer, liner, die.",
      std::invalid_argument);
}

TEST_CASE("part sheet: clearances only to what is next to a part") {
  const cases::Case c = read("tests/tools/drawing-nested.yaml");
  auto elements = sheet(c, "die");  // the liner fills its bore, the punches stand in the liner
  CHECK(notes_say(elements, "bore \u00d836 over liner \u00d836: no nominal clearance."));
  elements = sheet(c, "liner");  // (30 - 29.6) / 2 = 0.2
  CHECK(
      notes_say(elements,
                "bore \u00d830 over lower punch and lower plate and upper plate and upper punch \u00d829.6: "
                "nominal radial clearance 0.2 mm = thickness of the foil; outside \u00d836 in the bore of "
                "die \u00d836: no nominal clearance."));
  cases::Case bare = read("cases/alumina-20mm.yaml");
  bare.sleeves.front().inner_diameter = 20.6e-3;
  bare.foils.front().thickness = 0.3e-3;
  CHECK(notes_say(sheet(bare, "die"), "0.3 mm = thickness of the foil"));
}

TEST_CASE("part sheet: remarks are numbered on, wrapped and counted where they find no room") {
  const cases::Case c = read("cases/alumina-20mm.yaml");
  auto elements = sheet(c, "die", {"Least margin 2.9 in the wall at 1350 degC (asked 2.5): an estimate."});
  CHECK(notes_say(elements, "4. Least margin 2.9 in the wall at 1350 degC (asked 2.5): an estimate."));
  const std::string lengthy =
      "A remark that is a good deal longer than one line of the notes can be, so that it has to be broken "
      "between its "
      "words and goes on below, with <signs> & \"quotes\".";
  elements = sheet(c, "die", std::vector<std::string>(40, lengthy));
  test::check_lettering(elements);
  CHECK(notes_say(elements, "more found no room on this sheet."));
  CHECK(notes_say(elements, "with <signs> & \"quotes\"."));
  CHECK(notes_say(elements, "guards closed"));  // never pushed off
  elements = sheet(c, "die", {std::string(400, 'x')});
  test::check_lettering(elements);
}

TEST_CASE(
    "part sheet: every tool of every case in its margins, nothing on anything else, at a scale of ISO 5455") {
  std::vector<fs::path> files{root / "tests" / "tools" / "drawing-nested.yaml",
                              root / "tests" / "stacks" / "felt-all-round.yaml"};
  for (const auto& entry : fs::directory_iterator(root / "cases"))
    if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  int drawn = 0;
  for (const fs::path& file : files) {
    const cases::Case c = cases::read_case(file);
    for (const std::string& name : tools_of(c)) {
      INFO(file.filename().string() << ": " << name);
      const auto elements = sheet(c, name);
      test::check_lettering(elements);
      double scale = 0.0;
      for (const Element& e : elements)
        if (e.attributes.count("data-view") && e.attributes.at("data-view") == "part")
          scale = e.number("data-scale");
      CHECK(scale >= 0.5);
      CHECK(has(elements, "scale " + tools::page::scale_text(scale)));
      ++drawn;
    }
  }
  CHECK(drawn > 80);
}

TEST_CASE("part sheet: the same bytes twice; the tool set by its file") {
  const cases::Case c = read("cases/alumina-20mm.yaml");
  const solver::Problem p = cases::build_pressed_problem(c);
  const tools::PartSheet options{"die", "alumina-20mm.yaml", {"a remark"}};
  CHECK(tools::draw_part(c, p, options) == tools::draw_part(c, p, options));
  CHECK(has(parse(tools::draw_part(c, p, options)), "case: alumina-20mm.yaml"));
  cases::Case other = c;
  other.sleeves.front().written.place.file = "/somewhere/tooling/graphite-20mm.yaml";
  CHECK(has(parse(tools::draw_part(other, p, options)),
            "tool set: graphite-20mm.yaml, case: alumina-20mm.yaml"));
}
