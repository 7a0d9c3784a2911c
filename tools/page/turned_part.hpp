// One tool of a case as the lathe makes it: sizes as drawn, never as worn, with the bores of its sensors and
// what a toolmaker should know about it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "solver/problem.hpp"

namespace joulepress::tools::page {

/// Radial, from the outer face; all in m.
struct SensorBore {
  std::string sensor;
  double sheath = 0;  ///< diameter of the sheath; the case has none for the hole
  double depth = 0;   ///< from the outer face
  double height = 0;  ///< of its axis above the lower face
  std::optional<double>
      left;  ///< wall between its end and the bore of the part; none: the part is solid there
};

struct TurnedPart {
  std::string name, material, file;            ///< file: where the part is written, without folder
  bool sleeve = false;                         ///< else a tool of the column
  double outer = 0, bore = 0, height = 0;      ///< diameters and height [m]; bore 0: none that goes through
  std::optional<cases::BlindBore> blind_bore;  ///< along the axis
  double worn_by = 0;                          ///< m, what the case has lost of it
  std::vector<SensorBore> sensor_bores;        ///< lowest first

  /// Radius of the hole along the axis at a height above the lower face; 0: solid there [m].
  double hole_radius(double z) const;
  /// Whether a hole along the axis opens to the upper, or the lower face.
  bool opens(bool upward) const;
};

/// `problem` is build_pressed_problem(c).  Throws std::invalid_argument, with the tools there are, when the
/// name is none of a tool: powders, foils and felt are not turned.
TurnedPart turned_part(const cases::Case& c, const solver::Problem& problem, const std::string& name);

/// Sentences for the notes of its sheet: edges, the surfaces that matter with their clearances, bores, wear.
std::vector<std::string> part_notes(const cases::Case& c, const solver::Problem& problem,
                                    const TurnedPart& part);

/// What every sheet for the workshop says (docs/cautions.md).
std::string sheet_caution();

}  // namespace joulepress::tools::page
