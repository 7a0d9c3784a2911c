// Fields for VTK viewers: fields/NNNN.vtu for every output time and fields.pvd, which lists them with their
// times.
#pragma once

#include <filesystem>
#include <vector>

#include "solver/fields.hpp"
#include "tools/vtk/vtu_module.hpp"

namespace joulepress::tools {

class FieldSeries {
 public:
  /// Loads the module.  `sectors` as in VtuRequest; `begun`: times whose files exist already.  The problem
  /// must outlive the series.  Throws FileError, as all members do.
  FieldSeries(const std::filesystem::path& folder, const solver::Problem& problem, int sectors,
              std::vector<double> begun = {});

  /// Writes the next .vtu whole and renews fields.pvd.part.
  void add(const solver::CellFields& fields);
  /// The run has ended: fields.pvd takes the place of fields.pvd.part.
  void finish();

 private:
  std::filesystem::path folder_;
  const solver::Problem& problem_;
  mesh::Mesh mesh_;  ///< as the cells lie at the last output
  int sectors_;
  std::vector<double> times_;
  WriteVtu write_;
};

/// Removes what an earlier run left, and nothing else.
void remove_field_series(const std::filesystem::path& folder);

}  // namespace joulepress::tools
