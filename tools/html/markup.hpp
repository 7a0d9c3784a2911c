// HTML in the few words a page needs.  All texts are escaped here, so that a title of a case is never markup.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "tools/html/words.hpp"

namespace joulepress::tools::html {

std::string paragraph(std::string_view text);
std::string bullets(const std::vector<std::string>& texts);
/// Sentences from elsewhere: translated where the table has them, else as they are, their language marked.
std::string bullets(const Words& say, const std::vector<std::string>& sentences);

/// A table of texts; the first cell of every row heads it.
struct Table {
  std::string id;       ///< also the name of its CSV
  std::string caption;  ///< read out; empty: none
  std::vector<std::string> columns;
  std::vector<std::vector<std::string>> rows;
  bool first_counts = false;              ///< the first row is what the reader came for
  bool numbers = false;                   ///< all columns between the first and the last stand to the right
  std::vector<std::size_t> english = {};  ///< columns with texts from elsewhere (words.hpp)
};
std::string table(const Table& table);

/// An SVG as a part of the page: without the prolog of a file.
std::string_view inlined(std::string_view svg);
/// The same with a text below it.
std::string figure(std::string_view svg, std::string_view caption);

/// Folded away until it is asked for; `body` is markup.
std::string folded(std::string_view summary, std::string_view body);

/// A section with its heading; `body` is markup.
std::string section(std::string_view id, std::string_view heading, std::string_view body);

/// A button that hands out data as CSV; `what`: "history", "field", "along-r", "along-z" or "table:ID".
std::string csv_button(std::string_view what, std::string_view label);

/// "sha256-..." of the bytes of a script or style, as a content security policy names it (W3C CSP3).
std::string policy_hash(std::string_view content);

std::string base64(std::string_view bytes);

}  // namespace joulepress::tools::html
