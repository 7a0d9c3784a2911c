#include "solver/inverse/grid_convergence.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>

namespace joulepress::inverse {
namespace {

constexpr double lowest_order = 0.5, highest_order = 2.0, fastest_order = 4.5;
constexpr double rounding = 1e-6;  // an order of exactly 2 is inside, whatever its last digits
constexpr double safety_where_regular = 1.25, safety_elsewhere = 3.0;

void refuse_unusable(const std::array<GridLevel, 3>& levels, int reported) {
  double finer = 0.0;
  for (const GridLevel& level : levels) {
    if (!(level.spacing > finer) || !std::isfinite(level.spacing))
      throw std::invalid_argument("grid levels: spacings do not rise from above 0");
    if (!std::isfinite(level.value)) throw std::invalid_argument("grid levels: a value is not finite");
    finer = level.spacing;
  }
  if (reported < 0 || reported > 2) throw std::invalid_argument("grid levels: the reported one is not there");
}

/// |e32 / e21| of a power law of order p > 0.
double ratio_of(double order, double r21, double r32, double sign) {
  const double fine = std::pow(r21, order), coarse = std::pow(r32, order);
  return fine * (coarse - sign) / (fine - sign);
}

/// Root in (0, fastest]; 0 where the values move apart, infinite where they come together faster.
double order_of(double ratio, double r21, double r32, double sign) {
  const double slowest = sign > 0.0 ? std::log(r32) / std::log(r21) : 1.0;
  if (!(ratio > slowest)) return 0.0;
  if (!(ratio <= ratio_of(fastest_order, r21, r32, sign))) return std::numeric_limits<double>::infinity();
  double low = 0.0, high = fastest_order;
  for (int halving = 0; halving < 60; ++halving) {
    const double middle = 0.5 * (low + high);
    (ratio_of(middle, r21, r32, sign) < ratio ? low : high) = middle;
  }
  return high;
}

}  // namespace

GridConvergence grid_convergence(const std::array<GridLevel, 3>& finest_first, int reported) {
  refuse_unusable(finest_first, reported);
  const auto [fine, middle, coarse] = finest_first;
  const double e21 = middle.value - fine.value, e32 = coarse.value - middle.value;
  const double r21 = middle.spacing / fine.spacing, r32 = coarse.spacing / middle.spacing;

  GridConvergence found;
  found.extrapolated = fine.value;
  if (e21 == 0.0 && e32 == 0.0) return found;

  const bool swings = (e21 < 0.0 && e32 > 0.0) || (e21 > 0.0 && e32 < 0.0);
  const double seen = order_of(std::abs(e32) / std::abs(e21), r21, r32, swings ? -1.0 : 1.0);
  const bool told = seen > 0.0 && std::isfinite(seen);
  if (told) found.observed_order = seen;
  found.approach = swings ? Approach::swinging : told ? Approach::one_way : Approach::undetermined;
  found.order = std::clamp(seen, lowest_order, highest_order);
  const bool regular = found.approach == Approach::one_way && std::abs(found.order - seen) <= rounding;
  found.safety = regular ? safety_where_regular : safety_elsewhere;
  found.extrapolated = fine.value - e21 / (std::pow(r21, found.order) - 1.0);
  found.half_width = found.safety * std::abs(finest_first[reported].value - found.extrapolated);
  if (found.approach != Approach::one_way) {
    const auto [least, most] = std::minmax({fine.value, middle.value, coarse.value});
    found.half_width = std::max(found.half_width, found.safety * 0.5 * (most - least));
  }
  return found;
}

}  // namespace joulepress::inverse
