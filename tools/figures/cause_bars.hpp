// What the variance of a number comes from: a bar a cause, the largest on top, with the interval of its
// share.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

struct CauseBar {
  std::string name;
  double share = 0;          ///< of the variance [-]
  double low = 0, high = 0;  ///< interval of the share [-]
};

struct CauseBars {
  Head head;
  std::string axis_label;  ///< "share of the variance in %"
  std::vector<CauseBar> bars;
};

/// Largest first; those below half a percent and beyond the twelfth are left out.
std::vector<CauseBar> shown_causes(std::vector<CauseBar> bars);

/// The SVG; without a bar the text is empty.
std::string cause_bars(const CauseBars& figure);

}  // namespace joulepress::tools::figures
