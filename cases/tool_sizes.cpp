#include "cases/tool_sizes.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace joulepress::cases {
namespace {

/// One set-up; millimetres and kiloamperes.
struct Row {
  double sample, die_diameter, die_height, punch, step_diameter, step_height, spacer_diameter, spacer_height,
      current_low, current_high;
};

constexpr std::array rows{
    Row{10, 30, 30, 20, 30, 10, 80, 40, 0.5, 0.9},  Row{20, 50, 40, 25, 40, 15, 80, 40, 1.2, 2.0},
    Row{30, 65, 50, 30, 60, 20, 100, 40, 2, 3},     Row{40, 90, 60, 35, 80, 20, 120, 40, 2.5, 4},
    Row{60, 120, 70, 40, 100, 25, 150, 50, 4, 6},   Row{80, 160, 80, 45, 120, 30, 200, 50, 6, 9},
    Row{100, 200, 90, 50, 150, 30, 240, 60, 8, 13},
};

/// The smallest set has a disc more, since 30 to 80 mm is too wide a step for one.
constexpr Disc middle_disc{60e-3, 20e-3};
constexpr double middle_disc_below = 15.0;  // mm, sample

}  // namespace

ToolSizes usual_tools(double sample_diameter) {
  const double sample = 1e3 * sample_diameter;
  std::size_t high = 1;
  while (high + 1 < rows.size() && sample > rows[high].sample) ++high;
  const Row& a = rows[high - 1];
  const Row& b = rows[high];
  const double t = (sample - a.sample) / (b.sample - a.sample);
  const auto between = [&](double Row::*size) { return a.*size + t * (b.*size - a.*size); };
  const auto whole = [&](double Row::*size) { return 1e-3 * std::max(1.0, std::round(between(size))); };

  ToolSizes tools;
  tools.die_diameter = whole(&Row::die_diameter);
  tools.die_height = whole(&Row::die_height);
  tools.punch_length = whole(&Row::punch);
  tools.spacers.push_back({whole(&Row::step_diameter), whole(&Row::step_height)});
  if (sample < middle_disc_below) tools.spacers.push_back(middle_disc);
  tools.spacers.push_back({whole(&Row::spacer_diameter), whole(&Row::spacer_height)});
  tools.current_low = 1e3 * std::max(0.0, between(&Row::current_low));
  tools.current_high = 1e3 * std::max(0.0, between(&Row::current_high));
  tools.published = sample >= rows.front().sample && sample <= rows.back().sample;
  return tools;
}

}  // namespace joulepress::cases
