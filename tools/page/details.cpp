#include "tools/page/details.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tools/page/dimensions.hpp"
#include "tools/page/section.hpp"

namespace joulepress::tools::page {
namespace {

bool in_column(cases::Role role) {
  return role == cases::Role::column || role == cases::Role::powder || role == cases::Role::disc_foil;
}

/// Lowest powder of the stack; -1: none.
int first_powder(const cases::Stack& stack) {
  int first = -1;
  for (std::size_t k = 0; k < stack.parts.size(); ++k)
    if (stack.parts[k].role == cases::Role::powder &&
        (first < 0 || stack.layout[k].z_bottom < stack.layout[first].z_bottom))
      first = static_cast<int>(k);
  return first;
}

/// Height before pressing over height as computed; 0: not known.
double stretch(const cases::Case& c, const cases::Stack& stack, std::size_t k) {
  const cases::ColumnPart& powder = c.column[stack.parts[k].source];
  return powder.relative_density ? cases::end_density(powder) / *powder.relative_density : 0.0;
}

struct Ring {
  double radius = 0, top = 0;  // m
};

struct Powder {
  double low = 0, high = 0, stretch = 1;
};

/// Height z of the dense stack, before pressing, measured so that `still` does not move.
double moved(double z, const std::vector<Powder>& powders) {
  double shift = 0.0;
  for (const Powder& p : powders) shift += (p.stretch - 1.0) * (std::clamp(z, p.low, p.high) - p.low);
  return z + shift;
}

/// Height with which a sleeve or its lining moves: the middle of the sleeve that all others stand on or hang
/// below, or the face of the column that this one stands on.
double ride_height(const cases::Case& c, const cases::Stack& stack, const mesh::Layout& layout,
                   std::size_t k) {
  const cases::StackPart& part = stack.parts[k];
  const cases::Sleeve* sleeve = part.role == cases::Role::lining
                                    ? cases::sleeve_named(c, c.foils[part.source].along)
                                    : &c.sleeves[part.source];
  while (const cases::Sleeve* support = cases::sleeve_named(c, cases::support_of(*sleeve))) sleeve = support;
  const mesh::Block& b = layout[cases::block_named(stack, sleeve->name)];
  if (!sleeve->centre_on.empty()) return 0.5 * (b.z_bottom + b.z_top);
  return sleeve->stands_on.empty() ? b.z_top : b.z_bottom;
}

}  // namespace

bool has_details(const cases::Stack& stack) {
  return first_powder(stack) >= 0;
}

mesh::Layout before_pressing(const cases::Case& c, const cases::Stack& stack, const solver::Problem& p) {
  std::vector<Powder> powders;
  for (std::size_t k = 0; k < stack.parts.size(); ++k) {
    if (stack.parts[k].role != cases::Role::powder) continue;
    const mesh::Block& b = p.mesh.layout[k];
    const double factor = stretch(c, stack, k);
    if (factor <= 0.0) return {};
    // Powders side by side (a ring about a core) rise together: the taller one decides.
    const bool beside = std::any_of(powders.begin(), powders.end(), [&](const Powder& other) {
      return b.z_bottom < other.high - mesh::touch_tolerance && other.low < b.z_top - mesh::touch_tolerance;
    });
    if (!beside) powders.push_back({b.z_bottom, b.z_top, factor});
  }
  if (powders.empty()) return {};
  const mesh::Block& first = p.mesh.layout[first_powder(stack)];
  const double middle = 0.5 * (first.z_bottom + first.z_top);
  const double still = moved(middle, powders) - middle;
  mesh::Layout layout = p.mesh.layout;
  for (std::size_t k = 0; k < layout.size(); ++k) {
    mesh::Block& b = layout[k];
    if (in_column(stack.parts[k].role)) {
      b.z_bottom = moved(b.z_bottom, powders) - still;
      b.z_top = moved(b.z_top, powders) - still;
    } else {
      const double at = ride_height(c, stack, p.mesh.layout, k);
      const double rise = moved(at, powders) - at - still;
      b.z_bottom += rise;
      b.z_top += rise;
    }
  }
  return layout;
}

void draw_pressing(svg::Document& doc, const cases::Case& c, const cases::Stack& stack,
                   const solver::Problem& p, svg::Point corner, double width, double height) {
  const mesh::Layout start = before_pressing(c, stack, p);
  const mesh::Layout& dense = p.mesh.layout;
  // What is shown: everything beside the powders, a little of the punches beyond.
  double low = 1e9, high = -1e9, radius = 0.0, powder_radius = 0.0;
  for (std::size_t k = 0; k < dense.size(); ++k) {
    if (stack.parts[k].role == cases::Role::powder) {
      powder_radius = std::max(powder_radius, dense[k].r_outer);
      for (const mesh::Layout* layout : {&dense, start.empty() ? &dense : &start}) {
        low = std::min(low, (*layout)[k].z_bottom);
        high = std::max(high, (*layout)[k].z_top);
      }
    }
  }
  const double powder_low = low, powder_high = high;
  for (std::size_t k = 0; k < dense.size(); ++k) {
    if (in_column(stack.parts[k].role)) continue;
    if (dense[k].z_top < powder_low || dense[k].z_bottom > powder_high) continue;
    radius = std::max(radius, dense[k].r_outer);
    low = std::min(low, dense[k].z_bottom);
    high = std::max(high, dense[k].z_top);
  }
  radius = std::max(radius, 1.3 * powder_radius);
  const double margin = 0.06 * (high - low);
  low -= margin;
  high += margin;

  // Diameters of what encloses the powder, one above the other over the view, the smallest lowest.
  std::vector<Ring> rings;
  for (std::size_t k = 0; k < dense.size(); ++k) {
    if (in_column(stack.parts[k].role) || p.parts[dense[k].part].is_foil) continue;
    if (dense[k].z_top < powder_low || dense[k].z_bottom > powder_high) continue;
    const double top = std::max(dense[k].z_top, start.empty() ? dense[k].z_top : start[k].z_top);
    for (const double r : {dense[k].r_inner, dense[k].r_outer})
      if (r > 0.0 && std::none_of(rings.begin(), rings.end(), [&](const Ring& other) {
            return std::abs(other.radius - r) < mesh::touch_tolerance;
          }))
        rings.push_back({r, top});
  }
  std::sort(rings.begin(), rings.end(), [](const Ring& a, const Ring& b) { return a.radius < b.radius; });

  const double dimension_room = 16.0, foot = 5.0,
               head = 5.0 + line_pitch * static_cast<double>(rings.size()) + 1.5;
  const double inner = height - foot - head;
  const double scale = largest_scale(2.0 * radius, high - low, width - 2.0 * dimension_room, inner);
  View view;
  view.scale = scale;
  const double middle = 0.5 * (low + high);
  view.origin = {corner.x + 0.5 * width, corner.y + head + 0.5 * inner + 1e3 * scale * middle};
  const svg::Point left_top = view.at(-radius, high), right_bottom = view.at(radius, low);
  heading(
      doc, {corner.x, corner.y + 2.8},
      fmt::format("Die region {}{}", scale_text(scale), start.empty() ? ", dense" : ", before and after"));
  for (std::size_t k = 0; k < rings.size(); ++k)
    horizontal(doc, view.at(-rings[k].radius, 0).x, view.at(rings[k].radius, 0).x,
               left_top.y - 2.4 - line_pitch * static_cast<double>(k), view.at(0, rings[k].top).y,
               view.at(-0.4 * rings[k].radius, 0).x, diameter(2 * rings[k].radius));
  doc.define_clip("clip-left", {left_top.x - 0.3, left_top.y}, view.origin.x - left_top.x + 0.3,
                  right_bottom.y - left_top.y);
  doc.define_clip("clip-right", {view.origin.x, left_top.y}, right_bottom.x - view.origin.x + 0.3,
                  right_bottom.y - left_top.y);
  for (const Half half : {Half::left, Half::right}) {
    if (half == Half::left && start.empty()) {
      doc.text({view.origin.x, right_bottom.y + 4.0}, "dense (before pressing: density not given)",
               {lettering, svg::Anchor::middle});
      continue;
    }
    const mesh::Layout& layout = half == Half::left ? start : dense;
    const bool left = half == Half::left;
    doc.open_group({{"data-view", left ? "before pressing" : "dense"},
                    {"clip-path", left ? "url(#clip-left)" : "url(#clip-right)"},
                    {"data-scale", svg::number(scale)},
                    {"data-axis-x", svg::number(view.origin.x)},
                    {"data-zero-y", svg::number(view.origin.y)}});
    draw_parts(doc, view, p, layout, half);
    draw_foils(doc, view, p, layout, half);
    doc.close_group();
    std::vector<Span> spans;
    const int side = left ? -1 : 1;
    for (std::size_t k = 0; k < layout.size(); ++k) {
      if (stack.parts[k].role != cases::Role::powder) continue;
      const mesh::Block& b = layout[k];
      const double x = view.at(side * b.r_outer, 0).x;
      spans.push_back(
          {view.at(0, b.z_top).y, view.at(0, b.z_bottom).y, x, x, millimetres(b.z_top - b.z_bottom)});
    }
    vertical_row(doc, spans, (left ? left_top.x : right_bottom.x) + 2.5 * side, side, left_top.y,
                 right_bottom.y);
    if (!start.empty())
      doc.text({view.origin.x + 1.5 * side, right_bottom.y + 4.0}, left ? "before pressing" : "dense",
               {lettering, left ? svg::Anchor::end : svg::Anchor::start});
  }
  draw_axis(doc, view, low - 1e-3 / scale, high);
}

void draw_corner(svg::Document& doc, const cases::Stack& stack, const solver::Problem& p, svg::Point corner,
                 double width, double height) {
  const mesh::Block& powder = p.mesh.layout[first_powder(stack)];
  double thinnest = 1e-3;
  for (const mesh::Block& b : p.mesh.layout)
    if (p.parts[b.part].is_foil) thinnest = std::min({thinnest, b.r_outer - b.r_inner, b.z_top - b.z_bottom});
  double scale = 1.0;
  for (const double s : {2.0, 5.0, 10.0, 20.0, 50.0})
    if (1e3 * thinnest * scale < 1.6) scale = s;
  double widest = 0.0;
  for (const mesh::Block& b : p.mesh.layout)
    widest = std::max(
        widest, svg::text_width(p.parts[b.part].name + (p.parts[b.part].is_foil ? " 0.00" : ""), lettering));
  const double window = std::clamp(width - widest - 7.0, 34.0, std::min(50.0, height - 6.0));
  View view;
  view.scale = scale;
  const svg::Point middle{corner.x + 0.5 * window, corner.y + 5.0 + 0.5 * window};
  view.origin = {middle.x - 1e3 * scale * powder.r_outer, middle.y + 1e3 * scale * powder.z_top};
  const double half = 0.5e-3 * window / scale;
  const double r0 = powder.r_outer - half, r1 = powder.r_outer + half;
  const double z0 = powder.z_top - half, z1 = powder.z_top + half;
  heading(doc, {corner.x, corner.y + 2.8}, fmt::format("Powder edge Z, {}", scale_text(scale)));
  doc.define_clip("clip-corner", view.at(r0, z1), window, window);
  doc.open_group({{"data-view", "corner"},
                  {"clip-path", "url(#clip-corner)"},
                  {"data-scale", svg::number(scale)},
                  {"data-axis-x", svg::number(view.origin.x)},
                  {"data-zero-y", svg::number(view.origin.y)}});
  draw_parts(doc, view, p, p.mesh.layout, Half::right);
  draw_foils(doc, view, p, p.mesh.layout, Half::right);
  doc.close_group();
  doc.rectangle(view.at(r0, z1), window, window, {"black", 0.25, "none", "2 1"});
  std::vector<Label> list;
  for (const mesh::Block& b : p.mesh.layout) {
    const double ra = std::max(b.r_inner, r0), rb = std::min(b.r_outer, r1);
    const double za = std::max(b.z_bottom, z0), zb = std::min(b.z_top, z1);
    if (rb - ra < mesh::touch_tolerance || zb - za < mesh::touch_tolerance) continue;
    const solver::Part& part = p.parts[b.part];
    const std::string thick =
        part.is_foil ? " " + millimetres(std::min(b.r_outer - b.r_inner, b.z_top - b.z_bottom)) : "";
    list.push_back(
        {view.at(ra + 0.6 * (rb - ra), za + 0.55 * (zb - za)), part.name + thick, part.name, false});
  }
  const double right = view.at(r1, 0).x, top = view.at(0, z1).y;
  labels(doc, list, right + 6.0, corner.x + width, top + 2.0, top + window - 2.0);
}

Label draw_corner_mark(svg::Document& doc, const View& view, const cases::Stack& stack) {
  const mesh::Block& powder = stack.layout[first_powder(stack)];
  const svg::Point centre = view.at(powder.r_outer, powder.z_top);
  constexpr double radius = 2.0;
  doc.circle(centre, radius, {"black", 0.18, "none", ""});
  return {{centre.x + 0.8 * radius, centre.y - 0.6 * radius}, "Z, enlarged below", "Z", true};
}

}  // namespace joulepress::tools::page
