// Dimension lines and labels with leaders, on the page in mm.
#pragma once

#include <string>
#include <vector>

#include "tools/page/svg.hpp"

namespace joulepress::tools::page {

inline constexpr double lettering = 2.2;  ///< height of the figures on the sheet [mm]
inline constexpr double line_pitch = 4.0;

/// "20.4", "0.2": millimetres of a length in metres, at most two decimals (three below a tenth).
std::string millimetres(double metres);

std::string diameter(double metres);  ///< with the sign

/// Positions as near as possible to the wanted ones, in the same order, at least `pitch` apart, within
/// [low, high] while they fit.  `wanted` ascending.
std::vector<double> spread(const std::vector<double>& wanted, double pitch, double low, double high);

/// The text, cut with "..." to a width [mm].
std::string cut(std::string text, double height, double width, bool bold = false);

/// Lines of text, broken between words, that fit the width [mm]; a single word that does not is cut.
std::vector<std::string> folded(const std::string& text, double height, double width);

/// What stands over a view.
void heading(svg::Document& doc, svg::Point at, const std::string& text);

/// One vertical dimension between two heights on the page.
struct Span {
  double y_top = 0, y_bottom = 0;  ///< mm, y_top < y_bottom
  double x_top = 0, x_bottom = 0;  ///< where the extension lines start
  std::string text;
};

/// A row of vertical dimensions on one line at `x`; their texts stand outside (left for side = -1), level,
/// apart from each other, in [low, high].
void vertical_row(svg::Document& doc, const std::vector<Span>& spans, double x, int side, double low,
                  double high);

/// What a row takes outward of its line [mm].
double row_width(const std::vector<Span>& spans);

/// Whether a text stands between the arrows of a horizontal dimension `length` long on the page [mm].
bool stands_inside(const std::string& text, double length);

/// A horizontal dimension from x0 to x1 at `y`, extension lines from y0 (none when y0 == y).  The text stands
/// on the line at `x_text` (its middle) or, when it does not stand inside, beyond the left end.
void horizontal(svg::Document& doc, double x0, double x1, double y, double y0, double x_text,
                const std::string& text);

struct Label {
  svg::Point target;  ///< what the leader points at
  std::string text;
  std::string part;      ///< name of what is labelled
  bool on_edge = false;  ///< arrow on an edge instead of a dot inside
};

/// The widest of the labels [mm].
double label_width(const std::vector<Label>& list);

/// Labels in one column starting at `x`, cut at `end`, leaders to their targets that do not cross one
/// another.
void labels(svg::Document& doc, std::vector<Label> list, double x, double end, double low, double high);

}  // namespace joulepress::tools::page
