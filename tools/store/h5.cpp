#include "tools/store/h5.hpp"

#include <fmt/format.h>
#include <hdf5.h>

#include <algorithm>
#include <array>
#include <functional>
#include <numeric>
#include <utility>

#include "tools/store/files.hpp"

namespace joulepress::tools::h5 {
namespace {

template <herr_t (*close)(hid_t)>
int closing(std::int64_t id) {
  return close(id);
}

Handle space_of(std::span<const std::uint64_t> shape) {
  const std::vector<hsize_t> size(shape.begin(), shape.end());
  const hid_t id = size.empty() ? H5Screate(H5S_SCALAR)
                                : H5Screate_simple(static_cast<int>(size.size()), size.data(), nullptr);
  return {id, closing<H5Sclose>};
}

std::uint64_t count_of(std::span<const std::uint64_t> shape) {
  return std::accumulate(shape.begin(), shape.end(), std::uint64_t{1}, std::multiplies<>());
}

/// Properties of an object that bears no times.
Handle timeless(hid_t kind) {
  Handle properties(H5Pcreate(kind), closing<H5Pclose>);
  H5Pset_obj_track_times(properties.id(), 0);
  return properties;
}

/// UTF-8 of at most `length` bytes, zeros behind.
Handle text_type(std::size_t length) {
  Handle type(H5Tcopy(H5T_C_S1), closing<H5Tclose>);
  H5Tset_size(type.id(), std::max<std::size_t>(length, 1));
  H5Tset_strpad(type.id(), H5T_STR_NULLPAD);
  H5Tset_cset(type.id(), H5T_CSET_UTF8);
  return type;
}

std::size_t longest(const std::vector<std::string>& texts) {
  std::size_t length = 1;
  for (const std::string& text : texts) length = std::max(length, text.size());
  return length;
}

/// Texts one behind the other, each filled up with zeros to the length of the longest.
std::string filled_up(const std::vector<std::string>& texts) {
  const std::size_t length = longest(texts);
  std::string all;
  for (const std::string& text : texts) all += text + std::string(length - text.size(), '\0');
  return all;
}

std::vector<std::string> cut(const std::string& all, std::size_t length) {
  std::vector<std::string> texts;
  for (std::size_t at = 0; at + length <= all.size(); at += length) {
    const std::string text = all.substr(at, length);
    texts.push_back(text.substr(0, text.find_last_not_of('\0') + 1));
  }
  return texts;
}

/// Compression of a data set, a chunk for every first index; small ones gain nothing.
void pack(const Handle& properties, std::span<const std::uint64_t> shape, std::size_t bytes_each) {
  constexpr std::uint64_t worth_it = 8192;
  if (shape.empty() || count_of(shape) * bytes_each < worth_it) return;
  std::vector<hsize_t> chunk(shape.begin(), shape.end());
  if (chunk.size() > 1) chunk.front() = 1;
  H5Pset_chunk(properties.id(), static_cast<int>(chunk.size()), chunk.data());
  H5Pset_shuffle(properties.id());
  H5Pset_deflate(properties.id(), 1);
}

}  // namespace

Handle::Handle(Handle&& other) noexcept
    : id_(std::exchange(other.id_, -1)), close_(std::exchange(other.close_, nullptr)) {}

Handle& Handle::operator=(Handle&& other) noexcept {
  std::swap(id_, other.id_);
  std::swap(close_, other.close_);
  return *this;
}

Handle::~Handle() {
  if (id_ >= 0 && close_) close_(id_);
}

void File::refuse(const std::string& what) const {
  throw FileError(fmt::format("\"{}\": {}.", path_.string(), what));
}

std::int64_t File::good(std::int64_t id, const std::string& what) const {
  if (id < 0) refuse(what);
  return id;
}

File File::create(const std::filesystem::path& path, bool packed) {
  H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);  // messages are ours
  const Handle creation = timeless(H5P_FILE_CREATE);
  Handle file(H5Fcreate(path.c_str(), H5F_ACC_TRUNC, creation.id(), H5P_DEFAULT), closing<H5Fclose>);
  if (file.id() < 0) throw FileError(fmt::format("The file \"{}\" cannot be written.", path.string()));
  return {path, std::move(file), packed};
}

File File::open(const std::filesystem::path& path) {
  H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
  Handle file(H5Fopen(path.c_str(), H5F_ACC_RDONLY, H5P_DEFAULT), closing<H5Fclose>);
  if (file.id() < 0) throw FileError(fmt::format("\"{}\" cannot be read as HDF5.", path.string()));
  return {path, std::move(file), false};
}

void File::group(const std::string& name) {
  const Handle properties = timeless(H5P_GROUP_CREATE);
  const Handle made(H5Gcreate2(file_.id(), name.c_str(), H5P_DEFAULT, properties.id(), H5P_DEFAULT),
                    closing<H5Gclose>);
  good(made.id(), fmt::format("the group {} cannot be made", name));
}

bool File::has(const std::string& name) const {
  return H5Lexists(file_.id(), name.c_str(), H5P_DEFAULT) > 0;
}

bool File::has_attribute(const std::string& object, const std::string& name) const {
  return H5Aexists_by_name(file_.id(), object.c_str(), name.c_str(), H5P_DEFAULT) > 0;
}

void File::write_data(const std::string& name, std::int64_t file_type, std::int64_t memory_type,
                      const void* data, std::span<const std::uint64_t> shape) {
  const Handle space = space_of(shape), properties = timeless(H5P_DATASET_CREATE);
  if (packed_) pack(properties, shape, H5Tget_size(file_type));
  const Handle set(
      H5Dcreate2(file_.id(), name.c_str(), file_type, space.id(), H5P_DEFAULT, properties.id(), H5P_DEFAULT),
      closing<H5Dclose>);
  good(set.id(), fmt::format("{} cannot be made", name));
  if (count_of(shape) > 0)
    good(H5Dwrite(set.id(), memory_type, H5S_ALL, H5S_ALL, H5P_DEFAULT, data),
         fmt::format("{} cannot be written; is the disk full?", name));
}

void File::write(const std::string& name, std::span<const double> values,
                 std::span<const std::uint64_t> shape, const std::string& unit) {
  write_data(name, H5T_IEEE_F64LE, H5T_NATIVE_DOUBLE, values.data(), shape);
  attribute(name, "unit", unit);
}

void File::write(const std::string& name, std::span<const double> values, const std::string& unit) {
  write(name, values, std::array{std::uint64_t{values.size()}}, unit);
}

void File::write(const std::string& name, double value, const std::string& unit) {
  write(name, {&value, 1}, {}, unit);
}

void File::write(const std::string& name, std::span<const std::int32_t> values) {
  write_data(name, H5T_STD_I32LE, H5T_NATIVE_INT32, values.data(), std::array{std::uint64_t{values.size()}});
}

void File::write(const std::string& name, const std::vector<std::string>& texts) {
  const Handle type = text_type(longest(texts));
  const std::string all = filled_up(texts);
  write_data(name, type.id(), type.id(), all.data(), std::array{std::uint64_t{texts.size()}});
}

void File::write_attribute(const std::string& object, const std::string& name, std::int64_t type,
                           const void* data, std::span<const std::uint64_t> shape) {
  const Handle space = space_of(shape);
  const Handle made(H5Acreate_by_name(file_.id(), object.c_str(), name.c_str(), type, space.id(), H5P_DEFAULT,
                                      H5P_DEFAULT, H5P_DEFAULT),
                    closing<H5Aclose>);
  good(made.id(), fmt::format("the attribute {} of {} cannot be made", name, object));
  good(H5Awrite(made.id(), type, data),
       fmt::format("the attribute {} of {} cannot be written", name, object));
}

void File::attribute(const std::string& object, const std::string& name, const std::string& text) {
  const Handle type = text_type(text.size());
  const std::string filled = filled_up({text});
  write_attribute(object, name, type.id(), filled.data(), {});
}

void File::attribute(const std::string& object, const std::string& name,
                     const std::vector<std::string>& texts) {
  const Handle type = text_type(longest(texts));
  const std::string all = filled_up(texts);
  write_attribute(object, name, type.id(), all.data(), std::array{std::uint64_t{texts.size()}});
}

void File::close() {
  good(H5Fflush(file_.id(), H5F_SCOPE_GLOBAL), "it cannot be written; is the disk full?");
  file_ = Handle();
}

std::vector<std::uint64_t> File::shape(const std::string& name) const {
  const Handle set(H5Dopen2(file_.id(), name.c_str(), H5P_DEFAULT), closing<H5Dclose>);
  good(set.id(), fmt::format("it has no {}", name));
  const Handle space(H5Dget_space(set.id()), closing<H5Sclose>);
  std::array<hsize_t, 8> size{};
  const int rank = H5Sget_simple_extent_ndims(space.id());
  if (rank < 0 || rank > 8) refuse(fmt::format("{} has no shape that can be read", name));
  H5Sget_simple_extent_dims(space.id(), size.data(), nullptr);
  return {size.begin(), size.begin() + rank};
}

std::vector<double> File::numbers(const std::string& name) const {
  std::vector<double> values(count_of(shape(name)));
  const Handle set(H5Dopen2(file_.id(), name.c_str(), H5P_DEFAULT), closing<H5Dclose>);
  if (!values.empty())
    good(H5Dread(set.id(), H5T_NATIVE_DOUBLE, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()),
         fmt::format("{} cannot be read", name));
  return values;
}

std::vector<std::int32_t> File::integers(const std::string& name) const {
  std::vector<std::int32_t> values(count_of(shape(name)));
  const Handle set(H5Dopen2(file_.id(), name.c_str(), H5P_DEFAULT), closing<H5Dclose>);
  if (!values.empty())
    good(H5Dread(set.id(), H5T_NATIVE_INT32, H5S_ALL, H5S_ALL, H5P_DEFAULT, values.data()),
         fmt::format("{} cannot be read", name));
  return values;
}

std::vector<std::string> File::texts(const std::string& name) const {
  const Handle set(H5Dopen2(file_.id(), name.c_str(), H5P_DEFAULT), closing<H5Dclose>);
  good(set.id(), fmt::format("it has no {}", name));
  const Handle type(H5Dget_type(set.id()), closing<H5Tclose>);
  const std::size_t length = H5Tget_size(type.id());
  std::string all(count_of(shape(name)) * length, '\0');
  if (!all.empty())
    good(H5Dread(set.id(), type.id(), H5S_ALL, H5S_ALL, H5P_DEFAULT, all.data()),
         fmt::format("{} cannot be read", name));
  return cut(all, length);
}

std::vector<std::string> File::names(const std::string& group) const {
  const Handle opened(H5Gopen2(file_.id(), group.c_str(), H5P_DEFAULT), closing<H5Gclose>);
  good(opened.id(), fmt::format("it has no group {}", group));
  H5G_info_t info;
  good(H5Gget_info(opened.id(), &info), fmt::format("the group {} cannot be read", group));
  std::vector<std::string> list;
  for (hsize_t k = 0; k < info.nlinks; ++k) {
    std::array<char, 512> name{};
    H5Lget_name_by_idx(opened.id(), ".", H5_INDEX_NAME, H5_ITER_INC, k, name.data(), name.size(),
                       H5P_DEFAULT);
    list.emplace_back(name.data());
  }
  return list;
}

std::vector<std::string> File::texts_attribute(const std::string& object, const std::string& name) const {
  const Handle attribute(H5Aopen_by_name(file_.id(), object.c_str(), name.c_str(), H5P_DEFAULT, H5P_DEFAULT),
                         closing<H5Aclose>);
  good(attribute.id(), fmt::format("{} has no attribute {}", object, name));
  const Handle type(H5Aget_type(attribute.id()), closing<H5Tclose>);
  const Handle space(H5Aget_space(attribute.id()), closing<H5Sclose>);
  const std::size_t length = H5Tget_size(type.id());
  std::string all(static_cast<std::size_t>(H5Sget_simple_extent_npoints(space.id())) * length, '\0');
  good(H5Aread(attribute.id(), type.id(), all.data()),
       fmt::format("the attribute {} of {} cannot be read", name, object));
  return cut(all, length);
}

std::string File::text_attribute(const std::string& object, const std::string& name) const {
  return texts_attribute(object, name).front();
}

}  // namespace joulepress::tools::h5
