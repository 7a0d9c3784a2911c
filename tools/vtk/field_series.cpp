#include "tools/vtk/field_series.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "tools/store/field_table.hpp"
#include "tools/store/files.hpp"

namespace joulepress::tools {
namespace {

/// temperature_K, joule_heat_W_m3, relative_density
std::string vtk_name(const FieldColumn& column) {
  std::string unit = column.unit;
  if (unit == "1") return column.name;
  std::replace(unit.begin(), unit.end(), '/', '_');
  return fmt::format("{}_{}", column.name, unit);
}

std::string file_name(std::size_t k) {
  return fmt::format("fields/{:04}.vtu", k);
}

std::string series_text(const std::vector<double>& times) {
  std::string text =
      "<?xml version=\"1.0\"?>\n<VTKFile type=\"Collection\" version=\"0.1\" byte_order=\"LittleEndian\">\n"
      "  <Collection>\n";
  for (std::size_t k = 0; k < times.size(); ++k)
    text += fmt::format("    <DataSet timestep=\"{}\" group=\"\" part=\"0\" file=\"{}\"/>\n", times[k],
                        file_name(k));
  return text + "  </Collection>\n</VTKFile>\n";
}

}  // namespace

FieldSeries::FieldSeries(const std::filesystem::path& folder, const solver::Problem& problem, int sectors,
                         std::vector<double> begun)
    : folder_(folder),
      problem_(problem),
      mesh_(problem.mesh),
      sectors_(sectors),
      times_(std::move(begun)),
      write_(load_vtu_writer()) {
  std::error_code problem_met;
  std::filesystem::create_directories(folder_ / "fields", problem_met);
  if (problem_met)
    throw FileError(fmt::format("The folder \"{}\" cannot be made: {}.", (folder_ / "fields").string(),
                                problem_met.message()));
}

void FieldSeries::add(const solver::CellFields& fields) {
  const std::filesystem::path file = folder_ / file_name(times_.size());
  std::filesystem::path part = file;
  part += ".part";
  mesh::move_to(mesh_, fields.placement);
  VtuRequest request{part.string(), &mesh_, fields.time, sectors_, {}, {}, {}};
  for (const FieldColumn& column : field_columns) {
    VtuArray array{vtk_name(column), {}, column.vector != nullptr};
    if (column.scalar)
      array.values = fields.*column.scalar;
    else
      array.values = {(fields.*column.vector).front().data(), 2 * (fields.*column.vector).size()};
    request.arrays.push_back(std::move(array));
  }
  for (const solver::Part& p : problem_.parts) request.part_names.push_back(p.name);
  if (!write_(request))
    throw FileError(fmt::format("\"{}\" cannot be written; is the folder writable and the disk not full?",
                                part.string()));
  rename_file(part, file);
  times_.push_back(fields.time);
  write_whole(folder_ / "fields.pvd.part", series_text(times_));
}

void FieldSeries::finish() {
  rename_file(folder_ / "fields.pvd.part", folder_ / "fields.pvd");
}

void remove_field_series(const std::filesystem::path& folder) {
  for (const char* name : {"fields.pvd", "fields.pvd.part", "fields.pvd.part.part"})
    remove_file(folder / name);
  std::error_code problem;
  std::vector<std::filesystem::path> old;
  for (const auto& entry : std::filesystem::directory_iterator(folder / "fields", problem)) {
    const std::string name = entry.path().filename().string();
    if (name.ends_with(".vtu") || name.ends_with(".vtu.part")) old.push_back(entry.path());
  }
  for (const std::filesystem::path& file : old) remove_file(file);
}

}  // namespace joulepress::tools
