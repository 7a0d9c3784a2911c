// What a page carries along besides its own text, put into the program when it is built (embed.cmake).
#pragma once

#include <string_view>

namespace joulepress::tools::html {

extern const std::string_view page_style;   ///< that of the charts and ours
extern const std::string_view page_script;  ///< data, printing, CSV
extern const std::string_view maps_script;  ///< fields over the section
extern const std::string_view
    charts_script;  ///< diagrams over time, with Debian's libjs-dygraphs, MIT licence

}  // namespace joulepress::tools::html
