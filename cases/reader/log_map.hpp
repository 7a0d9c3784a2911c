// The map of a log, read: what its headings do not say (group `log` of the key table).
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/reader/input_error.hpp"
#include "cases/reader/log_text.hpp"
#include "cases/reader/press_log.hpp"

namespace joulepress::cases {

/// A word of the map and where it stands; empty: not said.
struct SaidWord {
  std::string text;
  Place place;
  explicit operator bool() const { return !text.empty(); }
};

struct MappedColumn {
  Written written;
  std::string heading;
  int number = 0;  ///< from 1; 0: by its heading
  SaidWord is, unit, shows;
  std::optional<double> open_above, sees_from;  ///< K
  bool has_range = false;
  std::optional<double> valid_from, valid_to;  ///< K
  bool reversed = false, zero_at_start = false;

  bool ignored() const { return is.text == "ignored"; }
};

struct LogMap {
  std::string file;  ///< empty: there is none
  std::optional<Encoding> encoding;
  char separator = 0, decimal = 0;  ///< 0: not said
  int headings = 0;                 ///< line; 0: not said
  Place headings_place;
  struct Time {
    SaidWord column, date, written_as, order;
  } time;
  std::vector<MappedColumn> columns;
  std::vector<MeltEvent> melts;
  std::vector<std::string> remarks;  ///< metals that carbon touches
};

/// Every fault of the map goes to the list.
LogMap read_log_map(const std::filesystem::path& file, ErrorList& errors);

/// The map beside a log: its name with .yaml, where that is a file and no case.  Says so in `remarks` where
/// it is a case.
std::filesystem::path map_beside(const std::filesystem::path& log, std::vector<std::string>& remarks);

}  // namespace joulepress::cases
