// The page of how sure a case is: the sentences, the range, what it comes from, and what is behind it.
#pragma once

#include <string>

#include "tools/html/words.hpp"
#include "tools/study/bound_study.hpp"

namespace joulepress::tools::html {

/// The HTML.
std::string bound_page(const BoundStudy& study, const Words& say);

}  // namespace joulepress::tools::html
