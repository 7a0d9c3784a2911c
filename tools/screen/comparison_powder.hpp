// Rows of a comparison about density, stroke and the tools that press.
#pragma once

#include <string>

#include "tools/store/results_read.hpp"

namespace joulepress::tools {

/// Densities of a hold and the stroke at its end; empty where neither result knows them.
std::string density_rows(const StoredHold& a, const StoredHold& b);

/// Each body over the whole run, the stroke at the end, what it did in work, whether the tools hold and the
/// compact comes out; empty as above.
std::string densification_rows(const StoredSummary& a, const StoredSummary& b);

}  // namespace joulepress::tools
