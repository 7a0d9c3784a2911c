// Where heat is made and where it goes at the end of the last hold.
#pragma once

#include <string>

#include "tools/screen/report.hpp"

namespace joulepress::tools {

/// Empty where no power flows then.
std::string heat_balance(const solver::RunResult& result, const solver::Summary& summary);

}  // namespace joulepress::tools
