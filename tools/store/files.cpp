#include "tools/store/files.hpp"

#include <fmt/format.h>
#include <openssl/evp.h>
#include <unistd.h>

#include <array>
#include <fstream>
#include <random>
#include <sstream>

namespace joulepress::tools {

namespace {

void write_by_way_of(const std::filesystem::path& part, const std::filesystem::path& path,
                     const std::string& content) {
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

}  // namespace

void make_folder(const std::filesystem::path& folder) {
  std::error_code problem;
  std::filesystem::create_directories(folder, problem);
  if (problem)
    throw FileError(fmt::format("The folder \"{}\" cannot be made: {}.", folder.string(), problem.message()));
}

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
  write_by_way_of(part, path, content);
}

void write_among_others(const std::filesystem::path& path, const std::string& content) {
  std::filesystem::path part = path;
  part += fmt::format(".{}-{:08x}.part", getpid(), std::random_device{}());  // pids of two machines may agree
  try {
    write_by_way_of(part, path, content);
  } catch (const FileError&) {
    std::error_code ignored;
    std::filesystem::remove(part, ignored);
    throw;
  }
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
