// The least margin over the time of a run, on a logarithmic axis: what is asked as a dashed line, below 1
// tinted, load cases as bands with their names, and the cold stack as a mark of its own at the end (at
// the top where its margin is higher than the axis goes).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

struct MarginPoint {
  double time = 0, margin = 0;  ///< not a number: a gap
};

/// A load case from one time to another.
struct LoadSpan {
  std::string name;
  double start = 0, end = 0;
};

struct MarginChart {
  Head head;
  std::vector<MarginPoint> points;  ///< rising in time
  std::vector<LoadSpan> spans;      ///< one after the other
  std::optional<double> cold;       ///< margin of the cold stack
  double asked = 0;
  std::string value_label, time_label;
  std::string asked_name, breaks_name, cold_name, cold_text;  ///< cold_text: its margin
};

/// The SVG; without two points with a margin above 0 the text is empty.
std::string margin_chart(const MarginChart& chart);

}  // namespace joulepress::tools::figures
