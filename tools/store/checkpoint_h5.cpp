#include "tools/store/checkpoint_h5.hpp"

#include <fmt/format.h>

#include <span>
#include <stdexcept>
#include <utility>

#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"

namespace joulepress::tools {
namespace {

constexpr const char* format_name = "joulepress.checkpoint/1";
constexpr const char* newest = "checkpoint.h5";
constexpr const char* before = "checkpoint-before.h5";
constexpr const char* draft = "checkpoint.h5.part";

std::string hash_of(std::span<const double> numbers) {
  return sha256(std::string(reinterpret_cast<const char*>(numbers.data()), numbers.size_bytes()));
}

void write_checked(h5::File& file, const std::string& name, const std::vector<double>& numbers) {
  file.write(name, numbers, "1");
  file.attribute(name, "sha256", hash_of(numbers));
}

std::vector<double> read_checked(const h5::File& file, const std::string& name) {
  std::vector<double> numbers = file.numbers(name);
  if (hash_of(numbers) != file.text_attribute(name, "sha256"))
    throw FileError(fmt::format("its data set {} is damaged (checksum)", name));
  return numbers;
}

StoredCheckpoint read(const std::filesystem::path& path, const CheckpointOwner& owner,
                      const solver::Problem& problem) {
  const h5::File file = h5::File::open(path);
  if (file.text_attribute("/", "format") != format_name) throw FileError("it has another format");
  if (file.text_attribute("/", "version") != owner.version)
    throw FileError("it is of another version of joulepress");
  if (file.text_attribute("/", "case_sha256") != owner.case_sha256) throw FileError("it is of another case");
  StoredCheckpoint checkpoint{solver::unflatten(read_checked(file, "/march")),
                              solver::unflatten_fields(read_checked(file, "/fields"))};
  if (!solver::fits(checkpoint.march, problem)) throw FileError("it does not fit the stack");
  return checkpoint;
}

}  // namespace

void write_checkpoint(const std::filesystem::path& folder, const CheckpointOwner& owner,
                      const StoredCheckpoint& checkpoint) {
  {
    h5::File file = h5::File::create(folder / draft, false);
    file.attribute("/", "format", std::string(format_name));
    file.attribute("/", "version", owner.version);
    file.attribute("/", "case_sha256", owner.case_sha256);
    file.write("/time", checkpoint.march.state.time, "s");
    write_checked(file, "/march", solver::flatten(checkpoint.march));
    write_checked(file, "/fields", solver::flatten_fields(checkpoint.fields));
    file.close();
  }
  std::error_code problem;
  if (std::filesystem::exists(folder / newest))
    std::filesystem::rename(folder / newest, folder / before, problem);
  std::filesystem::rename(folder / draft, folder / newest, problem);
  if (problem)
    throw FileError(
        fmt::format("\"{}\" cannot be written: {}.", (folder / newest).string(), problem.message()));
}

FoundCheckpoint find_checkpoint(const std::filesystem::path& folder, const CheckpointOwner& owner,
                                const solver::Problem& problem) {
  FoundCheckpoint found;
  for (const char* name : {newest, before}) {
    if (!std::filesystem::is_regular_file(folder / name)) continue;
    try {
      found.checkpoint = read(folder / name, owner, problem);
      return found;
    } catch (const std::exception& why) {
      found.refused.push_back(fmt::format("{} is not used: {}.", name, why.what()));
    }
  }
  return found;
}

void remove_checkpoints(const std::filesystem::path& folder) {
  std::error_code ignored;
  for (const char* name : {newest, before, draft}) std::filesystem::remove(folder / name, ignored);
}

}  // namespace joulepress::tools
