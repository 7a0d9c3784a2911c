// summary.json, schema joulepress.summary/1 (docs/output_format.md).
#pragma once

#include <string>
#include <vector>

#include "solver/results.hpp"
#include "solver/solid/strength.hpp"
#include "solver/summary.hpp"

namespace joulepress::tools {

/// A file the case included by name.
struct IncludedHash {
  std::string name, sha256;
};

struct SummaryHead {
  std::string version, title, case_sha256;
  int cells = 0, cells_solved = 0;  ///< fewer are solved where the stack is its own mirror image
  double accuracy = 0.1;            ///< K, asked for
  std::vector<std::string> warnings, not_modelled;
  std::vector<IncludedHash> included = {};  ///< press and tooling files
  std::vector<std::string> held = {};       ///< per powder: why it keeps its density; empty: it densifies
};

/// JSON text, the same bytes for the same input.  `strength`: none where it was not judged.
std::string summary_json(const SummaryHead& head, const solver::RunResult& result,
                         const solver::Summary& summary,
                         const std::optional<solid::Strength>& strength = std::nullopt);

/// Words for the enumerations, as in files and on the screen.
std::string status_name(solver::RunStatus status);
std::string mode_name(solver::DriveMode mode);
std::string limit_name(solver::Limit limit);

}  // namespace joulepress::tools
