// The group `calibration:` of a case, or a calibration file, as it is written; nothing of it is applied here.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/reader/source_node.hpp"

namespace joulepress::cases {

/// What an address leads to by the key table alone: a quantity of some group of a case, or a property of a
/// material.
struct CalibratedPlace {
  const Key* key = nullptr;        ///< null: a property
  std::string material, property;  ///< of a property; else empty

  Kind kind() const { return key ? *key->kind : Kind::ratio; }
  /// Of a deviation: of a temperature it is a difference.
  Kind kind_of_deviation() const;
};

/// Nothing where there is no such key, or it is no quantity of a kind of its own.
std::optional<CalibratedPlace> calibrated_place(const std::string& address);

/// One value with what only a file says of it.
struct ReadValue {
  std::size_t input = 0, value = 0;  ///< indices into the calibration
  CalibratedPlace leads_to;
  Place at;                      ///< where the address stood
  std::optional<SourceNode> is;  ///< what is to be set there
};

struct ReadCalibration {
  Calibration calibration;
  std::vector<ReadValue> values;  ///< those whose address leads somewhere
  bool from_file = false;         ///< and may hold values that a case does not have
};

/// Mistakes go to the list: keys that do not exist, units of another kind, a value given twice, and a
/// correlation that is none (its numbers then are those of inputs that do not hang together).
ReadCalibration read_calibration(const SourceNode& node, ErrorList& errors);

}  // namespace joulepress::cases
