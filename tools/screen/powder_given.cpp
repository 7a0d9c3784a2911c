#include "tools/screen/powder_given.hpp"

#include <algorithm>
#include <cmath>

namespace joulepress::tools {

double level_below(double mean_K) {
  constexpr double below = 50.0, step = 10.0, zero_celsius = 273.15;
  return step * std::floor((mean_K - zero_celsius - below) / step + 1e-9) + zero_celsius;
}

double time_above(const std::vector<double>& times, const std::vector<double>& values, double level) {
  double above = 0.0;
  for (std::size_t k = 1; k < times.size(); ++k) {
    const double length = times[k] - times[k - 1], from = values[k - 1] - level, to = values[k] - level;
    if (!std::isfinite(from) || !std::isfinite(to)) continue;
    const double high = std::max(from, to), low = std::min(from, to);
    if (low >= 0.0)
      above += length;
    else if (high > 0.0)
      above += length * high / (high - low);
  }
  return above;
}

double dense_time(const std::vector<Closing>& powders) {
  double last = PowderGiven::nothing;
  for (const Closing& powder : powders) {
    if (powder.held || powder.start >= given_density) continue;
    if (!std::isfinite(powder.dense_s)) return PowderGiven::nothing;
    last = std::isfinite(last) ? std::max(last, powder.dense_s) : powder.dense_s;
  }
  return last;
}

void add_to_hottest(std::vector<PowderGiven>& holds, const std::vector<double>& times,
                    const std::vector<double>& means_K, double dense_s) {
  PowderGiven* hottest = nullptr;
  for (PowderGiven& hold : holds)
    if (std::isfinite(hold.mean_K) && (!hottest || hold.mean_K > hottest->mean_K)) hottest = &hold;
  if (!hottest) return;
  hottest->level_K = level_below(hottest->mean_K);
  hottest->above_s = time_above(times, means_K, hottest->level_K);
  hottest->dense_s = dense_s;
}

}  // namespace joulepress::tools
