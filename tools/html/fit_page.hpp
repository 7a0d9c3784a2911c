// The page of a fit: what the logs told, how the runs met them before and after, what would tell more.
#pragma once

#include <string>

#include "tools/html/words.hpp"
#include "tools/study/fit_study.hpp"

namespace joulepress::tools::html {

std::string fit_page(const FitStudy& study, const Words& say);

}  // namespace joulepress::tools::html
