// A folder of a test's own under the system's temporary one, gone at the end.
#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

namespace joulepress::test {

struct Folder {
  std::filesystem::path path;

  explicit Folder(const std::string& name)
      : path(std::filesystem::temp_directory_path() /
             ("joulepress-" + name + "-" + std::to_string(getpid()))) {
    std::filesystem::remove_all(path);
    std::filesystem::create_directories(path);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { std::filesystem::remove_all(path); }

  /// A file in it with this text, byte for byte.
  std::filesystem::path write(const std::string& name, const std::string& text) const {
    std::ofstream(path / name, std::ios::binary) << text;
    return path / name;
  }
};

}  // namespace joulepress::test
