#include "tools/figures/labels.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>

namespace joulepress::tools::figures {
namespace {

constexpr const char* minus = "\u2212";

/// Neighbours that touch, moved as one.
struct Cluster {
  std::size_t first, count;
  double sum;  ///< of the middles they would have, less where each stands in the cluster
  double size;
  double top(double low, double high) const {
    return std::max(low, std::min(sum / static_cast<double>(count), high - size));
  }
};

double distance(svg::Point p, svg::Point a, svg::Point b) {
  const double dx = b.x - a.x, dy = b.y - a.y, length = std::hypot(dx, dy);
  if (length == 0.0) return std::hypot(p.x - a.x, p.y - a.y);
  return std::abs(dx * (p.y - a.y) - dy * (p.x - a.x)) / length;
}

void keep_between(const std::vector<svg::Point>& line, std::size_t from, std::size_t to, double tolerance,
                  std::vector<bool>& kept) {
  double farthest = tolerance;
  std::size_t corner = 0;
  for (std::size_t k = from + 1; k < to; ++k)
    if (const double d = distance(line[k], line[from], line[to]); d > farthest) {
      farthest = d;
      corner = k;
    }
  if (corner == 0) return;
  kept[corner] = true;
  keep_between(line, from, corner, tolerance, kept);
  keep_between(line, corner, to, tolerance, kept);
}

}  // namespace

svg::Lettering lettering(svg::Anchor anchor, bool bold, double height) {
  svg::Lettering result;
  result.height = height;
  result.anchor = anchor;
  result.bold = bold;
  result.colour = ink;
  return result;
}

LineLook line_look(std::size_t k) {
  static constexpr std::array<const char*, 4> strokes{"#0b5d6b", "#b3471d", "#6a5d9e", "#7a7a2e"};
  static constexpr std::array<const char*, 4> dashes{"", "2.4 0.8", "0.7 0.7", "3 0.7 0.7 0.7"};
  k %= line_looks;
  return {{.stroke = strokes[k % 4], .width = 0.4, .dashes = dashes[(k + k / 4) % 4]},
          fmt::format("series-other-{}", k + 1)};
}

int decimals_of(double step) {
  if (!(step > 0.0)) return 0;
  return std::clamp(static_cast<int>(std::ceil(-std::log10(step) - 1e-9)), 0, 9);
}

std::string number_text(double value, int decimals, char decimal_mark) {
  std::string digits = fmt::format("{:.{}f}", std::abs(value), decimals);
  const bool zero = digits.find_first_not_of("0.") == std::string::npos;
  std::replace(digits.begin(), digits.end(), '.', decimal_mark);
  return value < 0.0 && !zero ? minus + digits : digits;
}

std::string signed_text(double value, int decimals, char decimal_mark) {
  const std::string text = number_text(value, decimals, decimal_mark);
  const bool zero = text.find_first_of("123456789") == std::string::npos;
  return value > 0.0 && !zero ? "+" + text : text;
}

std::vector<double> spread(const std::vector<double>& middles, const std::vector<double>& sizes, double low,
                           double high) {
  std::vector<std::size_t> order(middles.size());
  for (std::size_t k = 0; k < order.size(); ++k) order[k] = k;
  std::stable_sort(order.begin(), order.end(),
                   [&](std::size_t a, std::size_t b) { return middles[a] < middles[b]; });
  std::vector<Cluster> clusters;
  for (std::size_t k = 0; k < order.size(); ++k) {
    clusters.push_back({k, 1, middles[order[k]] - 0.5 * sizes[order[k]], sizes[order[k]]});
    while (clusters.size() > 1) {
      const Cluster& last = clusters.back();
      Cluster& before = clusters[clusters.size() - 2];
      if (before.top(low, high) + before.size <= last.top(low, high)) break;
      before.sum += last.sum - static_cast<double>(last.count) * before.size;
      before.count += last.count;
      before.size += last.size;
      clusters.pop_back();
    }
  }
  std::vector<double> result(middles.size());
  for (const Cluster& cluster : clusters) {
    double at = cluster.top(low, high);
    for (std::size_t k = cluster.first; k < cluster.first + cluster.count; ++k) {
      result[order[k]] = at + 0.5 * sizes[order[k]];
      at += sizes[order[k]];
    }
  }
  return result;
}

std::vector<std::string> wrapped(const std::string& text, double width, double height) {
  std::vector<std::string> lines;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    const std::string longer = lines.empty() ? word : lines.back() + " " + word;
    if (!lines.empty() && svg::text_width(longer, height) <= width)
      lines.back() = longer;
    else
      lines.push_back(word);
  }
  return lines;
}

std::vector<svg::Point> simplified(const std::vector<svg::Point>& line, double tolerance) {
  if (line.size() < 3) return line;
  std::vector<bool> kept(line.size(), false);
  kept.front() = kept.back() = true;
  keep_between(line, 0, line.size() - 1, tolerance, kept);
  std::vector<svg::Point> result;
  for (std::size_t k = 0; k < line.size(); ++k)
    if (kept[k]) result.push_back(line[k]);
  return result;
}

Box text_box(svg::Point middle, const std::string& text, double height, double rim) {
  const double half = 0.5 * svg::text_width(text, height) + rim, up = 0.5 * height + rim;
  return {middle.x - half, middle.y - up, middle.x + half, middle.y + up};
}

}  // namespace joulepress::tools::figures
