// Choices of model that a number cannot bound: each is made the other way once, with everything else the
// same.
#pragma once

#include <string>
#include <vector>

#include "cases/many/edits.hpp"

namespace joulepress::cases {

struct ModelChoice {
  std::string id;     ///< a-z and hyphens
  std::string taken;  ///< what the case has: "walls see each other"
  std::string other;  ///< what is tried: "walls see the chamber only"
  std::vector<Edit> edits;
  bool either_may_hold = false;  ///< no way out of an effect that is there for sure
};

/// Those that a case has: densification of the powder, its law of conductivity, what open walls see, whether
/// touches follow pressure and temperature, the stem of couples, thermoelectric heat.
std::vector<ModelChoice> model_choices(const Case& c);

}  // namespace joulepress::cases
