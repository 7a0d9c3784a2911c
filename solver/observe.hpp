// What can be read from a state: surface temperatures, sensors, powder values, heats by part, current shares.
#pragma once

#include "solver/frame.hpp"

namespace joulepress::solver {

/// Names that the rows of a run refer to, and its holds.
HistoryFrame history_frame(const Problem& problem);

HistoryRow row_of(const Problem& problem, Workspace& workspace, const Frame& frame, DriveMode mode,
                  Limit limit);

/// Volume mean over all powder bodies as they lie [K]; there must be one.
double powder_mean(const Problem& present, std::span<const double> temperature);

/// Where a body is read: points and edges at its mid-height, wherever it lies.
struct Readings {
  mesh::Watch mean, centre;           ///< centre of a ring: the middle of its wall at mid-height
  mesh::EdgeWatch edge, inner, wall;  ///< its outside, the bore of a ring, the sleeve's side; empty: none
  mesh::Spot outside;                 ///< surface of the stack there, in a furnace only
};
Readings readings_of(const Problem& present, const PowderBody& body);

/// Middle of a body in height [m].
double mid_height(const Problem& present, const PowderBody& body);

/// Value read from edge temperatures [K].
double edge_value(const mesh::EdgeWatch& watch, const EdgeTemperatures& edges);

/// Axial current through the horizontal cut z that lies inside the given parts [A], positive downward
/// (from the high electrode to the low one).
double axial_current(const Problem& present, const Frame& frame, std::span<const int> parts, double z);

}  // namespace joulepress::solver
