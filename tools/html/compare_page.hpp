// The page of a comparison: the tables of the screen, and the histories of all runs in the same diagrams.
#pragma once

#include <string>
#include <vector>

#include "tools/screen/results_table.hpp"

namespace joulepress::tools::html {

/// In English.  Throws cases::InputErrors when a stored case is not YAML.
std::string compare_page(const std::vector<NamedResults>& all);

}  // namespace joulepress::tools::html
