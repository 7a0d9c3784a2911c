// Axes of the figures: ticks with numbers, and faint lines across the field.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/labels.hpp"
#include "tools/page/plot.hpp"

namespace joulepress::tools::figures {

/// The field of a diagram on the page [mm]; y runs downward.
struct Field {
  double left = 0, right = 0, top = 0, bottom = 0;
};

/// Place of a value between two ends on the page.
double along(const plot::Axis& axis, double value, double from, double to);

/// Round values, no closer than their numbers need on `length` mm; across: numbers beside each other.
std::vector<double> ticks_along(const plot::Axis& axis, double length, bool across);

/// The numbers at `ticks`, all with the same decimals.
std::vector<std::string> tick_texts(const std::vector<double>& ticks, char decimal_mark);

/// Numbers below the field, the axis's label below them (none: empty); takes 3 + 2 letters' heights.
void draw_x_axis(svg::Document& page, const Field& field, const plot::Axis& axis, char decimal_mark,
                 bool with_numbers);
/// Numbers to the left of the field.
void draw_y_axis(svg::Document& page, const Field& field, const plot::Axis& axis, char decimal_mark);

/// Width of the numbers of an upright axis of that length [mm].
double numbers_width(const plot::Axis& axis, double length, char decimal_mark);

}  // namespace joulepress::tools::figures
