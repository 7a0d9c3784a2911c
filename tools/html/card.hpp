// The card that lies beside the press: what to enter, what the powder gets for it, what the panel then shows,
// how near it comes, and when to stop.
#pragma once

#include <string>

#include "tools/html/words.hpp"
#include "tools/study/correct_study.hpp"

namespace joulepress::tools::html {

/// Plain UTF-8 of at most 78 characters a line, for a terminal and a line printer.  Nothing in it controls
/// either: names from the case have lost such characters.
std::string card_text(const CorrectStudy& study, const Words& say);

/// The HTML; on paper one sheet of A4.
std::string card_page(const CorrectStudy& study, const Words& say);

}  // namespace joulepress::tools::html
