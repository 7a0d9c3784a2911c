// Case -> a self-contained case file: press and materials inside, every default written out, SI units,
// doubles that read back to the same bits.
#pragma once

#include <string>

#include "cases/case.hpp"

namespace joulepress::cases {

/// Text as a quoted YAML scalar.
std::string quoted(const std::string& text);

std::string resolved_case(const Case& c);

}  // namespace joulepress::cases
