// Answers of a practitioner -> sizes of a stack, by rules that are common practice, no source; what to
// propose where he has no wish, and which answers cannot be.  Pure: nothing is read or written here.
#pragma once

#include <optional>
#include <string>

#include "cases/case.hpp"
#include "cases/reader/units.hpp"
#include "cases/tool_sizes.hpp"
#include "materials/material.hpp"

namespace joulepress::cases {

/// Quantities as they were said, each of which parse_quantity accepts.
struct Answers {
  std::string diameter;       ///< of the sample
  std::string powder;         ///< name of its material
  std::string amount;         ///< mass of the powder, or height of the dense compact
  std::string start_density;  ///< relative density under the preload
  std::string press;          ///< as a case names it: presses/workshop-30kN.yaml
  std::string die_diameter, die_height;
  std::string temperature, rate, hold;
  std::string pressure;
  bool for_powder = false;  ///< the temperature is wished for the powder, not meant for the sensor
};

inline constexpr double foil_thickness = 0.2e-3;   ///< m; the bore is wider by two of them
inline constexpr double sheaths_deep_usual = 7.0;  ///< depth of the sensor's bore in sheath diameters

/// What follows from the answers [SI].
struct ProposedStack {
  ToolSizes usual;
  double bore = 0, wall = 0;                      ///< of the die
  double dense_height = 0, loose_height = 0;      ///< of the powder: at the end, under the preload
  double guided = 0;                              ///< of each punch inside the die, powder loose
  double punch_length = 0, free = 0;              ///< free: of each punch outside the die at the end
  double sensor_depth = 0, sheath = 0, rest = 0;  ///< rest: from the end of the bore to the cavity
  double force = 0;                               ///< N, full pressure
};

/// Needs everything but press and programme; `powder` is the material of that name.
ProposedStack proposed_stack(const Answers& answers, const materials::Material& powder);

/// What is proposed where the practitioner has no wish of his own; each needs the answers before it.
std::string usual_amount(const Answers& answers);
std::string usual_start_density(const materials::Material& powder);
std::string usual_die_diameter(const Answers& answers);
std::string usual_die_height(const Answers& answers, const materials::Material& powder);
std::string usual_temperature(const materials::Material& powder);
/// 50 MPa, or what the press can give on this diameter.
std::string usual_pressure(const Answers& answers, const Press& press);

/// Where the first liquid appears.
struct FirstLiquid {
  double kelvin = 0;
  std::string where;  ///< "nickel in touch with graphite melts"
};

/// Graphite foil touches the powder on every side, so that a eutectic with carbon counts.  Empty: not known.
std::optional<FirstLiquid> first_liquid(const materials::Material& powder);

/// Whether a workshop would press it: it melts, lies in no sheets and is no part of the press.
bool pressed_as_powder(const materials::Material& material);

/// A mass or a length above zero, or the problem and its remedy.
Quantity amount_of(const std::string& text);

/// Why an answer cannot be, with what to do, in one line; empty: all is well.
std::string fault_of_start_density(const Answers& answers);
std::string fault_of_die_diameter(const Answers& answers);
std::string fault_of_die_height(const Answers& answers, const materials::Material& powder);
std::string fault_of_temperature(const Answers& answers, const materials::Material& powder);
std::string fault_of_pressure(const Answers& answers, const Press& press);

}  // namespace joulepress::cases
