// The answer of a run, computed by one pure function from its stored history.
//
// offset        = powder - reading of the control sensor; positive when the powder is hotter
// field part    = powder - material at the junction
// sensor error  = material at the junction - reading
// Hold values are time averages over the settled part of the hold, taken as its second half.
#pragma once

#include "solver/density_summary.hpp"
#include "solver/results.hpp"

namespace joulepress::solver {

/// One powder body over a hold.
struct BodySummary {
  std::string name;
  PowderValue value;
  std::optional<double> offset_mean_K;  ///< its mean - the reading
};

/// One sensor over a hold.
struct SensorSummary {
  std::string name;
  bool controls = false, pyrometer = false, in_sight = true;
  double reading_K = 0, material_K = 0;
  double bound_K = 0;                   ///< material - settled reading at the most
  std::optional<double> tolerance_K;    ///< of a new couple, to both sides (IEC 60584)
  std::optional<double> offset_mean_K;  ///< powder mean - reading
  std::optional<OffsetParts> parts;     ///< sums to that
};

struct HoldSummary {
  std::string name;
  double start_s = 0, end_s = 0;  ///< of the hold
  double settled_from_s = 0;      ///< averages run from here to end_s
  double set_K = 0;               ///< programme value
  int control_sensor = -1;        ///< at its end
  double sensor_K = 0, sensor_material_K = 0, stem_bound_K = 0;
  std::vector<SensorSummary> sensors;
  std::optional<PowderValue> powder;  ///< over all bodies, as in HistoryRow
  std::vector<BodySummary> powders;   ///< each body
  std::optional<double> offset_mean_K, offset_field_K;
  double sensor_error_K = 0;                           ///< material - reading
  std::optional<double> offset_start_K, offset_end_K;  ///< at the first and last row of the hold
  std::optional<OffsetParts> parts;                    ///< sums to offset_mean_K
  std::optional<OffsetDrift> drift;                    ///< from the first to the last row of the hold
  double current_A = 0, voltage_V = 0, power_W = 0;
  std::optional<double> current_share_powder;
  double taken_up_W = 0;  ///< net radiation into the stack: what it takes from a furnace
  double taken_up_start_W = 0, taken_up_end_W = 0;
  HistoryRow last;  ///< the row at the end of the hold: densities, stroke, where heat is made and goes
};

struct Peak {
  std::optional<double> powder_max_K;
  double powder_time_s = 0;
  double tool_max_K = 0, tool_time_s = 0, tool_r = 0, tool_z = 0;
  std::string tool_part;
  /// Of the drive: largest effective current and voltage, largest mean power, among the rows.
  double current_A = 0, current_time_s = 0, voltage_V = 0, power_W = 0, power_time_s = 0;
};

/// What a furnace gives to the stack and takes back through its surface, by trapezoids between the rows.
struct FurnaceHeat {
  double given_J = 0, taken_back_J = 0;  ///< both positive
  double largest_W = 0, largest_s = 0;   ///< largest net radiation into the stack, and when
};

struct Summary {
  std::vector<HoldSummary> holds;
  Peak peak;
  Densification densification;
  std::optional<FurnaceHeat> furnace;  ///< none: heated by current
  HistoryRow end;
};

/// An offset below this is none [K]: nobody sets a furnace or a press by less.
inline constexpr double as_hot_K = 0.5;

/// What to enter so that the powder mean comes to `wish_K`, when a programme of `entered_K` brought it to
/// `powder_mean_K`: a first estimate, as if powder and reading rose in proportion from `start_K`.
inline double first_entry_K(double start_K, double entered_K, double powder_mean_K, double wish_K) {
  return start_K + (entered_K - start_K) * (wish_K - start_K) / (powder_mean_K - start_K);
}

/// Rows ascending in time, at least one.
Summary summarise(const HistoryFrame& frame, const std::vector<HistoryRow>& rows);

}  // namespace joulepress::solver
