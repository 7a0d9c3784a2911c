// The section through the axis: parts, foils, touches, ends, radiating faces, sensors, grid lines.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "solver/problem.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::page {

/// From the stack (r, z in m) to the page (mm).
struct View {
  double scale = 1;   ///< page over true length
  svg::Point origin;  ///< where r = 0, z = 0 lies
  svg::Point at(double r, double z) const { return {origin.x + 1e3 * scale * r, origin.y - 1e3 * scale * z}; }
};

/// "1:2", "5:1", of a scale that ISO 5455 recommends.
std::string scale_text(double scale);

/// The largest recommended scale (ISO 5455: 1, 2, 5 and tens) with width and height [m] in the page's [mm].
double largest_scale(double width, double height, double page_width, double page_height);

enum class Half { both, left, right };

/// Tint and hatch of every material used, by index into problem.materials; defined in `doc` as "material-K".
std::vector<int> define_materials(svg::Document& doc, const solver::Problem& p);

/// Rectangles of all blocks of `layout` (that of the problem, or with positions of its own).
void draw_parts(svg::Document& doc, const View& view, const solver::Problem& p, const mesh::Layout& layout,
                Half half);
/// Foils, too thin to see, get a heavy line on their true place.
void draw_foils(svg::Document& doc, const View& view, const solver::Problem& p, const mesh::Layout& layout,
                Half half);
/// Where parts touch with no foil between.
void draw_touches(svg::Document& doc, const View& view, const solver::Problem& p);
void draw_radiating(svg::Document& doc, const View& view, const solver::Problem& p);
void draw_sensors(svg::Document& doc, const View& view, const solver::Problem& p);
void draw_mesh(svg::Document& doc, const View& view, const mesh::Mesh& mesh);
/// Poles, films and their values at both ends of the column; takes `end_room` mm beyond each.
void draw_ends(svg::Document& doc, const View& view, const solver::Problem& p);
void draw_axis(svg::Document& doc, const View& view, double z_bottom, double z_top);

inline constexpr double end_room = 13.0;

// Marks used in the section and in the legend.
void foil_mark(svg::Document& doc, svg::Point a, svg::Point b);
void touch_mark(svg::Document& doc, svg::Point a, svg::Point b);
/// Ticks from the line a-b toward (nx, ny).
void radiating_mark(svg::Document& doc, svg::Point a, svg::Point b, double nx, double ny);
void film_mark(svg::Document& doc, svg::Point from, double direction);  ///< -1 up, +1 down
void pole_mark(svg::Document& doc, svg::Point centre, bool plus);
void junction_mark(svg::Document& doc, svg::Point at);

}  // namespace joulepress::tools::page
