// The page of a plan's variants, to be pinned up: which are good, what came out of each, why some are not.
#pragma once

#include <string>

#include "tools/html/words.hpp"
#include "tools/study/vary_study.hpp"

namespace joulepress::tools::html {

/// The HTML.  Members that have not ended are listed as such.
std::string vary_page(const VaryStudy& study, const Words& say);

}  // namespace joulepress::tools::html
