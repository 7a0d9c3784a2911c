// What nobody has measured of a case: every key and every property of a material with a spread.
//
// The spread of a key stands in the key table, that of a property in its material file.  What belongs
// together moves together, with the same standard score: properties of one correlation group, and the same
// size of parts made to the same drawing.  What a calibration says of a value wins.
#pragma once

#include <string>
#include <vector>

#include "cases/many/edits.hpp"
#include "solver/inverse/distribution.hpp"

namespace joulepress::cases {

/// One value that an input moves.
struct UncertainValue {
  std::string address;           ///< of an edit
  inverse::Distribution spread;  ///< in SI; of a property, of its factor
  std::string unit;              ///< SI, as it is written behind the value
  double weight = 1;             ///< how many scores of the value one score of the input is [-]
};

struct UncertainInput {
  std::string name;    ///< in trade words: "lateral contact, thermal", "graphite resistivity"
  std::string amount;  ///< how unsure: "factor 3", "0.5 mm", "25 %"
  std::string source;  ///< of the spread; empty: with the property in its material file
  std::vector<UncertainValue> values;
};

/// In the order of the case, materials last; of a calibrated case what the logs have left stands behind them,
/// as independent directions (cases/many/calibrated_inputs.hpp).
std::vector<UncertainInput> uncertain_inputs(const Case& c, const SourceNode& resolved);

/// The edits that put every input at its standard score.
std::vector<Edit> edits_at(const std::vector<UncertainInput>& inputs, const std::vector<double>& scores);

/// The edits of one sample: `shares`, one in (0, 1) for each input, are where it lies in its distribution.  A
/// value that several inputs move lies at the sum of their weighted scores.
std::vector<Edit> sample_edits(const std::vector<UncertainInput>& inputs, const std::vector<double>& shares);

}  // namespace joulepress::cases
