// The figures of a page (tools/figures), filled from the results of one run.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "tools/html/matter.hpp"

namespace joulepress::tools::html {

/// The hold that the figures show: the last; nothing without holds.
const StoredHold* hold_shown(const Matter& m);

/// What a figure shows, as numbers.
struct Numbers {
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;
};

struct Picture {
  std::string name;     ///< of its files, without their ending
  std::string caption;  ///< what is seen, and when
  std::string svg;
  Numbers numbers;  ///< empty: the page has them elsewhere
};

/// Nothing where the run has none of it.
std::optional<Picture> stack_picture(
    const Matter& m);  ///< temperature over the section, at the end of the hold
std::optional<Picture> history_picture(const Matter& m);  ///< for files; the page draws its history itself
std::optional<Picture> offset_picture(const Matter& m);   ///< the way from the reading to the powder
std::optional<Picture> heat_picture(const Matter& m);  ///< where it is made and goes, at the end of the hold
std::optional<Picture> current_picture(const Matter& m);   ///< lines of current, at the end of the hold
std::optional<Picture> strength_picture(const Matter& m);  ///< the least margin over time

/// In the page: the figure with its number, its numbers folded away below it.
std::string numbered_figure(const Matter& m, const Picture& picture, int number);

/// All of them, in that order.
std::vector<Picture> pictures_of(const Matter& m);

}  // namespace joulepress::tools::html
