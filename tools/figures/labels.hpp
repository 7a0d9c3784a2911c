// What all figures share in words and numbers: the page's width and lettering, texts that keep clear of each
// other, numbers with the decimals of their scale, lines with no more corners than can be seen.
#pragma once

#include <string>
#include <vector>

#include "tools/page/svg.hpp"

namespace joulepress::tools::figures {

/// All figures have this width, so that their lettering is alike [mm]; on a telephone it is still read.
inline constexpr double page_width = 130.0;
inline constexpr double letters = 2.3;  ///< height of capitals and figures [mm]

/// What every figure is told.
struct Head {
  std::string title, description;  ///< read out, not drawn
  char decimal_mark = '.';
};

/// Lines and lettering in the colour of the text around the figure.
inline const std::string ink = "currentColor";

svg::Lettering lettering(svg::Anchor anchor = svg::Anchor::start, bool bold = false, double height = letters);

/// The k-th of several lines: colour and dash both differ, over sixteen of them.
struct LineLook {
  svg::Pen pen;
  std::string css;  ///< "series-other-1" and on
};
inline constexpr std::size_t line_looks = 16;
LineLook line_look(std::size_t k);

/// Decimals that tell multiples of `step` apart, 0 to 9.
int decimals_of(double step);

/// With a true minus sign; "0" never has one.
std::string number_text(double value, int decimals, char decimal_mark);

/// The same with a sign always, but for zero.
std::string signed_text(double value, int decimals, char decimal_mark);

/// Middles moved as little as may be (least squares, order kept) so that neighbours, each `sizes` high, do
/// not overlap and all lie within [low, high]; when they do not fit, they reach beyond `high`.
std::vector<double> spread(const std::vector<double>& middles, const std::vector<double>& sizes, double low,
                           double high);

/// The text in lines no wider than `width` where its spaces allow it.
std::vector<std::string> wrapped(const std::string& text, double width, double height = letters);

/// Without the corners that lie within `tolerance` of the line that is left (Douglas and Peucker 1973).
std::vector<svg::Point> simplified(const std::vector<svg::Point>& line, double tolerance);

struct Box {
  double x0 = 0, y0 = 0, x1 = 0, y1 = 0;
  bool meets(const Box& other) const {
    return x0 < other.x1 && other.x0 < x1 && y0 < other.y1 && other.y0 < y1;
  }
};

/// Of an upright text whose middle is at `middle`, with `rim` all around.
Box text_box(svg::Point middle, const std::string& text, double height, double rim);

}  // namespace joulepress::tools::figures
