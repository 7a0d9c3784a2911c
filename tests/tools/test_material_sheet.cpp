// Materials in words and as plots: everything that is known is shown, in the units of the trade.
#include <doctest/doctest.h>

#include <cmath>
#include <sstream>
#include <string>

#include "cases/reader/material_reader.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/text.hpp"
#include "tools/page/material_sheet.hpp"
#include "tools/page/plot.hpp"
#include "tools/screen/material_words.hpp"

namespace {

using namespace joulepress;
using test::holds;
using test::relative;

std::vector<materials::Material> all() {
  std::vector<materials::Material> list;
  for (const auto& file : cases::shipped_materials()) list.push_back(cases::read_material(file));
  return list;
}

/// Corners of the first polyline that starts after `from`.
std::vector<tools::svg::Point> polyline_after(const std::string& svg, const std::string& from) {
  const std::size_t start = svg.find("<polyline points=\"", svg.find(from));
  const std::size_t open = svg.find('"', start) + 1;
  const std::string points = svg.substr(open, svg.find('"', open) - open);
  std::vector<tools::svg::Point> list;
  std::istringstream pairs(points);
  for (std::string pair; pairs >> pair;) {
    const std::size_t comma = pair.find(',');
    list.push_back({std::stod(pair.substr(0, comma)), std::stod(pair.substr(comma + 1))});
  }
  return list;
}

/// Anchors of all texts.
std::vector<tools::svg::Point> text_places(const std::string& svg) {
  std::vector<tools::svg::Point> list;
  const std::string x = "<text x=\"", y = "\" y=\"";
  for (std::size_t at = svg.find(x); at != std::string::npos; at = svg.find(x, at + 1)) {
    const std::size_t second = svg.find(y, at);
    list.push_back({std::stod(svg.substr(at + x.size())), std::stod(svg.substr(second + y.size()))});
  }
  return list;
}

}  // namespace

TEST_CASE("plot: ticks are round and inside the axis") {
  using tools::plot::ticks;
  CHECK(ticks({"", 0, 2500, false}, 5) == std::vector<double>{0, 500, 1000, 1500, 2000, 2500});
  CHECK(ticks({"", 3.2, 4.1, false}, 5).size() == 5);  // 3.2, 3.4, 3.6, 3.8, 4.0
  CHECK(ticks({"", 1, 10, true}, 5) == std::vector<double>{1, 2, 5, 10});
  CHECK(ticks({"", 1e3, 1e9, true}, 5).front() == relative(1e3));
  CHECK_THROWS(ticks({"", 1, 1, false}, 5));
  CHECK_THROWS(ticks({"", 0, 10, true}, 5));
  const auto axis = tools::plot::rounded_axis("", 17.0, 230.0);
  CHECK(axis.low == 0.0);
  CHECK(axis.high == 250.0);
}

TEST_CASE("materials in words: every property of every material with its source") {
  for (const materials::Material& m : all()) {
    CAPTURE(m.name);
    const std::string page = tools::material_page(m);
    CHECK(holds(page, m.name));
    for (const auto& shown : tools::shown_properties(m)) {
      CAPTURE(shown.name);
      CHECK(holds(page, shown.name));
      CHECK(holds(page, shown.property->source.substr(0, 10)));
    }
    CHECK(holds(tools::materials_table(all()), m.name));
  }
}

TEST_CASE("materials in words: values in the units of the trade") {
  // Alumina at 1000 degC: 1270 J/kgK follows from the NIST-JANAF form (Chase 1998), graphite 12.5 uohm m
  // cold.
  const auto page = tools::material_page(cases::read_material(cases::shipped_material("isotropic graphite")));
  CHECK(holds(page, "12.54"));
  CHECK(holds(page, "uohm m"));
}

TEST_CASE("material sheet: the line drawn is the curve, and everything stands on the page") {
  const auto m = cases::read_material(cases::shipped_material("isotropic graphite"));
  const std::string svg = tools::material_sheet(m);
  const auto drawn = polyline_after(svg, "aria-label=\"heat conductivity\"");
  REQUIRE(drawn.size() == 161);
  // page height against value is linear: two points fix it, every other must agree
  const auto& curve = m.conductivity.along.curve;
  const auto value = [&](std::size_t k) {
    return curve.value(curve.t_min() + (curve.t_max() - curve.t_min()) * static_cast<double>(k) / 160.0);
  };
  const double slope = (drawn[160].y - drawn[0].y) / (value(160) - value(0));
  for (const std::size_t k : {20u, 60u, 80u, 130u})
    CHECK(std::abs(drawn[k].y - (drawn[0].y + slope * (value(k) - value(0)))) < 0.001);
  for (const materials::Material& material : all()) {
    CAPTURE(material.name);
    const std::string sheet = tools::material_sheet(material);
    CHECK(sheet == tools::material_sheet(material));
    CHECK(text_places(sheet).size() > 10);
    for (const tools::svg::Point& place : text_places(sheet)) {
      CHECK(place.x < 210.0);
      CHECK(place.y < 292.0);
    }
  }
}
