// A field of one moment as colours over the section through the axis: cells as they are, contours with their
// values, outlines of the parts, sensors with what they read, and the scale of colours.
#pragma once

#include <limits>
#include <string>
#include <vector>

#include "tools/figures/colour_tables.hpp"
#include "tools/figures/section_page.hpp"

namespace joulepress::tools::figures {

struct SensorMark {
  std::string name;
  double r = 0, z = 0;  ///< m, at the moment shown
  std::string reading;  ///< with its unit; may be empty
};

struct FieldMap {
  Head head;
  Stack stack;
  std::vector<double> values;  ///< by cell, in the unit of `label`; not a number: the cell stays open
                               ///< (of powders alone, give `stack` their cells alone: they fill the page)
  std::string label;           ///< of the scale, with its unit
  ColourTable colours = heat_colours();
  double low = std::numeric_limits<double>::quiet_NaN();   ///< of the scale; not a number: the least value
  double high = std::numeric_limits<double>::quiet_NaN();  ///< the greatest
  int steps = 64;                                          ///< colours told apart
  bool contours = true;
  std::vector<SensorMark> sensors;
};

/// A rectangle of neighbouring cells with one colour.
struct Patch {
  double r_low = 0, r_high = 0, z_low = 0, z_high = 0;  ///< m
  int colour = 0;                                       ///< entry of the table
};

/// Cells of a block joined along rows, then rows on rows, where their colours are the same; together they
/// cover the cells that have a value.  `colours` by cell, -1: none.
std::vector<Patch> patches_of(const Cells& cells, const CellBlock& block, const std::vector<int>& colours);

/// The SVG.  Throws std::invalid_argument when lists do not match or no cell has a value.
std::string field_map(const FieldMap& map);

}  // namespace joulepress::tools::figures
