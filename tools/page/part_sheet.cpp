#include "tools/page/part_sheet.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tools/page/dimensions.hpp"
#include "tools/page/section.hpp"
#include "tools/page/title_block.hpp"
#include "tools/page/turned_part.hpp"

namespace joulepress::tools {
namespace {

using namespace page;

// mm.
constexpr double row_pitch = 5.5, first_row = 6, note_pitch = 3.6, above_height = 66;
constexpr std::size_t most_note_lines = 26;

const svg::Pen outline{"black", 0.5, "none", ""}, thin{"black", 0.13, "none", ""},
    hidden{"black", 0.25, "none", "2 1"}, chain{"black", 0.18, "none", "6 1 0.6 1"};

/// "A " before what belongs to one of several bores.
std::string mark_of(const TurnedPart& part, std::size_t bore) {
  return part.sensor_bores.size() < 2 ? "" : std::string(1, static_cast<char>('A' + bore % 26)) + " ";
}

struct Row {
  double r0 = 0, r1 = 0;  ///< m
  std::string text;
};

/// Horizontal dimensions on one side of the section, the nearest first; those of one line stand together.
using Rows = std::vector<std::vector<Row>>;

Rows rows_of_hole(const TurnedPart& part) {
  const double r = 0.5 * (part.blind_bore ? part.blind_bore->diameter : part.bore), outer = 0.5 * part.outer;
  return {{{-r, r, diameter(2 * r)}}, {{r, outer, fmt::format("({})", millimetres(outer - r))}}};
}

Rows rows_above(const TurnedPart& part) {
  return part.opens(true) ? rows_of_hole(part) : Rows{};
}

/// Sensor bores from the outer face with what is left, then the outer diameter.
Rows rows_below(const TurnedPart& part, double scale) {
  Rows rows;
  if (part.opens(false) && !part.opens(true)) rows = rows_of_hole(part);
  const double outer = 0.5 * part.outer;
  for (std::size_t k = 0; k < part.sensor_bores.size(); ++k) {
    const SensorBore& bore = part.sensor_bores[k];
    const bool through = bore.left && *bore.left < mesh::touch_tolerance;
    const double end = outer - bore.depth;
    const Row depth{end, outer, mark_of(part, k) + millimetres(bore.depth) + (through ? " through" : "")};
    rows.push_back({depth});
    if (!bore.left || through) continue;
    const Row left{end - *bore.left, end,
                   fmt::format("({}{} left)", mark_of(part, k), millimetres(*bore.left))};
    if (!stands_inside(depth.text, 1e3 * scale * bore.depth)) rows.emplace_back();
    rows.back().push_back(left);
  }
  rows.push_back({{-outer, outer, diameter(part.outer)}});
  return rows;
}

void draw_rows(svg::Document& doc, const View& view, const Rows& rows, double face, double direction) {
  for (std::size_t k = rows.size(); k-- > 0;)
    for (const Row& row : rows[k]) {
      const double y = face + direction * (first_row + row_pitch * static_cast<double>(k));
      horizontal(doc, view.at(row.r0, 0).x, view.at(row.r1, 0).x, y, face,
                 view.at(0.5 * (row.r0 + row.r1), 0).x, row.text);
    }
}

double room_of(const Rows& rows) {
  return rows.empty() ? 3.0 : first_row + row_pitch * static_cast<double>(rows.size());
}

/// Vertical dimensions beside the section, the nearest row first.
using Columns = std::vector<std::vector<Span>>;

Columns columns_left(const View& view, const TurnedPart& part) {
  const auto y = [&](double z) { return view.at(0, z).y; };
  const double x = view.at(-0.5 * part.outer, 0).x;
  Columns columns;
  if (part.blind_bore) {
    const cases::BlindBore& hole = *part.blind_bore;
    const double bottom = hole.from_top ? hole.leaves : part.height - hole.leaves,
                 x_bottom = view.at(-0.5 * hole.diameter, 0).x;
    const Span depth = hole.from_top
                           ? Span{y(part.height), y(bottom), x, x_bottom, millimetres(part.height - bottom)}
                           : Span{y(bottom), y(0), x_bottom, x, millimetres(bottom)};
    const std::string rest = fmt::format("({} left)", millimetres(hole.leaves));
    const Span left = hole.from_top ? Span{y(bottom), y(0), x_bottom, x, rest}
                                    : Span{y(part.height), y(bottom), x, x_bottom, rest};
    columns.push_back({depth, left});
  }
  columns.push_back({{y(part.height), y(0), x, x, millimetres(part.height)}});
  return columns;
}

/// Heights of the bores of sensors above the lower face.
Columns columns_right(const View& view, const TurnedPart& part) {
  Columns columns;
  const double x = view.at(0.5 * part.outer, 0).x;
  const std::vector<SensorBore>& bores = part.sensor_bores;
  for (std::size_t k = 0; k < bores.size();) {
    std::string marks;  // of all at this height
    const double height = bores[k].height;
    for (; k < bores.size() && bores[k].height - height < mesh::touch_tolerance; ++k)
      marks += mark_of(part, k);
    columns.push_back({{view.at(0, height).y, view.at(0, 0).y, x, x, marks + millimetres(height)}});
  }
  return columns;
}

double room_of(const Columns& columns) {
  double room = 4.5;
  for (const std::vector<Span>& spans : columns) room += row_width(spans) + 3.0;
  return room;
}

/// The outermost first, so that the texts of the inner ones stand on its extension lines.
void draw_columns(svg::Document& doc, const Columns& columns, double face, int side, double low,
                  double high) {
  for (std::size_t k = columns.size(); k-- > 0;) {
    const Columns nearer(columns.begin(), columns.begin() + static_cast<std::ptrdiff_t>(k));
    vertical_row(doc, columns[k], face + side * room_of(nearer), side, low, high);
  }
}

/// The cut faces with their hatch, and the edges behind the cut.
void draw_body(svg::Document& doc, const View& view, const TurnedPart& part, int material) {
  const double outer = 0.5 * part.outer, h = part.height;
  svg::Pen pen = outline;
  pen.fill = fmt::format("url(#material-{})", material);
  const auto page = [&](double length) { return 1e3 * view.scale * length; };
  const svg::Attributes name{{"data-part", part.name}};
  if (part.blind_bore) {
    const cases::BlindBore& hole = *part.blind_bore;
    const double r = 0.5 * hole.diameter, open = hole.from_top ? h : 0.0, closed = h - open,
                 bottom = hole.from_top ? hole.leaves : h - hole.leaves;
    doc.polygon({view.at(-outer, closed), view.at(outer, closed), view.at(outer, open), view.at(r, open),
                 view.at(r, bottom), view.at(-r, bottom), view.at(-r, open), view.at(-outer, open)},
                pen, name);
    doc.line(view.at(-r, open), view.at(r, open), outline);
  } else if (part.bore > 0.0) {
    const double r = 0.5 * part.bore;
    for (const double left : {-outer, r})
      doc.rectangle(view.at(left, h), page(outer - r), page(h), pen, name);
    for (const double z : {0.0, h}) doc.line(view.at(-r, z), view.at(r, z), outline);
  } else {
    doc.rectangle(view.at(-outer, h), page(part.outer), page(h), pen, name);
  }
}

/// In the section, all to the right; the deepest first, so that those of the same height stay seen.
void draw_bores(svg::Document& doc, const View& view, const TurnedPart& part) {
  std::vector<SensorBore> bores = part.sensor_bores;
  std::stable_sort(bores.begin(), bores.end(),
                   [](const SensorBore& a, const SensorBore& b) { return a.depth > b.depth; });
  const double outer = 0.5 * part.outer;
  for (const SensorBore& bore : bores) {
    const svg::Point end = view.at(outer - bore.depth, bore.height), mouth = view.at(outer, bore.height);
    const double width = 1e3 * view.scale * bore.sheath;
    doc.rectangle({end.x, end.y - 0.5 * width}, mouth.x - end.x, width, {"black", 0.35, "white", ""},
                  {{"data-sensor", bore.sensor}});
    doc.line({end.x, end.y + 0.5 * width}, {end.x, view.at(0, 0).y + 0.6}, thin);
    doc.line({end.x - 1.5, end.y}, {mouth.x + 1.0, end.y}, {"black", 0.13, "none", "3 0.6 0.4 0.6"});
  }
}

/// Below the section: first angle.  Bores in the order of their heights, the first where the section has it.
void draw_from_above(svg::Document& doc, const TurnedPart& part, double top) {
  View view;
  view.scale = largest_scale(part.outer, part.outer, 72, above_height - 12);
  const double outer = 500 * view.scale * part.outer;
  const svg::Point centre{margin + 3 + std::max(36.0, outer + 4), top + 5 + 0.5 * (above_height - 5)};
  heading(doc, {margin + 3, top + 5}, "View from above " + scale_text(view.scale));
  doc.open_group({{"data-view", "from above"}, {"data-scale", svg::number(view.scale)}});
  doc.circle(centre, outer, outline);
  if (part.blind_bore || part.bore > 0.0)
    doc.circle(centre, 500 * view.scale * (part.blind_bore ? part.blind_bore->diameter : part.bore),
               part.opens(true) ? outline : hidden);
  const double beyond = outer + 3;
  doc.line({centre.x - beyond, centre.y}, {centre.x + beyond, centre.y}, chain);
  doc.line({centre.x, centre.y - beyond}, {centre.x, centre.y + beyond}, chain);
  std::vector<Label> list;
  const std::size_t count = part.sensor_bores.size();
  for (std::size_t k = 0; k < count; ++k) {
    const SensorBore& bore = part.sensor_bores[k];
    const std::size_t turns = (k + 1) / 2;  // 0, 90, -90, 180 degrees; closer when they are more.
    const double step = std::min(0.5, 2.0 / static_cast<double>(count)) * std::numbers::pi;
    const double angle = (k % 2 == 1 ? step : -step) * static_cast<double>(turns);
    const double half = 500 * view.scale * bore.sheath, end = outer - 1e3 * view.scale * bore.depth,
                 mouth = std::sqrt(outer * outer - half * half);
    const auto at = [&](double r, double across) -> svg::Point {
      return {centre.x + r * std::cos(angle) - across * std::sin(angle),
              centre.y - r * std::sin(angle) - across * std::cos(angle)};
    };
    doc.polyline({at(mouth, half), at(end, half), at(end, -half), at(mouth, -half)}, hidden,
                 {{"data-sensor", bore.sensor}});
    doc.line(at(end - 1.5, 0), at(outer + 3, 0), chain);
    list.push_back({at(outer, 0),
                    fmt::format("{}{}: hole to suit the sheath {}", mark_of(part, k), bore.sensor,
                                diameter(bore.sheath)),
                    bore.sensor, true});
  }
  doc.close_group();
  labels(doc, list, centre.x + outer + 12, sheet_width - margin - 2, top + 6, top + above_height - 6);
}

struct NoteLine {
  std::string text;
  double indent = 0;  ///< mm
  bool bold = false;
};

std::vector<NoteLine> note_lines(const std::vector<std::string>& notes,
                                 const std::vector<std::string>& remarks) {
  constexpr double width = sheet_width - 2 * margin - 8, indent = 3.4;
  std::vector<NoteLine> lines;
  std::size_t count = 0;
  const auto add = [&](const std::string& text) {
    bool first = true;
    for (const std::string& line : folded(text, lettering, width - indent)) {
      lines.push_back({first ? fmt::format("{}. {}", count, line) : line, first ? 0.0 : indent, false});
      first = false;
    }
  };
  for (const std::string& note : notes) ++count, add(note);
  const std::vector<std::string> caution = folded(sheet_caution(), lettering, 0.86 * width);
  const std::size_t room = most_note_lines - std::min(most_note_lines, caution.size() + 1);
  for (std::size_t k = 0; k < remarks.size(); ++k) {
    const std::size_t before = lines.size();
    ++count, add(remarks[k]);
    if (lines.size() <= room) continue;
    lines.resize(before);
    lines.push_back({fmt::format("{} more found no room on this sheet.", remarks.size() - k), 0, false});
    break;
  }
  for (const std::string& line : caution) lines.push_back({line, 0, true});
  return lines;
}

double height_of(const std::vector<NoteLine>& lines) {
  return 9.0 + note_pitch * static_cast<double>(lines.size());
}

void draw_notes(svg::Document& doc, const std::vector<NoteLine>& lines, double top) {
  doc.line({margin, top}, {sheet_width - margin, top}, {"black", 0.25, "none", ""});
  heading(doc, {margin + 3, top + 5}, "Notes");
  double y = top + 9.4;
  bool caution = false;
  for (const NoteLine& line : lines) {
    if (line.bold && !caution) y += 1.0;
    caution = line.bold;
    doc.text({margin + 3 + line.indent, y}, line.text, {lettering, svg::Anchor::start, 0, line.bold},
             {{"class", "note"}});
    y += note_pitch;
  }
}

TitleBlock title_of(const cases::Case& c, const TurnedPart& part, const std::string& file_name) {
  const bool tool_set = !part.file.empty() && part.file != file_name;
  return {part.name,
          {"material: " + part.material, "for: " + c.title,
           (tool_set ? "tool set: " + part.file + ", " : std::string()) + "case: " + file_name},
          1.0,
          "axial section"};
}

int material_of(const solver::Problem& p, const std::string& part) {
  const auto found = std::find_if(p.parts.begin(), p.parts.end(),
                                  [&](const solver::Part& each) { return each.name == part; });
  return found->material;  // a tool has a part of its name
}

}  // namespace

std::string draw_part(const cases::Case& c, const solver::Problem& p, const PartSheet& options) {
  const TurnedPart part = turned_part(c, p, options.part);
  svg::Document doc(
      sheet_width, sheet_height, part.name,
      "Section of one tool through its axis, to scale, with dimensions, bores of sensors and notes for "
      "the workshop.");
  doc.rectangle({0, 0}, sheet_width, sheet_height, {"none", 0, "white", ""});
  define_materials(doc, p);
  TitleBlock title = title_of(c, part, options.file_name);
  const std::vector<NoteLine> notes = note_lines(part_notes(c, p, part), options.remarks);
  const double notes_top = sheet_height - margin - page::height_of(title) - height_of(notes);
  const bool radial = !part.sensor_bores.empty();
  const double bottom = notes_top - (radial ? above_height : 0.0);

  // Rows do not get more when the scale gets larger.
  const Rows above = rows_above(part), most_below = rows_below(part, 0.0);
  const double left = room_of(columns_left({}, part)), right = room_of(columns_right({}, part));
  const double room = bottom - margin - 6 - room_of(above) - room_of(most_below);
  View view;
  view.scale = largest_scale(part.outer, part.height, sheet_width - 2 * margin - left - right - 6, room);
  const double height = 1e3 * view.scale * part.height;
  view.origin = {margin + left + 0.5 * (sheet_width - 2 * margin - left - right),
                 margin + 3 + room_of(above) + 0.5 * (room + height)};
  title.scale = view.scale;

  doc.open_group({{"data-view", "part"},
                  {"data-scale", svg::number(view.scale)},
                  {"data-axis-x", svg::number(view.origin.x)},
                  {"data-zero-y", svg::number(view.origin.y)}});
  draw_body(doc, view, part, material_of(p, part.name));
  draw_bores(doc, view, part);
  doc.close_group();
  draw_axis(doc, view, -3e-3 / view.scale, part.height + 3e-3 / view.scale);
  const double top_face = view.at(0, part.height).y, low_face = view.at(0, 0).y,
               half = 500 * view.scale * part.outer;
  draw_rows(doc, view, above, top_face, -1);
  draw_rows(doc, view, rows_below(part, view.scale), low_face, 1);
  draw_columns(doc, columns_left(view, part), view.origin.x - half, -1, top_face, low_face);
  draw_columns(doc, columns_right(view, part), view.origin.x + half, 1, top_face, low_face);
  if (radial) {
    doc.line({margin, bottom}, {sheet_width - margin, bottom}, thin);
    draw_from_above(doc, part, bottom);
  }
  draw_notes(doc, notes, notes_top);
  draw_title_block(doc, title);
  return doc.finish();
}

}  // namespace joulepress::tools
