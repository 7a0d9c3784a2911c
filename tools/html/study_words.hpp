// What a study looks at, in the words and numbers of a page.
#pragma once

#include <string>

#include "tools/html/words.hpp"
#include "tools/study/measures.hpp"

namespace joulepress::tools::html {

/// An address has no other name.
std::string measure_name(const Measure& measure, const Words& say);

/// "°C", "kA"; the SI unit where people use no other; empty for pure numbers.
std::string measure_unit(const Measure& measure);

/// "offset [K]"
std::string measure_heading(const Measure& measure, const Words& say);

/// As it is shown, from SI.
double shown_value(const Measure& measure, double si);

/// "94.6"; a dash for no number.
std::string shown_number(const Measure& measure, double si, const Words& say);
std::string shown_with_unit(const Measure& measure, double si, const Words& say);  ///< "94.6 K"

/// Of a difference of two such values, at two digits, no more than two beyond those of a value: "0.12", "<
/// 0.001".
std::string shown_width(const Measure& measure, double si, const Words& say);

}  // namespace joulepress::tools::html
