// Diagrams over time: their lines, their JSON for the script, and their places in a page.
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
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

/// The diagrams of a run's history, in order; without those that have nothing to show.
std::vector<Chart> charts_of(const Matter& m);

nlohmann::json charts_json(const std::vector<Chart>& charts);

/// What the script says of its own.
nlohmann::json script_words(const Words& say);

/// The section of the history, with a place for every diagram.
std::string charts_section(const std::vector<Chart>& charts, const Words& say);

}  // namespace joulepress::tools::html
