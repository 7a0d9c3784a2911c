#include "tools/figures/range_rows.hpp"

#include <algorithm>
#include <cmath>

#include "tools/figures/axes.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double row_gap = 4.2, widest_name = 44, margin = 1, line_pitch = 1.35 * letters;
constexpr double bar = 3.6, end_bar = 1.3;
const char* const petrol = "#0b5d6b";

plot::Axis axis_of(const RangeRows& figure) {
  double low = figure.value, high = figure.value;
  const auto take = [&](double value) {
    low = std::min(low, value);
    high = std::max(high, value);
  };
  if (figure.span)
    for (const RangeEnd& end : {figure.span->low, figure.span->median, figure.span->high}) {
      take(end.low);
      take(end.high);
    }
  if (figure.half_width) {
    take(figure.value - *figure.half_width);
    take(figure.value + *figure.half_width);
  }
  for (const RangeShift& shift : figure.shifts) take(figure.value + shift.difference);
  // Not from zero: the range is read here, and the numbers are written.
  const double rim = high > low ? 0.04 * (high - low) : std::max(1.0, 0.05 * std::abs(high));
  return {figure.axis_label, low - rim, high + rim};
}

struct Row {
  std::vector<std::string> name;
  std::string text;  ///< behind what is drawn
  bool bold = false;
  double middle = 0;
};

/// Three digits, two decimals at most.
int decimals_for(double size) {
  return size < 10.0 ? 2 : size < 100.0 ? 1 : 0;
}

std::vector<Row> rows_of(const RangeRows& figure) {
  const char mark = figure.head.decimal_mark;
  const std::string unit = " " + figure.unit;
  const auto named = [](const std::string& name) { return wrapped(name, widest_name); };
  std::vector<Row> rows{{named(figure.case_name), number_text(figure.value, 1, mark) + unit, true}};
  if (figure.span) {
    const int decimals =
        decimals_for(std::max(std::abs(figure.span->low.value), std::abs(figure.span->high.value)));
    const auto number = [&](double value) { return number_text(value, decimals, mark); };
    rows.push_back({named(figure.span_name),
                    number(figure.span->low.value) + " … " + number(figure.span->high.value) + unit});
  }
  if (figure.half_width)
    rows.push_back({named(figure.numerical_name),
                    "±" + number_text(*figure.half_width, decimals_for(*figure.half_width), mark) + unit});
  for (const RangeShift& shift : figure.shifts)
    rows.push_back({named(shift.name), signed_text(shift.difference, 1, mark) + unit});
  double below = 1.0;
  for (Row& row : rows) {
    const double height = line_pitch * static_cast<double>(row.name.size()) + row_gap;
    row.middle = below + 0.5 * height;
    below += height;
  }
  return rows;
}

void draw_texts(svg::Document& doc, const Row& row, double right) {
  const double first = row.middle - 0.5 * line_pitch * (static_cast<double>(row.name.size()) - 1.0);
  for (std::size_t k = 0; k < row.name.size(); ++k)
    doc.text({margin, first + line_pitch * static_cast<double>(k) + 0.5 * letters}, row.name[k],
             lettering(svg::Anchor::start, row.bold));
  doc.text({right, row.middle + 0.5 * letters}, row.text, lettering(svg::Anchor::end, row.bold));
}

template <class X>
void draw_span(svg::Document& doc, const RangeSpan& span, double middle, const X& x) {
  const double top = middle - 0.5 * (bar + end_bar + 0.4);
  const auto draw = [&](double from, double to, double y, double height, const svg::Attributes& more) {
    doc.rectangle({x(from), y}, x(to) - x(from), height, {.stroke = "none", .width = 0, .fill = petrol},
                  more);
  };
  draw(span.low.value, span.high.value, top, bar, {{"class", "range"}});
  for (const RangeEnd& end : {span.low, span.high})
    draw(end.low, end.high, top + bar + 0.4, end_bar, {{"class", "range-end"}, {"fill-opacity", "0.5"}});
  doc.line({x(span.median.value), top}, {x(span.median.value), top + bar}, {.stroke = "white", .width = 0.6},
           {{"class", "median"}});
}

}  // namespace

std::string range_rows(const RangeRows& figure) {
  if (!std::isfinite(figure.value)) return {};
  const std::vector<Row> rows = rows_of(figure);
  double names = 0.0, texts = 0.0;
  for (const Row& row : rows) {
    for (const std::string& line : row.name)
      names = std::max(names, svg::text_width(line, letters, row.bold));
    texts = std::max(texts, svg::text_width(row.text, letters, row.bold));
  }
  const double last =
      rows.back().middle + 0.5 * (line_pitch * static_cast<double>(rows.back().name.size()) + row_gap);
  const Field f{margin + names + 3.0, page_width - margin - texts - 3.0, 1.0, last};
  const plot::Axis axis = axis_of(figure);
  const auto x = [&](double value) { return along(axis, value, f.left, f.right); };
  const double right = page_width - margin;
  svg::Document doc(page_width, f.bottom + 2.0 * letters + 4.5, figure.head.title, figure.head.description);
  draw_x_axis(doc, f, axis, figure.head.decimal_mark, true);
  doc.line({x(figure.value), f.top}, {x(figure.value), f.bottom}, {.stroke = ink, .width = 0.2});
  doc.line({x(figure.value), rows[0].middle - 2.6}, {x(figure.value), rows[0].middle + 2.6},
           {.stroke = ink, .width = 0.8}, {{"class", "case"}});
  std::size_t k = 1;
  if (figure.span) draw_span(doc, *figure.span, rows[k++].middle, x);
  if (figure.half_width) {
    const double from = x(figure.value - *figure.half_width), to = x(figure.value + *figure.half_width);
    doc.rectangle({from, rows[k++].middle - 0.5 * end_bar}, to - from, end_bar,
                  {.stroke = "none", .width = 0, .fill = "#b3471d"}, {{"class", "numerical"}});
  }
  for (const RangeShift& shift : figure.shifts) {
    const double at = x(figure.value + shift.difference), y = rows[k++].middle;
    doc.line({x(figure.value), y}, {at, y}, {.stroke = "#6b7280", .width = 0.35});
    doc.circle({at, y}, 1.0, {.stroke = "#6b7280", .width = 0.35, .fill = "#6b7280"}, {{"class", "shift"}});
  }
  for (const Row& row : rows) draw_texts(doc, row, right);
  return doc.finish();
}

}  // namespace joulepress::tools::figures
