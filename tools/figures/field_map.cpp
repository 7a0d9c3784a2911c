#include "tools/figures/field_map.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <stdexcept>

#include "tools/figures/contours.hpp"

namespace joulepress::tools::figures {
namespace {

constexpr double bar_width = 4, number_gap = 1.3, label_gap = 0.8, scale_margin = 1;
constexpr double small_letters = 1.8, label_rim = 0.6;

/// The scale of colours; never without length.
plot::Axis range_of(const FieldMap& map) {
  plot::Axis range{map.label, map.low, map.high};
  double least = INFINITY, greatest = -INFINITY;
  for (const double value : map.values)
    if (std::isfinite(value)) {
      least = std::min(least, value);
      greatest = std::max(greatest, value);
    }
  if (!(least <= greatest)) throw std::invalid_argument("field map: no cell has a value");
  if (std::isnan(range.low)) range.low = least;
  if (std::isnan(range.high)) range.high = greatest;
  if (!(range.high - range.low > 1e-9 * std::abs(range.low))) {
    const double half = range.low == 0.0 ? 1.0 : 0.01 * std::abs(range.low);
    range.low -= half;
    range.high += half;
  }
  return range;
}

void check(const FieldMap& map) {
  if (map.values.size() != map.stack.cells.part.size())
    throw std::invalid_argument("field map: not one value for each cell");
  check_parts(map.stack);
}

void draw_cells(svg::Document& doc, const SectionPage& page, const FieldMap& map,
                const std::vector<CellBlock>& blocks, const plot::Axis& range) {
  std::vector<int> colours;
  for (const double value : map.values)
    colours.push_back(std::isfinite(value) ? colour_index(value, range.low, range.high, map.steps) : -1);
  // One path a colour; neighbours share edges written with the same digits, so that no gap can show.
  std::map<int, std::string> paths;
  const auto digits = [](double value) { return svg::number(std::round(1e2 * value) / 1e2); };
  for (const CellBlock& block : blocks)
    for (const Patch& patch : patches_of(map.stack.cells, block, colours)) {
      const svg::Point a = page.view.at(patch.r_low, patch.z_high),
                       b = page.view.at(patch.r_high, patch.z_low);
      paths[patch.colour] += "M" + digits(a.x) + " " + digits(a.y) + "H" + digits(b.x) + "V" + digits(b.y) +
                             "H" + digits(a.x) + "z";
    }
  doc.open_group({{"class", "cells"}, {"shape-rendering", "crispEdges"}});
  for (const auto& [colour, path] : paths)
    // On paper edges are not crisp: a rim of its own colour keeps the ground from showing through between
    // cells.
    doc.path(path, {.stroke = hex(map.colours[colour]), .width = 0.06, .fill = hex(map.colours[colour])});
  doc.close_group();
}

/// Black or white, by the larger contrast (W3C WCAG 2.2, relative luminance and contrast ratio): 4.5 at
/// least.
const char* ink_on(const Rgb& colour) {
  const auto [red, green, blue] = linear_light(colour);
  const double luminance = 0.2126 * red + 0.7152 * green + 0.0722 * blue;
  return (1.0 + 0.05) / (luminance + 0.05) > (luminance + 0.05) / 0.05 ? "white" : "black";
}

/// Places for the number of a contour: its middle first, then away from it.
std::vector<svg::Point> label_places(const std::vector<svg::Point>& line) {
  std::vector<svg::Point> places;
  const std::size_t middle = line.size() / 2;
  for (std::size_t away = 0; away <= middle; ++away)
    for (const std::size_t k : {middle - away, middle + away})
      if (k < line.size()) places.push_back(line[k]);
  return places;
}

struct DrawnContour {
  std::vector<svg::Point> line;  ///< on the page
  Box block;                     ///< the number stays within
};

double length_of(const std::vector<svg::Point>& line) {
  double length = 0.0;
  for (std::size_t k = 1; k < line.size(); ++k)
    length += std::hypot(line[k].x - line[k - 1].x, line[k].y - line[k - 1].y);
  return length;
}

/// Where the number of a line hides no other; no place, no number.
void draw_number(svg::Document& doc, const DrawnContour& contour, const std::string& text, const Rgb& colour,
                 std::vector<Box>& taken) {
  if (length_of(contour.line) < 1.3 * svg::text_width(text, small_letters)) return;
  for (const svg::Point& place : label_places(contour.line)) {
    const Box box = text_box(place, text, small_letters, label_rim), &b = contour.block;
    if (box.x0 < b.x0 || box.x1 > b.x1 || box.y0 < b.y0 || box.y1 > b.y1) continue;
    if (std::any_of(taken.begin(), taken.end(), [&](const Box& other) { return box.meets(other); })) continue;
    svg::Lettering type = lettering(svg::Anchor::middle, false, small_letters);
    type.colour = ink_on(colour);
    type.halo = true;
    type.halo_colour = hex(colour);
    doc.text({place.x, place.y + 0.5 * small_letters}, text, type, {{"class", "level"}});
    taken.push_back(box);
    return;
  }
}

void draw_contours(svg::Document& doc, const SectionPage& page, const FieldMap& map,
                   const std::vector<CellBlock>& blocks, const plot::Axis& range, std::vector<Box> taken) {
  const std::vector<double> levels = plot::ticks(range, 16);
  const std::vector<std::string> texts = tick_texts(levels, map.head.decimal_mark);
  std::vector<std::vector<DrawnContour>> drawn(levels.size());
  const auto colour_of = [&](double level) {
    return map.colours[colour_index(level, range.low, range.high, map.steps)];
  };
  for (std::size_t k = 0; k < levels.size(); ++k)
    for (const CellBlock& block : blocks)
      for (const Contour& contour : contours_of(map.stack.cells, block, map.values, levels[k])) {
        std::vector<svg::Point> line;
        for (const svg::Point& p : contour) line.push_back(page.view.at(p.x, p.y));
        if (length_of(line) < 1.0) continue;
        doc.polyline(simplified(line, 0.03), {.stroke = ink_on(colour_of(levels[k])), .width = 0.18},
                     {{"class", "contour"}});
        const svg::Point a = page.view.at(block.r_low, block.z_high),
                         b = page.view.at(block.r_high, block.z_low);
        drawn[k].push_back({line, {a.x, a.y, b.x, b.y}});
      }
  for (std::size_t k = 0; k < levels.size(); ++k)
    for (const DrawnContour& contour : drawn[k])
      draw_number(doc, contour, texts[k], colour_of(levels[k]), taken);
}

struct Sign {
  svg::Point foot, middle;
  std::string text;
};

/// Readings beside their places on the right half, one above the other.
std::vector<Sign> signs_of(const SectionPage& page, const FieldMap& map) {
  std::vector<double> middles, sizes;
  for (const SensorMark& sensor : map.sensors) {
    middles.push_back(page.view.at(0, sensor.z).y - 1.6 * letters);
    sizes.push_back(sensor.reading.empty() ? 0.0 : 2.2 * letters);
  }
  const std::vector<double> placed = spread(middles, sizes, page.field.top, page.field.bottom);
  std::vector<Sign> signs;
  for (std::size_t k = 0; k < placed.size(); ++k) {
    const SensorMark& sensor = map.sensors[k];
    const svg::Point foot = page.view.at(sensor.r, sensor.z);
    const double half = 0.5 * svg::text_width(sensor.reading, letters) + 0.8;
    const double x = std::clamp(foot.x + 2.0 + half, page.view.origin.x + half,
                                std::max(page.view.origin.x + half, page.field.right - half));
    signs.push_back({foot, {x, placed[k]}, sensor.reading});
  }
  return signs;
}

std::vector<Box> boxes_of(const std::vector<Sign>& signs) {
  std::vector<Box> boxes;
  for (const Sign& sign : signs) {
    boxes.push_back({sign.foot.x - 1.5, sign.foot.y - 1.5, sign.foot.x + 1.5, sign.foot.y + 1.5});
    if (!sign.text.empty()) boxes.push_back(text_box(sign.middle, sign.text, letters, 0.8));
  }
  return boxes;
}

/// White signs with black numbers, whatever lies below them.
void draw_signs(svg::Document& doc, const std::vector<Sign>& signs) {
  for (const Sign& sign : signs) {
    if (!sign.text.empty()) {
      doc.line(sign.foot, sign.middle, {.stroke = "white", .width = 0.5});
      doc.line(sign.foot, sign.middle, {.stroke = "black", .width = 0.15});
    }
    doc.circle(sign.foot, 0.8, {.stroke = "black", .width = 0.2, .fill = "white"}, {{"class", "sensor"}});
  }
  for (const Sign& sign : signs) {
    if (sign.text.empty()) continue;
    const Box box = text_box(sign.middle, sign.text, letters, 0.8);
    doc.rectangle({box.x0, box.y0}, box.x1 - box.x0, box.y1 - box.y0,
                  {.stroke = "black", .width = 0.15, .fill = "white"}, {{"rx", "0.6"}});
    svg::Lettering type = lettering(svg::Anchor::middle);
    type.colour = "black";
    doc.text({sign.middle.x, sign.middle.y + 0.5 * letters}, sign.text, type);
  }
}

constexpr double highest_scale = 90;

/// Width of the scale with its numbers and its label [mm].
double scale_room(const FieldMap& map, const plot::Axis& range) {
  return bar_width + number_gap + numbers_width(range, highest_scale, map.head.decimal_mark) + label_gap +
         letters + scale_margin;
}

void draw_scale(svg::Document& doc, const SectionPage& page, const FieldMap& map, const plot::Axis& range) {
  const double height = std::min(highest_scale, page.field.bottom - page.field.top);
  const double middle = 0.5 * (page.field.top + page.field.bottom), top = middle - 0.5 * height;
  const double left = page_width - scale_room(map, range);
  doc.open_group({{"class", "scale"}, {"shape-rendering", "crispEdges"}});
  // From the top, each down to the bottom: no gap where two meet.
  for (int k = map.steps - 1; k >= 0; --k) {
    const double y = top + height * (map.steps - 1 - k) / map.steps;
    doc.rectangle({left, y}, bar_width, top + height - y,
                  {.stroke = "none", .width = 0, .fill = hex(map.colours[(k * 255) / (map.steps - 1)])});
  }
  doc.close_group();
  doc.rectangle({left, top}, bar_width, height, {.stroke = ink, .width = 0.15});
  const std::vector<double> ticks = ticks_along(range, height, false);
  const std::vector<std::string> texts = tick_texts(ticks, map.head.decimal_mark);
  for (std::size_t k = 0; k < ticks.size(); ++k) {
    const double y = along(range, ticks[k], top + height, top);
    doc.line({left + bar_width, y}, {left + bar_width + 0.8, y}, {.stroke = ink, .width = 0.15});
    doc.text({left + bar_width + number_gap, y + 0.5 * letters}, texts[k], lettering());
  }
  svg::Lettering upright = lettering(svg::Anchor::middle);
  upright.angle = 90;
  doc.text({page_width - scale_margin, middle}, map.label, upright);
}

}  // namespace

std::vector<Patch> patches_of(const Cells& cells, const CellBlock& block, const std::vector<int>& colours) {
  std::vector<Patch> done, below;
  for (std::size_t j = 0; j < block.n_z; ++j) {
    std::vector<Patch> row;
    for (std::size_t i = 0; i < block.n_r; ++i) {
      const std::size_t k = block.cell(i, j);
      if (colours[k] < 0) continue;
      if (!row.empty() && row.back().colour == colours[k] && row.back().r_high == cells.r_low[k])
        row.back().r_high = cells.r_high[k];
      else
        row.push_back({cells.r_low[k], cells.r_high[k], cells.z_low[k], cells.z_high[k], colours[k]});
    }
    for (const Patch& old : below) {
      const auto same = std::find_if(row.begin(), row.end(), [&](const Patch& patch) {
        return patch.colour == old.colour && patch.r_low == old.r_low && patch.r_high == old.r_high;
      });
      if (same != row.end())
        same->z_low = old.z_low;
      else
        done.push_back(old);
    }
    below = std::move(row);
  }
  done.insert(done.end(), below.begin(), below.end());
  return done;
}

std::string field_map(const FieldMap& map) {
  const std::vector<CellBlock> blocks = blocks_of(map.stack.cells);
  check(map);
  const plot::Axis range = range_of(map);
  std::vector<Callout> callouts = part_callouts(map.stack, blocks);
  for (const SensorMark& sensor : map.sensors) callouts.push_back({sensor.r, sensor.z, {sensor.name}});
  const SectionPage page = lay_out(blocks, callouts, scale_room(map, range));
  const std::vector<Sign> signs = signs_of(page, map);
  svg::Document doc(page_width, page.height, map.head.title, map.head.description);
  draw_left_half(doc, page, map.stack, blocks);
  draw_cells(doc, page, map, blocks, range);
  draw_right_half(doc, page, map.stack, blocks, true);
  if (map.contours) draw_contours(doc, page, map, blocks, range, boxes_of(signs));
  draw_section_axes(doc, page, map.stack, map.head.decimal_mark);
  draw_signs(doc, signs);
  draw_callouts(doc, page, callouts);
  draw_scale(doc, page, map, range);
  return doc.finish();
}

}  // namespace joulepress::tools::figures
