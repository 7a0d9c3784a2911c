#include "tools/figures/margin_chart.hpp"

#include <algorithm>
#include <cmath>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double height = 40, cold_room = 14, names_room = 6.5, margin_mm = 1, small = 1.8;
constexpr double most_shown = 100;  // as good as not loaded
const svg::Pen grid{.stroke = ink, .width = 0.12};
const svg::Pen edge{.stroke = ink, .width = 0.2};
const svg::Attributes faint{{"stroke-opacity", "0.22"}};
const svg::Pen line_pen{.stroke = "#b3471d", .width = 0.65};
const svg::Pen asked_pen{.stroke = "#6b7280", .width = 0.35, .dashes = "1.8 1"};

bool shown(double margin) {
  return std::isfinite(margin) && margin > 0.0;
}

/// Ends at 1, 2 or 5 times a power of ten.
double round_below(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  for (const double step : {5.0, 2.0})
    if (step * power <= value) return step * power;
  return power;
}

double round_above(double value) {
  const double power = std::pow(10.0, std::floor(std::log10(value)));
  for (const double step : {1.0, 2.0, 5.0})
    if (step * power >= value) return step * power;
  return 10.0 * power;
}

/// Margins of 1, 2 and 5 times powers of ten stand at even ways: the axis is that of the logarithm.
struct MarginAxis {
  double low = 0.5, high = 10;
  double at(double margin, const Field& f) const {
    const double kept = std::clamp(margin, low, high);
    return f.bottom + (f.top - f.bottom) * std::log(kept / low) / std::log(high / low);
  }
  std::vector<double> ticks() const {
    std::vector<double> found;
    for (int exponent = -6; exponent < 6; ++exponent)
      for (const double step : {1.0, 2.0, 5.0})
        if (const double tick = step * std::pow(10.0, exponent); tick > low * 0.999 && tick < high * 1.001)
          found.push_back(tick);
    return found;
  }
};

MarginAxis axis_of(const MarginChart& chart) {
  double low = chart.asked, high = chart.asked;
  const auto hold = [&](double margin) {
    if (!shown(margin)) return;
    low = std::min(low, margin);
    high = std::max(high, std::min(margin, most_shown));
  };
  for (const MarginPoint& point : chart.points) hold(point.margin);
  if (chart.cold && *chart.cold < most_shown) hold(*chart.cold);
  return {std::min(round_below(low), 0.5), std::max(round_above(high), 10.0)};
}

void draw_values(svg::Document& doc, const Field& f, const MarginChart& chart, const MarginAxis& axis) {
  for (const double tick : axis.ticks()) {
    const double y = axis.at(tick, f);
    doc.line({f.left, y}, {f.right, y}, grid, faint);
    doc.text({f.left - 1.0, y + 0.5 * letters},
             number_text(tick, tick < 1.0 ? decimals_of(tick) : 0, chart.head.decimal_mark),
             lettering(svg::Anchor::end));
  }
  doc.line({f.left, f.top}, {f.left, f.bottom}, edge);
}

void draw_spans(svg::Document& doc, const Field& f, const MarginChart& chart, const plot::Axis& time,
                double right) {
  bool tinted = false;
  for (const LoadSpan& span : chart.spans) {
    const double from = along(time, span.start, f.left, right), to = along(time, span.end, f.left, right);
    if (tinted)
      doc.rectangle({from, f.top}, to - from, f.bottom - f.top, {.stroke = "none", .width = 0, .fill = ink},
                    {{"class", "hold"}, {"fill-opacity", "0.08"}});
    tinted = !tinted;
    if (svg::text_width(span.name, small) < to - from)
      doc.text({0.5 * (from + to), f.top - 1.0}, span.name, lettering(svg::Anchor::middle, false, small));
  }
}

/// A level across the field with its name at the right end.
void draw_level(svg::Document& doc, const Field& f, double y, const std::string& name, const svg::Pen& pen) {
  doc.line({f.left, y}, {f.right, y}, pen, {{"class", "series-programme"}});
  doc.text({f.right + 1.5, y + 0.5 * letters}, name, lettering());
}

void draw_line(svg::Document& doc, const Field& f, const MarginChart& chart, const MarginAxis& axis,
               const plot::Axis& time, double right) {
  std::vector<svg::Point> stretch;
  const auto close = [&] {
    if (stretch.size() > 1)
      doc.polyline(stretch, line_pen, {{"class", "series-mean"}, {"stroke-linejoin", "round"}});
    stretch.clear();
  };
  for (const MarginPoint& point : chart.points) {
    if (!shown(point.margin)) {
      close();
      continue;
    }
    const svg::Point at{along(time, point.time, f.left, right), axis.at(point.margin, f)};
    stretch.push_back(at);
    doc.circle(at, 0.6, {.stroke = "none", .width = 0, .fill = line_pen.stroke}, {{"class", "variant"}});
  }
  close();
}

}  // namespace

std::string margin_chart(const MarginChart& chart) {
  const auto usable = std::count_if(chart.points.begin(), chart.points.end(),
                                    [](const MarginPoint& point) { return shown(point.margin); });
  if (usable < 2 || !(chart.points.back().time > chart.points.front().time)) return {};
  const MarginAxis axis = axis_of(chart);
  double numbers = 0.0, names = 0.0;
  for (const double tick : axis.ticks())
    numbers = std::max(numbers,
                       svg::text_width(number_text(tick, tick < 1.0 ? decimals_of(tick) : 0, '.'), letters));
  for (const std::string& name : {chart.asked_name, chart.breaks_name})
    names = std::max(names, svg::text_width(name, letters));
  const double top = 2.0 + names_room + 1.5 * letters;
  const Field f{margin_mm + numbers + 1.5, page_width - margin_mm - names - 1.5, top, top + height};
  const double right = f.right - (chart.cold ? cold_room : 0.0);
  const plot::Axis time{chart.time_label, chart.points.front().time, chart.points.back().time};
  svg::Document doc(page_width, f.bottom + 2.0 * letters + 4.0, chart.head.title, chart.head.description);
  doc.text({margin_mm, 2.0 + letters}, chart.value_label, lettering(svg::Anchor::start, true));
  const double one = axis.at(1.0, f);
  doc.rectangle({f.left, one}, f.right - f.left, f.bottom - one,
                {.stroke = "none", .width = 0, .fill = line_pen.stroke},
                {{"class", "variant"}, {"fill-opacity", "0.15"}});
  draw_spans(doc, f, chart, time, right);
  draw_x_axis(doc, {f.left, right, f.top, f.bottom}, time, chart.head.decimal_mark, true);
  draw_values(doc, f, chart, axis);
  doc.text({f.right + 1.5, 0.5 * (one + f.bottom) + 0.5 * letters}, chart.breaks_name, lettering());
  draw_level(doc, f, axis.at(chart.asked, f), chart.asked_name, asked_pen);
  draw_line(doc, f, chart, axis, time, right);
  if (chart.cold) {
    const double x = 0.5 * (right + f.right);
    doc.line({right, f.top}, {right, f.bottom}, edge);
    doc.text({x, f.bottom + letters + 1.2}, chart.cold_name, lettering(svg::Anchor::middle));
    if (shown(*chart.cold)) {
      const double y = axis.at(*chart.cold, f);
      doc.circle({x, y}, 0.9, {.stroke = "none", .width = 0, .fill = line_pen.stroke},
                 {{"class", "variant"}});
      doc.text({x, y - 1.6}, chart.cold_text, lettering(svg::Anchor::middle, false, small));
    }
  }
  return doc.finish();
}

}  // namespace joulepress::tools::figures
