#include "tools/figures/variant_chart.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double margin = 1, height = 30, title_pitch = 1.35 * letters, below = 2.0 * letters + 4.0;
constexpr double word_room = 24, row_gap = 1.6, radius = 0.85;
const svg::Pen limit_pen{.stroke = "#7d2a0c", .width = 0.35, .dashes = "1.6 0.9"};

struct Range {
  double low = INFINITY, high = -INFINITY;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
  bool any() const { return low <= high; }
};

Range values_of(const VariantPanel& panel) {
  Range range;
  for (const VariantLine& line : panel.lines)
    for (const VariantMark& mark : line.marks)
      if (std::isfinite(mark.value)) range.take(mark.value);
  return range;
}

/// Those to draw: missed, or no farther from the values than these are from each other.
std::vector<VariantLimit> limits_near(const VariantPanel& panel, const Range& values) {
  std::vector<VariantLimit> limits;
  const double reach = values.high - values.low;
  for (const VariantLimit& limit : panel.limits)
    if (std::isfinite(limit.value) &&
        (limit.missed || (limit.value >= values.low - reach && limit.value <= values.high + reach)))
      limits.push_back(limit);
  return limits;
}

plot::Axis value_axis(Range values, const std::vector<VariantLimit>& limits) {
  for (const VariantLimit& limit : limits) values.take(limit.value);
  if (values.low == values.high) {  // in the middle
    const double rim = values.low == 0.0 ? 1.0 : 0.05 * std::abs(values.low);
    values = {values.low - rim, values.high + rim};
  }
  return plot::rounded_axis("", values.low, values.high);
}

plot::Axis setting_axis(const VariantPanel& panel) {
  Range range;
  for (const VariantLine& line : panel.lines)
    for (const VariantMark& mark : line.marks) range.take(mark.x);
  const double rim = range.high > range.low ? 0.04 * (range.high - range.low) : 1.0;
  return {panel.x_label, range.low - rim, range.high + rim};
}

LineLook look_of(const VariantLine& line, std::size_t k) {
  if (line.alike) return {{.stroke = "#6b7280", .width = 0.2}, "series-alike"};
  return line_look(k);
}

void draw_mark(svg::Document& doc, svg::Point at, bool good, const std::string& colour) {
  doc.circle(at, radius, {.stroke = colour, .width = 0.4, .fill = good ? colour : "white"},
             {{"class", good ? "variant" : "variant hollow"}});
}

/// The title in lines; where they end.
double draw_title(svg::Document& doc, const std::vector<std::string>& title) {
  double y = 1.0 + letters;
  for (const std::string& line : title) {
    doc.text({margin, y}, line, lettering(svg::Anchor::start, true));
    y += title_pitch;
  }
  return y - title_pitch;
}

double distance(svg::Point p, const Box& box) {
  return std::hypot(p.x - std::clamp(p.x, box.x0, box.x1), p.y - std::clamp(p.y, box.y0, box.y1));
}

/// At the end of the line and on the side of it where the least is in the way.
void name_limit(svg::Document& doc, const Field& f, double y, const std::string& name,
                const std::vector<svg::Point>& drawn) {
  const double width = svg::text_width(name, letters);
  std::optional<Box> chosen;
  double clearest = -1.0;
  for (const double x : {f.right - 1.0 - width, f.left + 1.0})
    for (const double base : {y - 0.9, y + letters + 0.9}) {
      if (base - letters < f.top || base > f.bottom) continue;
      const Box box{x, base - letters, x + width, base};
      double nearest = 5.0;  // beyond, all places are as good
      for (const svg::Point& p : drawn) nearest = std::min(nearest, distance(p, box));
      if (nearest <= clearest) continue;
      clearest = nearest;
      chosen = box;
    }
  svg::Lettering letter = lettering();
  letter.colour = limit_pen.stroke;
  if (chosen) doc.text({chosen->x0, chosen->y1}, name, letter);
}

/// Points along a line, so close that a letter cannot stand between them.
void add_points(const std::vector<svg::Point>& line, std::vector<svg::Point>& points) {
  constexpr int between = 40;
  for (std::size_t k = 1; k < line.size(); ++k)
    for (int n = 0; n <= between; ++n) {
      const double share = static_cast<double>(n) / between;
      points.push_back({line[k - 1].x + share * (line[k].x - line[k - 1].x),
                        line[k - 1].y + share * (line[k].y - line[k - 1].y)});
    }
}

void draw_lines(svg::Document& doc, const VariantPanel& panel, const Field& f, const plot::Axis& x,
                const plot::Axis& y, std::vector<svg::Point>& drawn) {
  const auto place = [&](const VariantMark& mark) {
    return svg::Point{along(x, mark.x, f.left, f.right), along(y, mark.value, f.bottom, f.top)};
  };
  for (std::size_t k = 0; k < panel.lines.size(); ++k) {
    const LineLook look = look_of(panel.lines[k], k);
    std::vector<svg::Point> stretch;
    const auto close = [&] {
      if (stretch.size() > 1) doc.polyline(stretch, look.pen, {{"class", look.css}});
      add_points(stretch, drawn);
      stretch.clear();
    };
    for (const VariantMark& mark : panel.lines[k].marks) {
      if (std::isfinite(mark.value))
        stretch.push_back(place(mark));
      else
        close();
    }
    close();
    for (const VariantMark& mark : panel.lines[k].marks)
      if (std::isfinite(mark.value)) {
        draw_mark(doc, place(mark), mark.good, look.pen.stroke);
        drawn.push_back(place(mark));
      }
  }
}

std::string over_numbers(const VariantPanel& panel, const Range& values) {
  const std::vector<VariantLimit> limits = limits_near(panel, values);
  const plot::Axis y = value_axis(values, limits), x = setting_axis(panel);
  const std::vector<std::string> title = wrapped(panel.title, panel_width - 2.0 * margin);
  Field f{margin + numbers_width(y, height, panel.head.decimal_mark) + 1.5, panel_width - margin - 2.0, 0, 0};
  f.top = 1.0 + title_pitch * static_cast<double>(title.size()) + 2.0;
  f.bottom = f.top + height;
  svg::Document doc(panel_width, f.bottom + below, panel.head.title, panel.head.description);
  draw_title(doc, title);
  draw_x_axis(doc, f, x, panel.head.decimal_mark, true);
  draw_y_axis(doc, f, y, panel.head.decimal_mark);
  std::vector<svg::Point> drawn;
  draw_lines(doc, panel, f, x, y, drawn);
  for (const VariantLimit& limit : limits) {
    const double at = along(y, limit.value, f.bottom, f.top);
    doc.line({f.left, at}, {f.right, at}, limit_pen, {{"class", "limit"}});
    name_limit(doc, f, at, limit.name, drawn);
  }
  return doc.finish();
}

/// Names of limits above an axis that lies; each in a line of its own.
double draw_upright_limits(svg::Document& doc, const Field& f, const plot::Axis& axis,
                           const std::vector<VariantLimit>& limits) {
  double base = f.top - 1.0;
  for (const VariantLimit& limit : limits) {
    const double x = along(axis, limit.value, f.left, f.right),
                 half = 0.5 * svg::text_width(limit.name, letters);
    doc.line({x, base + 0.4}, {x, f.bottom}, limit_pen, {{"class", "limit"}});
    svg::Lettering letter = lettering(svg::Anchor::middle);
    letter.colour = limit_pen.stroke;
    doc.text({std::clamp(x, margin + half, panel_width - margin - half), base}, limit.name, letter);
    base -= title_pitch;
  }
  return base;
}

std::string over_words(const VariantPanel& panel, const Range& values) {
  const std::vector<VariantLimit> limits = limits_near(panel, values);
  const plot::Axis axis = value_axis(values, limits);
  const std::vector<std::string> title = wrapped(panel.title, panel_width - 2.0 * margin);
  std::vector<std::vector<std::string>> names;
  std::vector<double> middles;
  const double top = 1.0 + title_pitch * static_cast<double>(title.size() + limits.size()) + 1.5;
  double bottom = top;
  for (const std::string& word : panel.words) {
    names.push_back(wrapped(word, word_room));
    const double row = title_pitch * static_cast<double>(std::max<std::size_t>(1, names.back().size()));
    middles.push_back(bottom + 0.5 * (row + row_gap));
    bottom += row + row_gap;
  }
  double widest = 0.0;
  for (const auto& lines : names)
    for (const std::string& line : lines) widest = std::max(widest, svg::text_width(line, letters));
  const Field f{margin + std::min(widest, 0.6 * panel_width) + 2.0, panel_width - margin - 3.0, top, bottom};
  svg::Document doc(panel_width, f.bottom + below, panel.head.title, panel.head.description);
  draw_title(doc, title);
  draw_x_axis(doc, f, axis, panel.head.decimal_mark, true);
  draw_upright_limits(doc, f, axis, limits);
  for (std::size_t k = 0; k < names.size(); ++k) {
    const double first = middles[k] - 0.5 * title_pitch * (static_cast<double>(names[k].size()) - 1.0);
    for (std::size_t row = 0; row < names[k].size(); ++row)
      doc.text({margin, first + title_pitch * static_cast<double>(row) + 0.5 * letters}, names[k][row],
               lettering());
    doc.line({f.left, middles[k]}, {f.right, middles[k]}, {.stroke = ink, .width = 0.12},
             {{"stroke-opacity", "0.22"}});
  }
  for (std::size_t k = 0; k < panel.lines.size(); ++k)
    for (const VariantMark& mark : panel.lines[k].marks)
      if (std::isfinite(mark.value))
        draw_mark(doc,
                  {along(axis, mark.value, f.left, f.right), middles.at(static_cast<std::size_t>(mark.x))},
                  mark.good, look_of(panel.lines[k], k).pen.stroke);
  return doc.finish();
}

}  // namespace

std::string variant_panel(const VariantPanel& panel) {
  const Range values = values_of(panel);
  if (!values.any()) return {};
  return panel.words.empty() ? over_numbers(panel, values) : over_words(panel, values);
}

std::string variant_key(const Head& head, const std::vector<std::string>& names) {
  if (names.size() < 2) return {};
  constexpr double sample = 9, pitch = 1.7 * letters;
  double widest = 0.0;
  for (const std::string& name : names) widest = std::max(widest, svg::text_width(name, letters));
  const double column = sample + 1.5 + widest + 4.0;
  const std::size_t columns = std::clamp<std::size_t>(
      static_cast<std::size_t>((page_width - 2.0 * margin) / column), 1, names.size());
  const std::size_t rows = (names.size() + columns - 1) / columns;
  svg::Document doc(std::max(page_width, 2.0 * margin + column), 1.0 + pitch * static_cast<double>(rows),
                    head.title, head.description);
  for (std::size_t k = 0; k < names.size(); ++k) {
    const double x = margin + column * static_cast<double>(k % columns),
                 y = pitch * (static_cast<double>(k / columns) + 0.5);
    const LineLook look = line_look(k);
    doc.line({x, y}, {x + sample, y}, look.pen, {{"class", look.css}});
    doc.text({x + sample + 1.5, y + 0.5 * letters}, names[k], lettering());
  }
  return doc.finish();
}

}  // namespace joulepress::tools::figures
