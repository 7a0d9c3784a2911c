#include "tools/html/study_words.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::tools::html {

std::string measure_name(const Measure& measure, const Words& say) {
  if (const auto known = say.known(measure.name)) return std::string(*known);
  const std::size_t at = measure.name.find(" at ");
  if (at == std::string::npos) return measure.name;
  const auto known = say.known(measure.name.substr(0, at));
  return known ? say("{} at “{}”", *known, measure.name.substr(at + 4)) : measure.name;
}

std::string measure_unit(const Measure& measure) {
  const std::string unit = measure.shown.unit;
  if (unit == "degC") return "°C";
  return unit.empty() ? cases::si_unit(measure.kind) : unit;
}

std::string measure_heading(const Measure& measure, const Words& say) {
  const std::string unit = measure_unit(measure), name = measure_name(measure, say);
  return unit.empty() ? name : name + " [" + unit + "]";
}

double shown_value(const Measure& measure, double si) {
  return si * measure.shown.factor + measure.shown.zero;
}

std::string shown_number(const Measure& measure, double si, const Words& say) {
  return std::isfinite(si) ? say.number(shown_value(measure, si), measure.shown.decimals) : "–";
}

std::string shown_with_unit(const Measure& measure, double si, const Words& say) {
  const std::string unit = measure_unit(measure), number = shown_number(measure, si, say);
  return unit.empty() || !std::isfinite(si) ? number : number + " " + unit;
}

std::string shown_width(const Measure& measure, double si, const Words& say) {
  const double width = std::abs(si * measure.shown.factor);
  if (!std::isfinite(width)) return "–";
  const int most = measure.shown.decimals + 2;
  const double least = std::pow(10.0, -most);
  if (width > 0.0 && width < least) return "< " + say.number(least, most);
  const int decimals =
      width > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(width))), 0, most) : 0;
  return say.number(width, decimals);
}

}  // namespace joulepress::tools::html
