// Stresses for VTK viewers: strength-worst.vtu of the worst instant, strength-cold.vtu of the cold stack as
// the compact is pushed out, and strength.pvd, which lists what there is of them.
//
// Every cell of the body is written as four quads, so that the displacements of its nine nodes are those of
// the points; stresses are those in the middle of each quad.  Of a mirrored stack the upper half.
#pragma once

#include <filesystem>
#include <vector>

#include "solver/solid/strength.hpp"
#include "tools/vtk/vtu_module.hpp"

namespace joulepress::tools {

/// Margins above it are written as it: as good as not loaded.
inline constexpr double largest_margin_written = 100.0;

/// `poses` as solid::poses_of gives them; `sectors` as in VtuRequest.  Poses that did not settle are left
/// out. Throws FileError.
void write_strength_series(const std::filesystem::path& folder, const solver::Problem& problem,
                           const std::vector<solid::Posed>& poses, int sectors);

/// Removes what an earlier run left, and nothing else.
void remove_strength_series(const std::filesystem::path& folder);

}  // namespace joulepress::tools
