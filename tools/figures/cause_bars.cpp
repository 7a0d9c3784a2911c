#include "tools/figures/cause_bars.hpp"

#include <algorithm>
#include <cmath>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double row_gap = 3.4, bar = 3.4, widest_name = 44, margin = 1, line_pitch = 1.35 * letters;
constexpr double least_share = 0.005;
constexpr std::size_t most = 12;

/// A line with a short stroke across at both ends.
void draw_whisker(svg::Document& doc, double from, double to, double y) {
  const svg::Pen pen{.stroke = ink, .width = 0.25};
  doc.line({from, y}, {to, y}, pen, {{"class", "whisker"}});
  for (const double x : {from, to}) doc.line({x, y - 0.9}, {x, y + 0.9}, pen);
}

std::string percent_text(double share, char mark) {
  return number_text(100.0 * share, share < 0.0995 ? 1 : 0, mark) + " %";
}

}  // namespace

std::vector<CauseBar> shown_causes(std::vector<CauseBar> bars) {
  std::erase_if(bars, [](const CauseBar& b) { return !(b.share >= least_share); });
  std::stable_sort(bars.begin(), bars.end(),
                   [](const CauseBar& a, const CauseBar& b) { return a.share > b.share; });
  if (bars.size() > most) bars.resize(most);
  return bars;
}

std::string cause_bars(const CauseBars& figure) {
  const std::vector<CauseBar> bars = shown_causes(figure.bars);
  if (bars.empty()) return {};
  const char mark = figure.head.decimal_mark;
  double names = 0.0, numbers = 0.0, highest = 0.0, below = 1.0;
  std::vector<std::vector<std::string>> texts;
  std::vector<double> middles;
  for (const CauseBar& cause : bars) {
    texts.push_back(wrapped(cause.name, widest_name));
    for (const std::string& line : texts.back()) names = std::max(names, svg::text_width(line, letters));
    numbers = std::max(numbers, svg::text_width(percent_text(cause.share, mark), letters, true));
    highest = std::max({highest, cause.share, cause.high});
    const double row = line_pitch * static_cast<double>(texts.back().size()) + row_gap;
    middles.push_back(below + 0.5 * row);
    below += row;
  }
  const Field f{margin + names + 3.0, page_width - margin - numbers - 2.5, 1.0, below};
  const plot::Axis axis = plot::rounded_axis(figure.axis_label, 0.0, 100.0 * std::min(1.0, highest));
  const auto x = [&](double share) {
    return along(axis, std::clamp(100.0 * share, axis.low, axis.high), f.left, f.right);
  };
  svg::Document doc(page_width, f.bottom + 2.0 * letters + 4.5, figure.head.title, figure.head.description);
  draw_x_axis(doc, f, axis, mark, true);
  for (std::size_t k = 0; k < bars.size(); ++k) {
    const double first = middles[k] - 0.5 * line_pitch * (static_cast<double>(texts[k].size()) - 1.0);
    for (std::size_t row = 0; row < texts[k].size(); ++row)
      doc.text({margin, first + line_pitch * static_cast<double>(row) + 0.5 * letters}, texts[k][row],
               lettering());
    doc.rectangle({f.left, middles[k] - 0.5 * bar}, x(bars[k].share) - f.left, bar,
                  {.stroke = "none", .width = 0, .fill = "#0b5d6b"},
                  {{"class", "bar-cause"}, {"fill-opacity", "0.6"}});
    draw_whisker(doc, x(bars[k].low), x(bars[k].high), middles[k]);
    doc.text({std::max(x(bars[k].share), x(bars[k].high)) + 1.5, middles[k] + 0.5 * letters},
             percent_text(bars[k].share, mark), lettering(svg::Anchor::start, true));
  }
  return doc.finish();
}

}  // namespace joulepress::tools::figures
