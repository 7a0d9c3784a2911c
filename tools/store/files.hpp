// Files that are whole or absent: written beside their name as `.part`, renamed when complete.
#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>

namespace joulepress::tools {

/// Reading or writing failed (exit code 4).
struct FileError : std::runtime_error {
  using std::runtime_error::runtime_error;
};

/// With all above it; one that is there is fine.
void make_folder(const std::filesystem::path& folder);

/// Renames over whatever bears the new name, at once.
void rename_file(const std::filesystem::path& from, const std::filesystem::path& to);

/// Removes a file; none there is fine.
void remove_file(const std::filesystem::path& path);

void write_whole(const std::filesystem::path& path, const std::string& content);

/// The same where other processes may write the same file at this moment: each by way of a name of its own,
/// NAME.PID-RANDOM.part, and the last one to rename wins.  Only a process that is killed leaves its `.part`.
void write_among_others(const std::filesystem::path& path, const std::string& content);

std::string read_whole(const std::filesystem::path& path);

/// SHA-256 as 64 hexadecimal digits.
std::string sha256(const std::string& content);

}  // namespace joulepress::tools
