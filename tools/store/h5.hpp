// HDF5 in the few words this program needs: groups, data sets of numbers and texts with their unit, all of
// them without times of creation (the same content is the same bytes) and in the earliest file format (any
// reader knows it).  Texts have a fixed length: texts of variable length leave unwritten bytes in the file.
#pragma once

#include <cstdint>
#include <filesystem>
#include <span>
#include <string>
#include <vector>

namespace joulepress::tools::h5 {

/// Owns an HDF5 identifier.
class Handle {
 public:
  using Close = int (*)(std::int64_t);
  Handle() = default;
  Handle(std::int64_t id, Close close) : id_(id), close_(close) {}
  Handle(Handle&& other) noexcept;
  Handle& operator=(Handle&& other) noexcept;
  Handle(const Handle&) = delete;
  Handle& operator=(const Handle&) = delete;
  ~Handle();
  std::int64_t id() const { return id_; }

 private:
  std::int64_t id_ = -1;
  Close close_ = nullptr;
};

/// All functions throw FileError with the file's name when HDF5 refuses.
class File {
 public:
  /// Packed: data sets worth it are compressed.
  static File create(const std::filesystem::path& path, bool packed);
  static File open(const std::filesystem::path& path);  ///< to read

  void group(const std::string& name);
  bool has(const std::string& name) const;
  bool has_attribute(const std::string& object, const std::string& name) const;

  /// A data set of the given shape (rows first); `unit` becomes its attribute, "1" for pure numbers.
  void write(const std::string& name, std::span<const double> values, std::span<const std::uint64_t> shape,
             const std::string& unit);
  void write(const std::string& name, std::span<const double> values, const std::string& unit);
  void write(const std::string& name, double value, const std::string& unit);
  void write(const std::string& name, std::span<const std::int32_t> values);
  void write(const std::string& name, const std::vector<std::string>& texts);
  void attribute(const std::string& object, const std::string& name, const std::string& text);
  void attribute(const std::string& object, const std::string& name, const std::vector<std::string>& texts);
  /// Everything has been written.
  void close();

  std::vector<double> numbers(const std::string& name) const;
  std::vector<std::int32_t> integers(const std::string& name) const;
  std::vector<std::string> texts(const std::string& name) const;
  std::vector<std::uint64_t> shape(const std::string& name) const;
  std::vector<std::string> names(const std::string& group) const;  ///< of the members of a group, sorted
  std::string text_attribute(const std::string& object, const std::string& name) const;
  std::vector<std::string> texts_attribute(const std::string& object, const std::string& name) const;

 private:
  File(std::filesystem::path path, Handle file, bool packed)
      : path_(std::move(path)), file_(std::move(file)), packed_(packed) {}
  [[noreturn]] void refuse(const std::string& what) const;
  std::int64_t good(std::int64_t id, const std::string& what) const;
  void write_data(const std::string& name, std::int64_t file_type, std::int64_t memory_type, const void* data,
                  std::span<const std::uint64_t> shape);
  void write_attribute(const std::string& object, const std::string& name, std::int64_t type,
                       const void* data, std::span<const std::uint64_t> shape);
  std::filesystem::path path_;
  Handle file_;
  bool packed_;
};

}  // namespace joulepress::tools::h5
