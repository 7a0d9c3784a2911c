// Times as a press's programmer has them: minutes and seconds.
#pragma once

#include <string>

namespace joulepress::tools {

/// "12:30", "1:02:05": minutes and seconds, hours from an hour on; whole seconds, none below zero.  "–": not
/// a number.
std::string clock_time(double seconds);
/// The same with tenths of a second where there are any: what is typed in.
std::string entered_time(double seconds, char decimal_mark);
/// With its unit: "12:30 min", "1:02:05 h".
std::string clock_words(double seconds);

}  // namespace joulepress::tools
