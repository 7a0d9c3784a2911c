#include "solver/inverse/distribution.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>
#include <stdexcept>

namespace joulepress::inverse {
namespace {

// Doubles stay doubles: long ones have other bits elsewhere.
using InDoubles = boost::math::policies::policy<boost::math::policies::promote_double<false>>;

void refuse_unusable(const Distribution& of) {
  using Kind = Distribution::Kind;
  const bool has_size = of.kind != Kind::fixed, is_factor = of.kind == Kind::log_normal;
  if (!std::isfinite(of.centre) || (has_size && !std::isfinite(of.size)))
    throw std::invalid_argument("distribution: centre or size is not finite");
  if (has_size && !(of.size >= (is_factor ? 1.0 : 0.0)))
    throw std::invalid_argument("distribution: size below 0, or a factor below 1");
  if (is_factor && !(of.centre > 0.0)) throw std::invalid_argument("distribution: median not above 0");
  if (!(of.low <= of.high)) throw std::invalid_argument("distribution: low limit above the high one");
}

double without_limits(const Distribution& of, double score) {
  switch (of.kind) {
    case Distribution::Kind::normal:
      return of.centre + of.size * score;
    case Distribution::Kind::log_normal:
      return of.centre * std::pow(of.size, 0.5 * score);
    case Distribution::Kind::fixed:
      break;
  }
  return of.centre;
}

}  // namespace

double standard_score(double share) {
  if (!(share > 0.0 && share < 1.0)) throw std::invalid_argument("standard score: share outside (0, 1)");
  return boost::math::quantile(boost::math::normal_distribution<double, InDoubles>(), share);
}

double at_score(const Distribution& distribution, double score) {
  refuse_unusable(distribution);
  if (!std::isfinite(score)) throw std::invalid_argument("distribution: score is not finite");
  return std::clamp(without_limits(distribution, score), distribution.low, distribution.high);
}

double at(const Distribution& distribution, double share) {
  return at_score(distribution, standard_score(share));
}

}  // namespace joulepress::inverse
