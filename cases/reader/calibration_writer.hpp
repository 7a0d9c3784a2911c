// Calibration -> text.
#pragma once

#include <string>

#include "cases/case.hpp"

namespace joulepress::cases {

/// The group of a resolved case, whose values stand at their keys.
std::string calibration_text(const Calibration& calibration);

/// A calibration file for other cases on the same press: of the inputs whose values all belong to the press,
/// the contacts and the materials, with what the values are.  Sizes of parts, sensors, bodies of powder and
/// the chamber of the day are those of one set-up and stay behind.  Of a case without a calibration: an empty
/// text.
std::string calibration_file(const Case& calibrated);

}  // namespace joulepress::cases
