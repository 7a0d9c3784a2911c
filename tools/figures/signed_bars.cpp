#include "tools/figures/signed_bars.hpp"

#include <algorithm>
#include <cmath>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double row = 8.6, bar = 4.6, widest_name = 40, margin = 1, line_pitch = 1.35 * letters;

/// Where a bar begins and ends, on the axis.
struct Stretch {
  double from, to;
};

std::vector<Stretch> stretches_of(const SignedBars& bars) {
  std::vector<Stretch> list;
  double at = bars.start;
  for (const SignedStep& step : bars.steps) {
    list.push_back({at, at + step.value});
    at += step.value;
  }
  return list;
}

plot::Axis axis_of(const SignedBars& bars) {
  double low = bars.start, high = bars.start;
  for (const Stretch& stretch : stretches_of(bars)) {
    low = std::min(low, stretch.to);
    high = std::max(high, stretch.to);
  }
  // Not from zero: differences are read here, and both ends are written.
  const double size = std::max(high - low, 1e-6 * std::max(1.0, std::abs(high)));
  return {bars.axis_label, low - 0.08 * size, high + 0.04 * size};
}

/// As many decimals as the smallest step needs to show a figure, at most two.
int decimals_for(const SignedBars& bars) {
  double smallest = INFINITY;
  for (const SignedStep& step : bars.steps)
    if (step.value != 0.0) smallest = std::min(smallest, std::abs(step.value));
  return std::isfinite(smallest) ? std::min(2, decimals_of(smallest)) : 0;
}

void draw_name(svg::Document& doc, double middle, const std::string& name, double width, bool bold) {
  const std::vector<std::string> lines = wrapped(name, width);
  const double first = middle - 0.5 * line_pitch * (static_cast<double>(lines.size()) - 1.0);
  for (std::size_t k = 0; k < lines.size(); ++k)
    doc.text({margin, first + line_pitch * static_cast<double>(k) + 0.5 * letters}, lines[k],
             lettering(svg::Anchor::start, bold));
}

/// A value of the axis: a mark across its row and the number.
void draw_end(svg::Document& doc, double x, double middle, const std::string& text, const char* css) {
  doc.line({x, middle - 0.5 * row + 0.6}, {x, middle + 0.5 * row - 0.6}, {.stroke = ink, .width = 0.6},
           {{"class", css}});
  doc.text({x + 1.6, middle + 0.5 * letters}, text, lettering(svg::Anchor::start, true));
}

void draw_step(svg::Document& doc, double from, double to, double middle, const std::string& text,
               bool rises) {
  const double left = std::min(from, to), width = std::max(std::abs(to - from), 0.25);
  doc.rectangle({left, middle - 0.5 * bar}, width, bar,
                {.stroke = "none", .width = 0, .fill = rises ? "#b3471d" : "#0b5d6b"},
                {{"class", rises ? "bar-rise" : "bar-fall"}});
  doc.text({left + width + 1.2, middle + 0.5 * letters}, text, lettering());
}

}  // namespace

std::vector<SignedStep> offset_steps(const solver::OffsetParts& parts,
                                     const std::map<std::string, std::string>& names) {
  std::vector<SignedStep> steps;
  for (auto term = solver::offset_terms.rbegin(); term != solver::offset_terms.rend(); ++term) {
    const auto name = names.find(term->key);
    if (parts.*term->value != 0.0)
      steps.push_back({name == names.end() ? term->key : name->second, parts.*term->value});
  }
  return steps;
}

double end_of(const SignedBars& bars) {
  double sum = bars.start;
  for (const SignedStep& step : bars.steps) sum += step.value;
  return sum;
}

std::string signed_bars(const SignedBars& bars) {
  if (bars.steps.empty()) return {};
  const int decimals = decimals_for(bars);
  const char mark = bars.head.decimal_mark;
  const auto value_text = [&](double v) { return number_text(v, decimals, mark) + " " + bars.unit; };
  const double end = end_of(bars);
  double names = 0.0, texts = svg::text_width(value_text(std::max(end, bars.start)), letters, true) + 1.6;
  std::vector<std::string> all{bars.start_name, bars.end_name};
  for (const SignedStep& step : bars.steps) all.push_back(step.name);
  for (const std::string& name : all)
    for (const std::string& line : wrapped(name, widest_name))
      names = std::max(names, svg::text_width(line, letters, true));
  const double count = static_cast<double>(bars.steps.size()) + 2.0;
  const Field f{margin + names + 3.0, page_width - margin - texts, 1.0, 1.0 + row * count};
  const plot::Axis axis = axis_of(bars);
  const auto x = [&](double value) { return along(axis, value, f.left, f.right); };

  svg::Document doc(page_width, f.bottom + 2.0 * letters + 4.5, bars.head.title, bars.head.description);
  draw_x_axis(doc, f, axis, mark, true);
  double middle = f.top + 0.5 * row;
  draw_name(doc, middle, bars.start_name, widest_name, true);
  draw_end(doc, x(bars.start), middle, value_text(bars.start), "start");
  const std::vector<Stretch> stretches = stretches_of(bars);
  for (std::size_t k = 0; k < stretches.size(); ++k) {
    const double above = middle;
    middle += row;
    doc.line({x(stretches[k].from), above + 0.5 * bar}, {x(stretches[k].from), middle - 0.5 * bar},
             {.stroke = ink, .width = 0.15});
    draw_name(doc, middle, bars.steps[k].name, widest_name, false);
    draw_step(doc, x(stretches[k].from), x(stretches[k].to), middle,
              signed_text(bars.steps[k].value, decimals, mark) + " " + bars.step_unit,
              bars.steps[k].value > 0);
  }
  doc.line({x(end), middle + 0.5 * bar}, {x(end), middle + row - 0.5 * bar}, {.stroke = ink, .width = 0.15});
  middle += row;
  draw_name(doc, middle, bars.end_name, widest_name, true);
  draw_end(doc, x(end), middle, value_text(end), "end");
  return doc.finish();
}

}  // namespace joulepress::tools::figures
