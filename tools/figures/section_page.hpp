// The section through the axis as both of its figures show it: the right half for what is shown, the left
// half as outlines with the names of the parts beside it, both axes in mm at true proportions.
#pragma once

#include <string>
#include <vector>

#include "tools/figures/axes.hpp"
#include "tools/figures/stack_cells.hpp"
#include "tools/page/section.hpp"

namespace joulepress::tools::figures {

/// The stack and its words.
struct Stack {
  Cells cells;
  std::vector<std::string> names;  ///< by part; empty: not written
  std::vector<std::string> more;   ///< by part, in a line below its name (if it has one); may be shorter
  std::vector<bool> is_powder;     ///< by part
  std::string radius_label, height_label;  ///< of the axes, "r in mm"
};

/// A text beside the left half with a leader to a place in the stack.
struct Callout {
  double r = 0, z = 0;  ///< m; drawn on the left half, at -r
  std::vector<std::string> lines;
};

struct SectionPage {
  page::View view;  ///< from m to the page
  Extent extent;
  Field field;            ///< around both halves
  double height = 0;      ///< of the page [mm]
  double names_room = 0;  ///< width of the texts on the left [mm]
};

/// Throws std::invalid_argument unless is_powder tells of every part that has cells.
void check_parts(const Stack& stack);

/// One for each part with a name: a place of its own, bare if there is one.
std::vector<Callout> part_callouts(const Stack& stack, const std::vector<CellBlock>& blocks);

/// As large as fits the width of the page and a height of 165 mm; `right_room` mm are left free beside the
/// height axis.
SectionPage lay_out(const std::vector<CellBlock>& blocks, std::vector<Callout>& callouts, double right_room);

/// Outlines of the left half, powders tinted.
void draw_left_half(svg::Document& doc, const SectionPage& page, const Stack& stack,
                    const std::vector<CellBlock>& blocks);
/// Outlines of the right half that read on any colour (`on_colours`), or in ink with powders tinted.
void draw_right_half(svg::Document& doc, const SectionPage& page, const Stack& stack,
                     const std::vector<CellBlock>& blocks, bool on_colours);
void draw_callouts(svg::Document& doc, const SectionPage& page, const std::vector<Callout>& callouts);
/// Radius below the right half, height beside it; the axis of the stack.
void draw_section_axes(svg::Document& doc, const SectionPage& page, const Stack& stack, char decimal_mark);

}  // namespace joulepress::tools::figures
