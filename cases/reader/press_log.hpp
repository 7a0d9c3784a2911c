// The log of a press as columns of numbers: what each column shows, in SI.
//
// A log is text in columns as presses and their spreadsheets write it: any number of lines before the
// heading, commas, semicolons or tabs, decimal points or commas, times in seconds or as clock and date.  What
// the headings do not say stands in a small YAML file, the map of the log (group `log` of the key table); it
// lies beside the log under the same name, or is named.  Nothing is guessed that changes a number: what
// cannot be told for sure is an error that says which key of the map settles it. Tests:
// tests/cases/test_press_log.cpp, with the logs in tests/logs.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "cases/case.hpp"

namespace joulepress::cases {

enum class Logged { reading, programme, current, voltage, power, force, gauge_pressure, stroke };

/// Values that were taken out of a column, and why: "empty", "open circuit", "below its sight", "no number",
/// "outside its range", "no temperature" (not above absolute zero, or where nothing is solid any more).
struct LeftOutValues {
  int count = 0;
  std::string why;
};

struct LoggedColumn {
  std::string heading;  ///< as it stands in the file; of two columns of one sensor both, joined by " + "
  std::string unit;     ///< as it was understood: degC, kA
  Logged what = Logged::reading;
  std::string sensor;          ///< of a reading: what the map calls it, else the heading without its unit
  bool mean = false;           ///< of current and voltage: the mean value is shown, else the effective one
  double digit = 0;            ///< the last digit it is written with, SI
  std::vector<double> values;  ///< SI, one a row; NaN where there is none
  std::vector<LeftOutValues> left_out;
};

/// Something that melted during the run at a temperature that is known without any sensor.
struct MeltEvent {
  Written written;
  std::string melts;         ///< name of the fixed point, as the map has it
  double temperature = 0;    ///< K
  double deviation = 0;      ///< K, how well the moment gives it, one standard deviation
  std::optional<double> at;  ///< s from the start of the log; or
  std::string sensor;        ///< the first time that this sensor
  double reading = 0;        ///< K, read so much
};

struct PressLog {
  std::string file;          ///< as it was named
  std::string map;           ///< file of its map; empty: headings alone
  std::string layout;        ///< how it was read: "UTF-8, semicolons, decimal commas, headings in line 12"
  std::string time_heading;  ///< of the column of the time
  std::string time_as;       ///< how it tells it: "s", "h:m:s", "date and time, day.month.year"
  std::string began;         ///< date and time of the first row, ISO 8601; empty: the log has no date
  std::vector<double> time;  ///< s since the first row, strictly rising
  std::vector<LoggedColumn> columns;  ///< in the order of the file
  std::vector<std::string> ignored;   ///< headings that are nothing known
  std::vector<MeltEvent> melts;
  std::vector<std::string> remarks;  ///< what was done to rows: repeated headings, times that stood still
};

/// Reads a log by its map; `map` empty: the file LOG.yaml beside it where there is one, else headings alone.
/// Throws InputErrors with every fault of map and log.
PressLog read_press_log(const std::filesystem::path& log, const std::filesystem::path& map = {});

/// Whether a file is taken for a log by the end of its name: .csv, .tsv, .txt, .log, .dat.
bool is_press_log(const std::filesystem::path& file);

/// When it melted [s since the first row]: as given, or where the reading passes its value for the first
/// time, straight between two rows.  The event must be one of the log.
double moment_of(const MeltEvent& melt, const PressLog& log);

}  // namespace joulepress::cases
