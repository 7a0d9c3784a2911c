// What the meters of a press show of a run, without noise and rounding.
//
// The voltage is taken between the taps where there are some, else between the ends of the column.  The stack
// is a resistance, so that a mean voltage is to the effective one as the mean current is to the effective
// one. Tests: tests/tools/test_log.cpp.
#pragma once

#include "cases/case.hpp"
#include "solver/results.hpp"

namespace joulepress::cases {

/// A; `mean`: of the pulses, else the effective one.
double current_shown(const solver::HistoryRow& row, bool mean);

/// V.
double voltage_shown(const Press& press, const solver::HistoryRow& row, bool mean);

}  // namespace joulepress::cases
