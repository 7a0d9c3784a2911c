// The variants of a plan as small pictures, a measure each; and what settings and requirements are called.
#pragma once

#include <string>
#include <vector>

#include "tools/html/words.hpp"
#include "tools/study/vary_study.hpp"

namespace joulepress::tools::html {

struct VariantPanels {
  std::string key;                ///< SVG; empty: there is one line
  std::vector<std::string> svgs;  ///< of the measures that have a number
  std::string remark;             ///< how to read them, or why there are none
};

/// Over the first setting that is a number and varies, a line a combination of the others; over words where
/// there is none.
VariantPanels variant_panels(const VaryStudy& study, const Words& say);

/// "outer diameter [mm]": the last word of the address, all of it where two end alike.
std::string setting_heading(const VaryStudy& study, std::size_t setting);

/// Of a member, without the unit that stands in the heading.
std::string setting_text(const Setting& setting, std::size_t member, const Words& say);

/// "at most 1.5 kA"
std::string limit_name(const Bound& bound, bool least, const Words& say);

}  // namespace joulepress::tools::html
