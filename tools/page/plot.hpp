// A line diagram on an SVG page: axes with round ticks, lines, and bands for what is unsure.
#pragma once

#include <string>
#include <vector>

#include "tools/page/svg.hpp"

namespace joulepress::tools::plot {

/// Where the diagram stands on the page, labels included [mm].
struct Frame {
  double x = 0, y = 0, width = 80, height = 55;
};

struct Axis {
  std::string label;  ///< with its unit in brackets
  double low = 0, high = 1;
  bool logarithmic = false;
};

struct Line {
  std::vector<svg::Point> points;  ///< in units of the axes
  std::vector<double> low, high;   ///< a band around the line, one value a point; empty: none
  std::string colour = "#1b4f72";
};

/// Round values within [low, high], 1, 2 or 5 times a power of ten apart, about `wanted` of them; powers of
/// ten (and 2, 5 where these are few) on a logarithmic axis.
std::vector<double> ticks(const Axis& axis, int wanted);

/// The axis widened so that it ends on ticks and holds [low, high]; from zero when the values come near it.
Axis rounded_axis(std::string label, double low, double high);

/// Draws the diagram.  Throws std::invalid_argument when an axis is empty, or logarithmic and not positive.
void draw(svg::Document& page, const Frame& frame, const std::string& title, const Axis& x, const Axis& y,
          const std::vector<Line>& lines);

}  // namespace joulepress::tools::plot
