// What measured runs taught about a case.
//
// A calibration says of some values of a case how unsure they still are, and how they hang together; in a
// calibration file, also what they are.  These values are set by edits of the resolved case, so that one
// calibration of a press serves every case on it: what a case does not have is not taken, and noted.  In the
// case in memory and in its resolved text the values stand at their keys (those of materials as scales), and
// the group says the rest.  Tests: tests/cases/test_calibration.cpp.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/reader/calibration_reader.hpp"

namespace joulepress::cases {

/// Where a case came from.
struct CaseSource {
  const SourceNode& document;           ///< as it was written
  const std::filesystem::path& folder;  ///< where names in it are looked for
  bool other_press = false;             ///< another press took the place of the one it names
  bool chosen = false;                  ///< the calibration, instead of the case's own
};

/// Takes a calibration into a case that was read without mistakes.  To the list go: an address that a case
/// with the group inside does not have, a value that the case writes itself and the calibration sets, and
/// whatever the case with the new values is not allowed to be; the case then is as it was.
void calibrate(Case& c, const ReadCalibration& read, const CaseSource& source, ErrorList& errors);

/// The part of a calibration that belongs to some of its inputs, in the order given: of a normal distribution
/// that is what holds of them whatever the others are.
Calibration part_of(const Calibration& calibration, const std::vector<std::size_t>& inputs);

/// What the curve of a property is multiplied by in all, by the scales of a case [-].
double whole_factor(const Case& c, const std::string& material, const std::string& property);

/// The factor within which a value of a case is still known by its calibration [-]; nothing where that does
/// not speak of it, or speaks of a deviation.
std::optional<double> factor_left(const Case& c, const std::string& address);

/// "run-12.csv (began 2026-03-02 07:15), run-13.csv".
std::string logs_in_words(const Calibration& calibration);

}  // namespace joulepress::cases
