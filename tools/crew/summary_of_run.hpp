// What stands at the head of summary.json, gathered from a case and its run: the same for a run by itself and
// for a member of a study.
#pragma once

#include <string>

#include "cases/case.hpp"
#include "solver/problem.hpp"
#include "tools/store/summary_json.hpp"

namespace joulepress::tools {

/// `problem`: as it was run.  Its warnings are the doubts of `check`, asked of the holds as they were, and
/// then those of the run itself.
SummaryHead head_of_run(const cases::Case& c, const solver::Problem& problem, const std::string& case_sha256,
                        const solver::RunResult& result, const solver::Summary& summary);

}  // namespace joulepress::tools
