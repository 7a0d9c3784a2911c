// Two results side by side: what differs in words first, then hold by hold, whole runs, histories and fields.
#pragma once

#include <string>

#include "tools/store/results_read.hpp"

namespace joulepress::tools {

/// Text for the screen, at most 100 columns wide where names are short.  `name_a` and `name_b`: the folders
/// as the user gave them.  Throws cases::InputErrors when a stored case is not YAML.
std::string comparison(const std::string& name_a, const StoredResults& a, const std::string& name_b,
                       const StoredResults& b);

}  // namespace joulepress::tools
