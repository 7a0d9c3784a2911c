// The verbs of the command line; each returns the exit code.
#pragma once

#include <filesystem>

namespace joulepress::tools {

enum ExitCode { done = 0, bad_input = 2, unsolved = 3, io_failed = 4, interrupted = 130 };

struct RunOptions {
  std::filesystem::path case_file, folder;
  bool quiet = false, replace = false;
};

/// The stack to scale as .svg or .png.
struct DrawRequest {
  std::filesystem::path case_file, out;
  bool mesh = false;  ///< grid lines on top
};

int check_case(const std::filesystem::path& case_file);
int draw_case(const DrawRequest& request);
int run_case(const RunOptions& options);

}  // namespace joulepress::tools
