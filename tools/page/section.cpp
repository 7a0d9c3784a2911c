#include "tools/page/section.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "tools/page/dimensions.hpp"

namespace joulepress::tools::page {
namespace {

constexpr std::array<double, 13> scales{50, 20, 10, 5, 2, 1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01, 0.005};

const svg::Pen outline{"black", 0.35, "none", ""};

svg::Hatch style(bool powder, int ordinal) {
  using Kind = svg::Hatch::Kind;
  static const std::array<svg::Hatch, 4> powders{{{Kind::dots, 30, 1.1, 0.2, "#fdf3d8", "black"},
                                                  {Kind::dots, 45, 1.7, 0.33, "#f9e2ec", "black"},
                                                  {Kind::dashes, 30, 1.2, 0.2, "#e4f3df", "black"},
                                                  {Kind::dots, 0, 0.7, 0.13, "#e6e2f6", "black"}}};
  static const std::array<svg::Hatch, 7> solids{{{Kind::lines, 45, 2.0, 0.13, "#e3e7ec", "#333333"},
                                                 {Kind::crossed, 45, 2.0, 0.13, "#efe3d6", "#333333"},
                                                 {Kind::lines, -45, 1.2, 0.13, "#dcecf5", "#333333"},
                                                 {Kind::dashes, 0, 1.8, 0.18, "#efeadf", "#333333"},
                                                 {Kind::lines, 90, 1.6, 0.13, "#e6f0e2", "#333333"},
                                                 {Kind::crossed, 0, 1.8, 0.13, "#f3e2e2", "#333333"},
                                                 {Kind::lines, 0, 1.1, 0.13, "#ece4f2", "#333333"}}};
  return powder ? powders[ordinal % powders.size()] : solids[ordinal % solids.size()];
}

std::string fill_of(const solver::Problem& p, const mesh::Block& block) {
  return fmt::format("url(#material-{})", p.parts[block.part].material);
}

struct Range {
  double low = 0, high = 0;
};

/// One end of the column: block, side and condition.
struct ColumnEnd {
  const mesh::Block* block = nullptr;
  const solver::SideCondition* side = nullptr;
};

ColumnEnd end_of(const solver::Problem& p, solver::Electrode pole) {
  for (std::size_t k = 0; k < p.sides.size(); ++k)
    for (const solver::SideCondition& side : p.sides[k])
      if (side.electrode == pole) return {&p.mesh.layout[k], &side};
  return {};
}

}  // namespace

std::string scale_text(double scale) {
  return scale >= 1.0 ? fmt::format("{:.0f}:1", scale) : fmt::format("1:{:.0f}", 1.0 / scale);
}

double largest_scale(double width, double height, double page_width, double page_height) {
  for (const double s : scales)
    if (1e3 * s * width <= page_width && 1e3 * s * height <= page_height) return s;
  return scales.back();
}

std::vector<int> define_materials(svg::Document& doc, const solver::Problem& p) {
  std::vector<int> used;
  int powders = 0, solids = 0;
  for (const solver::Part& part : p.parts) {
    if (std::find(used.begin(), used.end(), part.material) != used.end()) continue;
    used.push_back(part.material);
    doc.define_hatch(fmt::format("material-{}", part.material),
                     style(part.is_powder, part.is_powder ? powders++ : solids++));
  }
  return used;
}

void draw_parts(svg::Document& doc, const View& view, const solver::Problem& p, const mesh::Layout& layout,
                Half half) {
  for (const mesh::Block& block : layout) {
    const bool foil = p.parts[block.part].is_foil;
    svg::Pen pen = outline;
    pen.fill = fill_of(p, block);
    if (foil) pen.width = 0.13;
    const double width = 1e3 * view.scale * (block.r_outer - block.r_inner);
    const double height = 1e3 * view.scale * (block.z_top - block.z_bottom);
    const auto piece = [&](double r, double w, const char* side) {
      doc.rectangle(view.at(r, block.z_top), w, height, pen,
                    {{"data-part", p.parts[block.part].name}, {"data-side", side}});
    };
    if (half == Half::both && block.r_inner == 0.0) {
      piece(-block.r_outer, 2.0 * width, "both");
      continue;
    }
    if (half != Half::left) piece(block.r_inner, width, "right");
    if (half != Half::right) piece(-block.r_outer, width, "left");
  }
}

void foil_mark(svg::Document& doc, svg::Point a, svg::Point b) {
  doc.line(a, b, {"#1f3f7f", 0.7, "none", ""}, {{"class", "foil"}});
}

void touch_mark(svg::Document& doc, svg::Point a, svg::Point b) {
  doc.line(a, b, {"white", 0.9, "none", ""});
  doc.line(a, b, {"black", 0.7, "none", "0.7 0.7"}, {{"class", "touch"}});
}

void radiating_mark(svg::Document& doc, svg::Point a, svg::Point b, double nx, double ny) {
  const svg::Pen pen{"#c04000", 0.2, "none", ""};
  const double length = std::hypot(b.x - a.x, b.y - a.y);
  const int ticks = std::max(1, static_cast<int>(length / 1.4));
  for (int k = 0; k < ticks; ++k) {
    const double t = (k + 0.5) / ticks;
    const svg::Point foot{a.x + t * (b.x - a.x), a.y + t * (b.y - a.y)};
    doc.line(foot, {foot.x + 1.1 * nx, foot.y + 1.1 * ny}, pen, {{"class", "radiating"}});
  }
}

void film_mark(svg::Document& doc, svg::Point from, double direction) {
  const double tip = from.y + 4.2 * direction, back = from.y + 2.6 * direction;
  doc.line({from.x, from.y + 0.8 * direction}, {from.x, back}, {"#1060a0", 0.3, "none", ""});
  doc.polygon({{from.x, tip}, {from.x - 0.6, back}, {from.x + 0.6, back}}, {"none", 0, "#1060a0", ""});
}

void pole_mark(svg::Document& doc, svg::Point c, bool plus) {
  doc.circle(c, 2.0, {"black", 0.3, "white", ""}, {{"class", plus ? "pole-plus" : "pole-minus"}});
  const svg::Pen pen{"black", 0.4, "none", ""};
  doc.line({c.x - 1.2, c.y}, {c.x + 1.2, c.y}, pen);
  if (plus) doc.line({c.x, c.y - 1.2}, {c.x, c.y + 1.2}, pen);
}

void junction_mark(svg::Document& doc, svg::Point at) {
  doc.circle(at, 0.7, {"white", 0.2, "#b00020", ""}, {{"class", "junction"}});
}

void draw_foils(svg::Document& doc, const View& view, const solver::Problem& p, const mesh::Layout& layout,
                Half half) {
  for (const mesh::Block& b : layout) {
    if (!p.parts[b.part].is_foil) continue;
    if (1e3 * view.scale * std::min(b.r_outer - b.r_inner, b.z_top - b.z_bottom) > 0.8) continue;
    const double r = 0.5 * (b.r_inner + b.r_outer), z = 0.5 * (b.z_bottom + b.z_top);
    const bool upright = b.r_outer - b.r_inner < b.z_top - b.z_bottom;
    for (const int side : {-1, 1}) {
      if (half == (side < 0 ? Half::right : Half::left)) continue;
      if (upright)
        foil_mark(doc, view.at(side * r, b.z_bottom), view.at(side * r, b.z_top));
      else
        foil_mark(doc, view.at(side * b.r_inner, z), view.at(side * b.r_outer, z));
    }
  }
}

void draw_touches(svg::Document& doc, const View& view, const solver::Problem& p) {
  for (std::size_t k = 0; k < p.interfaces.pairs.size(); ++k) {
    const mesh::BlockPair& pair = p.interfaces.pairs[k];
    const mesh::Block &a = p.mesh.layout[pair.block_a], &b = p.mesh.layout[pair.block_b];
    // A tool and the floor of its blind bore are one piece.
    const bool one_piece = std::isinf(p.contacts[k].heat_conductance);
    if (pair.gap > 0.0 || one_piece || p.parts[a.part].is_foil || p.parts[b.part].is_foil) continue;
    for (const int side : {-1, 1}) {
      if (pair.side_a == mesh::Side::outer)
        touch_mark(doc, view.at(side * a.r_outer, std::max(a.z_bottom, b.z_bottom)),
                   view.at(side * a.r_outer, std::min(a.z_top, b.z_top)));
      else
        touch_mark(doc, view.at(side * std::max(a.r_inner, b.r_inner), a.z_top),
                   view.at(side * std::min(a.r_outer, b.r_outer), a.z_top));
    }
  }
}

void draw_radiating(svg::Document& doc, const View& view, const solver::Problem& p) {
  // Outer faces of one block side that follow each other make one stretch.
  std::map<std::pair<int, mesh::Side>, std::vector<Range>> stretches;
  for (const mesh::OuterFace& face : p.interfaces.outer_faces) {
    const int block = p.mesh.block_of[face.a.cell];
    const solver::SideCondition& condition = p.sides[block][static_cast<std::size_t>(face.a.side)];
    const bool end = condition.electrode != solver::Electrode::none;
    if (condition.emissivity <= 0.0 || end) continue;
    const bool upright = face.a.side == mesh::Side::inner || face.a.side == mesh::Side::outer;
    const double middle = upright ? face.z : face.r;
    const double half = 0.25 * face.a.area / (std::numbers::pi * face.r);  // of its height or its width
    stretches[{block, face.a.side}].push_back({middle - half, middle + half});
  }
  for (auto& [key, ranges] : stretches) {
    const mesh::Block& b = p.mesh.layout[key.first];
    std::sort(ranges.begin(), ranges.end(), [](const Range& x, const Range& y) { return x.low < y.low; });
    std::vector<Range> joined;
    for (const Range& range : ranges)
      if (!joined.empty() && range.low < joined.back().high + 1e-5)
        joined.back().high = std::max(joined.back().high, range.high);
      else
        joined.push_back(range);
    for (const Range& s : joined) {
      for (const int side : {-1, 1}) {
        if (key.second == mesh::Side::outer || key.second == mesh::Side::inner) {
          const double r = key.second == mesh::Side::outer ? b.r_outer : b.r_inner;
          const double out = key.second == mesh::Side::outer ? side : -side;
          radiating_mark(doc, view.at(side * r, s.low), view.at(side * r, s.high), out, 0);
        } else {
          const double z = key.second == mesh::Side::top ? b.z_top : b.z_bottom;
          radiating_mark(doc, view.at(side * s.low, z), view.at(side * s.high, z), 0,
                         key.second == mesh::Side::top ? -1 : 1);
        }
      }
    }
  }
}

void draw_sensors(svg::Document& doc, const View& view, const solver::Problem& p) {
  for (const solver::Sensor& sensor : p.sensors) {
    if (sensor.part < 0) continue;  // a furnace's
    const double outer = p.mesh.layout[sensor.part].r_outer, width = sensor.stem.diameter;
    if (sensor.kind == solver::SensorKind::thermocouple)
      doc.rectangle(view.at(sensor.r, sensor.z + 0.5 * width), 1e3 * view.scale * (outer - sensor.r),
                    1e3 * view.scale * width, {"black", 0.2, "white", ""}, {{"data-sensor", sensor.name}});
    junction_mark(doc, view.at(sensor.r, sensor.z));
  }
}

void draw_mesh(svg::Document& doc, const View& view, const mesh::Mesh& mesh) {
  const svg::Pen pen{"#0050a0", 0.05, "none", ""};
  doc.open_group({{"class", "mesh"}});
  for (const mesh::BlockGrid& grid : mesh.grids) {
    const mesh::Block& b = mesh.layout[grid.block];
    for (const int side : {-1, 1}) {
      for (const double r : grid.r_lines)
        doc.line(view.at(side * r, b.z_bottom), view.at(side * r, b.z_top), pen);
      for (const double z : grid.z_lines)
        doc.line(view.at(side * b.r_inner, z), view.at(side * b.r_outer, z), pen);
    }
  }
  doc.close_group();
}

void draw_ends(svg::Document& doc, const View& view, const solver::Problem& p) {
  for (const solver::Electrode pole : {solver::Electrode::high, solver::Electrode::low}) {
    const ColumnEnd end = end_of(p, pole);
    if (!end.block) continue;
    const bool top = pole == solver::Electrode::high;
    const double away = top ? -1.0 : 1.0, z = top ? end.block->z_top : end.block->z_bottom;
    const double y = view.at(0, z).y, half = 1e3 * view.scale * end.block->r_outer;
    std::string text = "no heat passes";
    if (end.side->fixed_temperature)
      text = fmt::format("held at {:.4g} degC", end.side->fixed_temperature(0, z, 0) - solver::zero_celsius);
    else if (end.side->film > 0.0)
      text = fmt::format("{:.4g} W/m2K, {:.4g} degC", end.side->film,
                         end.side->film_temperature - solver::zero_celsius);
    const int arrows = std::max(1, static_cast<int>(half / 6.0));
    if (end.side->film > 0.0 || end.side->fixed_temperature)
      for (int k = 0; k < arrows; ++k)
        for (const int side : {-1, 1})
          film_mark(doc, {view.origin.x + side * half * (k + 0.75) / arrows, y}, away);
    const svg::Point centre{view.origin.x, y + 8.0 * away};
    if (p.drive.kind != solver::DriveKind::furnace) {
      doc.line({centre.x, centre.y - 2.0 * away}, {centre.x, y + 0.4 * away}, {"black", 0.3, "none", ""});
      pole_mark(doc, centre, top);
    }
    doc.text({centre.x - 3.2, centre.y + 0.5 * lettering}, text, {lettering, svg::Anchor::end},
             {{"class", "end"}});
  }
}

void draw_axis(svg::Document& doc, const View& view, double z_bottom, double z_top) {
  doc.line(view.at(0, z_bottom), view.at(0, z_top), {"black", 0.18, "none", "6 1 0.6 1"},
           {{"class", "axis"}});
}

}  // namespace joulepress::tools::page
