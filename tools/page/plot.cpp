#include "tools/page/plot.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace joulepress::tools::plot {
namespace {

constexpr double letters = 2.3;  // mm, of figures and labels

/// 1, 2 or 5 times a power of ten, not below `step`.
double round_step(double step) {
  const double power = std::pow(10.0, std::floor(std::log10(step)));
  for (const double factor : {1.0, 2.0, 5.0})
    if (factor * power >= step * (1.0 - 1e-9)) return factor * power;
  return 10.0 * power;
}

/// The inner rectangle, where lines are drawn.
struct Field {
  double left, right, top, bottom;
};

double along(const Axis& axis, double value, double from, double to) {
  const auto scale = [&axis](double v) { return axis.logarithmic ? std::log10(v) : v; };
  return from + (to - from) * (scale(value) - scale(axis.low)) / (scale(axis.high) - scale(axis.low));
}

void check(const Axis& axis) {
  if (!(axis.high > axis.low) || (axis.logarithmic && !(axis.low > 0.0)))
    throw std::invalid_argument("the axis \"" + axis.label + "\" has no length");
}

std::string figure(double value, const Axis& axis) {
  if (axis.logarithmic && (value >= 1e4 || value < 1e-2)) return fmt::format("1e{:.0f}", std::log10(value));
  return fmt::format("{:.6g}", std::abs(value) < 1e-9 * std::abs(axis.high) ? 0.0 : value);
}

void draw_axes(svg::Document& page, const Field& f, const Frame& frame, const Axis& x, const Axis& y) {
  const svg::Pen grid{.stroke = "#d5d8dc", .width = 0.12}, edge{.stroke = "#444444", .width = 0.2};
  const svg::Lettering below{.height = letters, .anchor = svg::Anchor::middle},
      left{.height = letters, .anchor = svg::Anchor::end};
  for (const double tick : ticks(x, 5)) {
    const double at = along(x, tick, f.left, f.right);
    page.line({at, f.top}, {at, f.bottom}, grid);
    page.text({at, f.bottom + letters + 1.2}, figure(tick, x), below);
  }
  for (const double tick : ticks(y, 5)) {
    const double at = along(y, tick, f.bottom, f.top);
    page.line({f.left, at}, {f.right, at}, grid);
    page.text({f.left - 1.0, at + 0.5 * letters}, figure(tick, y), left);
  }
  page.rectangle({f.left, f.top}, f.right - f.left, f.bottom - f.top, edge);
  page.text({0.5 * (f.left + f.right), f.bottom + 2.0 * letters + 2.6}, x.label, below);
  page.text({frame.x + letters, 0.5 * (f.top + f.bottom)}, y.label,
            {.height = letters, .anchor = svg::Anchor::middle, .angle = 90});
}

void draw_line(svg::Document& page, const Field& f, const Axis& x, const Axis& y, const Line& line) {
  const auto place = [&](double px, double py) {
    return svg::Point{along(x, px, f.left, f.right),
                      along(y, std::clamp(py, y.low, y.high), f.bottom, f.top)};
  };
  std::vector<svg::Point> centre, band;
  for (const svg::Point& p : line.points) centre.push_back(place(p.x, p.y));
  for (std::size_t k = 0; k < line.low.size(); ++k) band.push_back(place(line.points[k].x, line.low[k]));
  for (std::size_t k = line.high.size(); k-- > 0;) band.push_back(place(line.points[k].x, line.high[k]));
  if (!band.empty())
    page.polygon(band, {.stroke = "none", .width = 0, .fill = line.colour}, {{"fill-opacity", "0.18"}});
  page.polyline(centre, {.stroke = line.colour, .width = 0.45});
}

}  // namespace

std::vector<double> ticks(const Axis& axis, int wanted) {
  check(axis);
  std::vector<double> list;
  if (axis.logarithmic) {
    const double decades = std::log10(axis.high / axis.low);
    const int every = std::max(1, static_cast<int>(std::ceil(decades / wanted)));
    const int first = static_cast<int>(std::floor(std::log10(axis.low) + 1e-9));
    for (int power = first; std::pow(10.0, power) <= axis.high * (1.0 + 1e-9); ++power)
      for (const double factor : {1.0, 2.0, 5.0}) {
        const double value = factor * std::pow(10.0, power);
        const bool shown = factor == 1.0 ? (power - first) % every == 0 : decades < 2.0;
        if (shown && value >= axis.low * (1.0 - 1e-9) && value <= axis.high * (1.0 + 1e-9))
          list.push_back(value);
      }
    return list;
  }
  const double step = round_step((axis.high - axis.low) / wanted);
  const double slack = 1e-9 * step;
  for (double k = std::ceil((axis.low - slack) / step); k * step <= axis.high + slack; k += 1.0)
    list.push_back(k * step);
  return list;
}

Axis rounded_axis(std::string label, double low, double high) {
  if (low > 0.0 && low < 0.5 * high) low = 0.0;
  if (!(high > low)) high = low + std::max(1.0, 0.1 * std::abs(low));
  const double step = round_step((high - low) / 5.0);
  return {std::move(label), step * std::floor(low / step + 1e-9), step * std::ceil(high / step - 1e-9),
          false};
}

void draw(svg::Document& page, const Frame& frame, const std::string& title, const Axis& x, const Axis& y,
          const std::vector<Line>& lines) {
  check(x);
  check(y);
  double widest = 0.0;
  for (const double tick : ticks(y, 5)) widest = std::max(widest, svg::text_width(figure(tick, y), letters));
  const Field field{frame.x + letters + 3.0 + widest, frame.x + frame.width - 4.0, frame.y + 6.0,
                    frame.y + frame.height - 2.0 * letters - 4.0};
  page.open_group({{"role", "img"}, {"aria-label", title}});
  page.text({field.left, frame.y + 3.5}, title, {.height = 2.7, .bold = true});
  draw_axes(page, field, frame, x, y);
  for (const Line& line : lines) draw_line(page, field, x, y, line);
  page.close_group();
}

}  // namespace joulepress::tools::plot
