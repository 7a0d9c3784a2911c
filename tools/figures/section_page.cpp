#include "tools/figures/section_page.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>

namespace joulepress::tools::figures {
namespace {

constexpr double largest_height = 165, names_width = 24, leader_room = 5, axis_room = 15, margin = 1.5;
constexpr double line_pitch = 1.45 * letters, callout_gap = 1.2;

bool is_thin(const SectionPage& page, const CellBlock& block) {
  return 1e3 * page.view.scale * std::min(block.r_high - block.r_low, block.z_high - block.z_low) < 0.8;
}

/// Whether nothing lies outside of the block at that height.
bool bare(const CellBlock& own, double z, const std::vector<CellBlock>& blocks) {
  return std::none_of(blocks.begin(), blocks.end(), [&](const CellBlock& other) {
    return other.r_low >= own.r_high && other.z_low < z && z < other.z_high;
  });
}

Callout callout_of(const CellBlock& block, const std::string& name, const std::vector<CellBlock>& blocks) {
  const auto height = [&](double share) { return std::lerp(block.z_low, block.z_high, share); };
  double z = height(0.5);
  for (const double share : {0.5, 0.3, 0.7, 0.15, 0.85})
    if (bare(block, height(share), blocks)) {
      z = height(share);
      break;
    }
  return {std::lerp(block.r_low, block.r_high, 0.7), z, {name}};
}

double size_of(const Callout& callout) {
  return line_pitch * static_cast<double>(callout.lines.size()) + callout_gap;
}

void draw_block(svg::Document& doc, const SectionPage& page, const CellBlock& block, const svg::Pen& pen,
                bool left, const svg::Attributes& more) {
  const double r = left ? -block.r_high : block.r_low, scale = 1e3 * page.view.scale;
  doc.rectangle(page.view.at(r, block.z_high), scale * (block.r_high - block.r_low),
                scale * (block.z_high - block.z_low), pen, more);
}

void draw_outlines(svg::Document& doc, const SectionPage& page, const Stack& stack,
                   const std::vector<CellBlock>& blocks, bool left) {
  for (const CellBlock& block : blocks) {
    if (stack.is_powder[block.part])
      draw_block(doc, page, block, {.stroke = "none", .width = 0, .fill = "#b3471d"}, left,
                 {{"fill-opacity", "0.22"}, {"class", "powder"}});
    draw_block(doc, page, block, {.stroke = ink, .width = is_thin(page, block) ? 0.08 : 0.2}, left, {});
  }
}

}  // namespace

void check_parts(const Stack& stack) {
  for (const int part : stack.cells.part)
    if (part < 0 || static_cast<std::size_t>(part) >= stack.is_powder.size())
      throw std::invalid_argument("section: not every part is known");
}

std::vector<Callout> part_callouts(const Stack& stack, const std::vector<CellBlock>& blocks) {
  std::vector<Callout> callouts;
  for (std::size_t part = 0; part < stack.names.size(); ++part) {
    if (stack.names[part].empty()) continue;
    const CellBlock* largest = nullptr;
    const auto area = [](const CellBlock& b) { return (b.r_high - b.r_low) * (b.z_high - b.z_low); };
    for (const CellBlock& block : blocks)
      if (block.part == static_cast<int>(part) && (!largest || area(block) > area(*largest)))
        largest = &block;
    if (!largest) continue;
    callouts.push_back(callout_of(*largest, stack.names[part], blocks));
    if (part < stack.more.size() && !stack.more[part].empty())
      callouts.back().lines.push_back(stack.more[part]);
  }
  return callouts;
}

SectionPage lay_out(const std::vector<CellBlock>& blocks, std::vector<Callout>& callouts, double right_room) {
  SectionPage page;
  page.extent = extent_of(blocks);
  double texts = 0.0;
  for (Callout& callout : callouts) {
    std::vector<std::string> lines;
    for (const std::string& text : callout.lines)
      for (const std::string& line : wrapped(text, names_width)) {
        lines.push_back(line);
        page.names_room = std::max(page.names_room, svg::text_width(line, letters));
      }
    callout.lines = lines;
    texts += size_of(callout);
  }
  const double before = margin + page.names_room + leader_room;
  const double width = page_width - before - axis_room - right_room;
  const double true_width = 2e3 * page.extent.radius,
               true_height = 1e3 * (page.extent.z_high - page.extent.z_low);
  page.view.scale = std::min(width / true_width, largest_height / true_height);
  const double tall = page.view.scale * true_height, wide = page.view.scale * true_width;
  const double room = std::max(tall, texts);
  page.field.left = before + 0.5 * (width - wide);
  page.field.right = page.field.left + wide;
  page.field.top = 2.5 + 0.5 * (room - tall);
  page.field.bottom = page.field.top + tall;
  page.height = 2.5 + std::max(0.5 * (room + tall) + 2.0 * letters + 5.5, room + 1.0);
  page.view.origin = {page.field.left + 0.5 * wide,
                      page.field.bottom + 1e3 * page.view.scale * page.extent.z_low};
  return page;
}

void draw_left_half(svg::Document& doc, const SectionPage& page, const Stack& stack,
                    const std::vector<CellBlock>& blocks) {
  doc.open_group({{"class", "left-half"}});
  draw_outlines(doc, page, stack, blocks, true);
  doc.close_group();
}

void draw_right_half(svg::Document& doc, const SectionPage& page, const Stack& stack,
                     const std::vector<CellBlock>& blocks, bool on_colours) {
  doc.open_group({{"class", "right-half"}});
  if (!on_colours) draw_outlines(doc, page, stack, blocks, false);
  // A dark line on a light one is seen on every colour of a table.
  for (const auto& [stroke, width] :
       std::array<std::pair<const char*, double>, 2>{{{"white", 0.35}, {"black", 0.15}}})
    for (const CellBlock& block : blocks)
      if (on_colours && !is_thin(page, block))
        draw_block(doc, page, block, {.stroke = stroke, .width = width}, false, {});
  doc.close_group();
}

void draw_callouts(svg::Document& doc, const SectionPage& page, const std::vector<Callout>& callouts) {
  std::vector<double> middles, sizes;
  for (const Callout& callout : callouts) {
    middles.push_back(page.view.at(0, callout.z).y);
    sizes.push_back(size_of(callout));
  }
  const std::vector<double> placed = spread(middles, sizes, 0.5, page.height - 0.5);
  const double right = margin + page.names_room;
  for (std::size_t k = 0; k < callouts.size(); ++k) {
    const double first = placed[k] - 0.5 * line_pitch * (static_cast<double>(callouts[k].lines.size()) - 1.0);
    for (std::size_t line = 0; line < callouts[k].lines.size(); ++line)
      doc.text({right, first + line_pitch * static_cast<double>(line) + 0.5 * letters},
               callouts[k].lines[line], lettering(svg::Anchor::end));
    const svg::Point foot = page.view.at(-callouts[k].r, callouts[k].z);
    doc.line({right + 0.8, placed[k]}, foot, {.stroke = ink, .width = 0.13});
    doc.circle(foot, 0.45, {.stroke = "none", .width = 0, .fill = ink});
  }
}

void draw_section_axes(svg::Document& doc, const SectionPage& page, const Stack& stack, char decimal_mark) {
  const svg::Pen pen{.stroke = ink, .width = 0.2};
  const Field& f = page.field;
  const plot::Axis radius{"", 0.0, 1e3 * page.extent.radius},
      height{"", 1e3 * page.extent.z_low, 1e3 * page.extent.z_high};
  const std::vector<double> across = ticks_along(radius, f.right - page.view.origin.x, true),
                            up = ticks_along(height, f.bottom - f.top, false);
  const std::vector<std::string> across_texts = tick_texts(across, decimal_mark),
                                 up_texts = tick_texts(up, decimal_mark);
  for (std::size_t k = 0; k < across.size(); ++k) {
    const double x = page.view.at(1e-3 * across[k], 0).x;
    doc.line({x, f.bottom + 0.6}, {x, f.bottom + 1.6}, pen);
    doc.text({x, f.bottom + letters + 2.4}, across_texts[k], lettering(svg::Anchor::middle));
  }
  double widest = 0.0;
  for (std::size_t k = 0; k < up.size(); ++k) {
    const double y = page.view.at(0, 1e-3 * up[k]).y;
    doc.line({f.right + 0.6, y}, {f.right + 1.6, y}, pen);
    doc.text({f.right + 2.2, y + 0.5 * letters}, up_texts[k], lettering());
    widest = std::max(widest, svg::text_width(up_texts[k], letters));
  }
  doc.text({0.5 * (page.view.origin.x + f.right), f.bottom + 2.0 * letters + 4.4}, stack.radius_label,
           lettering(svg::Anchor::middle));
  svg::Lettering upright = lettering(svg::Anchor::middle);
  upright.angle = 90;
  doc.text({f.right + 2.2 + widest + 1.2 + letters, 0.5 * (f.top + f.bottom)}, stack.height_label, upright);
  doc.line({page.view.origin.x, f.top - 2.0}, {page.view.origin.x, f.bottom + 2.0},
           {.stroke = ink, .width = 0.18, .dashes = "6 1 0.6 1"}, {{"class", "axis"}});
}

}  // namespace joulepress::tools::figures
