// The table of words.hpp, in parts.
#pragma once

#include <span>
#include <string_view>

namespace joulepress::tools::html {

struct WordEntry {
  std::string_view english, german;
};

/// Of the page of a run, of its strength; of the pages of many runs; of the card; of a table of offsets; of a
/// fit.  No English stands in two of them.
std::span<const WordEntry> words_of_run();
std::span<const WordEntry> words_of_strength();
std::span<const WordEntry> words_of_studies();
std::span<const WordEntry> words_of_card();
std::span<const WordEntry> words_of_offsets();
std::span<const WordEntry> words_of_fit();

}  // namespace joulepress::tools::html
