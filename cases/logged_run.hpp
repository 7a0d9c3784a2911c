// A case run as its log says: the current, or the power, and the force that were measured.
//
// Never by the reading of a sensor: a model that follows a noisy temperature makes up the current that this
// needs, and every error of the reading with it.  The measured current is cut into straight pieces, as few as
// keep the heat that it has brought in:
//   q(t) = integral of (I_log^2 - I^2) dt   |q| <= share * (integral of I_log^2 over the run)  at every time,
// each piece a line of least squares through its values, its I^2 then scaled to the heat of the log.  Pieces
// are split where |q| is largest.  Of a power programme the same with P for I^2.
// A meter of mean current shows less than what heats: with the form of the pulses it is turned into the
// effective one (solver/pulse.hpp).
// Tests: tests/cases/test_logged_run.cpp.
#pragma once

#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/reader/input_error.hpp"
#include "cases/reader/press_log.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::cases {

/// A column of the log and what of a run it is held against.
struct ComparedColumn {
  int column = 0;        ///< index into the columns of the log
  int sensor = -1;       ///< of a reading: index into the sensors of the case
  double deviation = 0;  ///< of one value by its instrument, SI: noise and last digit
};

struct LoggedRun {
  PressLog log;
  solver::DriveKind kind = solver::DriveKind::current;
  int driven_by = -1;  ///< index into the columns of the log; -1: nothing to drive by
  std::vector<solver::Segment> segments;
  std::vector<solver::ForcePoint> force;  ///< on the column; empty: as the case has it
  std::vector<ComparedColumn> compared;   ///< readings, voltage, stroke
  std::vector<std::string> unused;  ///< headings of columns that drive nothing and are compared with nothing
  std::vector<std::string> remarks;
};

/// Of a case without faults.  In the list: no current or power, no reading of a sensor of the case, a mean
/// current without the form of its pulses, nothing flows.
LoggedRun logged_run(const Case& c, PressLog log, ErrorList& errors);

/// The problem of the case, or of a variant of it, driven as the log says; limits, controller and rules of
/// the press do not act, strength is not judged.  Throws InputErrors where it cannot be built.
solver::Problem logged_problem(const Case& c, const LoggedRun& run);

/// What a column of the log would have shown of a run at a moment, without noise and rounding [SI].
double shown_of(const Case& c, const LoggedRun& run, const ComparedColumn& compared,
                const solver::HistoryRow& row);

}  // namespace joulepress::cases
