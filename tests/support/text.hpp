// Texts of files, and messages that read the same wherever the tree stands.
#pragma once

#include <filesystem>
#include <fstream>
#include <initializer_list>
#include <iterator>
#include <string>

namespace joulepress::test {

/// Byte for byte; empty where there is no such file.
inline std::string content(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

inline bool holds(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// How often a part stands in a text.
inline std::size_t count(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + part.size())) ++n;
  return n;
}

/// The text with the names of these folders taken out.
inline std::string without_folders(std::string text, std::initializer_list<std::filesystem::path> folders) {
  for (const std::filesystem::path& folder : folders) {
    const std::string prefix = folder.string() + "/";
    for (std::size_t at = text.find(prefix); at != std::string::npos; at = text.find(prefix))
      text.erase(at, prefix.size());
  }
  return text;
}

}  // namespace joulepress::test
