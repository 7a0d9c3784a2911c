// The variant that a study recommends: beside its neighbours in words, and as a sheet for the workshop.
#pragma once

#include <string>
#include <vector>

#include "tools/study/vary_study.hpp"

namespace joulepress::tools {

/// "offset +4.0 K, power +0.26 kW": what `other` has more than `one`, of every measure that differs.
std::string differences(const VaryStudy& study, std::size_t one, std::size_t other);

/// Lines for the screen; empty where the plan asks for no recommendation.
std::string advice_screen(const VaryStudy& study);

/// Drawing of the tool whose key decides, as the recommended variant has it, as SVG; empty where no key of a
/// tool decides or no variant is good.  `members` as the crew ran them.
std::string advised_part(const VaryStudy& study, const std::vector<Member>& members,
                         const std::string& case_file);

}  // namespace joulepress::tools
