// What a page is made of: the stored results of one folder, and the case built again from its text.
#pragma once

#include <algorithm>
#include <cmath>

#include "cases/case.hpp"
#include "solver/problem.hpp"
#include "tools/html/words.hpp"
#include "tools/store/fields_read.hpp"
#include "tools/store/results_read.hpp"

namespace joulepress::tools::html {

struct Matter {
  StoredResults results;
  StoredFields fields;
  cases::Case c;
  solver::Problem problem;
  Words say;

  bool is_powder(int part) const {
    return std::any_of(problem.powders.begin(), problem.powders.end(),
                       [part](const solver::PowderBody& body) { return body.part == part; });
  }
  bool furnace() const { return problem.drive.kind == solver::DriveKind::furnace; }
  /// Whether a temperature is entered, so that another one can be entered instead.
  bool tracked() const { return furnace() || problem.drive.kind == solver::DriveKind::tracking; }
};

/// Output nearest to a time.
inline std::size_t output_at(const StoredFields& fields, double time) {
  std::size_t nearest = 0;
  for (std::size_t k = 1; k < fields.times.size(); ++k)
    if (std::abs(fields.times[k] - time) < std::abs(fields.times[nearest] - time)) nearest = k;
  return nearest;
}

}  // namespace joulepress::tools::html
