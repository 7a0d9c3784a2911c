// Places for what the script draws; the script finds them by their ids.
#include <fmt/format.h>

#include "tools/html/charts.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/page_data.hpp"
#include "tools/html/pictures.hpp"
#include "tools/html/sections.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {

using svg::escaped;

namespace {

/// Folded away, for those who want to go on with them.
std::string numbers_of(const Matter& m, const Picture& picture) {
  if (picture.numbers.rows.empty()) return {};
  const Table numbers{"numbers-" + picture.name, "", picture.numbers.columns, picture.numbers.rows};
  return fmt::format("<details class=\"numbers\"><summary>{}</summary>\n{}{}</details>\n",
                     escaped(m.say("the numbers")), table(numbers),
                     csv_button("table:" + numbers.id, m.say("this table as CSV")));
}

std::string picture_section(const Matter& m, const char* id, const char* heading,
                            const std::optional<Picture>& picture, int number) {
  if (!picture) return {};
  return section(id, m.say(heading), numbered_figure(m, *picture, number));
}

}  // namespace

std::string numbered_figure(const Matter& m, const Picture& picture, int number) {
  return figure(picture.svg, m.say("Fig. {}. {}", number, picture.caption)) + numbers_of(m, picture);
}

std::string stack_section(const Matter& m) {
  return picture_section(m, "stack", hold_shown(m) ? "The stack at the hold" : "The stack at the end",
                         stack_picture(m), 1);
}

std::string picture_sections(const Matter& m) {
  std::string text = picture_section(m, "offset", "Why: the offset in its parts", offset_picture(m), 2);
  int number = text.empty() ? 2 : 3;
  const std::string heat = picture_section(m, "heat", "Where heat is made and goes", heat_picture(m), number);
  if (!heat.empty()) ++number;
  const std::string current =
      picture_section(m, "current", "The way of the current", current_picture(m), number);
  if (!current.empty()) ++number;
  return "<div class=\"pair\">\n" + text + heat + "</div>\n" + current + strength_section(m, number);
}

std::string history_section(const Matter& m) {
  return charts_section(charts_of(m), m.say);
}

std::string fields_section(const Matter& m) {
  const auto control = [](const std::string& inside) { return "<label>" + inside + "</label>\n"; };
  std::string options;
  for (const std::string& name : field_names(m)) options += fmt::format("<option>{}</option>", escaped(name));
  std::string text = "<div class=\"controls\">\n";
  text += control(escaped(m.say("field")) + " <select id=\"field\">" + options + "</select>");
  text += control(escaped(m.say("time")) +
                  fmt::format(" <input id=\"time\" type=\"range\" min=\"0\" max=\"{}\" step=\"1\">",
                              frames_of(m).size() - 1)) +
          "<output id=\"time-text\" for=\"time\"></output>\n";
  text += control("<input id=\"contours\" type=\"checkbox\" checked> " + escaped(m.say("contours")));
  text += control("<input id=\"scale-frame\" type=\"checkbox\"> " + escaped(m.say("scale of this moment")));
  text += fmt::format("<button type=\"button\" id=\"zoom\" aria-pressed=\"false\">{}</button>\n</div>\n",
                      escaped(m.say("powder and die only")));
  text += fmt::format(
      "<div class=\"fields-grid\">\n<div>\n<canvas id=\"map\" tabindex=\"0\" role=\"img\" "
      "aria-label=\"{}\"></canvas>\n"
      "<canvas id=\"scale\" role=\"img\" aria-label=\"{}\"></canvas>\n<output id=\"reading\" for=\"field "
      "time\"></output>\n"
      "</div>\n<div>\n",
      escaped(m.say("Section through the stack, the axis on the left; arrow keys move the chosen place")),
      escaped(m.say("colour scale")));
  for (const char* axis : {"along-r", "along-z"})
    text += fmt::format(
        "<figure class=\"chart\"><figcaption id=\"{0}-text\"></figcaption><div id=\"{0}\" "
        "class=\"plot\"></div></figure>\n",
        axis);
  text += "</div>\n</div>\n<p class=\"controls\">" + csv_button("field", m.say("this field as CSV")) +
          csv_button("along-r", m.say("curve along r as CSV")) +
          csv_button("along-z", m.say("curve along z as CSV")) + "</p>\n";
  text +=
      paragraph(m.say("Each rectangle is a cell of the computation, drawn where it lies at that moment. "
                      "Contours run through the "
                      "centres of the cells of a part; at a contact the temperature jumps, and they end."));
  return section("fields", m.say("The fields over time"), text);
}

}  // namespace joulepress::tools::html
