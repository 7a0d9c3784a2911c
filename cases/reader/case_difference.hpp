// What differs between two cases, key by key.  Meant for resolved cases: there every default is written out,
// and press and materials stand inside, so that nothing else can differ.
#pragma once

#include <string>
#include <vector>

namespace joulepress::cases {

struct CaseChange {
  std::string key;          ///< path, entries of lists by their name: column[powder].mass
  std::string first, then;  ///< values in the units of the trade; empty: the key is not there
};

/// In the order of the first text, keys of the second alone behind their neighbours.  Entries of lists are
/// matched by `name` (materials by `material`), by place where they have none.  Comments, notes of form and
/// the order of keys do not count; the order of named entries does.  Throws InputErrors when a text is not
/// YAML.
std::vector<CaseChange> case_differences(const std::string& first, const std::string& then);

}  // namespace joulepress::cases
