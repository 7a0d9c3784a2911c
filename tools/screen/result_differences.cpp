#include "tools/screen/result_differences.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::tools {
namespace {

/// Value at a time within the span of a course; at a jump the one before it or the one after it.
double value_at(const Course& course, double time, bool after) {
  const auto& times = course.times;
  const std::size_t high =
      after ? static_cast<std::size_t>(std::upper_bound(times.begin(), times.end(), time) - times.begin())
            : static_cast<std::size_t>(std::lower_bound(times.begin(), times.end(), time) - times.begin());
  const std::size_t met = after ? high - 1 : high;
  if (times[met] == time) return course.values[met];
  const double share = (time - times[high - 1]) / (times[high] - times[high - 1]);
  return course.values[high - 1] + share * (course.values[high] - course.values[high - 1]);
}

}  // namespace

std::optional<LargestDifference> largest_difference(const Course& a, const Course& b) {
  std::optional<LargestDifference> largest;
  if (a.times.empty() || b.times.empty()) return largest;
  const double from = std::max(a.times.front(), b.times.front()),
               to = std::min(a.times.back(), b.times.back());
  std::vector<double> times;
  std::set_union(a.times.begin(), a.times.end(), b.times.begin(), b.times.end(), std::back_inserter(times));
  for (const double time : times) {
    if (!(time >= from && time <= to)) continue;
    for (const bool after : {false, true}) {
      const LargestDifference here{time, value_at(a, time, after), value_at(b, time, after)};
      const double difference = std::abs(here.b - here.a);
      if (!std::isnan(difference) && (!largest || difference > std::abs(largest->b - largest->a)))
        largest = here;
    }
  }
  return largest;
}

bool same_cells(const StoredCells& a, const StoredCells& b) {
  const auto equal = [](const std::vector<double>& x, const std::vector<double>& y) {
    return std::equal(x.begin(), x.end(), y.begin(), y.end(),
                      [](double u, double v) { return std::abs(u - v) <= 1e-9; });
  };
  return equal(a.r_low, b.r_low) && equal(a.r_high, b.r_high) && equal(a.z_low, b.z_low) &&
         equal(a.z_high, b.z_high);
}

std::optional<FieldDifference> largest_field_difference(const StoredResults& a, const StoredResults& b) {
  std::optional<FieldDifference> largest;
  const std::size_t n = a.cells.part.size();
  int outputs = 0;
  for (std::size_t i = 0, j = 0; i < a.field_times.size() && j < b.field_times.size();) {
    const double time = a.field_times[i];
    // Corners of the programme are sums of durations: the same but for rounding.
    if (std::abs(time - b.field_times[j]) > 1e-9 * std::max(1.0, time)) {
      ++(time < b.field_times[j] ? i : j);
      continue;
    }
    ++outputs;
    for (std::size_t cell = 0; cell < n; ++cell) {
      const LargestDifference here{time, a.temperatures[i * n + cell], b.temperatures[j * n + cell]};
      const double difference = std::abs(here.b - here.a);
      if (std::isnan(difference) || (largest && difference <= std::abs(largest->at.b - largest->at.a)))
        continue;
      largest = FieldDifference{here, a.cells.part_names[static_cast<std::size_t>(a.cells.part[cell])],
                                0.5 * (a.cells.r_low[cell] + a.cells.r_high[cell]),
                                0.5 * (a.cells.z_low[cell] + a.cells.z_high[cell]), 0};
    }
    ++i;
    ++j;
  }
  if (largest) largest->outputs = outputs;
  return largest;
}

}  // namespace joulepress::tools
