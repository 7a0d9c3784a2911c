// The columns of a run's history, declared once for every file that holds them: history.csv and results.h5.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "solver/results.hpp"

namespace joulepress::tools {

struct HistoryColumn {
  std::string name;
  std::string unit;  ///< SI; "-" a pure number, empty for words
  /// Value in a row; NaN where there is nothing to say.  Of a column of words: the index of the word.
  std::function<double(const solver::HistoryRow&)> value;
  std::vector<std::string> words;  ///< empty: a column of numbers
};

/// In the order of history.csv.  Names are unique unless two things of the case bear the same name.
std::vector<HistoryColumn> history_columns(const solver::HistoryFrame& frame);

/// Name as the head of history.csv has it: unit in brackets.
std::string title_of(const HistoryColumn& column);

}  // namespace joulepress::tools
