// A number of ours held against one from outside.  Checked like any other; and when the environment variable
// JOULEPRESS_RECORDS names a file, written there as one line of JSON, from which tools/validation makes
// docs/validation.md.
#pragma once

#include <string>

namespace joulepress::test {

struct Comparison {
  std::string check;   ///< what was computed
  std::string source;  ///< where the target is from
  double target = 0;
  double value = 0;
  double limit = 0;  ///< largest difference allowed
  std::string unit;
  std::string proves;  ///< which part of the program the number passes through
};

/// CHECKs |value - target| <= limit and records it.
void compare(const Comparison& comparison);

}  // namespace joulepress::test
