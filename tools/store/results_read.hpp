// The folder of a run read back: summary.json and results.h5 as plain numbers (docs/output_format.md).
// SI and kelvin, as in the files.
#pragma once

#include <cstdint>
#include <filesystem>
#include <limits>
#include <map>
#include <stdexcept>
#include <string>
#include <vector>

#include "solver/density_summary.hpp"
#include "tools/store/strength_read.hpp"

namespace joulepress::tools {

/// The folder holds no results that can be read here: one sentence, with what to do (exit code 2).  Files
/// that should be readable and are not throw FileError.
struct NoResults : std::runtime_error {
  using std::runtime_error::runtime_error;
};

inline constexpr double not_there = std::numeric_limits<double>::quiet_NaN();  ///< null in summary.json

struct StoredBody {
  std::string name;
  double mean_K = not_there, centre_K = not_there, edge_K = not_there, min_K = not_there, max_K = not_there,
         offset_mean_K = not_there;
};

/// Of densification.bodies.
struct StoredDensification {
  std::string name, held_reason;
  double start_density = not_there, end_density = not_there, end_density_min = not_there,
         end_density_max = not_there;
  std::map<double, double> reached_s;  ///< by density
  double dense_s = not_there;
};

struct StoredStroke {
  double total_m = not_there, densification_m = not_there, elastic_m = not_there, frame_m = not_there,
         growth_m = not_there, foil_m = not_there;
};

/// The names are those of summary.json.
struct StoredHold {
  std::string name;
  double start_s = not_there, end_s = not_there, settled_from_s = not_there;
  double sensor_K = not_there, sensor_material_K = not_there;
  double sample_mean_K = not_there, sample_centre_K = not_there, sample_edge_K = not_there,
         sample_min_K = not_there, sample_max_K = not_there;
  double offset_mean_K = not_there, offset_field_K = not_there, sensor_error_K = not_there,
         offset_start_K = not_there, offset_end_K = not_there;
  std::string control_sensor;                ///< empty: none, or files of before it was told
  double set_K = not_there;                  ///< of the programme
  std::optional<solver::OffsetParts> parts;  ///< offset_parts_K
  double current_A = not_there, voltage_V = not_there, power_W = not_there, current_share_powder = not_there;
  double relative_density_mean = not_there, relative_density_end_mean = not_there,
         relative_density_end_min = not_there, relative_density_end_max = not_there;
  StoredStroke stroke;
  std::vector<StoredBody> powders;
};

struct StoredSummary {
  std::string status, reason, version, title, case_sha256;
  std::string control_sensor;  ///< empty: the current was not controlled by one
  double cells = not_there, steps = not_there;
  double charge_balance_relative = not_there, energy_balance_relative = not_there;
  std::vector<std::string> warnings, not_modelled;
  double at_limit_s = 0, too_fast_s = 0;  ///< drive_limited: sums of the intervals; mode `off`: too fast
  double end_s = not_there;
  double powder_max_K = not_there, powder_max_s = not_there;
  double tool_max_K = not_there, tool_max_s = not_there, tool_r_m = not_there, tool_z_m = not_there;
  std::string tool_part;
  double electric_J = not_there, radiation_J = not_there, films_J = not_there, fixed_surfaces_J = not_there,
         stored_J = not_there, press_work_J = not_there;
  double moved_in_s = not_there;                   ///< current_moved_in
  std::vector<StoredDensification> densification;  ///< empty: files of before it was modelled
  StoredStroke stroke;                             ///< at the end
  std::vector<StoredHold> holds;
  std::optional<StoredStrength> strength;
  double tool_margin = not_there;  ///< of it, the least
  double push_out_N = not_there;   ///< of it, cold
};

struct StoredCells {
  std::vector<double> r_low, r_high, z_low, z_high;  ///< m
  std::vector<std::int32_t> part;                    ///< index into part_names
  std::vector<std::string> part_names;
};

struct StoredColumn {
  std::string name;  ///< of the data set
  std::vector<double> values;
};

struct StoredResults {
  StoredSummary summary;
  std::string case_text;  ///< the resolved case
  StoredCells cells;
  std::vector<double> field_times;    ///< s
  std::vector<double> temperatures;   ///< K, [output, cell]
  std::vector<double> times;          ///< s, of the history
  std::vector<StoredColumn> history;  ///< the columns of numbers, `time` left out
  std::string
      fingerprint;  ///< SHA-256 of the bytes of both files: the same for results equal to the last bit

  /// By its name in history.csv, of which data sets have `/` as `_`.  Null when there is no such column.
  const std::vector<double>* column(std::string name) const;
};

/// Throws NoResults or FileError.
StoredResults read_results(const std::filesystem::path& folder);

}  // namespace joulepress::tools
