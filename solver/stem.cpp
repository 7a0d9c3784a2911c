#include "solver/stem.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "solver/problem.hpp"

namespace joulepress::solver {

namespace {
constexpr double least_film = 1e-9;  // [W/(m2 K)]: nothing, but divides

// Root of a rising function between low and high: false position with the weight of Anderson and Bjoerck for
// the end that stays (textbook).
template <class F>
double root(const F& f, double low, double high) {
  double at_low = f(low), at_high = f(high);
  if (!(at_low < 0)) return low;
  if (!(at_high > 0)) return high;
  double x = low;
  for (int k = 0; k < 200; ++k) {
    const double before = x;
    x = std::clamp(low + (high - low) * at_low / (at_low - at_high), low, high);
    const double value = f(x);
    if (value == 0 || std::abs(x - before) <= 2e-15 * std::abs(x)) break;
    if (value < 0) {
      const double weight = 1.0 - value / at_low;
      if (k > 0 && before <= low) at_high *= weight > 0 ? weight : 0.5;
      low = x;
      at_low = value;
    } else {
      const double weight = 1.0 - value / at_high;
      if (k > 0 && before >= high) at_low *= weight > 0 ? weight : 0.5;
      high = x;
      at_high = value;
    }
  }
  return x;
}

// The film [W/(m2 K)] that loses in the bore at T what radiation and gas lose; rises with T.
double bore_film(const Stem& s, double material, double T) {
  const double radiation =
      s.bore_emissivity * stefan_boltzmann * (T + material) * (T * T + material * material);
  return std::max(radiation + s.gas_conductance, least_film);
}

// The film [W/(m2 K)] of a linear fin that carries what the one outside carries, its root at T; rises with T.
double outside_film(const Stem& s, double ambient, double T) {
  const double cubes =
      ((T + 2.0 * ambient) * T + 3.0 * ambient * ambient) * T + 4.0 * ambient * ambient * ambient;
  return 0.4 * s.outside_emissivity * stefan_boltzmann * cubes + s.outside_film;
}

double per_length(const Stem& s, double film) {
  return std::sqrt(4.0 * film / (s.conductivity * s.diameter));
}

// Two joined fins with constant films: distance from the material at mouth and tip, over that of the ambient.
struct Distance {
  double mouth, tip;
};
Distance joined_fins(const Stem& s, double inside_film, double outer_film, double contact) {
  const double inside = per_length(s, inside_film), outside = per_length(s, outer_film);
  const double length = inside * s.depth, touch = contact / (s.conductivity * inside);
  const double loss = inside * (std::tanh(length) + touch) / (1.0 + touch * std::tanh(length));
  const double mouth = outside > 0 ? outside / (outside + loss) : 0.0;
  return {mouth, mouth / (std::cosh(length) + touch * std::sinh(length))};
}

// The fin of the header.  `stretch` is S; distances t are signed, positive where the material is hotter.
class Fin {
 public:
  Fin(const Stem& of, double Tm, double Ta)
      : stem(of),
        material(Tm),
        ambient(Ta),
        film(bore_film(of, Tm, Tm)),
        radiation(2.0 * of.bore_emissivity * stefan_boltzmann / film),
        touch(of.tip_contact / (of.conductivity * per_length(of, film))) {}

  double tip() const {
    const double length = per_length(stem, film) * stem.depth;
    const double cold = bore_film(stem, material, std::min(material, ambient)) / film;
    const double hot = bore_film(stem, material, std::max(material, ambient)) / film;
    const double stretch = root([&](double S) { return length_of(S, mouth(S)) - length; },
                                length * std::sqrt(cold) * (1 - 1e-6), length * std::sqrt(hot) * (1 + 1e-6));
    return material - mouth(stretch) * tip_over_mouth(stretch);
  }

 private:
  const Stem& stem;
  double material, ambient;
  double film, radiation;  // of the bore at the material temperature; 2 e s over it
  double touch;            // h_c / (k m)

  // 2/film (F(t) - F(t_tip)) / (t^2 - t_tip^2): 1 for small t.
  double ease(double t, double tip) const {
    const double sum = t + tip, squares = t * t + tip * tip, product = t * tip;
    const double third = (squares + product) / sum;
    const double fifth = (squares * squares + product * (squares - product)) / sum;
    return 1.0 - radiation * (material * (2.0 * material * third - squares) + 0.2 * fifth);
  }

  double tip_over_mouth(double S) const {
    const double fade = std::exp(-S);
    return 2.0 * fade / (1.0 + fade * fade - touch * std::expm1(-2.0 * S));
  }

  // Distance at the mouth where both first integrals meet.
  double mouth(double S) const {
    const double span = material - ambient, ratio = tip_over_mouth(S), square = ratio * ratio;
    return span * root(
                      [&](double part) {
                        const double t = part * span;
                        const double steep = part > 0 ? ease(t, ratio * t) : 1.0;
                        return part * std::sqrt(film * (steep * (1.0 - square) + touch * touch * square)) -
                               (1.0 - part) * std::sqrt(outside_film(stem, ambient, material - t));
                      },
                      0.0, 1.0);
  }

  // m times the length over which t falls from `end` at the mouth to the tip: S + sum of (1/root - 1).
  double length_of(double S, double end) const {
    // u = exp(-distance from the mouth), itself of fifth order in z, so that both the fast fall at the mouth
    // and what a contact bends within a thin layer at the tip are smooth; four Gauss points (textbook) on
    // eight panels of z.
    constexpr std::array<double, 4> node{-0.8611363115940526, -0.3399810435848563, 0.3399810435848563,
                                         0.8611363115940526};
    constexpr std::array<double, 4> weight{0.3478548451374538, 0.6521451548625461, 0.6521451548625461,
                                           0.3478548451374538};
    constexpr int panels = 8;
    constexpr double half = 0.5 / panels;
    const double fade = std::exp(-S), range = -std::expm1(-S);
    const double tip = end * tip_over_mouth(S);
    const double scale = end / (1.0 + fade * fade - touch * std::expm1(-2.0 * S));
    double sum = 0;
    for (int panel = 0; panel < panels; ++panel)
      for (std::size_t i = 0; i < node.size(); ++i) {
        const double z = half * (2 * panel + 1 + node[i]), slope = range * z * z * z * z, above = slope * z;
        const double u = fade + above, left = fade / u;
        const double even = 1.0 + left * left, odd = above * (u + fade) / (u * u);
        const double t = scale * u * (even + touch * odd);
        const double from_tip = touch > 0 ? 2.0 * touch * left / (odd + touch * even) : 0.0;
        const double bent = (ease(t, tip) - 1.0) * (1.0 - from_tip * from_tip);
        sum += weight[i] * 5.0 * slope * (1.0 / std::sqrt(1.0 + bent) - 1.0) / u;
      }
    return S + half * sum;
  }
};
}  // namespace

double linear_tip(const Stem& stem, double material, double ambient) {
  const double mean = 0.5 * (material + ambient);
  const double inside = 4.0 * stem.bore_emissivity * stefan_boltzmann * material * material * material;
  const double outside = 4.0 * stem.outside_emissivity * stefan_boltzmann * mean * mean * mean;
  return material - (material - ambient) * joined_fins(stem, std::max(inside, least_film), outside, 0.0).tip;
}

double tip_temperature(const Stem& stem, double material, double ambient) {
  const bool lossless = !(stem.outside_emissivity > 0) && !(stem.outside_film > 0);
  if (material == ambient || lossless) return material;
  return Fin(stem, material, ambient).tip();
}

double bound_tip(const Stem& stem, double material, double ambient) {
  // The mouth lies in an interval; the films at its ends give a narrower one.  The weakest film in the bore
  // with the strongest outside is the fin that is farthest from the material at mouth and tip.
  const double span = material - ambient;
  double near = material, far = ambient, tip = 1.0;
  for (int pass = 0; pass < 20; ++pass) {
    const double cold = std::min(near, far), hot = std::max(near, far);
    const Distance most = joined_fins(stem, bore_film(stem, material, std::min(cold, material)),
                                      outside_film(stem, ambient, hot), stem.tip_contact);
    const Distance least = joined_fins(stem, bore_film(stem, material, std::max(hot, material)),
                                       outside_film(stem, ambient, cold), stem.tip_contact);
    tip = most.tip;
    near = material - span * least.mouth;
    far = material - span * most.mouth;
  }
  return material - span * tip;
}

double material_for_tip(const Stem& stem, double tip, double ambient) {
  const auto miss = [&](double material) { return tip_temperature(stem, material, ambient) - tip; };
  // The tip lies between ambient and material.
  if (tip >= ambient) {
    double high = tip + 1.0;
    while (miss(high) < 0 && high < 1e6) high = ambient + 2.0 * (high - ambient);
    return root(miss, tip, high);
  }
  double low = tip;
  while (miss(low) > 0 && low > 1.0) low *= 0.9;
  return root(miss, low, tip);
}

}  // namespace joulepress::solver
