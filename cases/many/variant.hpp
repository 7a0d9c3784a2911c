// A case with edits as a case of its own.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "cases/many/edits.hpp"

namespace joulepress::cases {

/// A case as the tree of its resolved text.  What follows from other keys is left to follow: the start
/// temperature from the chamber, where it was not written; the end of a hold of the pressure from the
/// programme.
SourceNode resolved_document(const Case& c);

struct Variant {
  std::string text;  ///< resolved, stands alone; empty when refused
  /// Why it is no case: every mistake with its remedy and, where a changed value made it, the value's place
  /// in the plan.  Empty: it is one.
  std::string refused;
};

/// Edits applied to a resolved case; `folder`: where files that edited values name are looked for.  Its
/// problem is built too, so that parts that do not fit are found before anything runs.
Variant variant_of(const SourceNode& resolved, const std::vector<Edit>& edits,
                   const std::filesystem::path& folder);

}  // namespace joulepress::cases
