// Which columns of a log tell the time; see log_times.hpp.
#include <fmt/format.h>

#include "cases/reader/log_times.hpp"

namespace joulepress::cases {
namespace {

/// The column of that heading, with or without its unit; -1 and an error where there is none.
int column_called(const std::vector<Heading>& headings, const SaidWord& said, const char* key,
                  ErrorList* errors) {
  int found = -1, count = 0;
  for (const bool whole : {true, false}) {
    for (std::size_t k = 0; k < headings.size(); ++k)
      if (said.text == (whole ? headings[k].text : headings[k].name)) {
        if (found < 0) found = static_cast<int>(k);
        ++count;
      }
    if (found >= 0) break;
  }
  if (found >= 0 && count == 1) return found;
  if (!errors) return -1;
  std::vector<std::string> known;
  for (const Heading& heading : headings) known.push_back(heading.text);
  if (found >= 0)
    errors->add(said.place, std::string("time.") + key,
                fmt::format("{} columns of the log are called \"{}\".", count, said.text),
                "Give one of them another heading in the log.");
  else
    errors->add(said.place, std::string("time.") + key,
                fmt::format("No column of the log is called \"{}\".", said.text),
                suggestion(said.text, known));
  return -1;
}

/// Not a temperature called t, for one.
bool may_be_time(const Heading& heading) {
  const auto unit = log_unit(heading.unit);
  return heading.unit.empty() || (unit && unit->kind == Kind::time);
}

std::vector<int> columns_of(const std::vector<Heading>& headings, TimeWord word) {
  std::vector<int> found;
  for (std::size_t k = 0; k < headings.size(); ++k)
    if (time_word(headings[k].name) == word && may_be_time(headings[k])) found.push_back(static_cast<int>(k));
  return found;
}

/// Whether a column is told to count seconds or the like: a date beside it then adds nothing.
bool is_count(const std::vector<Heading>& headings, int column, const LogMap& map) {
  if (map.time.written_as) return map.time.written_as.text != "date and time";
  const auto unit = log_unit(headings[static_cast<std::size_t>(column)].unit);
  return unit && unit->plain.find(':') == std::string::npos;
}

}  // namespace

TimeColumns time_columns(const std::vector<Heading>& headings, const LogMap& map, ErrorList* errors) {
  TimeColumns columns;
  if (map.time.date) {
    columns.date = column_called(headings, map.time.date, "date", errors);
    if (columns.date < 0) return columns;
  }
  if (map.time.column) {
    columns.time = column_called(headings, map.time.column, "column", errors);
    return columns;
  }
  std::vector<int> times = columns_of(headings, TimeWord::date_and_time);
  for (const TimeWord word : {TimeWord::time, TimeWord::clock_or_time})
    for (const int k : columns_of(headings, word)) times.push_back(k);
  const std::vector<int> dates = columns_of(headings, TimeWord::date);
  if (times.empty() && dates.size() == 1) times = dates;  // date and clock in one column called Date
  if (times.size() == 1) {
    columns.time = times.front();
    if (columns.date < 0 && dates.size() == 1 && dates != times && !is_count(headings, columns.time, map))
      columns.date = dates.front();
    return columns;
  }
  if (!errors) return times.empty() ? columns : TimeColumns{times.front(), -1};
  std::vector<std::string> names;
  for (const int k : times) names.push_back("\"" + headings[static_cast<std::size_t>(k)].text + "\"");
  std::vector<std::string> all;
  for (const Heading& heading : headings) all.push_back(heading.text);
  if (times.empty())
    errors->add(headings.front().place, "time.column", "No heading is that of the time.",
                fmt::format("Say in the map which it is, `time: {{column: {}}}`. Known: {}.",
                            headings.front().text, listed(all)));
  else
    errors->add(headings[static_cast<std::size_t>(times[1])].place, "time.column",
                fmt::format("More than one column may tell the time: {}.", listed(names)),
                fmt::format("Say in the map which counts, `time: {{column: {}}}`.",
                            headings[static_cast<std::size_t>(times.front())].text));
  return columns;
}

}  // namespace joulepress::cases
