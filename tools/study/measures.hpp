// What a study looks at: numbers of summary.json by names of the trade, or by their address.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "cases/reader/units.hpp"
#include "tools/screen/difference_table.hpp"
#include "tools/store/summary_read.hpp"

namespace joulepress::tools {

struct Measure {
  std::string name;                       ///< "offset at sinter", or the address itself
  std::string address;                    ///< in summary.json (tools/store/summary_read.hpp)
  cases::Kind kind = cases::Kind::ratio;  ///< its SI unit is that of files
  Shown shown{};                          ///< how people see it
  std::string means;                      ///< one sentence
};

/// What has a name; each of a hold means the last one, `... at NAME` another.
const std::vector<Measure>& named_measures();

/// The measure of a name or an address; nothing when it is neither a name nor looks like an address.  The
/// unit of an address follows from its ending: _K, _W, _A, _V, _s, _J, _m, _N, _Pa.
std::optional<Measure> measure_of(const std::string& text);

/// Names for messages.
std::vector<std::string> measure_names();

/// Not a number where the summary has none.
double value_of(const Measure& measure, const SummaryNode& summary);

/// How people see values of a kind; of one without a unit of its own no unit.
Shown shown_as(cases::Kind kind);

/// "94.6 K", "1.82 kW"; "-" for no number.
std::string with_unit(const Measure& measure, double si);

/// "offset [K]": as files name it.
std::string in_files(const Measure& measure);

}  // namespace joulepress::tools
