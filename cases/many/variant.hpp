// A case with edits as a case of its own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cases/many/edits.hpp"

namespace joulepress::cases {

/// A case as the tree of its resolved text.
SourceNode resolved_document(const Case& c);

struct Variant {
  std::string text;     ///< resolved, stands alone; empty when refused
  std::string refused;  ///< why it is no case, every mistake with its remedy; empty: it is one
};

/// Edits applied to a resolved case; `folder`: where files that edited values name are looked for.  Its
/// problem is built too, so that parts that do not fit are found before anything runs.
Variant variant_of(const SourceNode& resolved, const std::vector<Edit>& edits,
                   const std::filesystem::path& folder);

}  // namespace joulepress::cases
