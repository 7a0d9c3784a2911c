// The same stack without powder: a solid plug of the punch's material in the place of each powder, as high as
// the powder is at the end.  What a press does without powder depends on contacts, graphite and cooling
// alone. Tests: tests/cases/test_blank_case.cpp.
#pragma once

#include <optional>

#include "cases/case.hpp"

namespace joulepress::cases {

/// Nothing where there is no powder, or no tool above it.
std::optional<Case> blank_case(const Case& c);

}  // namespace joulepress::cases
