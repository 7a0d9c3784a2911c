// The sheet of a stack's offsets, to hang beside the press: what to enter, the figure, the offsets, what they
// hold for.  One A4 page.
#pragma once

#include <string>

#include "tools/html/words.hpp"
#include "tools/study/offset_table.hpp"

namespace joulepress::tools::html {

/// Offset over what is entered, as an SVG; empty where no member counts.
std::string offsets_figure(const OffsetTable& table, const Words& say);

/// The HTML.
std::string offsets_page(const OffsetTable& table, const Words& say);

}  // namespace joulepress::tools::html
