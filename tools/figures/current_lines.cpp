#include "tools/figures/current_lines.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace joulepress::tools::figures {
namespace {

/// The cells that a height runs through, from the axis outward, each with the current inside of its outer
/// edge.
struct Slice {
  std::vector<std::size_t> cells;
  std::vector<double> inside;  ///< A
};

std::vector<double> heights_of(const Cells& cells) {
  std::vector<double> heights;
  for (std::size_t k = 0; k < cells.part.size(); ++k)
    heights.push_back(0.5 * (cells.z_low[k] + cells.z_high[k]));
  std::sort(heights.begin(), heights.end());
  const auto same = [](double a, double b) { return b - a < 1e-9; };
  heights.erase(std::unique(heights.begin(), heights.end(), same), heights.end());
  return heights;
}

/// Rows around a height and the share of the upper one.
struct Between {
  std::size_t low, high;
  double u;
};

Between rows_around(const Cells& cells, const CellBlock& block, double z) {
  const auto middle = [&](std::size_t j) {
    return 0.5 * (cells.z_low[block.cell(0, j)] + cells.z_high[block.cell(0, j)]);
  };
  std::size_t j = 0;
  while (j + 1 < block.n_z && middle(j + 1) <= z) ++j;
  if (j + 1 == block.n_z || z <= middle(j)) return {j, j, 0.0};
  return {j, j + 1, (z - middle(j)) / (middle(j + 1) - middle(j))};
}

Slice slice_at(const Cells& cells, const std::vector<CellBlock>& blocks, const std::vector<double>& axial,
               double z) {
  struct Ring {
    std::size_t cell;
    double current;
  };
  std::vector<Ring> rings;
  for (const CellBlock& block : blocks) {
    if (z < block.z_low || z >= block.z_high) continue;
    const Between rows = rows_around(cells, block, z);
    for (std::size_t i = 0; i < block.n_r; ++i) {
      const std::size_t k = block.cell(i, rows.low);
      const double density = std::lerp(axial[k], axial[block.cell(i, rows.high)], rows.u);
      const double area = (cells.r_high[k] - cells.r_low[k]) * (cells.r_high[k] + cells.r_low[k]);
      rings.push_back({k, density * std::numbers::pi * area});
    }
  }
  std::sort(rings.begin(), rings.end(),
            [&](const Ring& a, const Ring& b) { return cells.r_low[a.cell] < cells.r_low[b.cell]; });
  Slice slice;
  double sum = 0.0;
  for (const Ring& ring : rings) {
    slice.cells.push_back(ring.cell);
    slice.inside.push_back(sum += ring.current);
  }
  return slice;
}

/// The first radius from the axis within which `share` of the slice's current flows.
double radius_of(const Cells& cells, const Slice& slice, double share) {
  const double total = slice.inside.back();
  std::size_t n = 0;
  while (n + 1 < slice.inside.size() && slice.inside[n] / total < share) ++n;
  const double before = n == 0 ? 0.0 : slice.inside[n - 1] / total, after = slice.inside[n] / total;
  const double u = after > before ? std::clamp((share - before) / (after - before), 0.0, 1.0) : 1.0;
  const double low = cells.r_low[slice.cells[n]], high = cells.r_high[slice.cells[n]];
  return std::sqrt(std::lerp(low * low, high * high, u));
}

}  // namespace

std::vector<CurrentLine> lines_of_current(const Cells& cells, const std::vector<double>& axial,
                                          double share) {
  if (axial.size() != cells.part.size())
    throw std::invalid_argument("current lines: not one value for each cell");
  if (!(share > 0.0 && share < 1.0)) throw std::invalid_argument("current lines: no share between 0 and 1");
  const std::vector<CellBlock> blocks = blocks_of(cells);
  const std::vector<double> heights = heights_of(cells);
  std::vector<Slice> slices;
  double largest = 0.0;
  for (const double z : heights) {
    slices.push_back(slice_at(cells, blocks, axial, z));
    if (!slices.back().inside.empty()) largest = std::max(largest, std::abs(slices.back().inside.back()));
  }
  std::vector<CurrentLine> lines;
  if (!(largest > 0.0)) return lines;
  for (int k = 1; k * share < 1.0 - 1e-9; ++k) {
    CurrentLine line{k * share, {}, {}};
    for (std::size_t n = 0; n < heights.size(); ++n) {
      if (slices[n].inside.empty() || !(std::abs(slices[n].inside.back()) > 1e-3 * largest)) continue;
      line.r.push_back(radius_of(cells, slices[n], line.share));
      line.z.push_back(heights[n]);
    }
    lines.push_back(std::move(line));
  }
  return lines;
}

std::string current_lines(const CurrentFigure& figure) {
  check_parts(figure.stack);
  const std::vector<CurrentLine> lines = lines_of_current(figure.stack.cells, figure.axial, figure.share);
  if (lines.empty()) return {};
  const std::vector<CellBlock> blocks = blocks_of(figure.stack.cells);
  std::vector<Callout> callouts = part_callouts(figure.stack, blocks);
  const SectionPage page = lay_out(blocks, callouts, 0.0);
  svg::Document doc(page_width, page.height, figure.head.title, figure.head.description);
  draw_left_half(doc, page, figure.stack, blocks);
  draw_right_half(doc, page, figure.stack, blocks, false);
  doc.open_group({{"class", "current"}});
  for (const CurrentLine& line : lines) {
    std::vector<svg::Point> points;
    for (std::size_t k = 0; k < line.r.size(); ++k) points.push_back(page.view.at(line.r[k], line.z[k]));
    doc.polyline(simplified(points, 0.02), {.stroke = "#0b5d6b", .width = 0.35},
                 {{"class", "current-line"}, {"stroke-linejoin", "round"}});
  }
  doc.close_group();
  draw_section_axes(doc, page, figure.stack, figure.head.decimal_mark);
  draw_callouts(doc, page, callouts);
  return doc.finish();
}

}  // namespace joulepress::tools::figures
