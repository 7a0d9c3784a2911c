// Strength of brittle specimens of other shapes and sizes: published examples, and the stress fields of bars
// integrated over their volume.
#include "materials/weibull.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "tests/support/record.hpp"
#include "tests/support/relative.hpp"

using namespace joulepress::materials;
using joulepress::test::compare;
using joulepress::test::relative;
using Loading = Specimen::Loading;

namespace {

/// A bar of one size in any loading.
Specimen bar(Loading loading, double inner_span = 0.0) {
  return {loading, 0.010, 0.010, 0.100, inner_span};
}

/// How many times as strong bars of one kind are as those of another, of one material.
double strength_ratio(const Specimen& of, const Specimen& to, double modulus) {
  return scale_of({modulus, to, ""}, 1.0) / scale_of({modulus, of, ""}, 1.0);
}

/// int (tension / largest tension)^m dV of a beam on two supports under two loads `inner_span` apart, by
/// midpoints.
double integrated(const Specimen& beam, double modulus) {
  constexpr int n = 1200;
  const double arm = 0.5 * (beam.length - beam.inner_span);  // from a support to the load next to it
  double sum = 0.0;
  for (int i = 0; i < n; ++i) {
    const double x = beam.length * (i + 0.5) / n;
    const double moment = std::min({x, beam.length - x, arm}) / arm;
    for (int j = 0; j < n; ++j) {
      const double y = beam.height * ((j + 0.5) / n - 0.5);  // below the middle in tension
      const double tension = moment * y / (0.5 * beam.height);
      if (tension > 0.0) sum += std::pow(tension, modulus);
    }
  }
  return sum * beam.width * (beam.length / n) * (beam.height / n);
}

}  // namespace

TEST_CASE("strength: effective volumes of bars are the integrals over their stress fields") {
  for (const double modulus : {3.0, 10.0, 21.5})
    for (const double inner : {0.0, 0.025, 0.100 / 3.0, 0.050, 0.080}) {
      const Specimen beam = bar(inner > 0.0 ? Loading::four_point : Loading::three_point, inner);
      CAPTURE(modulus);
      CAPTURE(inner);
      // Midpoints leave m (m - 1) / 24 of the square of a step over the length that the stress changes on.
      CHECK(effective_volume(beam, modulus) == relative(integrated(beam, modulus), 5e-4));
    }
  // Three points have no inner span, whatever is said of one.
  CHECK(effective_volume(bar(Loading::three_point, 0.05), 10) ==
        effective_volume(bar(Loading::three_point), 10));
  CHECK(effective_volume(bar(Loading::tension), 10) == relative(1e-5));
}

TEST_CASE("strength: effective volumes as standards write them") {
  for (const double m : {5.0, 10.0, 18.0}) {
    const double V = 1e-5;
    // Four-point, quarter points: V (m + 2) / (4 (m + 1)^2), ASTM C1683 and Quinn 2003, J Am Ceram Soc
    // 86:475; four-point, third points: V (m + 3) / (6 (m + 1)^2); both from memory.
    CHECK(effective_volume(bar(Loading::four_point, 0.05), m) ==
          relative(V * (m + 2) / (4 * (m + 1) * (m + 1))));
    CHECK(effective_volume(bar(Loading::four_point, 0.1 / 3.0), m) ==
          relative(V * (m + 3) / (6 * (m + 1) * (m + 1))));
    // The same moment all along: V / (2 (m + 1)), Weibull 1939, from memory.
    CHECK(effective_volume(bar(Loading::four_point, 0.1), m) == relative(V / (2 * (m + 1))));
  }
}

TEST_CASE("strength: bars in bending against bars in tension, published examples") {
  const std::string book =
      "Ashby and Jones, Engineering Materials 2, chapter on the statistics of brittle fracture";
  const double ratio = strength_ratio(bar(Loading::three_point), bar(Loading::tension), 10.0);
  compare({"three points against tension, the same volume, m = 10: ratio of strengths",
           book + " (from memory)", 1.73, ratio, 0.005, "1", "effective volume, scale of a strength"});
  // Silicon carbide, bars 100 mm x 10 mm x 10 mm: medians 400 MPa in three points and 230 MPa in tension; m =
  // 10 is the answer (from memory).
  compare({"silicon carbide, three points against tension, m = 10: ratio of medians", book + ", problem",
           400.0 / 230.0, ratio, 0.012, "1", "effective volume, scale of a strength"});
}

TEST_CASE("strength: rods in tension that must survive, published example") {
  // Half of the rods 5 mm in diameter and 25 mm long break at 120 MPa, m = 5.  At which stress do 99 in 100
  // of those 11 mm in diameter and 50 mm long survive?  32.6 MPa (from memory).
  const double m = 5.0;
  const Specimen small{Loading::tension, 0.0, 0.005, 0.025, 0.0},
      large{Loading::tension, 0.0, 0.011, 0.050, 0.0};
  const auto breaks = [m](const Specimen& rod, double stress, double scale) {
    return failure_probability(std::pow(stress / scale, m) * effective_volume(rod, m));
  };
  // Median over mean is (ln 2)^(1/m) / Gamma(1 + 1/m).
  const double mean = 120e6 * std::tgamma(1.0 + 1.0 / m) / std::pow(std::numbers::ln2, 1.0 / m);
  const double scale = scale_of({m, small, ""}, mean);
  CHECK(breaks(small, 120e6, scale) == relative(0.5));
  double low = 1e6, high = 120e6;
  while (high - low > 1.0)
    (breaks(large, 0.5 * (low + high), scale) < 0.01 ? low : high) = 0.5 * (low + high);
  compare({"rods in tension, 1 in 100 of larger ones breaks",
           "Ashby and Jones, Engineering Materials 2, problem on the statistics of brittle fracture (from "
           "memory)",
           32.6, low / 1e6, 0.1, "MPa", "effective volume, scale of a strength, probability of failure"});
}

TEST_CASE("strength: the mean of many specimens is the one that the scale was made from") {
  // mean = int (1 - P) d stress.
  for (const double m : {4.0, 10.0, 25.0})
    for (const Specimen& specimen :
         {bar(Loading::tension), bar(Loading::three_point), bar(Loading::four_point, 0.04)}) {
      const double mean = 45e6, scale = scale_of({m, specimen, ""}, mean), step = mean / 2000;
      double sum = 0.0;
      for (int k = 0; k < 8000; ++k)
        sum += step * (1.0 - failure_probability(std::pow((k + 0.5) * step / scale, m) *
                                                 effective_volume(specimen, m)));
      CHECK(sum == relative(mean, 1e-6));
    }
}

TEST_CASE("strength: probability of failure is exact for the smallest risks and stays below one") {
  CHECK(failure_probability(0.0) == 0.0);
  CHECK(failure_probability(1e-300) == 1e-300);
  CHECK(failure_probability(1e-18) == 1e-18);
  // x - x^2/2 + x^3/6, the rest is below rounding.
  for (const double x : {1e-12, 1e-9, 1e-6})
    CHECK(failure_probability(x) == relative(x - 0.5 * x * x + x * x * x / 6.0, 4e-16));
  CHECK(failure_probability(std::numbers::ln2) == relative(0.5, 1e-15));
  CHECK(failure_probability(1.0) == relative(1.0 - 1.0 / std::numbers::e, 1e-15));
  CHECK(failure_probability(1e3) == 1.0);
}
