// What came out of the variants of a plan: a small panel a measure, made to stand beside others.
//
// Over numbers every combination of the other settings is a line, told apart by dash and colour, with a mark
// a variant; over words every variant is a row with its mark.  A full mark: the variant is good; a hollow
// one: it is not.  What is required is a dashed line across, with its name.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/labels.hpp"

namespace joulepress::tools::figures {

inline constexpr double panel_width = 62.0;  ///< of a panel [mm]

struct VariantMark {
  double x = 0;      ///< the setting; over words: the row, from 0
  double value = 0;  ///< in the unit of the title; not a number: none
  bool good = true;
};

struct VariantLine {
  std::vector<VariantMark> marks;  ///< of rising x
  bool alike = false;              ///< one of too many to tell apart: thin and grey
};

struct VariantLimit {
  std::string name;  ///< "at most 1.5 kA"
  double value = 0;
  bool missed = false;  ///< by any variant
};

struct VariantPanel {
  Head head;
  std::string title;               ///< the measure with its unit
  std::string x_label;             ///< the setting with its unit
  std::vector<std::string> words;  ///< over words: the names of the rows
  std::vector<VariantLine> lines;
  std::vector<VariantLimit> limits;  ///< one that nobody misses is left out where it lies far from all values
};

/// The SVG; without a number the text is empty.
std::string variant_panel(const VariantPanel& panel);

/// The names of the lines behind pieces of them, in columns; empty with fewer than two.
std::string variant_key(const Head& head, const std::vector<std::string>& names);

}  // namespace joulepress::tools::figures
