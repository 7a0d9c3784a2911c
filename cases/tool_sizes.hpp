// Sizes of graphite tool sets as they are usual for a sample diameter, by interpolation between published
// set-ups.  A starting point for a drawing that is not at hand, no design rule.
//
// Source: table of typical tool sets put together from published set-ups, from memory; where it gives a span
// (die 45-50 mm) its upper end is taken, since a thick wall leaves room for the bore of the thermocouple.
#pragma once

#include <vector>

namespace joulepress::cases {

struct Disc {
  double diameter = 0, height = 0;  ///< m
};

struct ToolSizes {
  double die_diameter = 0, die_height = 0;   ///< m, outside
  double punch_length = 0;                   ///< m
  std::vector<Disc> spacers;                 ///< from the punch outward
  double current_low = 0, current_high = 0;  ///< A, reported for sets of this size, low confidence
  bool published =
      false;  ///< inside the span of the set-ups, 10 to 100 mm; else continued in a straight line
};

/// Sizes for a sample diameter [m], lengths rounded to whole millimetres.
ToolSizes usual_tools(double sample_diameter);

}  // namespace joulepress::cases
