#include "tools/store/files.hpp"

#include <fmt/format.h>
#include <openssl/evp.h>

#include <array>
#include <fstream>
#include <sstream>

namespace joulepress::tools {

void rename_file(const std::filesystem::path& from, const std::filesystem::path& to) {
  std::error_code problem;
  std::filesystem::rename(from, to, problem);
  if (problem)
    throw FileError(fmt::format("\"{}\" cannot be renamed: {}.", from.string(), problem.message()));
}

void remove_file(const std::filesystem::path& path) {
  std::error_code problem;
  std::filesystem::remove(path, problem);
  if (problem)
    throw FileError(fmt::format("\"{}\" cannot be removed: {}.", path.string(), problem.message()));
}

void write_whole(const std::filesystem::path& path, const std::string& content) {
  std::filesystem::path part = path;
  part += ".part";
  {
    std::ofstream stream(part, std::ios::binary | std::ios::trunc);
    stream << content;
    stream.flush();
    if (!stream)
      throw FileError(fmt::format("\"{}\" cannot be written; is the folder writable and the disk not full?",
                                  part.string()));
  }
  rename_file(part, path);
}

std::string read_whole(const std::filesystem::path& path) {
  std::ifstream stream(path, std::ios::binary);
  if (!stream) throw FileError(fmt::format("\"{}\" cannot be read.", path.string()));
  std::ostringstream content;
  content << stream.rdbuf();
  return content.str();
}

std::string sha256(const std::string& content) {
  std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
  unsigned int length = 0;
  if (EVP_Digest(content.data(), content.size(), digest.data(), &length, EVP_sha256(), nullptr) != 1)
    throw std::runtime_error("SHA-256 is not available");
  std::string text;
  for (unsigned int k = 0; k < length; ++k) text += fmt::format("{:02x}", digest[k]);
  return text;
}

}  // namespace joulepress::tools
