#include "tools/page/drawing.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/stack.hpp"
#include "tools/page/details.hpp"
#include "tools/page/dimensions.hpp"
#include "tools/page/section.hpp"
#include "tools/page/title_block.hpp"

namespace joulepress::tools {
namespace {

using namespace page;

// mm.
constexpr double label_gap = 9, detail_height = 66, legend_pitch = 5;

struct Extent {
  double low = 0, high = 0, radius = 0;
};

Extent extent_of(const mesh::Layout& layout) {
  Extent e;
  for (const mesh::Block& b : layout) {
    e.low = std::min(e.low, b.z_bottom);
    e.high = std::max(e.high, b.z_top);
    e.radius = std::max(e.radius, b.r_outer);
  }
  return e;
}

bool is_sleeve(const cases::StackPart& part) {
  return part.role != cases::Role::column && part.role != cases::Role::powder && !cases::is_foil(part);
}

bool is_column(const cases::StackPart& part) {
  return part.role == cases::Role::column || part.role == cases::Role::powder;
}

/// The longest stretch of a block's height that no other block hides outside of it.
std::pair<double, double> bare_stretch(const mesh::Layout& layout, std::size_t k) {
  const mesh::Block& own = layout[k];
  std::vector<std::pair<double, double>> hidden;
  for (std::size_t j = 0; j < layout.size(); ++j)
    if (j != k && layout[j].r_inner >= own.r_inner && layout[j].r_outer > own.r_outer &&
        layout[j].z_top > own.z_bottom && layout[j].z_bottom < own.z_top)
      hidden.push_back({layout[j].z_bottom, layout[j].z_top});
  std::sort(hidden.begin(), hidden.end());
  hidden.push_back({own.z_top, own.z_top});
  std::pair<double, double> best{own.z_bottom, own.z_bottom};
  double from = own.z_bottom;
  for (const auto& [low, high] : hidden) {
    if (low - from > best.second - best.first) best = {from, low};
    from = std::max(from, high);
  }
  return best;
}

/// Heights on the left: sleeves and free punch lengths next to the stack, the column outside, its length
/// last.
void draw_heights(svg::Document& doc, const View& view, const cases::Stack& stack, const Extent& e) {
  const mesh::Layout& layout = stack.layout;
  const auto y = [&](double z) { return view.at(0, z).y; };
  std::vector<Span> near, column;
  double outermost = 0.0;
  for (std::size_t k = 0; k < layout.size(); ++k) {
    const mesh::Block& b = layout[k];
    const double x = view.at(-b.r_outer, 0).x;
    const Span span{y(b.z_top), y(b.z_bottom), x, x, millimetres(b.z_top - b.z_bottom)};
    if (is_column(stack.parts[k])) {
      column.push_back(span);
      const auto [low, high] = bare_stretch(layout, k);
      const bool partly = high - low < (b.z_top - b.z_bottom) - mesh::touch_tolerance;
      if (partly && high - low > mesh::touch_tolerance)
        near.push_back({y(high), y(low), x, x, millimetres(high - low) + " free"});
    } else if (is_sleeve(stack.parts[k])) {
      near.push_back(span);
    }
    outermost = std::max(outermost, b.r_outer);
  }
  // Sleeves of the same ends are dimensioned once.
  std::stable_sort(near.begin(), near.end(), [](const Span& a, const Span& b) { return a.x_top < b.x_top; });
  std::vector<Span> once;
  for (const Span& s : near)
    if (std::none_of(once.begin(), once.end(), [&](const Span& o) {
          return o.text == s.text && o.y_top == s.y_top && o.y_bottom == s.y_bottom;
        }))
      once.push_back(s);
  // Outer rows first, so that the texts of the inner ones stand on top of their extension lines.
  const double top = layout[cases::top_of_column(stack)].z_top;
  const double x_near = view.at(-outermost, 0).x - 4.5;
  const double x_column = once.empty() ? x_near : x_near - row_width(once) - 3.0;
  const double x_length = x_column - row_width(column) - 3.0;
  if (column.size() > 1)
    vertical_row(doc,
                 {{y(top), y(0.0), view.at(-layout[cases::top_of_column(stack)].r_outer, 0).x,
                   view.at(-layout[0].r_outer, 0).x, millimetres(top)}},
                 x_length, -1, y(e.high), y(e.low));
  vertical_row(doc, column, x_column, -1, y(e.high), y(e.low));
  vertical_row(doc, once, x_near, -1, y(e.high), y(e.low));
}

/// Diameters: of column parts inside them where they are bare, of sleeves below (outer) and above (bore).
/// Parts without room for their diameter, by name: their label says it.
std::vector<std::string> draw_diameters(svg::Document& doc, const View& view, const cases::Stack& stack,
                                        const solver::Problem& p) {
  const mesh::Layout& layout = stack.layout;
  std::vector<std::string> left_over;
  std::vector<const mesh::Block*> sleeves;
  for (std::size_t k = 0; k < layout.size(); ++k) {
    const mesh::Block& b = layout[k];
    if (is_sleeve(stack.parts[k])) sleeves.push_back(&b);
    if (!is_column(stack.parts[k])) continue;
    const auto [low, high] = bare_stretch(layout, k);
    const double room = 1e3 * view.scale * (high - low), width = 2e3 * view.scale * b.r_outer;
    const double text = svg::text_width(diameter(2 * b.r_outer), lettering);
    if (room < (b.r_inner > 0.0 ? 10.0 : 5.0) || width < text + 6.0) {
      left_over.push_back(b.name);
      continue;
    }
    // Where no sensor's bore lies in the way.
    double y = 0.0, clear = -1.0;
    for (const double f : {b.r_inner > 0.0 ? 0.3 : 0.5, 0.25, 0.45}) {
      const double here = view.at(0, high).y + f * room;
      double nearest = 6.0;
      for (const solver::Sensor& s : p.sensors)
        if (s.part >= 0 && p.parts[s.part].name == b.name)
          nearest = std::min(nearest, std::abs(view.at(0, s.z).y - here));
      if (nearest > clear) y = here, clear = nearest;
    }
    const double x0 = view.at(-b.r_outer, 0).x, x1 = view.at(b.r_outer, 0).x;
    horizontal(doc, x0, x1, y, y, view.at(-0.5 * b.r_outer, 0).x, diameter(2 * b.r_outer));
    if (b.r_inner > 0.0)
      horizontal(doc, view.at(-b.r_inner, 0).x, view.at(b.r_inner, 0).x, y + 0.4 * room, y + 0.4 * room,
                 view.origin.x, diameter(2 * b.r_inner));
  }
  for (const mesh::Block* b : sleeves) left_over.push_back(b->name);
  return left_over;
}

std::vector<Label> part_labels(const View& view, const cases::Stack& stack, const solver::Problem& p,
                               const std::vector<std::string>& left_over) {
  std::vector<Label> list;
  for (std::size_t k = 0; k < stack.layout.size(); ++k) {
    const mesh::Block& b = stack.layout[k];
    const bool foil = cases::is_foil(stack.parts[k]);
    const auto [low, high] = bare_stretch(stack.layout, k);
    const bool bare = high - low > mesh::touch_tolerance;
    std::string text = b.name;
    if (foil)
      text += fmt::format(", {} thick", millimetres(std::min(b.r_outer - b.r_inner, b.z_top - b.z_bottom)));
    if (stack.parts[k].role == cases::Role::powder)
      text += fmt::format(", dense {}", millimetres(b.z_top - b.z_bottom));
    if (std::find(left_over.begin(), left_over.end(), b.name) != left_over.end()) {
      text += ", " + diameter(2 * b.r_outer);
      if (b.r_inner > 0.0) text += ", bore " + diameter(2 * b.r_inner);
    }
    const double z = bare ? low + 0.35 * (high - low) : 0.5 * (b.z_bottom + b.z_top);
    const bool lining = stack.parts[k].role == cases::Role::lining;
    const double r = lining ? 0.5 * (b.r_inner + b.r_outer) : b.r_inner + 0.75 * (b.r_outer - b.r_inner);
    const double at = lining || is_sleeve(stack.parts[k]) ? b.z_bottom + 0.88 * (b.z_top - b.z_bottom) : z;
    list.push_back({view.at(r, at), text, b.name, false});
  }
  for (const solver::Sensor& s : p.sensors) {
    if (s.part < 0) continue;  // a furnace's
    const bool couple = s.kind == solver::SensorKind::thermocouple;
    list.push_back(
        {view.at(couple ? stack.layout[s.part].r_outer : s.r, s.z),
         couple ? fmt::format("{}, {}, {} deep", s.name, diameter(s.stem.diameter), millimetres(s.stem.depth))
                : s.name,
         s.name, true});
  }
  return list;
}

struct Entry {
  std::string text;
  int mark = 0;  ///< below 0: material -1 - mark
};

/// Materials with their hatch, then every symbol of the sheet, in three columns from `top` downward.
void draw_legend(svg::Document& doc, const std::vector<Entry>& entries, double top) {
  const double column = (sheet_width - 2 * margin) / 3.0;
  const std::size_t rows = (entries.size() + 2) / 3;
  for (std::size_t k = 0; k < entries.size(); ++k) {
    const std::size_t column_of_entry = k / rows;
    const double x = margin + 2 + column * static_cast<double>(column_of_entry);
    const double y = top + legend_pitch * (static_cast<double>(k % rows) + 0.5);
    const svg::Point a{x, y}, b{x + 8, y};
    switch (entries[k].mark) {
      case 1:
        foil_mark(doc, a, b);
        break;
      case 2:
        touch_mark(doc, a, b);
        break;
      case 3:
        doc.line({x, y + 0.5}, {x + 8, y + 0.5}, {"black", 0.35, "none", ""});
        radiating_mark(doc, {x, y + 0.5}, {x + 8, y + 0.5}, 0, -1);
        break;
      case 4:
        film_mark(doc, {x + 3, y + 2.4}, -1);
        film_mark(doc, {x + 5.5, y + 2.4}, -1);
        break;
      case 5:
        pole_mark(doc, {x + 1.9, y}, true);
        pole_mark(doc, {x + 6.3, y}, false);
        break;
      case 6:
        doc.rectangle({x + 1, y - 0.5}, 7, 1, {"black", 0.2, "white", ""});
        junction_mark(doc, {x + 1, y});
        break;
      default:
        doc.rectangle({x, y - 1.8}, 8, 3.6,
                      {"black", 0.25, fmt::format("url(#material-{})", -1 - entries[k].mark), ""});
    }
    doc.text({x + 10, y + 0.5 * lettering}, entries[k].text, {lettering}, {{"class", "legend"}});
  }
}

std::vector<Entry> legend_entries(const cases::Stack& stack, const solver::Problem& p,
                                  const std::vector<int>& materials) {
  std::vector<Entry> entries;
  for (const int m : materials) entries.push_back({p.materials[m].name, -1 - m});
  bool foil = false, touch = false, radiating = false, cooled = false;
  for (const cases::StackPart& part : stack.parts) foil |= cases::is_foil(part);
  for (const mesh::BlockPair& pair : p.interfaces.pairs)
    touch |= pair.gap == 0.0 && !cases::is_foil(stack.parts[pair.block_a]) &&
             !cases::is_foil(stack.parts[pair.block_b]);
  for (const auto& sides : p.sides)
    for (const solver::SideCondition& side : sides) {
      radiating |= side.emissivity > 0.0;
      cooled |= side.film > 0.0 || side.fixed_temperature;
    }
  if (foil) entries.push_back({"foil, line thickened", 1});
  if (touch) entries.push_back({"parts touch, no foil", 2});
  if (radiating) entries.push_back({"open wall, radiates", 3});
  if (cooled) entries.push_back({"cooled end of the column", 4});
  if (p.drive.kind != solver::DriveKind::furnace) entries.push_back({"current enters (+), leaves (-)", 5});
  if (std::any_of(p.sensors.begin(), p.sensors.end(), [](const solver::Sensor& s) { return s.part >= 0; }))
    entries.push_back({"bore and junction of a sensor", 6});
  return entries;
}

}  // namespace

std::string draw_stack(const cases::Case& c, const solver::Problem& p, const DrawOptions& options) {
  const cases::Stack stack = cases::stack_of(c);
  const Extent e = extent_of(p.mesh.layout);
  svg::Document doc(
      sheet_width, sheet_height, c.title.empty() ? "Stack" : c.title,
      "Section through the axis of the stack, to scale, with parts, dimensions, contacts, cooled "
      "ends and sensors.");
  doc.rectangle({0, 0}, sheet_width, sheet_height, {"none", 0, "white", ""});
  const std::vector<Entry> legend = legend_entries(stack, p, define_materials(doc, p));
  const std::size_t legend_rows = (legend.size() + 2) / 3;
  TitleBlock title{c.title, {"press: " + c.press.name, "case: " + options.file_name}, 1.0, "axial section"};
  const double legend_top =
      sheet_height - margin - height_of(title) - 2 - legend_pitch * static_cast<double>(legend_rows);
  const bool details = has_details(stack);
  const double bottom = legend_top - 2 - (details ? detail_height : 0.0);
  bool sleeves = false;
  for (const cases::StackPart& part : stack.parts) sleeves |= is_sleeve(part);
  const double dimension_room = (sleeves ? 21.0 : 0.0) + 30.0;
  std::vector<std::string> everyone;
  for (const mesh::Block& b : stack.layout) everyone.push_back(b.name);

  View view;
  const double label_room =
      std::min(75.0, label_width(part_labels(view, stack, p, everyone)) + label_gap + 2);
  const double room = bottom - margin - 2 * end_room;
  view.scale = largest_scale(2 * e.radius, e.high - e.low,
                             sheet_width - 2 * margin - dimension_room - label_room, room);
  const double half = 1e3 * view.scale * e.radius;
  const double left = margin + dimension_room, right = sheet_width - margin - label_room;
  view.origin = {std::max(left + half, 0.5 * (left + right)),
                 margin + end_room + 0.5 * room + 0.5e3 * view.scale * (e.high + e.low)};
  if (details) doc.line({margin, bottom}, {sheet_width - margin, bottom}, {"black", 0.18, "none", ""});
  doc.line({margin, legend_top - 1}, {sheet_width - margin, legend_top - 1}, {"black", 0.18, "none", ""});

  doc.open_group({{"data-view", "stack"},
                  {"data-scale", svg::number(view.scale)},
                  {"data-axis-x", svg::number(view.origin.x)},
                  {"data-zero-y", svg::number(view.origin.y)}});
  draw_parts(doc, view, p, p.mesh.layout, Half::both);
  if (options.mesh) draw_mesh(doc, view, p.mesh);
  draw_foils(doc, view, p, p.mesh.layout, Half::both);
  draw_touches(doc, view, p);
  draw_radiating(doc, view, p);
  draw_sensors(doc, view, p);
  doc.close_group();
  draw_axis(doc, view, e.low - 3e-3 / view.scale, e.high + 3e-3 / view.scale);
  draw_ends(doc, view, p);
  draw_heights(doc, view, stack, e);
  const std::vector<std::string> left_over = draw_diameters(doc, view, stack, p);
  std::vector<Label> list = part_labels(view, stack, p, left_over);
  if (details) list.push_back(draw_corner_mark(doc, view, stack));
  labels(doc, list, view.origin.x + half + label_gap, sheet_width - margin - 1, margin + 4, bottom - 4);
  if (details) {
    const double y = bottom + 2, h = detail_height - 3;
    draw_pressing(doc, c, stack, p, {margin + 2, y}, 90, h);
    draw_corner(doc, stack, p, {margin + 96, y}, 93, h);
  }
  draw_legend(doc, legend, legend_top);
  title.scale = view.scale;
  draw_title_block(doc, title);
  return doc.finish();
}

}  // namespace joulepress::tools
