// Where heat is made and where it goes: two lists of bars on one scale, the largest first, each with its
// power and its share of its list.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

struct HeatBar {
  std::string name;
  double watts = 0;  ///< below zero: against the list's direction; drawn hollow
};

struct HeatBars {
  Head head;
  std::string made_title, goes_title;  ///< above the lists, left and right
  std::vector<HeatBar> made, goes;
  std::string rest_name;  ///< of all that are below half a percent or beyond the eighth, if two or more
};

/// The largest amounts first; small ones joined under `rest_name`.
std::vector<HeatBar> sorted_bars(std::vector<HeatBar> bars, const std::string& rest_name);

/// The SVG; without any power the text is empty.  Shares are of the sum of the list.
std::string heat_bars(const HeatBars& figure);

}  // namespace joulepress::tools::figures
