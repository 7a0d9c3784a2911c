// Frame and title block of a drawing on one A4 sheet, upright.
#pragma once

#include <string>
#include <vector>

#include "tools/page/svg.hpp"

namespace joulepress::tools::page {

// ISO 216 A4 upright, all in mm.
inline constexpr double sheet_width = 210, sheet_height = 297, margin = 10;

struct TitleBlock {
  std::string heading;
  std::vector<std::string> lines;  ///< below it: what belongs to whom
  double scale = 1;                ///< page over true length
  std::string view;                ///< what is seen: "axial section"
};

/// What it takes of the sheet above the lower margin [mm].
double height_of(const TitleBlock& block);

/// The frame around the sheet and the block at its foot; texts that are too long are cut.
void draw_title_block(svg::Document& doc, const TitleBlock& block);

}  // namespace joulepress::tools::page
