#include "tools/html/variant_panels.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "tools/figures/variant_chart.hpp"
#include "tools/html/study_words.hpp"

namespace joulepress::tools::html {
namespace {

constexpr std::size_t most_words = 60;  ///< rows that a picture of words may have

std::string last_word(const std::string& address) {
  return address.substr(address.rfind('.') + 1);
}

std::string short_name(const VaryStudy& study, std::size_t setting) {
  const std::string& address = study.settings[setting].name;
  const auto alike = std::count_if(study.settings.begin(), study.settings.end(), [&](const Setting& other) {
    return last_word(other.name) == last_word(address);
  });
  return alike > 1 ? address : last_word(address);
}

/// The setting to draw over.
std::optional<std::size_t> first_number(const VaryStudy& study) {
  for (std::size_t s = 0; s < study.settings.size(); ++s) {
    const std::vector<double>& numbers = study.settings[s].numbers;
    if (std::any_of(numbers.begin(), numbers.end(), [&](double v) { return v != numbers.front(); })) return s;
  }
  return std::nullopt;
}

/// The values of all settings but one, with what they are values of.
std::string others_of(const VaryStudy& study, std::size_t member, std::size_t without) {
  std::string name;
  for (std::size_t s = 0; s < study.settings.size(); ++s)
    if (s != without) {
      const Setting& setting = study.settings[s];
      name += (name.empty() ? "" : ", ") + (setting.name == "member" ? "" : short_name(study, s) + " ") +
              setting.written[member];
    }
  return name;
}

/// Members by line, in the order in which the lines first come up.
struct Lines {
  std::vector<std::string> names;
  std::vector<std::vector<std::size_t>> members;
};

Lines lines_over(const VaryStudy& study, std::size_t x) {
  Lines lines;
  for (std::size_t k = 0; k < study.members.size(); ++k) {
    const std::string name = others_of(study, k, x);
    const auto at = std::find(lines.names.begin(), lines.names.end(), name) - lines.names.begin();
    if (at == static_cast<std::ptrdiff_t>(lines.names.size())) {
      lines.names.push_back(name);
      lines.members.emplace_back();
    }
    lines.members[static_cast<std::size_t>(at)].push_back(k);
  }
  const std::vector<double>& numbers = study.settings[x].numbers;
  for (std::vector<std::size_t>& members : lines.members)
    std::stable_sort(members.begin(), members.end(),
                     [&](std::size_t a, std::size_t b) { return numbers[a] < numbers[b]; });
  return lines;
}

std::vector<figures::VariantLimit> limits_of(const VaryStudy& study, const Measure& measure, std::size_t m,
                                             const Words& say) {
  std::vector<figures::VariantLimit> limits;
  const auto add = [&](const Bound& bound, double limit, bool least) {
    const bool missed =
        std::any_of(study.members.begin(), study.members.end(), [&](const VariedMember& member) {
          return least ? member.values[m] < limit : member.values[m] > limit;
        });
    limits.push_back({limit_name(bound, least, say), shown_value(measure, limit), missed});
  };
  for (const Bound& bound : study.bounds) {
    if (bound.measure.address != measure.address) continue;
    if (bound.at_least) add(bound, *bound.at_least, true);
    if (bound.at_most) add(bound, *bound.at_most, false);
  }
  return limits;
}

/// What all panels share.
struct Frame {
  std::string x_label;
  std::vector<std::string> words;
  std::vector<double> places;  ///< of every member along x
  Lines lines;
};

Frame frame_of(const VaryStudy& study, std::optional<std::size_t> x) {
  Frame frame;
  if (x) {
    frame.x_label = setting_heading(study, *x);
    frame.places = study.settings[*x].numbers;
    frame.lines = lines_over(study, *x);
    return frame;
  }
  frame.lines = {{""}, {{}}};
  for (std::size_t k = 0; k < study.members.size(); ++k) {
    frame.words.push_back(study.members[k].label);
    frame.places.push_back(static_cast<double>(k));
    frame.lines.members[0].push_back(k);
  }
  return frame;
}

std::string panel_of(const VaryStudy& study, std::size_t m, const Frame& frame, const Words& say) {
  const Measure& measure = study.measures[m];
  figures::VariantPanel panel;
  panel.title = measure_heading(measure, say);
  panel.head = {panel.title, say("{} of every variant", panel.title), say.decimal_mark()};
  panel.x_label = frame.x_label;
  panel.words = frame.words;
  for (const std::vector<std::size_t>& members : frame.lines.members) {
    figures::VariantLine line;
    line.alike = frame.lines.members.size() > figures::line_looks;
    for (const std::size_t k : members)
      line.marks.push_back(
          {frame.places[k], shown_value(measure, study.members[k].values[m]), study.members[k].good()});
    panel.lines.push_back(std::move(line));
  }
  panel.limits = limits_of(study, measure, m, say);
  return figures::variant_panel(panel);
}

}  // namespace

std::string setting_heading(const VaryStudy& study, std::size_t setting) {
  const Setting& s = study.settings[setting];
  const std::string name = short_name(study, setting);
  return s.numbers.empty() || s.unit.empty() ? name : name + " [" + s.unit + "]";
}

std::string setting_text(const Setting& setting, std::size_t member, const Words& say) {
  if (setting.numbers.empty()) return setting.written[member];
  std::string number = fmt::format("{:.10g}", setting.numbers[member]);
  std::replace(number.begin(), number.end(), '.', say.decimal_mark());
  return number;
}

std::string limit_name(const Bound& bound, bool least, const Words& say) {
  return say(least ? "at least {}" : "at most {}",
             shown_with_unit(bound.measure, least ? *bound.at_least : *bound.at_most, say));
}

VariantPanels variant_panels(const VaryStudy& study, const Words& say) {
  VariantPanels panels;
  const std::optional<std::size_t> x = first_number(study);
  if (!x && study.members.size() > most_words) {
    panels.remark = say("There are too many variants of words for pictures: the table has them.");
    return panels;
  }
  const Frame frame = frame_of(study, x);
  for (std::size_t m = 0; m < study.measures.size(); ++m)
    if (std::string svg = panel_of(study, m, frame, say); !svg.empty()) panels.svgs.push_back(std::move(svg));
  if (panels.svgs.empty()) {
    panels.remark = say("No variant has a number to show.");
    return panels;
  }
  panels.remark = say(study.bounds.empty() ? "A mark is a variant, a full one ran to its end."
                                           : "A mark is a variant, a full one a good variant.");
  if (!study.bounds.empty()) panels.remark += " " + say("Dashed lines across are what is required.");
  if (frame.lines.names.size() > figures::line_looks)
    panels.remark +=
        " " + say("There are too many combinations to tell their lines apart: the table has them.");
  else if (x)
    panels.key = figures::variant_key({say("the lines and what they stand for"),
                                       say("the lines and what they stand for"), say.decimal_mark()},
                                      frame.lines.names);
  return panels;
}

}  // namespace joulepress::tools::html
