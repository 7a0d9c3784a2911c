#include "tools/figures/axes.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::tools::figures {
namespace {

const svg::Pen grid{.stroke = ink, .width = 0.12};
const svg::Pen edge{.stroke = ink, .width = 0.2};
const svg::Attributes faint{{"stroke-opacity", "0.22"}};

}  // namespace

double along(const plot::Axis& axis, double value, double from, double to) {
  return from + (to - from) * (value - axis.low) / (axis.high - axis.low);
}

std::vector<double> ticks_along(const plot::Axis& axis, double length, bool across) {
  const int most = across ? 8 : std::max(5, static_cast<int>(length / 12.0));
  for (int wanted = most; wanted > 1; --wanted) {
    std::vector<double> ticks = plot::ticks(axis, wanted);
    if (ticks.size() < 2) continue;
    double room = 2.0 * letters;
    if (across)
      for (const std::string& text : tick_texts(ticks, '.'))
        room = std::max(room, svg::text_width(text, letters) + letters);
    if (length * (ticks[1] - ticks[0]) / (axis.high - axis.low) >= room) return ticks;
  }
  return plot::ticks(axis, 1);
}

std::vector<std::string> tick_texts(const std::vector<double>& ticks, char decimal_mark) {
  const int decimals = ticks.size() < 2 ? decimals_of(std::abs(ticks.empty() ? 1.0 : ticks[0]))
                                        : decimals_of(ticks[1] - ticks[0]);
  std::vector<std::string> texts;
  for (const double tick : ticks) texts.push_back(number_text(tick, decimals, decimal_mark));
  return texts;
}

void draw_x_axis(svg::Document& page, const Field& f, const plot::Axis& axis, char decimal_mark,
                 bool with_numbers) {
  const std::vector<double> ticks = ticks_along(axis, f.right - f.left, true);
  const std::vector<std::string> texts = tick_texts(ticks, decimal_mark);
  for (std::size_t k = 0; k < ticks.size(); ++k) {
    const double x = along(axis, ticks[k], f.left, f.right);
    page.line({x, f.top}, {x, f.bottom}, grid, faint);
    if (with_numbers) page.text({x, f.bottom + letters + 1.2}, texts[k], lettering(svg::Anchor::middle));
  }
  page.line({f.left, f.bottom}, {f.right, f.bottom}, edge);
  if (with_numbers && !axis.label.empty())
    page.text({0.5 * (f.left + f.right), f.bottom + 2.0 * letters + 2.8}, axis.label,
              lettering(svg::Anchor::middle));
}

void draw_y_axis(svg::Document& page, const Field& f, const plot::Axis& axis, char decimal_mark) {
  const std::vector<double> ticks = ticks_along(axis, f.bottom - f.top, false);
  const std::vector<std::string> texts = tick_texts(ticks, decimal_mark);
  for (std::size_t k = 0; k < ticks.size(); ++k) {
    const double y = along(axis, ticks[k], f.bottom, f.top);
    page.line({f.left, y}, {f.right, y}, grid, faint);
    page.text({f.left - 1.0, y + 0.5 * letters}, texts[k], lettering(svg::Anchor::end));
  }
  page.line({f.left, f.top}, {f.left, f.bottom}, edge);
}

double numbers_width(const plot::Axis& axis, double length, char decimal_mark) {
  double widest = 0.0;
  for (const std::string& text : tick_texts(ticks_along(axis, length, false), decimal_mark))
    widest = std::max(widest, svg::text_width(text, letters));
  return widest;
}

}  // namespace joulepress::tools::figures
