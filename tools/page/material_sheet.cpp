#include "tools/page/material_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "solver/problem.hpp"
#include "tools/page/dimensions.hpp"
#include "tools/page/plot.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

constexpr double page_width = 210, page_height = 297, margin = 14, gap = 6;
constexpr double letters = 2.2, line_height = 3.6;

/// What one standard deviation makes of a value: {lower, upper} as factors.
std::pair<double, double> band(const materials::Uncertainty& u) {
  switch (u.kind) {
    case materials::Uncertainty::Kind::none:
      break;
    case materials::Uncertainty::Kind::relative:
      return {1.0 - u.size, 1.0 + u.size};
    case materials::Uncertainty::Kind::factor:
      return {1.0 / std::sqrt(u.size), std::sqrt(u.size)};
  }
  return {1.0, 1.0};
}

plot::Line line_of(const ShownProperty& shown) {
  const materials::Curve& curve = shown.property->curve;
  const auto [lower, upper] = band(shown.property->uncertainty);
  plot::Line line;
  constexpr int points = 160;
  const double first = std::max(curve.t_min(), solver::zero_celsius);
  for (int k = 0; k <= points; ++k) {
    const double T = first + (curve.t_max() - first) * k / points;
    const double value = curve.value(T) / shown.factor;
    line.points.push_back({T - solver::zero_celsius, value});
    line.low.push_back(std::min(lower * value, upper * value));  // of n-type a Seebeck coefficient is below 0
    line.high.push_back(std::max(lower * value, upper * value));
  }
  return line;
}

/// Writes lines from `y` on; returns where the next may begin.
double write(svg::Document& page, double x, double y, const std::vector<std::string>& lines) {
  for (const std::string& line : lines) {
    page.text({x, y}, line, {.height = letters, .colour = "#333333"});
    y += line_height;
  }
  return y;
}

std::vector<std::string> caption(const ShownProperty& shown, double width) {
  const std::string unsure = uncertainty_text(shown.property->uncertainty);
  std::vector<std::string> lines;
  if (!unsure.empty()) lines = page::folded("Unsure by " + unsure + ".", letters, width);
  for (const std::string& line : page::folded("Source: " + shown.property->source + ".", letters, width))
    lines.push_back(line);
  return lines;
}

/// Property, value and source of what does not depend on temperature; returns the next free place.
double constants(svg::Document& page, const std::vector<ShownProperty>& list, double y) {
  for (const ShownProperty& shown : list) {
    page.text({margin, y},
              fmt::format("{}: {:.4g} {}", shown.name, shown.property->curve.value(293.15) / shown.factor,
                          shown.unit),
              {.height = 2.5, .bold = true});
    y = write(page, margin, y + line_height, caption(shown, page_width - 2 * margin)) + 2.0;
  }
  return y;
}

void draw_property(svg::Document& page, const ShownProperty& shown, plot::Frame frame, double high) {
  const plot::Line line = line_of(shown);
  const auto low_high = std::minmax_element(line.low.begin(), line.low.end());
  const double least = *low_high.first, most = *std::max_element(line.high.begin(), line.high.end());
  const std::string label = shown.unit.empty() ? "ratio" : shown.unit;
  plot::Axis y = plot::rounded_axis(label, least, most);
  if (least > 0.0 && most > 100.0 * least)
    y = {label, std::pow(10.0, std::floor(std::log10(least))), std::pow(10.0, std::ceil(std::log10(most))),
         true};
  plot::draw(page, frame, shown.name, plot::rounded_axis("temperature [degC]", 0.0, high), y, {line});
}

/// Fills the page; returns where it ends [mm].
double lay_out(svg::Document& page, const materials::Material& m, const std::vector<ShownProperty>& curves,
               const std::vector<ShownProperty>& fixed, double high, double plot_height) {
  page.rectangle({0, 0}, page_width, page_height, {.stroke = "none", .width = 0, .fill = "white"});
  page.text({margin, 18}, m.name, {.height = 5, .bold = true});
  double y = write(page, margin, 25, page::folded(m.note, letters, page_width - 2 * margin)) + 2.0;
  y = write(page, margin, y,
            page::folded(
                "Lines end where the data end; beyond, the end value is held and the report says so. Shaded: "
                "one standard deviation.",
                letters, page_width - 2 * margin)) +
      2.0;
  const std::size_t columns = curves.size() > 6 ? 3 : 2;
  const double width = (page_width - 2 * margin + gap) / static_cast<double>(columns) - gap;
  double next = y;
  for (std::size_t k = 0; k < curves.size(); ++k) {
    const std::size_t column = k % columns;
    if (column == 0) y = next;
    const double x = margin + static_cast<double>(column) * (width + gap);
    draw_property(page, curves[k], {x, y, width, plot_height}, high);
    const double end = write(page, x, y + plot_height + 3.5, caption(curves[k], width));
    next = std::max(column == 0 ? 0.0 : next, end + 4.0);
  }
  return constants(page, fixed, next + 2.0);
}

}  // namespace

std::string material_sheet(const materials::Material& m) {
  std::vector<ShownProperty> curves, fixed;
  double high = 0.0;
  for (const ShownProperty& shown : shown_properties(m)) {
    const bool constant = std::isinf(shown.property->curve.t_min());
    (constant ? fixed : curves).push_back(shown);
    if (!constant) high = std::max(high, shown.property->curve.t_max() - solver::zero_celsius);
  }
  // The tallest plots with which everything stands on one page.
  std::string sheet;
  for (const double plot_height : {52.0, 46.0, 40.0, 34.0, 31.0, 28.0}) {
    svg::Document page(page_width, page_height, m.name, "Properties of " + m.name + " against temperature");
    const double end = lay_out(page, m, curves, fixed, high, plot_height);
    sheet = page.finish();
    if (end < page_height - 6.0) break;
  }
  return sheet;
}

}  // namespace joulepress::tools
