// The drawing, parsed back from its SVG: rectangles against the layout, texts against the case, nothing on
// top of anything else, the same bytes twice.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <set>
#include <string>
#include <vector>

#include "cases/build_problem.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/stack.hpp"
#include "tests/support/svg_reader.hpp"
#include "tools/page/details.hpp"
#include "tools/page/drawing.hpp"
#include "tools/page/png.hpp"
#include "tools/store/files.hpp"
#include "tools/verbs/verbs.hpp"

using namespace joulepress;
using test::Box;
using test::box_of;
using test::Element;
using test::parse;
using test::texts;
namespace svg = tools::svg;
namespace page = tools::page;
namespace fs = std::filesystem;

namespace {

const fs::path root = JOULEPRESS_SOURCE_DIR;

bool cross(double ax, double ay, double bx, double by, const Box& box) {
  // Sampled: leaders are short against a hundredth of their length.
  for (int k = 0; k <= 200; ++k) {
    const double x = ax + k * (bx - ax) / 200, y = ay + k * (by - ay) / 200;
    if (x > box.x0 && x < box.x1 && y > box.y0 && y < box.y1) return true;
  }
  return false;
}

std::vector<fs::path> case_files() {
  std::vector<fs::path> files{root / "tests" / "tools" / "drawing-nested.yaml"};
  for (const fs::path& folder : {root / "cases", root / "cases" / "checks"})
    for (const auto& entry : fs::directory_iterator(folder))
      if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  return files;
}

std::string drawn(const cases::Case& c, bool mesh = false) {
  return tools::draw_stack(c, cases::build_pressed_problem(c), {mesh, "case.yaml"});
}

}  // namespace

TEST_CASE("drawing: every rectangle is the part of the case to 0.01 mm once the scale is undone") {
  for (const fs::path& file : case_files()) {
    INFO(file.filename().string());
    const cases::Case c = cases::read_case(file);
    const cases::Stack stack = cases::stack_of(c);
    const solver::Problem p = cases::build_pressed_problem(c);
    const mesh::Layout before = page::before_pressing(c, stack, p);
    std::map<std::string, int> seen;
    for (const Element& e : parse(drawn(c))) {
      if (e.tag != "rect" || !e.attributes.count("data-part")) continue;
      const bool start = e.view.at("data-view") == "before pressing";
      const double scale = std::stod(e.view.at("data-scale")), axis = std::stod(e.view.at("data-axis-x")),
                   zero = std::stod(e.view.at("data-zero-y"));
      double left = (e.number("x") - axis) / scale, right = left + e.number("width") / scale;
      const double top = (zero - e.number("y")) / scale, bottom = top - e.number("height") / scale;
      const std::string side = e.attributes.at("data-side");
      if (side == "left") std::tie(left, right) = std::pair(-right, -left);
      if (side == "both") {
        CHECK(std::abs(left + right) <= 0.01);
        left = 0.0;
      }
      int matches = 0;
      for (const mesh::Block& b : start ? before : stack.layout)
        matches += b.name == e.attributes.at("data-part") && std::abs(1e3 * b.r_inner - left) <= 0.01 &&
                   std::abs(1e3 * b.r_outer - right) <= 0.01 && std::abs(1e3 * b.z_bottom - bottom) <= 0.01 &&
                   std::abs(1e3 * b.z_top - top) <= 0.01;
      INFO(e.attributes.at("data-part") << " " << side << " " << e.view.at("data-view"));
      CHECK(matches == 1);
      if (e.view.at("data-view") == "stack") seen[e.attributes.at("data-part")] += side == "both" ? 2 : 1;
    }
    for (const mesh::Block& b : stack.layout) CHECK(seen[b.name] == 2);
  }
}

TEST_CASE("drawing: before pressing, too, end caps lie on the die") {
  const cases::Case c =
      cases::read_case(fs::path(JOULEPRESS_SOURCE_DIR) / "tests" / "stacks" / "felt-all-round.yaml");
  const cases::Stack stack = cases::stack_of(c);
  const mesh::Layout before = page::before_pressing(c, stack, cases::build_pressed_problem(c));
  const auto block = [&](const char* name) { return before[cases::block_named(stack, name)]; };
  CHECK(std::abs(block("upper cap").z_bottom - block("die").z_top) < 1e-12);
  CHECK(std::abs(block("second upper cap").z_bottom - block("upper cap").z_top) < 1e-12);
  CHECK(std::abs(block("second lower cap").z_top - block("lower cap").z_bottom) < 1e-12);
  CHECK(block("upper cap").z_top < block("upper spacer").z_bottom);
}

TEST_CASE("drawing: the scale that is stated is the one that is drawn, and one of ISO 5455") {
  CHECK(page::scale_text(page::largest_scale(0.080, 0.175, 90, 110)) == "1:2");
  CHECK(page::scale_text(page::largest_scale(0.010, 0.100, 90, 220)) == "2:1");
  CHECK(page::scale_text(page::largest_scale(0.300, 0.400, 90, 110)) == "1:5");
  for (const fs::path& file : case_files()) {
    const auto elements = parse(drawn(cases::read_case(file)));
    double scale = 0.0;
    std::string stated;
    for (const Element& e : elements) {
      if (e.attributes.count("data-view") && e.attributes.at("data-view") == "stack")
        scale = e.number("data-scale");
      if (e.attributes.count("class") && e.attributes.at("class") == "scale") stated = e.text;
    }
    CHECK(stated == "scale " + page::scale_text(scale));
  }
}

TEST_CASE("drawing: every part is labelled; no text on another or off the sheet; leaders cross neither") {
  for (const fs::path& file : case_files()) {
    INFO(file.filename().string());
    const cases::Case c = cases::read_case(file);
    const auto elements = parse(drawn(c));
    std::set<std::string> labelled;
    std::vector<Element> words, leaders;
    for (const Element& e : elements) {
      const auto kind = e.attributes.find("class");
      if (kind != e.attributes.end() && kind->second == "label") {
        labelled.insert(e.attributes.at("data-part"));
        CHECK(e.text.rfind(e.attributes.at("data-part"), 0) == 0);
      }
      if (kind != e.attributes.end() && kind->second == "leader") leaders.push_back(e);
      if (e.tag == "text" && !e.attributes.count("aria-hidden")) words.push_back(e);
    }
    for (const mesh::Block& b : cases::stack_of(c).layout) CHECK(labelled.count(b.name) == 1);
    for (const cases::CaseSensor& s : c.sensors) CHECK(labelled.count(s.name) == 1);
    test::check_lettering(elements);
    for (const Element& leader : leaders) {
      std::vector<double> xy;
      std::string points = leader.attributes.at("points");
      for (char& letter : points)
        if (letter == ',') letter = ' ';
      for (const char* next = points.c_str(); *next;) {
        char* after = nullptr;
        xy.push_back(std::strtod(next, &after));
        next = after;
      }
      REQUIRE(xy.size() == 6);
      for (const Element& word : words) {
        INFO(leader.attributes.at("data-part") << " over " << word.text);
        CHECK(!cross(xy[0], xy[1], xy[2], xy[3], box_of(word)));
        CHECK(!cross(xy[2], xy[3], xy[4], xy[5], box_of(word)));
      }
    }
  }
}

TEST_CASE("drawing: the dimensions of the alumina case as its file says them") {
  const auto all = texts(parse(drawn(cases::read_case(root / "cases" / "alumina-20mm.yaml"))));
  const auto count = [&](const std::string& text) {
    return std::set<std::string>(all.begin(), all.end()).count(text) == 1;
  };
  // Column 2 x (40 + 20 + 25) + 4.836 + 2 x 0.2 = 175.24; punches free (175.24 - 2 x 60 - 36) / 2 = 9.62;
  // powder 4.84 dense, 4.836 x 0.99 / 0.55 = 8.70 to 8.72 (see test_verbs.cpp: 4.794 mm fully dense).
  for (const char* text :
       {"175.24", "36", "40", "20", "25", "4.84", "8.72", "9.62 free", "\u00d880", "\u00d840", "\u00d850",
        "\u00d820.4", "880 W/m2K, 20 degC", "before pressing", "dense",
        "die thermocouple, \u00d81.5, 11 deep", "foil in bore of die, 0.2 thick"}) {
    INFO(text);
    CHECK(count(text));
  }
}

TEST_CASE("drawing: the same bytes twice; awkward names stay well-formed; the grid only on request") {
  cases::Case c = cases::read_case(root / "cases" / "heated-rod.yaml");
  CHECK(drawn(c) == drawn(c));
  CHECK(drawn(c).find("class=\"mesh\"") == std::string::npos);
  CHECK(drawn(c, true).find("class=\"mesh\"") != std::string::npos);
  c.title = "a < b & \"c\" \x01 \xff \xc3\xa4";
  const std::string file = drawn(c);
  bool seen = false;
  for (const std::string& text : texts(parse(file)))
    seen |= text == "a < b & \"c\" \xef\xbf\xbd \xef\xbf\xbd \xc3\xa4";
  CHECK(seen);
  CHECK(file.find('\x01') == std::string::npos);
  CHECK_THROWS_AS(svg::number(std::nan("")), std::logic_error);
  CHECK(svg::number(-0.00001) == "0");
  CHECK(svg::number(12.50) == "12.5");
}

TEST_CASE("draw: endings, bad input, files that cannot be written, PNG") {
  const fs::path folder = fs::temp_directory_path() / ("joulepress-draw-" + std::to_string(getpid()));
  fs::create_directories(folder);
  const fs::path rod = root / "cases" / "heated-rod.yaml";
  CHECK(tools::draw_case({rod, folder / "a.svg", false}) == tools::done);
  CHECK(tools::read_whole(folder / "a.svg").rfind("<?xml", 0) == 0);
  CHECK(tools::draw_case({rod, folder / "a.pdf", false}) == tools::bad_input);
  CHECK(!fs::exists(folder / "a.pdf"));
  CHECK_THROWS_AS(tools::draw_case({root / "tests/bad_input/unknown-key.yaml", folder / "b.svg", false}),
                  cases::InputErrors);
  CHECK_THROWS_AS(tools::draw_case({rod, folder / "missing" / "c.svg", false}), tools::FileError);
  CHECK_THROWS_WITH_AS(
      tools::png_of("<svg/>", "no-such-program-here"),
      "PNG needs the program \"no-such-program-here\", which is not installed: apt-get install "
      "librsvg2-bin, or ask for an .svg.",
      tools::FileError);
  if (std::system("command -v rsvg-convert >/dev/null 2>&1") == 0) {
    CHECK(tools::draw_case({rod, folder / "a.png", false}) == tools::done);
    CHECK(tools::read_whole(folder / "a.png").rfind("\x89PNG", 0) == 0);
    CHECK_THROWS_AS(tools::png_of("not an svg"), tools::FileError);
  }
  for (const auto& entry : fs::directory_iterator(folder)) CHECK(entry.path().extension() != ".part");
  fs::remove_all(folder);
}
