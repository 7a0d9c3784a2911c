// All that a run carries from one step to the next.  Written down and read back it goes on to the same bits;
// what is missing here shows in tests/tools/test_resume.cpp.
#pragma once

#include <limits>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "solver/fields.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// How the drive's modes take turns.
struct Turns {
  double last = -std::numeric_limits<double>::infinity();  ///< time of the last change [s]
  double longer = 1;                                       ///< first step after it, in those of the problem
};

struct Checkpoint {
  State state;
  std::vector<HistoryRow> rows;
  std::vector<Snapshot> snapshots;
  std::vector<LimitedInterval> limited;
  std::vector<std::string> warnings;
  std::optional<LimitedInterval> open;  ///< a limited interval that goes on
  double fields_until = 0;              ///< s, up to where cell fields were handed out
  int attempts = 0, stalled = 0;        ///< of the march (solver/march.cpp)
  Turns turns;
};

/// A checkpoint as one row of numbers, in the order of the members above: doubles as they are, whole numbers
/// and switches exactly, a list as its length and its values.
std::vector<double> flatten(const Checkpoint& checkpoint);

/// The way back.  Throws std::invalid_argument when the numbers do not add up to a checkpoint.
Checkpoint unflatten(std::span<const double> numbers);

/// The same for cell fields handed out so far.
std::vector<double> flatten_fields(const std::vector<CellFields>& fields);
std::vector<CellFields> unflatten_fields(std::span<const double> numbers);

/// Whether the checkpoint has the cells, faces, parts and sensors of the problem.
bool fits(const Checkpoint& checkpoint, const Problem& problem);

}  // namespace joulepress::solver
