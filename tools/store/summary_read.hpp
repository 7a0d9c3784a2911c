// Numbers of a stored summary.json by address, as plans and tables name them:
//   peak.current_A      holds[sinter].offset_mean_K      holds[-1].sensors[die thermocouple].reading_K
// Keys are joined by dots.  An entry of a list is named by its `name` (the first of several that bear it), or
// by its number, from 0, or from -1 at the end backwards.  SI and kelvin, as in the file.
#pragma once

#include <optional>
#include <string>
#include <vector>

namespace joulepress::tools {

/// One value of the file with all that is inside it.
struct SummaryNode {
  enum class Holds { number, nothing, words, group, list };
  Holds holds = Holds::group;  ///< nothing: null
  std::string name;            ///< its key; in a list the `name` of the entry, empty: it has none
  double number = 0;           ///< `true` is 1, `false` 0
  std::vector<SummaryNode> inside;
};

/// Throws FileError when the text is no summary of this schema; `file` is named in the message.
SummaryNode read_summary(const std::string& text, const std::string& file);

/// The number at an address; none where there is null, something else, or nothing.
std::optional<double> number_at(const SummaryNode& summary, const std::string& address);

/// Addresses of all numbers, and of all nulls: in another run they may be numbers.  In the order of the file,
/// entries of lists by name where they have one of their own, else by number.
std::vector<std::string> number_addresses(const SummaryNode& summary);

}  // namespace joulepress::tools
