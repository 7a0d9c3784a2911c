// An SVG as PNG, by librsvg's program `rsvg-convert` (docs/decisions/0007-own-svg-writer.md).
#pragma once

#include <string>

namespace joulepress::tools {

/// The bytes of the PNG at 200 dots per inch.  Throws FileError when `program` is not there or fails.
std::string png_of(const std::string& svg, const std::string& program = "rsvg-convert");

}  // namespace joulepress::tools
