#include "tools/figures/history_panels.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double title_room = 6.5, panel_gap = 4, leader = 7, margin = 1, widest_name = 34;
constexpr double line_pitch = 1.35 * letters;

LineLook style_of(LineRole role, std::size_t other) {
  switch (role) {
    case LineRole::programme:
      return {{.stroke = "#6b7280", .width = 0.35, .dashes = "1.8 1"}, "series-programme"};
    case LineRole::sensor:
      return {{.stroke = "#0b5d6b", .width = 0.4}, "series-sensor"};
    case LineRole::mean:
      return {{.stroke = "#b3471d", .width = 0.65}, "series-mean"};
    case LineRole::coldest:
      return {{.stroke = "#d08a63", .width = 0.3, .dashes = "0.6 0.7"}, "series-coldest"};
    case LineRole::hottest:
      return {{.stroke = "#7d2a0c", .width = 0.3, .dashes = "2.4 0.6 0.6 0.6"}, "series-hottest"};
    case LineRole::other:
      break;
  }
  return line_look(other);
}

bool has_numbers(const HistoryLine& line) {
  return std::any_of(line.values.begin(), line.values.end(), [](double v) { return std::isfinite(v); });
}

/// Without what has no number.
std::vector<HistoryPanel> shown(const HistoryFigure& figure) {
  std::vector<HistoryPanel> panels;
  for (const HistoryPanel& panel : figure.panels) {
    HistoryPanel kept{panel.title, {}};
    for (const HistoryLine& line : panel.lines) {
      if (line.values.size() != figure.times.size())
        throw std::invalid_argument("history figure: not one value for each time in \"" + line.name + '"');
      if (has_numbers(line)) kept.lines.push_back(line);
    }
    if (!kept.lines.empty()) panels.push_back(std::move(kept));
  }
  return panels;
}

plot::Axis value_axis(const HistoryPanel& panel) {
  double low = INFINITY, high = -INFINITY;
  for (const HistoryLine& line : panel.lines)
    for (const double value : line.values)
      if (std::isfinite(value)) {
        low = std::min(low, value);
        high = std::max(high, value);
      }
  return plot::rounded_axis(panel.title, low, high);
}

/// One polyline for each stretch without gaps.
void draw_line(svg::Document& doc, const Field& f, const HistoryFigure& figure, const plot::Axis& time,
               const plot::Axis& value, const HistoryLine& line, const LineLook& style) {
  std::vector<svg::Point> stretch;
  const auto close = [&] {
    if (stretch.size() > 1)
      doc.polyline(simplified(stretch, 0.02), style.pen,
                   {{"class", style.css}, {"stroke-linejoin", "round"}});
    stretch.clear();
  };
  for (std::size_t k = 0; k < figure.times.size(); ++k) {
    if (std::isfinite(line.values[k]))
      stretch.push_back(
          {along(time, figure.times[k], f.left, f.right), along(value, line.values[k], f.bottom, f.top)});
    else
      close();
  }
  close();
}

svg::Point end_of(const Field& f, const HistoryFigure& figure, const plot::Axis& time,
                  const plot::Axis& value, const HistoryLine& line) {
  std::size_t k = line.values.size() - 1;
  while (!std::isfinite(line.values[k])) --k;
  return {along(time, figure.times[k], f.left, f.right), along(value, line.values[k], f.bottom, f.top)};
}

/// Names right of the panel, each joined to its line by a piece of the same pen.
void draw_names(svg::Document& doc, const Field& f, const HistoryFigure& figure, const plot::Axis& time,
                const plot::Axis& value, const HistoryPanel& panel, const std::vector<LineLook>& styles) {
  std::vector<svg::Point> ends;
  std::vector<double> middles, sizes;
  std::vector<std::vector<std::string>> texts;
  for (const HistoryLine& line : panel.lines) {
    ends.push_back(end_of(f, figure, time, value, line));
    texts.push_back(wrapped(line.name, widest_name));
    middles.push_back(ends.back().y);
    sizes.push_back(line_pitch * static_cast<double>(texts.back().size()) + 0.4);
  }
  const std::vector<double> placed = spread(middles, sizes, f.top - 0.5 * line_pitch, f.bottom + line_pitch);
  for (std::size_t k = 0; k < ends.size(); ++k) {
    doc.polyline({ends[k], {f.right + 1.5, placed[k]}, {f.right + leader - 1, placed[k]}}, styles[k].pen,
                 {{"class", styles[k].css}});
    const double first = placed[k] - 0.5 * line_pitch * (static_cast<double>(texts[k].size()) - 1.0);
    for (std::size_t row = 0; row < texts[k].size(); ++row)
      doc.text({f.right + leader, first + line_pitch * static_cast<double>(row) + 0.5 * letters},
               texts[k][row], lettering());
  }
}

void draw_holds(svg::Document& doc, const Field& f, const HistoryFigure& figure, const plot::Axis& time,
                bool named) {
  for (const HoldSpan& hold : figure.holds) {
    const double from = along(time, std::clamp(hold.start, time.low, time.high), f.left, f.right);
    const double to = along(time, std::clamp(hold.end, time.low, time.high), f.left, f.right);
    if (!(to > from)) continue;
    doc.rectangle({from, f.top}, to - from, f.bottom - f.top, {.stroke = "none", .width = 0, .fill = ink},
                  {{"class", "hold"}, {"fill-opacity", "0.08"}});
    const double middle = std::max(0.5 * (from + to), f.left + 0.5 * svg::text_width(hold.name, 1.8));
    if (named && svg::text_width(hold.name, 1.8) < to - from + 6.0)
      doc.text({middle, f.top - 1.0}, hold.name, lettering(svg::Anchor::middle, false, 1.8));
  }
}

void draw_panel(svg::Document& doc, const Field& f, const HistoryFigure& figure, const plot::Axis& time,
                const HistoryPanel& panel, bool first, bool last) {
  const plot::Axis value = value_axis(panel);
  doc.open_group({{"role", "img"}, {"aria-label", panel.title}});
  draw_holds(doc, f, figure, time, first);
  plot::Axis below = time;
  below.label = last ? figure.time_label : "";
  draw_x_axis(doc, f, below, figure.head.decimal_mark, last);
  draw_y_axis(doc, f, value, figure.head.decimal_mark);
  doc.text({margin, f.top - 2.6 - (first ? 1.4 : 0.0)}, panel.title, lettering(svg::Anchor::start, true));
  std::vector<LineLook> styles;
  // Beginning with what no role looks like, where there are some.
  std::size_t others = std::any_of(panel.lines.begin(), panel.lines.end(),
                                   [](const HistoryLine& line) { return line.role != LineRole::other; })
                           ? 2
                           : 0;
  for (const HistoryLine& line : panel.lines)
    styles.push_back(style_of(line.role, line.role == LineRole::other ? others++ : 0));
  for (std::size_t k = 0; k < panel.lines.size(); ++k)
    draw_line(doc, f, figure, time, value, panel.lines[k], styles[k]);
  draw_names(doc, f, figure, time, value, panel, styles);
  doc.close_group();
}

}  // namespace

std::string history_panels(const HistoryFigure& figure) {
  const std::vector<HistoryPanel> panels = shown(figure);
  if (panels.empty() || figure.times.size() < 2) return {};
  double numbers = 0.0, names = 0.0;
  for (const HistoryPanel& panel : panels) {
    numbers =
        std::max(numbers, numbers_width(value_axis(panel), figure.panel_height, figure.head.decimal_mark));
    for (const HistoryLine& line : panel.lines)
      for (const std::string& text : wrapped(line.name, widest_name))
        names = std::max(names, svg::text_width(text, letters));
  }
  const double step = title_room + figure.panel_height + panel_gap;
  Field f{margin + numbers + 1.5, page_width - margin - names - leader, 0.0, 0.0};
  svg::Document doc(page_width, step * static_cast<double>(panels.size()) + 2.0 + 2.0 * letters + 1.0,
                    figure.head.title, figure.head.description);
  const plot::Axis time{"", figure.times.front(), figure.times.back()};
  for (std::size_t k = 0; k < panels.size(); ++k) {
    f.top = 2.0 + title_room + step * static_cast<double>(k);
    f.bottom = f.top + figure.panel_height;
    draw_panel(doc, f, figure, time, panels[k], k == 0, k + 1 == panels.size());
  }
  return doc.finish();
}

}  // namespace joulepress::tools::figures
