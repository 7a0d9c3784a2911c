// How sure a number is: the value of the case as a line through all rows, the range of what is uncertain,
// the error of the computation, and what each choice of model would make of it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

/// A value and the interval that it is known to.
struct RangeEnd {
  double value = 0, low = 0, high = 0;
};

struct RangeSpan {
  RangeEnd low, median, high;
};

struct RangeShift {
  std::string name;
  double difference = 0;  ///< to the value of the case
};

/// All in `unit`.
struct RangeRows {
  Head head;
  std::string axis_label, unit;
  std::string case_name, span_name, numerical_name;
  double value = 0;                  ///< of the case
  std::optional<RangeSpan> span;     ///< the intervals of its ends are slimmer and lighter bars below it
  std::optional<double> half_width;  ///< of the interval about the case
  std::vector<RangeShift> shifts;
};

/// The SVG; empty where the value is not a number.
std::string range_rows(const RangeRows& figure);

}  // namespace joulepress::tools::figures
