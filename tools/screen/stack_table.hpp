// What `check` shows: the stack as it was understood, to be compared with the one on the bench.
#pragma once

#include <string>

#include "cases/case.hpp"
#include "solver/problem.hpp"

namespace joulepress::tools {

std::string stack_table(const cases::Case& c, const solver::Problem& problem);

}  // namespace joulepress::tools
