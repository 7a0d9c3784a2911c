#include "tools/figures/offset_chart.hpp"

#include <algorithm>
#include <cmath>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double margin = 1, gap = 4, height = 44, pitch = 1.7 * letters, size = 1.0, sample = 9;

struct Range {
  double low = INFINITY, high = -INFINITY;
  void take(double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  }
};

bool stands(svg::Point p) {
  return std::isfinite(p.x) && std::isfinite(p.y);
}

/// Full disc, hollow square, full triangle, hollow diamond.
void draw_mark(svg::Document& doc, svg::Point at, std::size_t k, const std::string& colour) {
  const bool hollow = k % 2 == 1;
  const svg::Pen pen{.stroke = colour, .width = 0.35, .fill = hollow ? "white" : colour};
  const svg::Attributes named{{"class", hollow ? "variant hollow" : "variant"}};
  const auto corner = [&](double x, double y) { return svg::Point{at.x + x * size, at.y + y * size}; };
  switch (k % 4) {
    case 0:
      doc.circle(at, 0.9 * size, pen, named);
      return;
    case 1:
      doc.polygon({corner(-0.85, -0.85), corner(0.85, -0.85), corner(0.85, 0.85), corner(-0.85, 0.85)}, pen,
                  named);
      return;
    case 2:
      doc.polygon({corner(0, -1.1), corner(1.05, 0.8), corner(-1.05, 0.8)}, pen, named);
      return;
    default:
      doc.polygon({corner(0, -1.2), corner(1.2, 0), corner(0, 1.2), corner(-1.2, 0)}, pen, named);
  }
}

void draw_lines(svg::Document& doc, const OffsetPanel& panel, const Field& f, const plot::Axis& x,
                const plot::Axis& y) {
  for (std::size_t k = 0; k < panel.lines.size(); ++k) {
    const LineLook look = line_look(k);
    std::vector<svg::Point> marks, stretch;
    const auto close = [&] {
      if (stretch.size() > 1) doc.polyline(stretch, look.pen, {{"class", look.css}});
      stretch.clear();
    };
    for (const svg::Point& p : panel.lines[k]) {
      if (!stands(p)) {
        close();
        continue;
      }
      stretch.push_back({along(x, p.x, f.left, f.right), along(y, p.y, f.bottom, f.top)});
      marks.push_back(stretch.back());
    }
    close();
    for (const svg::Point& at : marks) draw_mark(doc, at, k, look.pen.stroke);
  }
}

/// Names behind pieces of their lines, in one row where they fit; where they end.
double draw_key(svg::Document& doc, const std::vector<std::string>& names, double top) {
  double x = margin, y = top;
  for (std::size_t k = 0; k < names.size(); ++k) {
    const double width = sample + 1.5 + svg::text_width(names[k], letters) + 5.0;
    if (x > margin && x + width > page_width) {
      x = margin;
      y += pitch;
    }
    const LineLook look = line_look(k);
    doc.line({x, y}, {x + sample, y}, look.pen, {{"class", look.css}});
    draw_mark(doc, {x + 0.5 * sample, y}, k, look.pen.stroke);
    doc.text({x + sample + 1.5, y + 0.5 * letters}, names[k], lettering());
    x += width;
  }
  return y;
}

/// Rows of the key.
int rows_of(const std::vector<std::string>& names) {
  double x = margin;
  int rows = 1;
  for (const std::string& name : names) {
    const double width = sample + 1.5 + svg::text_width(name, letters) + 5.0;
    if (x > margin && x + width > page_width) {
      x = margin;
      ++rows;
    }
    x += width;
  }
  return rows;
}

}  // namespace

std::string offset_chart(const OffsetChart& chart) {
  Range entered, offsets;
  bool titled = false;
  for (const OffsetPanel& panel : chart.panels) {
    titled = titled || !panel.title.empty();
    for (const auto& line : panel.lines)
      for (const svg::Point& p : line)
        if (stands(p)) {
          entered.take(p.x);
          offsets.take(p.y);
        }
  }
  if (!(offsets.low <= offsets.high)) return {};
  const double rim = entered.high > entered.low ? 0.06 * (entered.high - entered.low) : 1.0;
  const double half = offsets.high > offsets.low ? 0.0 : std::max(1.0, 0.05 * std::abs(offsets.low));
  const plot::Axis x{"", entered.low - rim, entered.high + rim};
  const plot::Axis y = plot::rounded_axis("", offsets.low - half, offsets.high + half);
  const char mark = chart.head.decimal_mark;
  const double left = margin + numbers_width(y, height, mark) + 1.5;
  const auto n = static_cast<double>(chart.panels.size());
  const double width = (page_width - margin - 2.0 - left - gap * (n - 1.0)) / n;
  Field f{left, left + width, 0, 0};
  f.top = 1.0 + (titled ? 2.0 : 1.0) * pitch + 1.0;
  f.bottom = f.top + height;
  const double label = f.bottom + 2.0 * letters + 2.8, key = label + 1.5 * pitch;
  svg::Document doc(page_width, key + pitch * (rows_of(chart.names) - 1) + 0.5 * pitch, chart.head.title,
                    chart.head.description);
  doc.text({margin, 1.0 + letters}, chart.y_label, lettering());
  for (std::size_t k = 0; k < chart.panels.size(); ++k) {
    if (!chart.panels[k].title.empty())
      doc.text({0.5 * (f.left + f.right), f.top - 1.2}, chart.panels[k].title,
               lettering(svg::Anchor::middle, true));
    draw_x_axis(doc, f, x, mark, true);
    if (k == 0)
      draw_y_axis(doc, f, y, mark);
    else
      for (const double tick : ticks_along(y, height, false)) {
        const double at = along(y, tick, f.bottom, f.top);
        doc.line({f.left, at}, {f.right, at}, {.stroke = ink, .width = 0.12}, {{"stroke-opacity", "0.22"}});
      }
    draw_lines(doc, chart.panels[k], f, x, y);
    f.left += width + gap;
    f.right += width + gap;
  }
  doc.text({0.5 * (left + page_width), label}, chart.x_label, lettering(svg::Anchor::middle));
  draw_key(doc, chart.names, key);
  return doc.finish();
}

}  // namespace joulepress::tools::figures
