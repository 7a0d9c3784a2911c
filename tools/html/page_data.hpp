// What the script of a page draws: cells, fields at some of the outputs, lines of the history.
//
// Numbers of cells are packed, three bytes a value between the lowest and the highest of their list, in
// base64:
//   value = low + (high - low) n / 16777215
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <vector>

#include "tools/html/matter.hpp"

namespace joulepress::tools::html {

/// One line of a diagram over time; NaN where there is nothing.
struct ChartLine {
  std::string name, role;  ///< role: programme, sensor, mean, coldest, hottest or other
  std::vector<double> values;
};
struct Chart {
  std::string id, title, unit;
  std::vector<ChartLine> lines;
};

/// The diagrams of the history, in order; without those that have nothing to show.
std::vector<Chart> charts_of(const Matter& m);

/// The fields that there are, as they are called.
std::vector<std::string> field_names(const Matter& m);

/// The outputs that are shown: all, or as many as there is room for, start, end and corners of holds first.
std::vector<std::size_t> frames_of(const Matter& m);

/// The JSON of the page, safe between script tags.
std::string page_data(const Matter& m);

}  // namespace joulepress::tools::html
