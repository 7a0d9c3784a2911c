// The run over time: panels one above the other with one axis of time, holds shaded, every line with its name
// at its end.  Lines are told apart by dashes and width as well as by colour.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

/// What a line shows; decides its pen and its class ("series-mean"; "series-other-1" and on for the rest).
enum class LineRole { programme, sensor, mean, coldest, hottest, other };

struct HistoryLine {
  std::string name;
  LineRole role = LineRole::other;
  std::vector<double> values;  ///< one a time, in the unit of the panel; not a number: a gap
};

struct HistoryPanel {
  std::string title;  ///< with its unit
  std::vector<HistoryLine> lines;
};

struct HoldSpan {
  std::string name;
  double start = 0, end = 0;  ///< as `times`
};

struct HistoryFigure {
  Head head;
  std::vector<double> times;  ///< rising, in the unit of `time_label`
  std::string time_label;
  std::vector<HoldSpan> holds;
  std::vector<HistoryPanel> panels;
  double panel_height = 28;  ///< mm
};

/// The SVG; lines and panels without a number are left out, without any the text is empty.  Throws
/// std::invalid_argument when a line has not one value a time.
std::string history_panels(const HistoryFigure& figure);

}  // namespace joulepress::tools::figures
