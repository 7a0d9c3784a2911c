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

/// The fields that there are, as they are called.
std::vector<std::string> field_names(const Matter& m);

/// The outputs that are shown: all, or as many as there is room for, start, end and corners of holds first.
std::vector<std::size_t> frames_of(const Matter& m);

/// All that the scripts of the page read.
nlohmann::json page_data(const Matter& m);

}  // namespace joulepress::tools::html
