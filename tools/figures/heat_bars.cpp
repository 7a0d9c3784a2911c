#include "tools/figures/heat_bars.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::tools::figures {
namespace {

constexpr double row = 8.6, bar = 2.6, margin = 1, gap = 8, title_room = 7;
constexpr double share_room = 13, power_room = 16;  // columns of numbers right of the bars
constexpr double least_share = 0.005;
constexpr std::size_t most = 8;

double sum_of(const std::vector<HeatBar>& bars) {
  double sum = 0.0;
  for (const HeatBar& b : bars) sum += b.watts;
  return sum;
}

double largest_of(const std::vector<HeatBar>& bars) {
  double largest = 0.0;
  for (const HeatBar& b : bars) largest = std::max(largest, std::abs(b.watts));
  return largest;
}

/// "3358 W", "5.2 W": at least two figures, no more than one decimal.
std::string power_text(double watts, char mark) {
  return number_text(watts, std::abs(watts) < 9.95 ? 1 : 0, mark) + " W";
}

std::string share_text(double share, char mark) {
  return number_text(100.0 * share, std::abs(share) < 0.0995 ? 1 : 0, mark) + " %";
}

/// The name cut to what fits, with an ellipsis.
std::string fitted(const std::string& name, double width) {
  std::string text = name;
  while (text.size() > 1 && svg::text_width(text + "…", letters) > width) {
    while (text.size() > 1 && (static_cast<unsigned char>(text.back()) & 0xc0) == 0x80) text.pop_back();
    text.pop_back();
    if (svg::text_width(text + "…", letters) <= width) return text + "…";
  }
  return text;
}

void draw_bar(svg::Document& doc, double left, double width, double top, const HeatBar& b, double largest,
              double sum, const char* css, const char* fill, char mark) {
  const double base = top + letters, below = base + 1.2, right = left + width;
  const bool fits = svg::text_width(b.name, letters) <= width;
  doc.text({left, base}, fits ? b.name : fitted(b.name, width), lettering());
  const double text_base = below + 0.5 * (bar + letters);
  doc.text({right - share_room, text_base}, power_text(b.watts, mark), lettering(svg::Anchor::end));
  if (sum > 0.0) doc.text({right, text_base}, share_text(b.watts / sum, mark), lettering(svg::Anchor::end));
  const bool against = b.watts < 0.0;
  svg::Pen pen{.stroke = against ? fill : "none", .width = 0.2, .fill = against ? "none" : fill};
  const double longest = width - share_room - power_room;
  doc.rectangle({left, below}, std::max(0.15, longest * std::abs(b.watts) / largest), bar, pen,
                {{"class", css}});
}

void draw_list(svg::Document& doc, double left, double width, const std::string& title,
               const std::vector<HeatBar>& bars, double largest, const char* css, const char* fill,
               char mark) {
  const double sum = sum_of(bars);
  doc.text({left, 1.0 + letters}, title, lettering(svg::Anchor::start, true));
  doc.text({left + width, 1.0 + letters}, power_text(sum, mark), lettering(svg::Anchor::end, true));
  doc.line({left, 2.6 + letters}, {left + width, 2.6 + letters}, {.stroke = ink, .width = 0.15});
  for (std::size_t k = 0; k < bars.size(); ++k)
    draw_bar(doc, left, width, title_room + row * static_cast<double>(k), bars[k], largest, sum, css, fill,
             mark);
}

}  // namespace

std::vector<HeatBar> sorted_bars(std::vector<HeatBar> bars, const std::string& rest_name) {
  std::erase_if(bars, [](const HeatBar& b) { return b.watts == 0.0; });
  std::stable_sort(bars.begin(), bars.end(),
                   [](const HeatBar& a, const HeatBar& b) { return std::abs(a.watts) > std::abs(b.watts); });
  double all = 0.0;
  for (const HeatBar& b : bars) all += std::abs(b.watts);
  std::size_t kept = 0;
  while (kept < std::min(most, bars.size()) && std::abs(bars[kept].watts) >= least_share * all) ++kept;
  if (bars.size() - kept < 2) return bars;
  HeatBar rest{rest_name, 0.0};
  for (std::size_t k = kept; k < bars.size(); ++k) rest.watts += bars[k].watts;
  bars.resize(kept);
  bars.push_back(rest);
  return bars;
}

std::string heat_bars(const HeatBars& figure) {
  const std::vector<HeatBar> made = sorted_bars(figure.made, figure.rest_name),
                             goes = sorted_bars(figure.goes, figure.rest_name);
  const double largest = std::max(largest_of(made), largest_of(goes));
  if (!(largest > 0.0)) return {};
  const double width = 0.5 * (page_width - 2.0 * margin - gap);
  const double rows = static_cast<double>(std::max(made.size(), goes.size()));
  const char mark = figure.head.decimal_mark;
  svg::Document doc(page_width, title_room + row * rows, figure.head.title, figure.head.description);
  draw_list(doc, margin, width, figure.made_title, made, largest, "bar-made", "#b3471d", mark);
  draw_list(doc, margin + width + gap, width, figure.goes_title, goes, largest, "bar-goes", "#0b5d6b", mark);
  return doc.finish();
}

}  // namespace joulepress::tools::figures
