// How the powder closed, from the stored history: when densities were met, how the current's share went with
// density, when the current moved in, and how the offset changed on the way.  Pure functions of the rows.
//
// Times lie on the line between the two rows around them.  A density counts as met where the mean of the body
// rises through it: a powder that begins above it never meets it.
#pragma once

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "solver/results.hpp"

namespace joulepress::solver {

inline constexpr std::array<double, 3> reported_densities{0.90, 0.95, 0.99};
inline constexpr std::array<double, 4> share_densities{0.6, 0.7, 0.8, 0.9};

/// Why the powder mean differs from the reading; the terms sum to the offset.
struct OffsetParts {
  double powder_gradient_K = 0;  ///< powder mean - powder edge
  double lateral_contact_K = 0;  ///< powder edge - die wall (foil and touches)
  double wall_drop_K = 0;        ///< die wall - junction or spot, or to a furnace: - surface of the stack
  double surface_K = 0;          ///< of a furnace: surface of the stack - wall of the furnace
  double along_axis_K = 0;  ///< of a sensor in the column, instead of these three: powder mean - its place
  double stem_K = 0;        ///< of a couple: junction - settled reading, were the instrument true
  double optics_K = 0;      ///< of a pyrometer: surface - settled reading, were the instrument true
  double instrument_K = 0;  ///< less than nothing where it reads too high
  double lag_K = 0;         ///< settled reading - reading

  double sum() const;
};

struct OffsetTerm {
  double OffsetParts::*value;
  const char* key;    ///< in files
  const char* words;  ///< in sentences
};
inline constexpr std::array offset_terms{
    OffsetTerm{&OffsetParts::powder_gradient_K, "powder_gradient", "the powder's own gradient"},
    OffsetTerm{&OffsetParts::lateral_contact_K, "lateral_contact", "the lateral contact"},
    OffsetTerm{&OffsetParts::wall_drop_K, "wall_drop", "the die wall"},
    OffsetTerm{&OffsetParts::surface_K, "furnace_to_surface", "the step from furnace to surface"},
    OffsetTerm{&OffsetParts::along_axis_K, "along_axis", "the way along the axis"},
    OffsetTerm{&OffsetParts::stem_K, "stem", "the stem of the sensor"},
    OffsetTerm{&OffsetParts::optics_K, "optics", "the optics of the pyrometer"},
    OffsetTerm{&OffsetParts::instrument_K, "instrument", "what the instrument reads wrong"},
    OffsetTerm{&OffsetParts::lag_K, "lag", "the lag of the sensor"}};

/// A density met for the first time.
struct Reached {
  double time_s = 0;
  double powder_K = 0;             ///< mean of the body then
  std::optional<double> sensor_K;  ///< what the control sensor reads then
};

struct BodyDensification {
  std::string name;
  double start = 1, end = 1, end_min = 1, end_max = 1;  ///< relative densities
  double end_layer_min = 1, end_layer_max = 1;          ///< of the layers along the height
  double end_spread_bound = 0;                          ///< of radial differences, as in PowderValue
  double largest_spread_bound = 0;                      ///< in the whole run
  std::array<std::optional<Reached>, reported_densities.size()> reached;
  std::optional<Reached> dense;
};

/// Share of the current in the powder where the mean density of all bodies rises through a value (or has it
/// at the start).
struct ShareAtDensity {
  double density = 0, time_s = 0, share = 0;
};

/// The share rises through half of its largest value.
struct CurrentMovedIn {
  double time_s = 0, density = 0, powder_K = 0;  ///< means over all bodies then
  double least = 0, largest = 0;                 ///< shares: the least before the largest
};

/// The signed breakdown of the offset at two times.
struct OffsetDrift {
  double from_s = 0, to_s = 0, from_K = 0, to_K = 0;  ///< offsets
  OffsetParts change;                                 ///< from the first to the last; sums to to_K - from_K
};

struct Densification {
  std::vector<BodyDensification> bodies;
  std::vector<ShareAtDensity> shares;
  std::optional<double> largest_share;  ///< of the current, in the whole run
  std::optional<CurrentMovedIn> moved_in;
  std::optional<OffsetDrift> late;  ///< from a mean density of 0.9 to the end of the last hold
};

/// The breakdown for a powder and what a sensor has; nothing where edge or wall are not known.
std::optional<OffsetParts> offset_parts(const PowderValue& powder, const SensorValue& sensor,
                                        const HistoryFrame::SensorTraits& traits);

/// The sensor that controls in a row; -1 without one.
int control_sensor(const HistoryFrame& frame, const HistoryRow& row);
HistoryFrame::SensorTraits traits_of(const HistoryFrame& frame, int sensor);

/// Whether a furnace heats, and no current.
bool heated_by_furnace(const HistoryFrame& frame);

/// That of a row and its control sensor.
std::optional<OffsetParts> offset_parts(const HistoryFrame& frame, const HistoryRow& row);

/// Between two rows.
std::optional<OffsetDrift> drift_between(const HistoryFrame& frame, const HistoryRow& from,
                                         const HistoryRow& to);

/// Nothing when the share never was ten times what it had been, or never reached one percent.
std::optional<CurrentMovedIn> current_moved_in(const std::vector<HistoryRow>& rows);

/// `last_hold`: the row at its end, none without holds.
Densification densification_of(const HistoryFrame& frame, const std::vector<HistoryRow>& rows,
                               const HistoryRow* last_hold);

}  // namespace joulepress::solver
