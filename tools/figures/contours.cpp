#include "tools/figures/contours.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>

namespace joulepress::tools::figures {
namespace {

/// Middles of the cells with the block's edges around them.
struct Nodes {
  std::vector<double> r, z, value;
  std::size_t at(std::size_t i, std::size_t j) const { return j * r.size() + i; }
};

Nodes nodes_of(const Cells& c, const CellBlock& block, const std::vector<double>& values) {
  Nodes nodes;
  nodes.r.push_back(block.r_low);
  for (std::size_t i = 0; i < block.n_r; ++i)
    nodes.r.push_back(0.5 * (c.r_low[block.cell(i, 0)] + c.r_high[block.cell(i, 0)]));
  nodes.r.push_back(block.r_high);
  nodes.z.push_back(block.z_low);
  for (std::size_t j = 0; j < block.n_z; ++j)
    nodes.z.push_back(0.5 * (c.z_low[block.cell(0, j)] + c.z_high[block.cell(0, j)]));
  nodes.z.push_back(block.z_high);
  for (std::size_t j = 0; j < nodes.z.size(); ++j)
    for (std::size_t i = 0; i < nodes.r.size(); ++i)
      nodes.value.push_back(values[block.cell(std::clamp<std::size_t>(i, 1, block.n_r) - 1,
                                              std::clamp<std::size_t>(j, 1, block.n_z) - 1)]);
  return nodes;
}

/// An edge of the net of nodes: 2 x its first node, + 1 when it goes up.
using Edge = std::size_t;

struct Crossings {
  std::map<Edge, svg::Point> points;
  std::map<Edge, std::vector<Edge>> joined;
};

svg::Point crossing(const Nodes& n, Edge edge, double level) {
  const std::size_t from = edge / 2, to = from + (edge % 2 == 1 ? n.r.size() : 1);
  const double u = (level - n.value[from]) / (n.value[to] - n.value[from]);
  const auto r = [&](std::size_t k) { return n.r[k % n.r.size()]; };
  const auto z = [&](std::size_t k) { return n.z[k / n.r.size()]; };
  return {std::lerp(r(from), r(to), u), std::lerp(z(from), z(to), u)};
}

void cross_square(const Nodes& n, std::size_t i, std::size_t j, double level, Crossings& all) {
  // Corners and edges counter-clockwise from below left.
  const std::array<std::size_t, 4> corner{n.at(i, j), n.at(i + 1, j), n.at(i + 1, j + 1), n.at(i, j + 1)};
  const std::array<Edge, 4> edge{2 * corner[0], 2 * corner[1] + 1, 2 * corner[3], 2 * corner[0] + 1};
  std::vector<Edge> crossed;
  double sum = 0.0;
  for (std::size_t k = 0; k < 4; ++k) {
    const double a = n.value[corner[k]], b = n.value[corner[(k + 1) % 4]];
    if (std::isnan(a)) return;
    sum += a;
    if ((a >= level) != (b >= level)) crossed.push_back(edge[k]);
  }
  // On a saddle the middle decides: corners 0 and 2 together cut off 1 (edges 0, 1) and 3 (edges 2, 3).
  if (crossed.size() == 4 && (n.value[corner[0]] >= level) != (0.25 * sum >= level))
    std::rotate(crossed.begin(), crossed.begin() + 3, crossed.end());
  for (std::size_t k = 0; k + 1 < crossed.size(); k += 2) {
    for (const Edge e : {crossed[k], crossed[k + 1]}) all.points[e] = crossing(n, e, level);
    all.joined[crossed[k]].push_back(crossed[k + 1]);
    all.joined[crossed[k + 1]].push_back(crossed[k]);
  }
}

/// The line that begins at `edge`; takes its joints out of `all`.
Contour followed(Crossings& all, Edge edge) {
  Contour line{all.points.at(edge)};
  while (!all.joined[edge].empty()) {
    const Edge next = all.joined[edge].back();
    all.joined[edge].pop_back();
    std::vector<Edge>& back = all.joined[next];
    back.erase(std::find(back.begin(), back.end(), edge));
    line.push_back(all.points.at(next));
    edge = next;
  }
  return line;
}

}  // namespace

std::vector<Contour> contours_of(const Cells& cells, const CellBlock& block,
                                 const std::vector<double>& values, double level) {
  const Nodes nodes = nodes_of(cells, block, values);
  Crossings all;
  for (std::size_t j = 0; j + 1 < nodes.z.size(); ++j)
    for (std::size_t i = 0; i + 1 < nodes.r.size(); ++i) cross_square(nodes, i, j, level, all);
  std::vector<Contour> lines;
  for (const bool closed : {false, true})
    for (const auto& [edge, point] : all.points)
      if (const std::size_t left = all.joined[edge].size(); left == 1 || (closed && left == 2))
        lines.push_back(followed(all, edge));
  return lines;
}

}  // namespace joulepress::tools::figures
