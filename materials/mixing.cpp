#include "materials/mixing.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace joulepress::materials {
namespace {

constexpr double room = 298.15;  // K

/// No surer than the less sure one of the two.
Uncertainty less_sure(const Property& a, const Property& b, const std::string& group) {
  Uncertainty u =
      two_sigma_factor(a.uncertainty) < two_sigma_factor(b.uncertainty) ? b.uncertainty : a.uncertainty;
  u.group = group;
  return u;
}

struct Pair {
  const Material& material;
  const Material& conducting;
  const Material& insulating;
};

Property made(const Pair& pair, const char* what, const char* how, Curve curve, const Property& a,
              const Property& b) {
  Property p;
  p.curve = std::move(curve);
  p.source = std::string(how) + " from " + pair.conducting.name + " (" + a.source + ") and " +
             pair.insulating.name + " (" + b.source + ")";
  p.uncertainty = less_sure(a, b, pair.material.name + " " + what);
  return p;
}

/// A curve through values every 5 K; both curves are smooth on that scale, or a kink is rounded by it.
template <class Value>
Curve sampled(double from, double to, Value value) {
  if (!(from < to)) throw std::invalid_argument("the ranges of the two solids do not overlap");
  if (std::isinf(from)) return Curve::constant(value(room));
  constexpr double step = 5;  // K
  const int n = std::max(2, static_cast<int>(std::ceil((to - from) / step)));
  std::vector<std::pair<double, double>> points;
  for (int k = 0; k <= n; ++k) {
    const double T = k == n ? to : from + (to - from) * k / n;
    points.emplace_back(T, value(T));
  }
  return Curve::table(std::move(points));
}

std::optional<double> lower(const std::optional<double>& a, const std::optional<double>& b) {
  return a && b ? std::min(*a, *b) : a ? a : b;
}

Curve heat_conductivity(double fraction, const Curve& conducting, const Curve& insulating) {
  double from = std::max(conducting.t_min(), insulating.t_min());
  double to = std::min(conducting.t_max(), insulating.t_max());
  if (std::isinf(from) != std::isinf(to)) throw std::logic_error("a curve with one end");
  return sampled(from, to, [&](double T) {
    const double a = conducting.value(T), b = insulating.value(T);
    return a > b ? general_effective_medium(fraction, a, b, 1.0 / 3, 1)
                 : general_effective_medium(1 - fraction, b, a, 1.0 / 3, 1);
  });
}

/// Once the conducting grains hang together theirs is the range that matters; the insulator's end is held.
Curve dense_resistivity(const Mixture& m) {
  const Curve &a = m.conducting_resistivity, &b = m.insulating_resistivity;
  const bool percolates = m.fraction > m.threshold;
  return sampled(percolates ? a.t_min() : std::max(a.t_min(), b.t_min()),
                 percolates ? a.t_max() : std::min(a.t_max(), b.t_max()),
                 [&](double T) { return mixture_resistivity(m, T, 1); });
}

}  // namespace

void mix(Material& material, const Material& conducting, const Material& insulating, Mixture mixture) {
  const Pair pair{material, conducting, insulating};
  const double f = mixture.fraction;
  mixture.conducting = conducting.name;
  mixture.insulating = insulating.name;
  mixture.conducting_resistivity = conducting.resistivity.along.curve;
  mixture.insulating_resistivity = insulating.resistivity.along.curve;
  mixture.insulating_law = insulating.porous.current;

  const double heavy = f * conducting.density.curve.value(room),
               light = (1 - f) * insulating.density.curve.value(room);
  material.density = made(pair, "density", "by volume", Curve::constant(heavy + light), conducting.density,
                          insulating.density);
  material.heat_capacity = made(pair, "heat capacity", "by mass",
                                Curve::sum(conducting.heat_capacity.curve, heavy / (heavy + light),
                                           insulating.heat_capacity.curve, light / (heavy + light)),
                                conducting.heat_capacity, insulating.heat_capacity);
  material.conductivity.along =
      made(pair, "heat conductivity", "Bruggeman's mean",
           heat_conductivity(f, conducting.conductivity.along.curve, insulating.conductivity.along.curve),
           conducting.conductivity.along, insulating.conductivity.along);
  Property& resistivity = material.resistivity.along;
  resistivity = made(pair, "resistivity", "general effective medium", dense_resistivity(mixture),
                     conducting.resistivity.along, insulating.resistivity.along);
  resistivity.source = mixture.source + "; " + resistivity.source;
  if (mixture.uncertainty.kind != Uncertainty::Kind::none) resistivity.uncertainty = mixture.uncertainty;
  if (conducting.emissivity && insulating.emissivity)
    material.emissivity =
        made(pair, "emissivity", "by volume",
             Curve::sum(conducting.emissivity->curve, f, insulating.emissivity->curve, 1 - f),
             *conducting.emissivity, *insulating.emissivity);
  if (conducting.expansion && insulating.expansion) {
    const Property &a = conducting.expansion->along, &b = insulating.expansion->along;
    material.expansion.emplace().along =
        made(pair, "expansion", "by volume", Curve::sum(a.curve, f, b.curve, 1 - f), a, b);
  }
  material.melting_K = lower(conducting.melting_K, insulating.melting_K);
  material.carbon_eutectic_K = lower(conducting.carbon_eutectic_K, insulating.carbon_eutectic_K);
  material.insulator = !(f > mixture.threshold);
  material.mixture = std::move(mixture);
}

}  // namespace joulepress::materials
