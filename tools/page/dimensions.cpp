#include "tools/page/dimensions.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

namespace joulepress::tools::page {
namespace {

constexpr double text_gap_moved = 3.2;  // from the line to a text that had to give way [mm]

const svg::Pen thin{"black", 0.13, "none", ""};

void arrow(svg::Document& doc, svg::Point tip, double dx, double dy) {
  constexpr double length = 2.0, half = 0.33;
  const svg::Point back{tip.x - length * dx, tip.y - length * dy};
  doc.polygon({tip, {back.x - half * dy, back.y + half * dx}, {back.x + half * dy, back.y - half * dx}},
              {"none", 0, "black", ""});
}

double cross(svg::Point a, svg::Point b, svg::Point c) {
  return (b.x - a.x) * (c.y - a.y) - (b.y - a.y) * (c.x - a.x);
}

bool segments_cross(svg::Point a, svg::Point b, svg::Point c, svg::Point d) {
  return cross(a, b, c) * cross(a, b, d) < 0.0 && cross(c, d, a) * cross(c, d, b) < 0.0;
}

}  // namespace

std::string millimetres(double metres) {
  const double mm = 1e3 * metres;
  std::string text = fmt::format("{:.{}f}", mm, mm < 0.1 ? 3 : 2);
  text.erase(text.find_last_not_of('0') + 1);
  if (text.back() == '.') text.pop_back();
  return text;
}

std::string diameter(double metres) {
  return "\u00d8" + millimetres(metres);
}

std::vector<double> spread(const std::vector<double>& wanted, double pitch, double low, double high) {
  // Neighbours that come too close join in a group, spaced by the pitch about the mean of what they want.
  struct Group {
    double sum = 0;  // of wanted positions, each taken back to the first of the group
    int count = 0;
    double first(double p, double lo, double hi) const {
      return std::max(lo, std::min(sum / count, hi - p * (count - 1)));
    }
  };
  std::vector<Group> groups;
  for (const double y : wanted) {
    groups.push_back({y, 1});
    while (groups.size() > 1) {
      const Group last = groups.back();
      Group& before = groups[groups.size() - 2];
      if (before.first(pitch, low, high) + pitch * before.count <= last.first(pitch, low, high)) break;
      before.sum += last.sum - pitch * before.count * last.count;
      before.count += last.count;
      groups.pop_back();
    }
  }
  std::vector<double> result;
  for (const Group& group : groups)
    for (int k = 0; k < group.count; ++k) result.push_back(group.first(pitch, low, high) + pitch * k);
  return result;
}

std::string cut(std::string text, double height, double width, bool bold) {
  if (svg::text_width(text, height, bold) <= width) return text;
  while (!text.empty() && svg::text_width(text + "...", height, bold) > width) {
    while (!text.empty() && (static_cast<unsigned char>(text.back()) & 0xc0) == 0x80) text.pop_back();
    if (!text.empty()) text.pop_back();
  }
  return text + "...";
}

std::vector<std::string> folded(const std::string& text, double height, double width) {
  std::vector<std::string> lines;
  std::istringstream words(text);
  std::string word, line;
  while (words >> word) {
    std::string longer = line;
    longer += line.empty() ? "" : " ";
    longer += word;
    if (!line.empty() && svg::text_width(longer, height) > width) {
      lines.push_back(cut(line, height, width));
      line = word;
    } else {
      line = longer;
    }
  }
  if (!line.empty()) lines.push_back(cut(line, height, width));
  return lines;
}

void heading(svg::Document& doc, svg::Point at, const std::string& text) {
  doc.text(at, text, {2.5, svg::Anchor::start, 0, true});
}

double row_width(const std::vector<Span>& spans) {
  double widest = 0.0;
  for (const Span& s : spans) widest = std::max(widest, svg::text_width(s.text, lettering));
  return text_gap_moved + widest;
}

void vertical_row(svg::Document& doc, const std::vector<Span>& spans, double x, int side, double low,
                  double high) {
  std::vector<Span> sorted = spans;
  std::stable_sort(sorted.begin(), sorted.end(),
                   [](const Span& a, const Span& b) { return a.y_top + a.y_bottom < b.y_top + b.y_bottom; });
  std::vector<double> wanted;
  for (const Span& s : sorted) wanted.push_back(0.5 * (s.y_top + s.y_bottom));
  const std::vector<double> y = spread(wanted, line_pitch, low, high);
  for (std::size_t k = 0; k < sorted.size(); ++k) {
    const Span& s = sorted[k];
    const double beyond = x + 1.0 * side;
    doc.line({s.x_top + 0.8 * side, s.y_top}, {beyond, s.y_top}, thin);
    doc.line({s.x_bottom + 0.8 * side, s.y_bottom}, {beyond, s.y_bottom}, thin);
    if (s.y_bottom - s.y_top > 5.0) {
      doc.line({x, s.y_top}, {x, s.y_bottom}, thin);
      arrow(doc, {x, s.y_top}, 0, -1);
      arrow(doc, {x, s.y_bottom}, 0, 1);
    } else {  // too short: arrows from outside
      doc.line({x, s.y_top - 3.2}, {x, s.y_bottom + 3.2}, thin);
      arrow(doc, {x, s.y_top}, 0, 1);
      arrow(doc, {x, s.y_bottom}, 0, -1);
    }
    const bool moved = std::abs(y[k] - wanted[k]) > 0.3;
    const double at = x + (moved ? text_gap_moved : 1.6) * side;
    if (moved) doc.line({x, wanted[k]}, {at - 0.4 * side, y[k]}, thin);
    doc.text({at, y[k] + 0.5 * lettering}, s.text,
             {lettering, side < 0 ? svg::Anchor::end : svg::Anchor::start, 0, false, "black", true},
             {{"class", "dimension"}});
  }
}

bool stands_inside(const std::string& text, double length) {
  return length > svg::text_width(text, lettering) + 6.0;
}

void horizontal(svg::Document& doc, double x0, double x1, double y, double y0, double x_text,
                const std::string& text) {
  if (y0 != y) {
    const double away = y > y0 ? 1.0 : -1.0;
    for (const double x : {x0, x1}) doc.line({x, y0 + 0.6 * away}, {x, y + 1.0 * away}, thin);
  }
  const double width = svg::text_width(text, lettering);
  const bool fits = stands_inside(text, x1 - x0);
  const double at =
      fits ? std::clamp(x_text, x0 + 2.5 + 0.5 * width, x1 - 2.5 - 0.5 * width) : x0 - 3.6 - 0.5 * width;
  if (fits) {  // the line is broken: between two words it would look like a point
    const double room = 0.5 * width + 0.4;
    doc.line({x0, y}, {at - room, y}, thin);
    doc.line({at + room, y}, {x1, y}, thin);
    arrow(doc, {x0, y}, -1, 0);
    arrow(doc, {x1, y}, 1, 0);
  } else {
    doc.line({x0 - 3.2, y}, {x1 + 3.2, y}, thin);
    arrow(doc, {x0, y}, 1, 0);
    arrow(doc, {x1, y}, -1, 0);
  }
  doc.text({at, y + 0.5 * lettering}, text, {lettering, svg::Anchor::middle, 0, false, "black", true},
           {{"class", "dimension"}});
}

double label_width(const std::vector<Label>& list) {
  double widest = 0.0;
  for (const Label& label : list) widest = std::max(widest, svg::text_width(label.text, lettering));
  return widest;
}

void labels(svg::Document& doc, std::vector<Label> list, double x, double end, double low, double high) {
  std::stable_sort(list.begin(), list.end(),
                   [](const Label& a, const Label& b) { return a.target.y < b.target.y; });
  std::vector<double> wanted;
  for (const Label& label : list) wanted.push_back(label.target.y);
  const std::vector<double> y = spread(wanted, line_pitch, low, high);
  const double elbow = x - 3.0;
  // Exchanging the places of two crossing leaders makes both shorter, so this ends.
  bool changed = true;
  while (changed) {
    changed = false;
    for (std::size_t a = 0; a < list.size(); ++a) {
      for (std::size_t b = a + 1; b < list.size(); ++b) {
        if (!segments_cross(list[a].target, {elbow, y[a]}, list[b].target, {elbow, y[b]})) continue;
        std::swap(list[a], list[b]);
        changed = true;
      }
    }
  }
  for (std::size_t k = 0; k < list.size(); ++k) {
    const Label& label = list[k];
    doc.polyline({label.target, {elbow, y[k]}, {x - 0.6, y[k]}}, thin,
                 {{"class", "leader"}, {"data-part", label.part}});
    if (label.on_edge) {
      const double dx = label.target.x - elbow, dy = label.target.y - y[k], length = std::hypot(dx, dy);
      arrow(doc, label.target, dx / length, dy / length);
    } else {
      doc.circle(label.target, 0.4, {"none", 0, "black", ""});
    }
    doc.text({x, y[k] + 0.5 * lettering}, cut(label.text, lettering, end - x), {lettering},
             {{"class", "label"}, {"data-part", label.part}});
  }
}

}  // namespace joulepress::tools::page
