// What no press could do with this stack, and what is doubtful: punches that do not enter, powder that does
// not fit, force beyond press or strength, melting.  Faults are errors; doubts are sentences for `check` and
// reports. Limits are common practice, no source, unless one is named.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/pressing.hpp"
#include "cases/reader/input_error.hpp"

namespace joulepress::cases {

/// Tools that collide or powder that does not fit while the stack is pressed.  True when something was
/// reported: bare overlaps of the layout then say nothing new.
bool report_pressing(const Case& c, ErrorList& errors);

/// Force beyond the press or the strength of a punch, temperatures beyond melting.
void report_limits(const Case& c, ErrorList& errors);

/// A sentence that makes the user look again, with where it comes from in the case.
struct Doubt {
  Place place;
  std::string sentence;
};

/// Doubts that the case alone raises.
std::vector<Doubt> doubts_of(const Case& c);

/// Highest temperature the programme asks a sensor or a furnace for [K]; nothing when it drives another
/// quantity.
std::optional<double> highest_temperature(const Case& c);

/// "heat conductivity to 1227 degC, ...": properties whose curves end below a temperature; empty: none.
std::string properties_ending_below(const materials::Material& material, double kelvin);

/// Properties used beyond their data when every part reaches `kelvin`, one sentence a material.
std::vector<std::string> beyond_data(const Case& c, double kelvin);

/// Whether the powder touches graphite, foil or carbon: then eutectics with carbon count.
bool touches_carbon(const Case& c);

}  // namespace joulepress::cases
