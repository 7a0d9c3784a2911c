// Runs of one case with other temperature programmes, and what its powder has in them.
#pragma once

#include <functional>
#include <span>
#include <vector>

#include "cases/case.hpp"
#include "solver/inverse/programme_search.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"
#include "tools/study/correct_study.hpp"

namespace joulepress::tools {

/// A stop from outside came while runs were under way.
struct Interrupted {};

/// A case and its problem, run with one programme after another.
struct ProgrammeRuns {
  cases::Case c;            ///< without faults
  solver::Problem problem;  ///< of it, gains settled
  int threads = 0;          ///< 0: all cores
  std::function<bool()> go_on;

  /// One a programme, side by side.  Throws Interrupted.
  std::vector<solver::RunResult> operator()(
      std::span<const std::vector<cases::ProgrammeStep>> programmes) const;
};

/// The programme of a case as it is typed in, one line a step.
std::vector<EnteredStep> entered_steps(const cases::Case& c);

/// Lines as steps of a case.
std::vector<cases::ProgrammeStep> programme_steps(const std::vector<EnteredStep>& lines);

/// What is meant of the powder at ascending times [K], straight between rows; empty where the run did not
/// come to its end or has no powder.
std::vector<double> powder_at(const solver::RunResult& result, MeantFor meant, std::span<const double> times);

/// A temperature of a powder.
double meant_of(const solver::PowderValue& powder, MeantFor meant);

}  // namespace joulepress::tools
