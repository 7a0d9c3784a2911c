// Three results or more in one table: a column each, a row for what differs in the cases, for every hold that
// all have, and for the whole run; then how far each number reaches.
#pragma once

#include <string>
#include <vector>

#include "tools/store/results_read.hpp"

namespace joulepress::tools {

struct NamedResults {
  std::string folder;  ///< as the user gave it; its last part heads the column
  StoredResults results;
};

/// The same numbers as texts, for a page as well.
struct ResultsTable {
  struct Row {
    std::string what, unit;
    std::vector<std::string> cells;  ///< one per result
  };
  struct Section {
    std::string title;
    std::vector<Row> rows;
  };
  std::vector<std::string> names;  ///< short, one per result
  std::vector<Section> sections;
  std::size_t more_changes = 0;  ///< differences of the cases that are not listed
};

/// Throws cases::InputErrors when a stored case is not YAML.
ResultsTable tabled(const std::vector<NamedResults>& all);

/// Text for the screen, at most 100 columns wide: what does not fit side by side follows in further blocks
/// with the same rows.  Throws cases::InputErrors when a stored case is not YAML.
std::string results_table(const std::vector<NamedResults>& all);

}  // namespace joulepress::tools
