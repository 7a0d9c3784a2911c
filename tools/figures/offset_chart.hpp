// Offset over the temperature that is entered: a panel a start density, side by side with one scale, a line a
// heating rate.  Lines differ by dash and mark as by colour, so that a copy in black reads alike.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

struct OffsetPanel {
  std::string title;                           ///< empty: none
  std::vector<std::vector<svg::Point>> lines;  ///< entered and offset; not a number: a gap
};

struct OffsetChart {
  Head head;
  std::string x_label, y_label;    ///< with their units
  std::vector<std::string> names;  ///< of the lines, the same in all panels
  std::vector<OffsetPanel> panels;
};

/// The SVG; without a number the text is empty.
std::string offset_chart(const OffsetChart& chart);

}  // namespace joulepress::tools::figures
