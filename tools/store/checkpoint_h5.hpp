// checkpoint.h5, format joulepress.checkpoint/1: what a run needs to go on (docs/output_format.md).
//
// A new checkpoint is written whole beside the old one and takes its name; the old one stays as
// checkpoint-before.h5.  Every data set carries the SHA-256 of its bytes, the file that of the case: a torn,
// flipped or foreign checkpoint is refused with the reason, and the one before it is used.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "solver/checkpoint.hpp"
#include "solver/fields.hpp"

namespace joulepress::tools {

struct StoredCheckpoint {
  solver::Checkpoint march;
  std::vector<solver::CellFields> fields;  ///< handed out so far
};

/// Whose checkpoint it is: only the same case and the same program go on to the same bits.
struct CheckpointOwner {
  std::string version, case_sha256;
};

/// Throws FileError; the old checkpoints stay as they were.
void write_checkpoint(const std::filesystem::path& folder, const CheckpointOwner& owner,
                      const StoredCheckpoint& checkpoint);

struct FoundCheckpoint {
  std::optional<StoredCheckpoint> checkpoint;  ///< the newest that can be used
  std::vector<std::string> refused;            ///< why newer ones cannot, one sentence each
};

/// Never throws for what lies in the folder.
FoundCheckpoint find_checkpoint(const std::filesystem::path& folder, const CheckpointOwner& owner,
                                const solver::Problem& problem);

/// After a run that ended by itself.
void remove_checkpoints(const std::filesystem::path& folder);

}  // namespace joulepress::tools
