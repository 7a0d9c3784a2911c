// What cannot be right about how a programme is to be followed, and what makes one look again.
#pragma once

#include "cases/process_faults.hpp"

namespace joulepress::cases {

/// A controller without the limit that is its full output, sensors that cannot control from the start, a
/// start beyond the press; thermoelectric heat without a material that would make it.
void report_control(const Case& c, ErrorList& errors);

/// Pulses that enter a part less deep than it is thick.
std::vector<Doubt> doubts_of_pulses(const Case& c);

}  // namespace joulepress::cases
