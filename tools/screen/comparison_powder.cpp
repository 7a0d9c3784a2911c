#include "tools/screen/comparison_powder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "tools/screen/difference_table.hpp"

namespace joulepress::tools {
namespace {

std::string stroke_rows(const StoredStroke& a, const StoredStroke& b, const std::string& title) {
  struct Part {
    const char* name;
    double StoredStroke::*member;
  };
  constexpr Part parts[] = {{"  powder", &StoredStroke::densification_m},
                            {"  elastic", &StoredStroke::elastic_m},
                            {"  frame", &StoredStroke::frame_m},
                            {"  growth", &StoredStroke::growth_m},
                            {"  foil", &StoredStroke::foil_m}};
  std::string text = table_row(title, a.total_m, b.total_m, in_fine_mm);
  for (const Part& part : parts)
    if (a.*part.member != 0.0 || b.*part.member != 0.0)
      text += table_row(part.name, a.*part.member, b.*part.member, in_fine_mm);
  return text;
}

double time_of(const StoredDensification& body, double density) {
  const auto found = body.reached_s.find(density);
  return found == body.reached_s.end() ? not_there : found->second;
}

std::string body_rows(const std::string& name, const StoredDensification& a, const StoredDensification& b) {
  std::string text;
  const auto row = [&](const char* what, double StoredDensification::*member) {
    text += table_row(name + what, a.*member, b.*member, in_density);
  };
  row(", density at the start", &StoredDensification::start_density);
  row(", density at the end", &StoredDensification::end_density);
  std::set<double> densities;
  for (const StoredDensification* body : {&a, &b})
    for (const auto& [density, time] : body->reached_s) densities.insert(density);
  for (const double density : densities)
    text += table_row(fmt::format("  mean of {:g} % at", 100.0 * density), time_of(a, density),
                      time_of(b, density), in_seconds);
  text += table_row("  without pores at", a.dense_s, b.dense_s, in_seconds);
  for (const auto& [letter, body] : {std::pair{"A", &a}, std::pair{"B", &b}})
    if (!body->held_reason.empty()) text += fmt::format("    held at its density in {}\n", letter);
  return text;
}

}  // namespace

std::string density_rows(const StoredHold& a, const StoredHold& b) {
  std::string text;
  const auto row = [&](const char* what, double StoredHold::*member) {
    text += table_row(what, a.*member, b.*member, in_density);
  };
  row("relative density, mean", &StoredHold::relative_density_mean);
  row("  at the end of the hold", &StoredHold::relative_density_end_mean);
  row("  its lowest", &StoredHold::relative_density_end_min);
  row("  its highest", &StoredHold::relative_density_end_max);
  return text + stroke_rows(a.stroke, b.stroke, "stroke at the end of the hold");
}

std::string densification_rows(const StoredSummary& a, const StoredSummary& b) {
  const StoredDensification none;
  const auto named = [](const StoredSummary& s, const std::string& name) {
    const auto found = std::find_if(s.densification.begin(), s.densification.end(),
                                    [&name](const StoredDensification& body) { return body.name == name; });
    return found == s.densification.end() ? nullptr : &*found;
  };
  std::string text;
  for (const StoredDensification& body : a.densification) {
    const StoredDensification* other = named(b, body.name);
    text += body_rows(body.name, body, other ? *other : none);
  }
  for (const StoredDensification& body : b.densification)
    if (!named(a, body.name)) text += body_rows(body.name, none, body);
  text += table_row("the current moved in at", a.moved_in_s, b.moved_in_s, in_seconds);
  text += stroke_rows(a.stroke, b.stroke, "stroke at the end");
  if (a.press_work_J != 0.0 || b.press_work_J != 0.0)
    text += table_row("work of the punches on the powder", a.press_work_J, b.press_work_J, in_joule);
  text += table_row("tools, least margin", a.tool_margin, b.tool_margin, in_margin);
  text += table_row("force to push the compact out", a.push_out_N, b.push_out_N, in_kN);
  return text;
}

}  // namespace joulepress::tools
