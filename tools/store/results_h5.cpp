#include "tools/store/results_h5.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "solver/enclosure.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tools/store/field_table.hpp"
#include "tools/store/files.hpp"
#include "tools/store/h5.hpp"
#include "tools/store/history_table.hpp"
#include "tools/store/strength_json.hpp"
#include "tools/store/summary_json.hpp"

namespace joulepress::tools {
namespace {

void write_mesh(h5::File& file, const solver::Problem& problem) {
  const mesh::Mesh& mesh = problem.mesh;
  const std::size_t n = mesh.volume.size();
  std::vector<double> r_low(n), r_high(n), z_low(n), z_high(n);
  std::vector<std::int32_t> part(n);
  for (const mesh::BlockGrid& grid : mesh.grids)
    for (int j = 0; j < grid.n_z(); ++j)
      for (int i = 0; i < grid.n_r(); ++i) {
        const int cell = grid.cell(i, j);
        r_low[cell] = grid.r_lines[i];
        r_high[cell] = grid.r_lines[i + 1];
        z_low[cell] = grid.z_lines[j];
        z_high[cell] = grid.z_lines[j + 1];
        part[cell] = mesh.part_of(cell);
      }
  std::vector<std::string> parts, materials;
  for (const solver::Part& p : problem.parts) {
    parts.push_back(p.name);
    materials.push_back(problem.materials[p.material].name);
  }
  file.group("/mesh");
  file.write("/mesh/r_low", r_low, "m");
  file.write("/mesh/r_high", r_high, "m");
  file.write("/mesh/z_low", z_low, "m");
  file.write("/mesh/z_high", z_high, "m");
  file.write("/mesh/volume", mesh.volume, "m3");
  file.write("/mesh/part", part);
  file.write("/mesh/part_names", parts);
  file.write("/mesh/material_names", materials);
}

/// Lower or upper end of every cell in height.
void add_heights(const mesh::Mesh& mesh, const mesh::Placement& placement, bool high,
                 std::vector<double>& values) {
  for (const mesh::BlockGrid& grid : mesh.grids)
    for (int j = 0; j < grid.n_z(); ++j)
      values.insert(values.end(), grid.n_r(), placement[grid.block][j + (high ? 1 : 0)]);
}

void write_fields(h5::File& file, const std::vector<solver::CellFields>& fields, const mesh::Mesh& mesh) {
  const std::uint64_t cells = mesh.volume.size();
  file.group("/fields");
  std::vector<double> values;
  for (const solver::CellFields& output : fields) values.push_back(output.time);
  file.write("/fields/time", values, "s");
  for (const bool high : {false, true}) {
    values.clear();
    for (const solver::CellFields& output : fields) add_heights(mesh, output.placement, high, values);
    file.write(high ? "/fields/z_high" : "/fields/z_low", values,
               std::vector<std::uint64_t>{fields.size(), cells}, "m");
  }
  for (const FieldColumn& column : field_columns) {
    values.clear();
    std::vector<std::uint64_t> shape{fields.size(), cells};
    if (column.vector) shape.push_back(2);
    for (const solver::CellFields& output : fields) {
      if (column.scalar) {
        const solver::CellField& field = output.*column.scalar;
        values.insert(values.end(), field.begin(), field.end());
      } else {
        for (const std::array<double, 2>& v : output.*column.vector)
          values.insert(values.end(), v.begin(), v.end());
      }
    }
    file.write(std::string("/fields/") + column.name, values, shape, column.unit);
  }
}

/// Name of a data set: no slash, and none that is there already.
std::string data_set_name(std::string name, const h5::File& file) {
  std::replace(name.begin(), name.end(), '/', '_');
  std::string unique = "/history/" + name;
  for (int k = 2; file.has(unique); ++k) unique = "/history/" + name + " (" + std::to_string(k) + ")";
  return unique;
}

void write_history(h5::File& file, const solver::HistoryFrame& frame,
                   const std::vector<solver::HistoryRow>& rows) {
  file.group("/history");
  std::vector<double> numbers(rows.size());
  for (const HistoryColumn& column : history_columns(frame)) {
    const std::string name = data_set_name(column.name, file);
    std::transform(rows.begin(), rows.end(), numbers.begin(), column.value);
    if (column.words.empty()) {
      file.write(name, numbers, column.unit == "-" ? "1" : column.unit);
    } else {
      file.write(name, std::vector<std::int32_t>(numbers.begin(), numbers.end()));
      file.attribute(name, "words", column.words);
    }
  }
}

void write_ledger(h5::File& file, const solver::Ledger& ledger) {
  file.group("/ledger");
  const auto energy = [&](const char* name, double joules) {
    file.write(std::string("/ledger/") + name, joules, "J");
  };
  energy("electric", ledger.electric);
  energy("joule", ledger.joule);
  energy("press", ledger.press);
  energy("thermoelectric", ledger.thermoelectric);
  energy("source", ledger.source);
  energy("radiation", ledger.radiation);
  energy("films", ledger.film);
  energy("convection", ledger.gas);
  energy("fixed_surfaces", ledger.fixed);
  energy("stored", ledger.stored);
  energy("delivered", ledger.delivered);
  file.write("/ledger/energy_balance_relative", ledger.energy_balance_relative(), "1");
  file.write("/ledger/charge_balance_relative", ledger.charge_balance_relative(), "1");
}

/// The instants that were looked at, the cold one last.
void write_strength(h5::File& file, const solid::Strength& strength) {
  std::vector<double> time, force, side, grip, margin;
  std::vector<std::int32_t> load_case;
  for (const solid::Judged& at : strength.instants) {
    time.push_back(at.time_s);
    force.push_back(at.force_N);
    side.push_back(at.side_pressure_Pa);
    grip.push_back(at.grip_Pa);
    const double least = solid::least_margin(at.loads);
    margin.push_back(std::isfinite(least) ? least : std::nan(""));
    load_case.push_back(static_cast<std::int32_t>(at.load_case));
  }
  std::vector<std::string> words;
  for (int k = 0; k < solid::load_cases; ++k)
    words.emplace_back(load_case_name(static_cast<solid::LoadCase>(k)));
  file.group("/strength");
  file.write("/strength/time", time, "s");
  file.write("/strength/force", force, "N");
  file.write("/strength/side_pressure", side, "Pa");
  file.write("/strength/grip", grip, "Pa");
  file.write("/strength/least_margin", margin, "1");
  file.write("/strength/load_case", load_case);
  file.attribute("/strength/load_case", "words", words);
}

/// Zones where they lie at the start, and what they see of each other and of the chamber.
void write_enclosure(h5::File& file, const solver::Problem& problem, const solver::Enclosure& enclosure) {
  const solver::Problem& solved = solver::solved(problem);
  std::vector<std::int32_t> part, looks;
  std::vector<double> at, low, high, emissivity, between, outside;
  for (std::size_t k = 0; k < enclosure.zones.size(); ++k) {
    const int block = enclosure.zones[k].block;
    const int its = block < 0 ? -1 : solved.mesh.layout[block].part;
    part.push_back(its >= 0 && problem.half ? problem.half->part_above[its] : its);
    const mesh::Ring& ring = enclosure.rings[k];
    looks.push_back(static_cast<std::int32_t>(ring.looks));
    at.push_back(ring.at);
    low.push_back(ring.from);
    high.push_back(ring.to);
    emissivity.push_back(enclosure.zones[k].emissivity);
  }
  for (const mesh::ExchangeAreas& view : enclosure.views) {
    between.insert(between.end(), view.between.begin(), view.between.end());
    outside.insert(outside.end(), view.outside.begin(), view.outside.end());
  }
  const std::uint64_t zones = enclosure.zones.size(), shares = enclosure.shares.size();
  file.group("/enclosure");
  file.attribute("/enclosure", "covers", problem.half ? "upper half" : "whole");
  file.write("/enclosure/part", part);
  file.write("/enclosure/looks", looks);
  file.attribute("/enclosure/looks", "words", std::vector<std::string>{"inner", "outer", "bottom", "top"});
  file.write("/enclosure/at", at, "m");
  file.write("/enclosure/low", low, "m");
  file.write("/enclosure/high", high, "m");
  file.write("/enclosure/emissivity", emissivity, "1");
  file.write("/enclosure/share", enclosure.shares, "1");
  file.write("/enclosure/between", between, std::vector<std::uint64_t>{shares, zones, zones}, "m2");
  file.write("/enclosure/chamber", outside, std::vector<std::uint64_t>{shares, zones}, "m2");
}

}  // namespace

void write_results_h5(const std::filesystem::path& path, const ResultsHead& head,
                      const solver::Problem& problem, const Results& results, bool packed) {
  h5::File file = h5::File::create(path, packed);
  file.attribute("/", "format", "joulepress.results/1");
  file.attribute("/", "version", head.version);
  file.attribute("/", "case_sha256", head.case_sha256);
  file.attribute("/", "status", results.status);
  write_mesh(file, problem);
  write_fields(file, results.fields, problem.mesh);
  write_history(file, solver::history_frame(problem), results.rows);
  if (results.ledger) write_ledger(file, *results.ledger);
  if (results.enclosure) write_enclosure(file, problem, *results.enclosure);
  if (results.strength && !results.strength->instants.empty()) write_strength(file, *results.strength);
  file.write("/case", std::vector<std::string>{head.case_text});
  file.close();
}

ResultsFile::ResultsFile(const std::filesystem::path& folder, ResultsHead head,
                         const solver::Problem& problem, Results begun)
    : path_(folder / "results.h5"),
      part_(folder / "results.h5.part"),
      draft_(folder / "results.h5.part.new"),
      head_(std::move(head)),
      problem_(problem),
      results_(std::move(begun)),
      due_(Clock::now()) {}

void ResultsFile::add(const solver::HistoryRow& row) {
  results_.rows.push_back(row);
  renew_when_due();
}

void ResultsFile::add(const solver::CellFields& fields) {
  results_.fields.push_back(fields);
  renew_when_due();
}

void ResultsFile::renew_when_due() {
  constexpr auto least = std::chrono::milliseconds(500);
  constexpr int share = 20;  // of the time between two renewals, spent on one
  const Clock::time_point start = Clock::now();
  if (start < due_) return;
  write_results_h5(draft_, head_, problem_, results_, false);
  rename_file(draft_, part_);
  const Clock::time_point end = Clock::now();
  due_ = end + std::max<Clock::duration>(least, share * (end - start));
}

void ResultsFile::finish(const solver::RunResult& result, const solid::Strength* strength) {
  results_.status = status_name(result.status);
  results_.ledger = result.ledger;
  results_.enclosure = result.enclosure;
  results_.strength = strength;
  write_results_h5(draft_, head_, problem_, results_, true);
  rename_file(draft_, path_);
  remove_file(part_);
}

}  // namespace joulepress::tools
